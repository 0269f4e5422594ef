/*
 * What the beds gave: heads and weight for each planted square metre and week, what became of what was sown, and what was lost where and
 * by what.  By variety, crop or bed, over a span; both stand in the address.
 */
import * as api from '../api.js';
import { html, nothing, press, repeat } from '../dom.js';
import { addDays, asText, farmDay, fullDay, inUnit, isUs, mass, number, saidUnit, toUnit, unitSign } from '../format.js';
import { choiceWord, fieldName, t } from '../i18n.js';
import { measure } from '../marks.js';
import { keepQuery } from '../router.js';
import { csvLink, part, picks, printButton, runScreen, tableFrame, tools } from '../screen.js';

const BY = ['variety', 'crop', 'bed'];
const SPANS = { month: 31, quarter: 91, year: 366 };
const USUAL = { by: 'variety', span: 'quarter' };
const figure = (value, decimals = 0) => (value === null ? '–' : number(value, decimals));

/** Mounts Yield; what it is by and the span stand in the address.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { query, setTitle }) {
  const state = { by: BY.includes(query.get('by')) ? query.get('by') : USUAL.by, span: SPANS[query.get('span')] ? query.get('span') : USUAL.span, open: null };
  let screen = null;
  const span = () => `from=${addDays(farmDay(), 1 - SPANS[state.span])}&to=${farmDay()}`;

  async function ask() {
    const [yields, losses] = await Promise.all([api.get(`/api/reports/yield?by=${state.by}&${span()}&explain=1`), api.get(`/api/reports/losses?${span()}`)]);
    return { yields, losses, by: state.by };
  }
  const pick = (change) => {
    Object.assign(state, change, { open: null });
    keepQuery(Object.fromEntries(Object.entries(USUAL).filter(([name, usual]) => state[name] !== usual).map(([name]) => [name, state[name]])));
    screen.update();
  };

  const area = () => unitSign(saidUnit('m2').unit);
  const why = (row, columns) => html`<tr class="why-row"><td colspan=${columns}><div class="why"><dl class="why-facts"><dt>${t('yield.how')}</dt><dd>${row.explain.formula}</dd><dt>${t('yield.rests')}</dt><dd>${t('yield.inputs', { days: number(row.explain.inputs.days), area: asText(inUnit('m2', row.planted_m2, 1)) })} · ${row.explain.source}</dd></dl></div></td></tr>`;
  const lost = (row) => [['lost_germination', 'germination'], ['lost_nursery', 'nursery'], ['lost_raft', 'raft']].filter(([name]) => row[name]).map(([name, role]) => `${choiceWord('role', role)} ${number(row[name])}`).join(' · ');
  function table({ yields, by }) {
    const lots = by !== 'bed';
    const columns = lots ? 7 : 6;
    return tableFrame(t('yield.title'), html`<table class="figures stacking yields"><thead><tr><th scope="col">${t(`yield.by.${by}`)}</th><th scope="col">${t('yield.given')}</th><th scope="col">${t('yield.area', { area: area() })}</th><th scope="col">${t('yield.heads', { area: area() })}</th><th scope="col">${t('yield.weight', { area: area() })}</th><th scope="col">${t('yield.lost')}</th>${lots ? html`<th scope="col">${t('yield.of_sown')}</th>` : nothing}</tr></thead>
      <tbody>${repeat(yields.rows, (row) => row.name, (row) => html`<tr><th scope="row">${row.name} <button class="quiet why-button no-print" aria-expanded=${String(state.open === row.name)} @click=${press(() => { state.open = state.open === row.name ? null : row.name; screen.draw(); })}>${t(state.open === row.name ? 'waters.why_close' : 'alarms.why')}<span class="unseen"> ${row.name}</span></button></th>
        <td data-label=${t('yield.given')}>${row.harvests ? html`${measure(mass(row.weight_g ?? 0))}<small class="under">${row.pieces === null ? '' : t('yield.pieces', { n: row.pieces, shown: number(row.pieces) })}</small>` : '–'}</td>
        <td data-label=${t('yield.area', { area: area() })}>${inUnit('m2', row.planted_m2, 1).text}</td><td data-label=${t('yield.heads', { area: area() })}>${inUnit('1/m2', row.pieces_m2_week, isUs() ? 2 : 1).text}</td>
        <td data-label=${t('yield.weight', { area: area() })}>${row.weight_g_m2_week === null ? '–' : asText(mass(toUnit(saidUnit('1/m2'), row.weight_g_m2_week)))}</td>
        <td data-label=${t('yield.lost')}>${number(row.lost_germination + row.lost_nursery + row.lost_raft)}<small class="under">${lost(row)}${row.unexplained ? ` · ${t('yield.unexplained', { n: number(row.unexplained) })}` : ''}</small></td>
        ${lots ? html`<td data-label=${t('yield.of_sown')}>${row.harvested_pct === null ? '–' : html`${number(row.harvested_pct)} %<small class="under">${t('yield.lots', { n: row.lots, shown: number(row.lots), harvested: number(row.harvested), sown: number(row.sown_cubes) })}</small>`}</td>` : nothing}</tr>${state.open === row.name ? why(row, columns) : nothing}`)}</tbody></table>`);
  }
  const lossTable = ({ losses }) => tableFrame(t('yield.losses'), html`<table class="figures narrow"><thead><tr><th scope="col">${t('field.stage')}</th><th scope="col" class="left">${fieldName('cause')}</th><th scope="col">${fieldName('plants')}</th><th scope="col">%</th></tr></thead>
    <tbody>${losses.rows.map((row) => html`<tr><th scope="row">${choiceWord('role', row.stage)}</th><td class="left">${row.cause === null ? t('yield.no_cause') : choiceWord('cause', row.cause)}</td><td>${number(row.plants)}</td><td>${figure(row.share_pct, 1)}</td></tr>`)}</tbody></table>`);

  const view = (data) => {
    setTitle(t('yield.title'), t('yield.span', { from: fullDay(data.yields.from), to: fullDay(data.yields.to) }));
    return html`<div class="desk">${tools(html`<a href="/beds">← ${t('beds.title')}</a>`, csvLink(`/api/reports/yield.csv?by=${state.by}&${span()}`), printButton())}
      <div class="question no-print">${picks(t('yield.by_what'), BY, (by) => state.by === by, (by) => t(`yield.by.${by}`), (by) => pick({ by }))}${picks(t('probes.span'), Object.keys(SPANS), (span) => state.span === span, (span) => t(`waters.spans.${span}`), (span) => pick({ span }))}</div>
      <p class="soft section">${t('yield.what', { area: area() })}</p>
      ${data.yields.rows.length ? table(data) : html`<div class="notice"><p>${t('yield.none')}</p></div>`}
      ${data.losses.rows.length ? part(t('yield.losses'), csvLink(`/api/reports/losses.csv?${span()}`), lossTable(data)) : nothing}</div>`;
  };
  screen = runScreen(el, { ask, view });
  return screen;
}

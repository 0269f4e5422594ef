/* A bed's page: how its lots moved from the planting end to the harvest end, and will; where it jammed or stood bare. */
import * as api from '../api.js';
import { stretchText } from '../charts/bed.js';
import * as chart from '../charts/bed-flow.js';
import { html, nothing, press } from '../dom.js';
import { addDays, asText, farmDay, inUnit, longDay, number, shortDay } from '../format.js';
import { choiceWord, fieldName, t } from '../i18n.js';
import { keepQuery } from '../router.js';
import { csvLink, part, printButton, runScreen, tableFrame, tools } from '../screen.js';
import { place } from '../setup.js';

const SPANS = { near: [14, 21], season: [42, 21], year: [330, 28] };

const bandTable = (bands, label) => tableFrame(label, html`<table class="figures"><thead><tr><th scope="col" class="left">${fieldName('variety')}</th><th scope="col" class="left">${fieldName('crop_lot')}</th><th scope="col">${t('flow.in')}</th><th scope="col">${t('flow.out')}</th><th scope="col">${t('flow.days')}</th><th scope="col">${fieldName('plants')}</th><th scope="col">${t('flow.moved')}</th></tr></thead>
  <tbody>${bands.map(({ lot, variety, steps }) => html`<tr><th scope="row" class="left">${variety}</th><td class="left">${lot}</td><td class="num">${shortDay(steps[0].day)}</td><td class="num">${shortDay(steps.at(-1).day)}</td><td>${number(steps.length)}</td><td>${number(Math.max(...steps.map((s) => s.plants)))}</td><td class="num">${stretchText(steps[0].from, steps.at(-1).to)}</td></tr>`)}</tbody></table>`);

/** Mounts the page of the bed in params.code; the span stands in the address.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { params, query, setTitle }) {
  const today = farmDay();
  const state = { span: SPANS[query.get('span')] ? query.get('span') : 'season', table: query.get('view') === 'table', chosen: null };
  let screen = null;
  const range = () => ({ from: addDays(today, -SPANS[state.span][0]), to: addDays(today, SPANS[state.span][1]) });
  const address = (ending = '') => `/api/reports/bed-flow${ending}?only=${encodeURIComponent(params.code)}&from=${range().from}&to=${range().to}`;
  const show = (given) => {
    const asks = given.span && given.span !== state.span;
    Object.assign(state, given);
    keepQuery({ ...(state.span === 'season' ? {} : { span: state.span }), ...(state.table ? { view: 'table' } : {}) });
    if (asks) screen.update();
    else screen.draw();
  };

  const view = (data) => {
    const bed = place(params.code)?.row;
    setTitle(t('flow.title', { place: bed?.code ?? params.code }), longDay(today));
    if (!bed) return html`<div class="notice"><h2>${t('at.unknown', { code: params.code })}</h2><a class="button" href="/beds">${t('beds.title')}</a></div>`;
    const bands = chart.toSeries(data.rows);
    const bare = chart.bareWater(data.rows.filter((r) => r.day <= today), data.from, today, bed.length_m);
    const mean = bare.reduce((sum, { metres }) => sum + metres, 0) / bare.length;
    const width = document.getElementById('main').clientWidth - 48;
    const chosen = bands.find((b) => b.lot === state.chosen);
    return html`<div class="desk">${tools(html`<a href="/beds">← ${t('flow.all')}</a>`, Object.keys(SPANS).map((name) => html`<button class="tool" aria-pressed=${String(state.span === name)} @click=${press(() => show({ span: name }))}>${t(`flow.span.${name}`)}</button>`),
      html`<button class="tool" aria-pressed=${String(state.table)} @click=${press(() => show({ table: !state.table }))}>${t('desk.table')}</button>`, csvLink(address('.csv')), printButton())}
      ${part(t('flow.head', { place: bed.code }), nothing, html`<p>${t('flow.what', { head: choiceWord('end', 'head'), foot: choiceWord('end', 'foot') })} ${t('flow.bare', { share: number((100 * mean) / bed.length_m), metres: asText(inUnit('m', mean, 1)) })}</p>
        ${state.table ? bandTable(bands, t('flow.head', { place: bed.code })) : bands.length ? chart.draw({ rows: data.rows, from: data.from, to: data.to, length: bed.length_m, width, height: 460, today, chosen: state.chosen, choose: (lot) => show({ chosen: lot === state.chosen ? null : lot }) }) : html`<p class="soft">${t('at.bed_empty')}</p>`}
        ${chosen && !state.table ? html`<p class="chosen-lot" role="status"><b>${chosen.variety}</b> <small>${chosen.lot}</small> · ${t('flow.said', { from: shortDay(chosen.steps[0].day), to: shortDay(chosen.steps.at(-1).day), n: chosen.steps.length })}</p>` : nothing}`)}</div>`;
  };
  screen = runScreen(el, { ask: () => api.get(address()), view, pictured: true });
  return screen;
}

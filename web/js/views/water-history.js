/*
 * What was read of one quantity at one place over a span: a picture with the limits shaded and doses marked, the table
 * with doses in their place, and CSV.  Place, quantity and span stand in the address.
 */
import * as api from '../api.js';
import * as series from '../charts/series.js';
import { instant } from '../describe.js';
import { html, nothing } from '../dom.js';
import { addDays, asText, farmDay, fullDay, mass, number, quantityToShown, quantityUnit, reading, unitSign } from '../format.js';
import { fieldName, t } from '../i18n.js';
import { footing, measure } from '../marks.js';
import { keepQuery } from '../router.js';
import { csvLink, part, picks, pictureWidth, printButton, runScreen, tableFrame, tools } from '../screen.js';
import { farm, loopOf, place } from '../setup.js';
import { stateMark } from '../water.js';

const SPANS = { month: 31, quarter: 91, year: 366, decade: 3653 };
const USUAL = 'quarter';
const ROWS_MOST = 400;
const doseText = (dose, materials) => t('waters.dose', { amount: asText(mass(dose.amount_g)), material: materials.find((m) => m.id === dose.material_id)?.name ?? '' });

/** Mounts what was read at the place in params.code; quantity and span stand in the address.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { params, query, setTitle }) {
  const state = { of: query.get('of'), span: SPANS[query.get('span')] ? query.get('span') : USUAL };
  let takeAway = () => {};
  let drawn = null;
  let screen = null;

  async function ask() {
    const [from, to] = [addDays(farmDay(), 1 - SPANS[state.span]), farmDay()];
    const loop = loopOf(place(params.code)?.row.id);
    const [{ rows }, doses, materials] = await Promise.all([
      api.get(`/api/reports/water-history?only=${encodeURIComponent(params.code)}&from=${from}&to=${to}`),
      loop ? api.getAll(`/api/doses?loop_id=${loop.id}&from=${from}&to=${to}`) : [],
      loop ? api.getAll('/api/materials') : [],
    ]);
    return { rows, materials, doses: doses.sort((a, b) => a.at.localeCompare(b.at)), from, to, span: state.span };
  }
  const keep = () => keepQuery({ ...(state.of ? { of: state.of } : {}), ...(state.span === USUAL ? {} : { span: state.span }) });
  const pick = (change) => {
    Object.assign(state, change);
    keep();
    if (change.span) screen.update();
    else screen.draw();
  };

  const valueRow = (row) => html`<tr><th scope="row">${instant(row.at)}</th><td>${footing(row.computed ? 'estimated' : 'measured')}${measure(reading(row.quantity, row.value, row.bound))} ${stateMark(row.state)}</td></tr>`;
  const doseRow = (dose, materials) => html`<tr class="dose-row"><th scope="row">${instant(dose.at)}</th><td class="left"><a href="/farm/doses/${dose.id}">${doseText(dose, materials)}</a>${dose.ph_before === undefined ? nothing : html` <small>pH ${number(dose.ph_before, 1)} → ${dose.ph_after === undefined ? '–' : number(dose.ph_after, 1)}</small>`}</td></tr>`;
  function table(rows, { doses, materials }) {
    const all = [...rows.map((row) => [row.at, valueRow(row)]), ...doses.map((dose) => [dose.at, doseRow(dose, materials)])].sort((a, b) => b[0].localeCompare(a[0]));
    return html`${tableFrame(t('desk.table'), html`<table class="figures narrow readings"><thead><tr><th scope="col">${t('field.at')}</th><th scope="col">${t('field.value')}</th></tr></thead><tbody>${all.slice(0, ROWS_MOST).map(([, line]) => line)}</tbody></table>`)}
      ${all.length > ROWS_MOST ? html`<p class="soft">${t('probes.rest', { n: ROWS_MOST, shown: number(ROWS_MOST) })}</p>` : nothing}`;
  }

  const view = (data) => {
    const there = [...new Set(data.rows.map((r) => r.quantity))];
    if (!there.includes(state.of) && there.length && !state.of) [state.of] = there;
    const rows = data.rows.filter((r) => r.quantity === state.of);
    const title = state.of ? t('probes.title', { what: fieldName(state.of), from: fullDay(data.from), to: fullDay(data.to) }) : t('waters.history');
    setTitle(`${params.code} · ${t('waters.history')}`, place(params.code)?.row.name ?? '');
    return html`<div class="desk probe">${tools(html`<a href="/water">← ${t('waters.title')}</a>`, html`<a class="button tool" href="/farm/water-tests?place_id=${place(params.code)?.row.id ?? ''}">${t('tanks.all_of', { what: t('kind.water-tests.many') })}</a>`, printButton())}
      ${picks(t('field.quantity'), state.of && !there.includes(state.of) ? [state.of, ...there] : there, (of) => state.of === of, fieldName, (of) => pick({ of }), 'period no-print')}${picks(t('probes.span'), Object.keys(SPANS), (span) => state.span === span, (span) => t(`waters.spans.${span}`), (span) => pick({ span }), 'period no-print')}
      ${part(title, csvLink(`/api/reports/water-history.csv?only=${encodeURIComponent(params.code)}&from=${data.from}&to=${data.to}`), html`<p class="soft">${t(rows.length ? (data.doses.length ? 'waters.history_doses' : 'waters.history_what') : 'waters.history_none')}</p>
        <div class="series" role="img" aria-label=${t('probes.label', { what: state.of ? fieldName(state.of) : '', place: params.code, from: fullDay(data.from), to: fullDay(data.to) })} ?hidden=${!rows.length}></div>
        ${rows.length ? table(rows, data) : nothing}`)}</div>`;
  };

  function drawSeries(data) {
    const at = el.querySelector('.series');
    const rows = data?.rows.filter((r) => r.quantity === state.of) ?? [];
    if (!at || !rows.length || (drawn?.data === data && drawn.of === state.of && drawn.at === at && drawn.width === pictureWidth())) return;
    takeAway();
    const shown = (v) => quantityToShown(state.of, v);
    const newest = rows.at(-1);
    const limits = Object.fromEntries(['low', 'high'].filter((k) => newest[k] !== null).map((k) => [k, shown(newest[k])]));
    const values = rows.map((r) => r.value);
    const columns = series.toSeries({ at: rows.map((r) => r.at), mean: values }, shown);
    const end = Date.now() / 1000;
    const start = data.span === 'decade' ? Math.min(columns[0][0], end - 86400) : Date.parse(`${data.from}T00:00:00Z`) / 1000;
    takeAway = series.draw(at, columns, {
      limits, unit: unitSign(quantityUnit(state.of)), width: pictureWidth(), from: start, to: end, timeZone: farm().time_zone, points: rows.length < 200,
      marks: data.doses.map((dose) => ({ at: Date.parse(dose.at) / 1000, text: asText(mass(dose.amount_g)) })),
    });
    drawn = { data, of: state.of, at, width: pictureWidth() };
  }
  screen = runScreen(el, { ask, view, drawn: drawSeries, pictured: true });
  return { update: screen.update, destroy: () => { takeAway(); screen.destroy(); } };
}

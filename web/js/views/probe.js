/* A probe's readings over a span that is chosen: a picture, its table and its CSV.  The span stands in the address. */
import * as api from '../api.js';
import * as series from '../charts/series.js';
import { instant } from '../describe.js';
import { html, nothing, press } from '../dom.js';
import { addDays, age, farmDay, fullDay, number, quantityDecimals, quantityToShown, quantityUnit, reading, unitSign } from '../format.js';
import { fieldName, t } from '../i18n.js';
import { measure } from '../marks.js';
import { limitsOf } from '../probes.js';
import { keepQuery } from '../router.js';
import { csvLink, part, picks, pictureWidth, printButton, runScreen, tableFrame, tools } from '../screen.js';
import { farm } from '../setup.js';
import { stateMark, stateOf } from '../water.js';

const SPANS = { day: 1, week: 7, month: 31, year: 366, decade: 3653 };
const ROWS_MOST = 400;

/** Mounts the readings of the probe in params.code; the span stands in the address.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { params, query, setTitle }) {
  const state = { span: SPANS[query.get('span')] ? query.get('span') : 'week', table: false };
  let takeAway = () => {};
  let drawn = null;
  let screen = null;
  const days = () => ({ from: addDays(farmDay(), 1 - SPANS[state.span]), to: farmDay() });

  async function ask() {
    const { items } = await api.get(`/api/probes?code=${encodeURIComponent(params.code)}`);
    if (!items.length) return { unknown: true };
    const { from, to } = days();
    return { probe: items[0], from, to, span: state.span, answer: await api.get(`/api/readings?probe_id=${items[0].id}&from=${from}&to=${to}&points=${Math.max(100, Math.round(pictureWidth()))}`) };
  }
  function pick(span) {
    state.span = span;
    keepQuery(span === 'week' ? {} : { span });
    screen.update();
  }

  function table({ probe, answer: { series: s } }) {
    const value = (v) => (v === null || v === undefined ? '–' : number(quantityToShown(probe.quantity, v), quantityDecimals(probe.quantity)));
    const rows = s.at.map((at, i) => ({ at, mean: s.mean[i], low: s.low?.[i], high: s.high?.[i], n: s.readings?.[i] })).reverse().slice(0, ROWS_MOST);
    return html`${tableFrame(t('desk.table'), html`<table class="figures narrow readings"><thead><tr><th scope="col">${t('field.at')}</th><th scope="col">${t('probes.mean')}</th>${s.low ? html`<th scope="col">${t('probes.lowest')}</th><th scope="col">${t('probes.highest')}</th><th scope="col">${t('probes.readings')}</th>` : nothing}</tr></thead>
      <tbody>${rows.map((r) => html`<tr><th scope="row">${instant(r.at)}</th><td>${r.mean === null ? t('probes.gap') : value(r.mean)}</td>${s.low ? html`<td>${value(r.low)}</td><td>${value(r.high)}</td><td>${r.n ? number(r.n) : '–'}</td>` : nothing}</tr>`)}</tbody></table>`)}${s.at.length > ROWS_MOST ? html`<p class="soft">${t('probes.rest', { n: ROWS_MOST, shown: number(ROWS_MOST) })}</p>` : nothing}`;
  }

  const view = (data) => {
    if (data.unknown) return html`<div class="notice"><h2>${t('probes.unknown', { code: params.code })}</h2><a class="button" href="/water">${t('waters.title')}</a></div>`;
    const { probe, answer, from, to } = data;
    setTitle(`${answer.place} · ${fieldName(probe.quantity)}`, probe.code);
    const ways = html`<button class="tool" aria-pressed=${String(state.table)} @click=${press(() => { state.table = !state.table; screen.draw(); })}>${t('desk.table')}</button>${csvLink(`/api/readings.csv?probe=${encodeURIComponent(probe.code)}&from=${from}&to=${to}`)}`;
    const some = answer.series.mean.some((v) => v !== null);
    return html`<div class="desk probe">${tools(html`<a href="/water">← ${t('waters.title')}</a>`, html`<a class="button tool" href="/farm/probes/${probe.id}">${t('probes.limits')}</a>`, printButton())}
      <p class="since">${answer.newest ? html`${t('probes.newest')}: ${measure(reading(probe.quantity, answer.newest.value))} ${stateMark(stateOf(answer.newest.value, limitsOf(probe)))} <small>${age(answer.newest.at)}</small>` : t('at.never_measured')}</p>${picks(t('probes.span'), Object.keys(SPANS), (s) => state.span === s, (s) => t(`probes.spans.${s}`), pick, 'period no-print')}
      ${part(t('probes.title', { what: fieldName(probe.quantity), from: fullDay(from), to: fullDay(to) }), ways, html`<p class="soft">${t(some ? 'probes.what' : 'probes.none', { step: t(`probes.steps.${answer.step}`) })}</p>
      <div class="series" role="img" aria-label=${t('probes.label', { what: fieldName(probe.quantity), place: answer.place, from: fullDay(from), to: fullDay(to) })} ?hidden=${!some}></div>${state.table ? table(data) : nothing}`)}</div>`;
  };

  function drawSeries(data) {
    const at = el.querySelector('.series');
    if (!at || !data?.answer || (drawn?.answer === data.answer && drawn.at === at && drawn.width === pictureWidth())) return;
    takeAway();
    const { probe, answer, from, to } = data;
    const shown = (v) => quantityToShown(probe.quantity, v);
    const end = Math.min(Date.parse(`${addDays(to, 1)}T12:00:00Z`), Date.now()) / 1000;
    const columns = series.toSeries(answer.series, shown);
    const start = data.span === 'decade' ? Math.min(columns[0][0] ?? end, end - 86400) : Date.parse(`${from}T00:00:00Z`) / 1000;
    takeAway = series.draw(at, columns, { limits: Object.fromEntries(Object.entries(limitsOf(probe)).map(([k, v]) => [k, shown(v)])), unit: unitSign(quantityUnit(probe.quantity)), width: pictureWidth(), from: start, to: end, timeZone: farm().time_zone });
    drawn = { answer: data.answer, at, width: pictureWidth() };
  }
  screen = runScreen(el, { ask, view, drawn: drawSeries, pictured: true });
  return { update: screen.update, destroy: () => { takeAway(); screen.destroy(); } };
}

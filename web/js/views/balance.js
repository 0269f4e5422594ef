/*
 * Balance: the two crops of each water.  Feed to planted area against its band, what today's feed asks, base, nitrate to come, and where
 * the nitrogen went; each with its table and CSV.
 */
import * as api from '../api.js';
import { draw } from '../charts/line-band.js';
import { html, nothing, press } from '../dom.js';
import { DASH, farmDay, longDay, mass, asText, number, shortDay } from '../format.js';
import { t } from '../i18n.js';
import { footing, mark } from '../marks.js';
import { notesView } from '../notes.js';
import { keepQuery } from '../router.js';
import { csvLink, part, printButton, runScreen, tableFrame, tools } from '../screen.js';

const grams = (g) => (g === null ? DASH : asText(mass(g)));
const BAND_MARKS = { within: ['ok', '✓'], below: ['amber', '▼'], above: ['amber', '▲'] };
const FOOTING = { measured: 'measured', estimated: 'estimated', unknown: 'unknown' };

function bandWords(row) {
  if (!row || row.feed_g_m2_day === null) return html`${footing('unknown')} ${t('balance.ratio_unknown')}`;
  const [sort, sign] = BAND_MARKS[row.band] ?? ['', ''];
  return html`<b class="balance-ratio">${number(row.feed_g_m2_day)}</b> <span class="unit">${t('unit.g_m2_day')}</span> ${row.band && BAND_MARKS[row.band] ? mark(sort, sign, t(`balance.band.${row.band}`, { low: number(row.band_low_g_m2_day), high: number(row.band_high_g_m2_day) })) : nothing}`;
}

const facts = (row) => html`<dl class="why-facts">${[['feed', grams(row.feed_g)], ['oxygen', grams(row.oxygen_g)], ['co2', grams(row.co2_g)], ['tan', grams(row.tan_g)], ['alkalinity', grams(row.alkalinity_g)], ['filter', row.filter_load_pct === null ? DASH : `${number(row.filter_load_pct)} %`]]
  .map(([name, text]) => html`<dt>${t(`balance.asks.${name}`)}</dt><dd>${text}</dd>`)}</dl>`;

function baseWords(base) {
  if (!base) return nothing;
  const learned = base.own_intervals ? t('balance.base_learned', { used: number(base.used_g_kg), low: number(base.used_low_g_kg), high: number(base.used_high_g_kg), n: base.own_intervals }) : t('balance.base_handbook', { used: number(base.handbook_g_kg) });
  return html`<p>${base.due_on ? t('balance.base_next', { amount: grams(base.amount_g), material: base.material ?? t('balance.some_base'), day: shortDay(base.due_on) }) : t('balance.base_none')} ${base.state === 'ok' ? nothing : mark('amber', '▼', t(`balance.base_state.${base.state}`))}</p>
    <p class="soft">${learned} ${t('balance.base_now', { now: number(base.alkalinity_now_mg_l), floor: number(base.floor_mg_l) })}</p>`;
}

const nitrogenTable = (rows, title) => tableFrame(title, html`<table class="figures"><thead><tr><th scope="col" class="left">${t('field.way')}</th><th scope="col" class="left">${t('field.direction')}</th><th scope="col">${t('field.nitrogen_g')}</th><th scope="col">%</th></tr></thead><tbody>
  ${rows.map((r) => html`<tr><th scope="row" class="left">${t(`balance.way.${r.way}`)}</th><td class="left">${t(`balance.direction.${r.direction}`)}</td><td class="num">${footing(FOOTING[r.basis] ?? 'unknown')}${grams(r.nitrogen_g)}</td><td class="num">${r.share_pct === null ? DASH : number(r.share_pct, 1)}</td></tr>`)}</tbody></table>`);

const loadTable = (rows, title) => tableFrame(title, html`<table class="figures"><thead><tr><th scope="col">${t('field.day')}</th><th scope="col">${t('balance.asks.feed')}</th><th scope="col">${t('field.planted_m2')}</th><th scope="col">${t('balance.ratio')}</th><th scope="col">${t('balance.asks.oxygen')}</th><th scope="col">${t('balance.asks.tan')}</th><th scope="col">${t('balance.asks.filter')}</th></tr></thead><tbody>
  ${[...rows].reverse().map((r) => html`<tr><th scope="row" class="num">${shortDay(r.day)}</th><td class="num">${grams(r.feed_g)}</td><td class="num">${number(r.planted_m2)}</td><td class="num">${number(r.feed_g_m2_day)}</td><td class="num">${grams(r.oxygen_g)}</td><td class="num">${grams(r.tan_g)}</td><td class="num">${r.filter_load_pct === null ? DASH : `${number(r.filter_load_pct)} %`}</td></tr>`)}</tbody></table>`);

export function mount(el, { query, setTitle }) {
  const today = farmDay();
  const state = { tables: query.get('view') === 'table' };
  let screen = null;
  const toggle = () => {
    state.tables = !state.tables;
    keepQuery(state.tables ? { view: 'table' } : {});
    screen.draw();
  };

  function loopPart(loop, data) {
    const mine = (rows) => rows.filter((r) => r.loop === loop);
    const load = mine(data.loading.rows);
    const last = [...load].reverse().find((r) => r.feed_g_m2_day !== null) ?? load.at(-1);
    const full = [...load].reverse().find((r) => r.feed_g !== null && r.day < today) ?? load.at(-1);
    const nitrate = mine(data.nitrate.rows);
    const width = Math.max(300, document.getElementById('main').clientWidth - 48);
    const title = t('balance.loop', { loop });
    const picture = (points, more) => (points.some((p) => p.value !== null || p.measured !== null) ? draw({ points, today, width, ...more }) : html`<p class="soft">${t('balance.nothing')}</p>`);
    return html`${part(title, csvLink('/api/reports/loading.csv'), html`<p>${t('balance.ratio')}: ${bandWords(last)}</p>
        ${state.tables ? loadTable(load, title) : picture(load.map((r) => ({ day: r.day, value: r.feed_g_m2_day, measured: null })), { inside: last && { low: last.band_low_g_m2_day, high: last.band_high_g_m2_day }, label: t('balance.ratio_label', { loop }), unit: t('unit.g_m2_day') })}
        ${full ? html`<h3>${t('balance.asked_on', { day: shortDay(full.day) })}</h3>${facts(full)}` : nothing}`)}
      ${part(t('balance.base', { loop }), csvLink('/api/reports/base.csv'), baseWords(mine(data.base.rows)[0]))}
      ${part(t('balance.nitrate', { loop }), csvLink('/api/reports/nitrate.csv'), html`${picture(nitrate.map((r) => ({ day: r.day, value: r.nitrate_n_mg_l, low: r.low, high: r.high, measured: r.measured_mg_l })), { label: t('balance.nitrate_label', { loop }), unit: 'mg/L' })}
        ${nitrate[0]?.scored_tests ? html`<p class="soft">${t('balance.scored', { n: nitrate[0].scored_tests, error: number(nitrate[0].score_rms_mg_l, 1), inside: number(nitrate[0].score_inside_pct) })}</p>` : nothing}`)}
      ${part(t('balance.nitrogen', { loop, from: shortDay(data.nitrogen.from), to: shortDay(data.nitrogen.to) }), csvLink('/api/reports/nitrogen.csv'), nitrogenTable(mine(data.nitrogen.rows), t('balance.nitrogen', { loop, from: shortDay(data.nitrogen.from), to: shortDay(data.nitrogen.to) })))}`;
  }

  const view = (data) => {
    setTitle(t('more.balance'), longDay(today));
    const loops = [...new Set(data.loading.rows.map((r) => r.loop))];
    if (!loops.length) return html`<div class="notice"><h2>${t('balance.none')}</h2><p>${t('balance.none_what')}</p></div>`;
    const notes = [...data.loading.notes, ...data.base.notes, ...data.nitrogen.notes, ...data.nitrate.notes].filter((n) => !n.code.startsWith('published_'));
    return html`<div class="desk balance">${tools(t('balance.what'), html`<button class="tool" aria-pressed=${String(state.tables)} @click=${press(toggle)}>${t('desk.table')}</button>`, printButton())}
      ${loops.map((loop) => loopPart(loop, data))}${part(t('balance.said'), nothing, html`<p>${t('balance.published')}</p>${notesView(notes)}`)}</div>`;
  };
  const ask = async () => {
    const [loading, base, nitrate, nitrogen] = await Promise.all(['loading', 'base', 'nitrate', 'nitrogen'].map((name) => api.get(`/api/reports/${name}`)));
    return { loading, base, nitrate, nitrogen };
  };
  screen = runScreen(el, { ask, view });
  const onSize = () => screen.draw();
  addEventListener('resize', onSize);
  return { update: screen.update, destroy: () => { removeEventListener('resize', onSize); screen.destroy(); } };
}

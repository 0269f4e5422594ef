/*
 * Balance: the two crops of each water.  Feed to planted area against its band, what the feed of now and of next month asks, base,
 * nitrate to come, what a harvest or planting would do to the other crop, and where the nitrogen went.
 */
import * as api from '../api.js';
import * as flow from '../charts/flow.js';
import { draw } from '../charts/line-band.js';
import { html, nothing, press, repeat } from '../dom.js';
import { addDays, asText, DASH, farmDay, longDay, mass, number, shortDay } from '../format.js';
import { t } from '../i18n.js';
import { footing, mark } from '../marks.js';
import { notesView } from '../notes.js';
import { keepQuery } from '../router.js';
import { csvLink, part, printButton, runScreen, tableFrame, tools } from '../screen.js';
import { list, loopOf, place } from '../setup.js';
import { mountWish } from './balance-wish.js';

const grams = (g) => (g === null ? DASH : asText(mass(g)));
const BAND_MARKS = { within: ['ok', '✓'], below: ['amber', '▼'], above: ['amber', '▲'] };
const AHEAD = 30; // days, of what next month's feed asks
const FOOTING = { measured: 'measured', estimated: 'estimated', unknown: 'unknown' };

function bandWords(row) {
  if (!row || row.feed_g_m2_day === null) return html`${footing('unknown')} ${t('balance.ratio_unknown')}`;
  const [sort, sign] = BAND_MARKS[row.band] ?? ['', ''];
  return html`<b class="balance-ratio">${number(row.feed_g_m2_day)}</b> <span class="unit">${t('unit.g_m2_day')}</span> ${row.band && BAND_MARKS[row.band] ? mark(sort, sign, t(`balance.band.${row.band}`, { low: number(row.band_low_g_m2_day), high: number(row.band_high_g_m2_day) })) : nothing}`;
}

const ASKS = ['feed', 'oxygen', 'co2', 'tan', 'alkalinity', 'filter'];
const asked = (row, name) => (name === 'filter' ? (row?.filter_load_pct === null || row?.filter_load_pct === undefined ? DASH : `${number(row.filter_load_pct)} %`) : grams(row?.[`${name}_g`] ?? null));
const facts = (row, next, title) => html`${tableFrame(title, html`<table class="figures narrow asks"><thead><tr><td></td><th scope="col">${shortDay(row.day)}</th>${next ? html`<th scope="col">${shortDay(next.day)}</th>` : nothing}</tr></thead><tbody>
  ${ASKS.map((name) => html`<tr><th scope="row">${t(`balance.asks.${name}`)}</th><td>${asked(row, name)}</td>${next ? html`<td>${footing('estimated')}${asked(next, name)}</td>` : nothing}</tr>`)}</tbody></table>`)}
  ${next ? html`<p class="soft">${t(next.tanks_unknown ? 'balance.next_some' : 'balance.next_what', { n: next.tanks_unknown })}</p>` : nothing}`;

/* What the plans of a day ahead give each loop, and what that asks: the usual loads of /api/calc/feed-load. */
async function askNextMonth() {
  const day = addDays(farmDay(), AHEAD);
  const [{ rows }, filters] = await Promise.all([api.get(`/api/reports/ration?day=${day}`), api.get('/api/reports/loading')]);
  const protein = new Map(list('feeds').map((f) => [f.name, f.protein_pct]));
  return Promise.all(list('loops').map(async ({ code }) => {
    const mine = rows.filter((r) => loopOf(place(r.tank)?.row.id)?.code === code);
    const known = mine.filter((r) => r.amount_g !== null && protein.has(r.feed));
    const feed_g = known.reduce((sum, r) => sum + r.amount_g, 0);
    if (!feed_g) return null;
    const protein_pct = known.reduce((sum, r) => sum + r.amount_g * protein.get(r.feed), 0) / feed_g;
    const { outputs } = await api.getOnce(`/api/calc/feed-load?feed_g=${feed_g}&protein_pct=${protein_pct}`);
    const now = filters.rows.findLast((r) => r.loop === code && r.filter_load_pct > 0 && r.tan_g > 0);
    return { loop: code, day, feed_g, ...outputs, filter_load_pct: now ? (outputs.tan_g / now.tan_g) * now.filter_load_pct : null, tanks_unknown: new Set(mine.filter((r) => r.amount_g === null).map((r) => r.tank)).size };
  }));
}

function baseWords(base) {
  if (!base) return nothing;
  const learned = base.own_intervals ? t('balance.base_learned', { used: number(base.used_g_kg), low: number(base.used_low_g_kg), high: number(base.used_high_g_kg), n: base.own_intervals }) : t('balance.base_handbook', { used: number(base.handbook_g_kg) });
  return html`<p>${base.due_on ? t('balance.base_next', { amount: grams(base.amount_g), material: base.material ?? t('balance.some_base'), day: shortDay(base.due_on) }) : t('balance.base_none')} ${base.state === 'ok' ? nothing : mark('amber', '▼', t(`balance.base_state.${base.state}`))}</p>
    <p class="soft">${learned} ${t('balance.base_now', { now: number(base.alkalinity_now_mg_l), floor: number(base.floor_mg_l) })}</p>`;
}

const nitrogenTable = (rows, title) => tableFrame(title, html`<table class="figures"><thead><tr><th scope="col" class="left">${t('field.way')}</th><th scope="col" class="left">${t('field.direction')}</th><th scope="col">${t('field.nitrogen_g')}</th><th scope="col">%</th></tr></thead><tbody>
  ${rows.map((r) => html`<tr><th scope="row" class="left">${t(`balance.way.${r.way}`)}</th><td class="left">${t(`balance.direction.${r.direction}`)}</td><td class="num">${footing(FOOTING[r.basis] ?? 'unknown')}${r.nitrogen_g === null ? nothing : grams(r.nitrogen_g)}</td><td class="num">${r.share_pct === null ? DASH : number(r.share_pct, 1)}</td></tr>`)}</tbody></table>`);

/* What stood at the start and is gone at the end came in from there; what is not accounted for is the rest, on either side. */
function nitrogenFlow(rows, width, label) {
  const known = rows.filter((r) => r.nitrogen_g);
  const isIn = (r) => (r.direction === 'in') === (r.nitrogen_g > 0);
  const shown = (r) => ({ value: Math.abs(r.nitrogen_g), basis: r.basis, text: `${t(`balance.way.${r.direction === 'held' && r.nitrogen_g < 0 ? `${r.way}_less` : r.way}`)} ${grams(Math.abs(r.nitrogen_g))}` });
  const [ins, outs] = [known.filter(isIn).map(shown), known.filter((r) => !isIn(r)).map(shown)];
  return ins.length && outs.length ? flow.draw({ ins, outs, width, label }) : html`<p class="soft">${t('balance.nothing')}</p>`;
}

const loadTable = (rows, title) => tableFrame(title, html`<table class="figures"><thead><tr><th scope="col">${t('field.day')}</th><th scope="col">${t('balance.asks.feed')}</th><th scope="col">${t('field.planted_m2')}</th><th scope="col">${t('balance.ratio')}</th><th scope="col">${t('balance.asks.oxygen')}</th><th scope="col">${t('balance.asks.tan')}</th><th scope="col">${t('balance.asks.filter')}</th></tr></thead><tbody>
  ${[...rows].reverse().map((r) => html`<tr><th scope="row" class="num">${shortDay(r.day)}</th><td class="num">${grams(r.feed_g)}</td><td class="num">${number(r.planted_m2)}</td><td class="num">${number(r.feed_g_m2_day)}</td><td class="num">${grams(r.oxygen_g)}</td><td class="num">${grams(r.tan_g)}</td><td class="num">${r.filter_load_pct === null ? DASH : `${number(r.filter_load_pct)} %`}</td></tr>`)}</tbody></table>`);

/** Mounts Balance; the question of the other crop and the choice of tables stand in the address.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { query, setTitle }) {
  const today = farmDay();
  const state = { tables: query.get('view') === 'table' };
  let screen = null;
  const wish = mountWish(query, () => screen.draw());
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
    const wide = document.getElementById('main').clientWidth;
    const width = Math.max(300, (wide >= 1300 ? wide / 2 : wide) - 48);
    const title = t('balance.loop', { loop });
    const picture = (points, more) => (points.some((p) => p.value !== null || p.measured !== null) ? draw({ points, today, width, ...more }) : html`<p class="soft">${t('balance.nothing')}</p>`);
    const band = last && { low: last.band_low_g_m2_day, high: last.band_high_g_m2_day };
    const nitrogenTitle = t('balance.nitrogen', { loop, from: shortDay(data.nitrogen.from), to: shortDay(data.nitrogen.to) });
    return html`<div class="balance-loop"><div>
      ${part(title, csvLink('/api/reports/loading.csv'), html`<p>${t('balance.ratio')}: ${bandWords(last)}</p>
        ${state.tables ? loadTable(load, title) : picture(load.map((r) => ({ day: r.day, value: r.feed_g_m2_day, measured: null })), { inside: band, label: t('balance.ratio_label', { loop }), unit: t('unit.g_m2_day') })}`)}
      ${part(t('balance.asks_title', { loop }), nothing, full ? facts(full, data.next.find((n) => n?.loop === loop), t('balance.asks_title', { loop })) : html`<p class="soft">${t('balance.nothing')}</p>`)}
      ${wish.view(loop, band)}</div><div>
      ${part(t('balance.nitrate', { loop }), csvLink('/api/reports/nitrate.csv'), html`${picture(nitrate.map((r) => ({ day: r.day, value: r.nitrate_n_mg_l, low: r.low, high: r.high, measured: r.measured_mg_l })), { label: t('balance.nitrate_label', { loop }), unit: 'mg/L' })}
        ${nitrate[0]?.scored_tests ? html`<p class="soft">${t('balance.scored', { n: nitrate[0].scored_tests, error: number(nitrate[0].score_rms_mg_l, 1), inside: number(nitrate[0].score_inside_pct) })}</p>` : nothing}`)}
      ${part(t('balance.base', { loop }), html`<a class="button tool" href="/water/dosing?loop=${encodeURIComponent(loop)}">${t('dosing.title')}</a>${csvLink('/api/reports/base.csv')}`, baseWords(mine(data.base.rows)[0]))}
      ${part(nitrogenTitle, csvLink('/api/reports/nitrogen.csv'), state.tables ? nitrogenTable(mine(data.nitrogen.rows), nitrogenTitle) : html`${nitrogenFlow(mine(data.nitrogen.rows), width, nitrogenTitle)}<p class="soft">${t('balance.flow_what', { unknown: mine(data.nitrogen.rows).filter((r) => r.nitrogen_g === null).map((r) => t(`balance.way.${r.way}`)).join(', ') || DASH })}</p>`)}</div></div>`;
  }

  const view = (data) => {
    setTitle(t('more.balance'), longDay(today));
    const loops = [...new Set(data.loading.rows.map((r) => r.loop))];
    if (!loops.length) return html`<div class="notice"><h2>${t('balance.none')}</h2><p>${t('balance.none_what')}</p></div>`;
    const notes = [...data.loading.notes, ...data.base.notes, ...data.nitrogen.notes, ...data.nitrate.notes].filter((n) => !n.code.startsWith('published_'));
    return html`<div class="desk balance">${tools(t('balance.what'), html`<button class="tool" aria-pressed=${String(state.tables)} @click=${press(toggle)}>${t('desk.table')}</button>`, printButton())}
      ${repeat(loops, (loop) => loop, (loop) => loopPart(loop, data))}${part(t('balance.said'), nothing, html`<p>${t('balance.published')}</p>${notesView(notes)}`)}</div>`;
  };
  const ask = async () => {
    const [next, loading, base, nitrate, nitrogen] = await Promise.all([askNextMonth(), ...['loading', 'base', 'nitrate', 'nitrogen'].map((name) => api.get(`/api/reports/${name}`))]);
    return { next, loading, base, nitrate, nitrogen };
  };
  screen = runScreen(el, { ask, view, pictured: true });
  wish.begin();
  return screen;
}

/*
 * The pictures of a tank's page, over the period that was chosen: growth with what is ahead, and feed against what
 * was planned; each with its table and its CSV.
 */
import * as growth from '../charts/growth.js';
import * as dayBars from '../charts/day-bars.js';
import { html, nothing, press } from '../dom.js';
import { addDays, daysBetween, fullDay, mass, number } from '../format.js';
import { marketSentence, restsOn } from '../growth.js';
import { choiceWord, fieldName, kindOne, t } from '../i18n.js';
import { measure } from '../marks.js';
import { labelOf } from '../refs.js';
import { csvLink, part, picks, pictureWidth, tableFrame } from '../screen.js';
import { weighedFish, weighedMean } from '../tank-rows.js';
import { whyFacts } from '../why.js';

/** The periods to choose from: of the fish that stand there, 90 days, a year, all. */
export const PERIODS = ['here', 'quarter', 'year', 'all'];
const DAYS_OF = { quarter: 90, year: 365 };
const DAYS_LEAST = 14;
const BARS_MOST = 130; // days as bars; beyond it weeks

/** The first day of a period: of the fish that stand here now, some days back, or of all that the tank has. */
export function periodFrom(period, { day, present, moveIn, moveOut, weighings }) {
  const first = (rows) => rows.map((r) => r.day).sort()[0];
  const least = addDays(day, 1 - DAYS_LEAST);
  const all = first([...moveIn, ...moveOut, ...weighings]) ?? least;
  if (DAYS_OF[period]) return addDays(day, 1 - DAYS_OF[period]);
  const here = period === 'here' ? first([...moveIn, ...weighings].filter((e) => present.includes(labelOf('fish-lots', e.fish_lot_id)))) : null;
  if (here) return here < day ? here : addDays(day, -1);
  return all < least ? all : least;
}

/** The keys that choose a period.  @param {{period: string}} state @param {(period: string) => void} pick */
export const periodPicks = (state, pick) => picks(t('growth.period'), PERIODS, (p) => state.period === p, (p) => t(`growth.periods.${p}`), pick, 'period no-print');

const tableButton = (on, toggle) => html`<button class="tool" aria-pressed=${String(on)} @click=${press(toggle)}>${t('desk.table')}</button>`;

const events = (data) => [...data.moveIn.map((m) => ({ day: m.day, said: t('tanks.came_in', { n: m.fish, shown: number(m.fish), what: choiceWord('reason', m.reason), place: m.from_tank_id ? labelOf('tanks', m.from_tank_id) : '' }) })),
  ...data.moveOut.map((m) => ({ day: m.day, said: t('tanks.went_out', { n: m.fish, shown: number(m.fish), what: choiceWord('reason', m.reason), place: m.to_tank_id ? labelOf('tanks', m.to_tank_id) : '' }) }))]
  .sort((a, b) => a.day.localeCompare(b.day));

/* The masses that a harvest or a move took of the whole count as weighings too: those that no weighing entry tells. */
const wholeMasses = (rows, weighings, from) => rows.flatMap((row) => (row.weighed_days ?? []).map((day, i) => ({ day, lot: row.fish_lot, mean_g: row.weighed_g[i], fish: null, id: null })))
  .filter((w) => w.day >= from && !weighings.some((o) => o.lot === w.lot && o.day === w.day));

function weighingsTable(weighings) {
  return tableFrame(t('tanks.growth'), html`<table class="figures narrow"><thead><tr><th scope="col">${kindOne('weighings')}</th><th scope="col">${t('field.fish_lot')}</th><th scope="col">${t('tanks.fish_weighed')}</th><th scope="col">${t('at.each')}</th></tr></thead>
    <tbody>${[...weighings].reverse().map((w) => html`<tr><th scope="row">${w.id ? html`<a href="/farm/weighings/${w.id}">${fullDay(w.day)}</a>` : fullDay(w.day)}</th><td>${w.lot}</td><td>${number(w.fish)}</td><td>${measure(mass(w.mean_g))}</td></tr>`)}</tbody></table>`);
}
function aheadTable({ lot, days }) {
  return tableFrame(`${lot}: ${t('growth.ahead')}`, html`<table class="figures narrow"><caption>${lot}: ${t('growth.ahead')}</caption><thead><tr><th scope="col">${t('field.day')}</th><th scope="col">${t('growth.expected')}</th><th scope="col">${t('growth.range')}</th></tr></thead>
    <tbody>${days.filter((d, i) => i % 7 === 0).map((d) => html`<tr><th scope="row">${fullDay(d.day)}</th><td>${measure(mass(d.mean_g))}</td><td>${measure(mass(d.low_g))} – ${measure(mass(d.high_g))}</td></tr>`)}</tbody></table>`);
}

function prospects(data, state, set) {
  return data.growth.map((row) => {
    const opened = state.why === row.fish_lot;
    return html`<div class="prospect"><p>${marketSentence(row, data.day)} <span class="soft">${restsOn(row)}</span></p>${row.explain ? html`<button class="tool no-print" aria-expanded=${String(opened)} @click=${press(() => set({ why: opened ? null : row.fish_lot }))}>${t(opened ? 'why.close' : 'why.open')}</button>` : nothing}
      ${opened && row.explain ? html`<div class="why">${whyFacts(row.explain)}</div>` : nothing}</div>`;
  });
}

/**
 * Growth of the fish in a tank: prospects in words, the picture, and the tables when they are open.
 * @param {object} row of the tank @param {object} data of tank.js @param {object} facts of tankFacts() @param {object} state of tank.js @param {(change: object) => void} set changes it
 */
export function growthPart(row, data, facts, state, set) {
  const weighings = data.weighings.filter((w) => w.day >= data.from).map((w) => ({ day: w.day, lot: labelOf('fish-lots', w.fish_lot_id), mean_g: weighedMean(w), fish: weighedFish(w), id: w.id }));
  const present = (facts.stock?.lots ?? []).map((l) => ({ lot: l.fish_lot, mean_g: l.mean_weight_g, se_g: l.mean_weight_se_g, day: data.day }));
  const standing = state.period === 'here' && present.length ? weighings.filter((w) => present.some((p) => p.lot === w.lot)) : weighings;
  const shown = [...standing, ...wholeMasses(data.growth, standing, data.from)].sort((a, b) => a.day.localeCompare(b.day));
  const ahead = data.growth.map(growth.aheadOf).filter(Boolean);
  const series = growth.toSeries(shown, present, ahead, data.from);
  const ways = html`${tableButton(state.growthTable, () => set({ growthTable: !state.growthTable }))}${csvLink(`/api/weighings.csv?tank_id=${row.id}&from=${data.from}`)}${csvLink(`/api/reports/growth.csv?only=${encodeURIComponent(row.code)}`, t('growth.csv'))}`;
  if (!series) return part(t('tanks.growth'), nothing, html`<p class="soft">${t('tanks.nothing_weighed')}</p>`);
  return part(t('tanks.growth'), ways, html`${prospects(data, state, set)}<p class="soft">${t('growth.what')}</p>${growth.draw(series, events(data), pictureWidth(), t('tanks.growth_label', { place: row.code, n: shown.length }))}
    ${state.growthTable ? html`${weighingsTable(shown)}${ahead.map(aheadTable)}` : nothing}`);
}

/**
 * Feed by day, or by week over a long period, against what was planned.
 * @param {object} row of the tank @param {object} data of tank.js @param {object} state of tank.js @param {(change: object) => void} set changes it
 */
export function feedPart(row, data, state, set) {
  const { from } = data;
  const weekly = daysBetween(from, data.day) > (globalThis.innerWidth <= 800 ? BARS_MOST / 2 : BARS_MOST);
  const bars = dayBars.toSeries(data.feedings, from, data.day, weekly);
  const title = t(weekly ? 'growth.feed_weeks' : 'growth.feed');
  if (!data.feedings.length) return part(title, nothing, html`<p class="soft">${t('tanks.why.not_fed')}</p>`);
  const ways = html`${tableButton(state.feedTable, () => set({ feedTable: !state.feedTable }))}${csvLink(`/api/feedings.csv?tank_id=${row.id}&from=${from}&to=${data.day}`)}`;
  return part(title, ways, html`<p class="soft">${t(weekly ? 'growth.feed_what_weeks' : 'tanks.feed_what')}</p>${dayBars.draw(bars, pictureWidth(), t('tanks.feed_label', { place: row.code, from: fullDay(from), to: fullDay(data.day) }))}
    ${state.feedTable ? tableFrame(title, html`<table class="figures narrow"><thead><tr><th scope="col">${t(weekly ? 'field.week' : 'field.day')}</th><th scope="col">${fieldName('feed_g')}</th><th scope="col">${fieldName('planned_g')}</th></tr></thead>
      <tbody>${[...bars].reverse().map((d) => html`<tr><th scope="row">${fullDay(d.day)}</th><td>${d.value === null ? '–' : measure(mass(d.value))}</td><td>${d.planned ? measure(mass(d.planned)) : '–'}</td></tr>`)}</tbody></table>`) : nothing}`);
}

/*
 * A tank's page: conversion from weighing to weighing, each with its why; growth, feed by day, deaths, water, and
 * the entries.  Each picture has its table and its CSV beside it.
 */
import * as api from '../api.js';
import * as growth from '../charts/growth.js';
import { sumsByDay } from '../charts/axes.js';
import * as dayBars from '../charts/day-bars.js';
import * as range from '../charts/range.js';
import { entryText, instant, whenText } from '../describe.js';
import { html, keyed, nothing, press } from '../dom.js';
import { addDays, age, farmDay, fullDay, mass, massIn, massUnits, number, reading, shortDay } from '../format.js';
import { choiceWord, fieldName, kindName, kindOne, t } from '../i18n.js';
import { biomass, conversion, densityBar, hasConversion, meanWeight, noConversion, rangeText } from '../figures.js';
import { codeClass, footing, mark, measure } from '../marks.js';
import { notesView } from '../notes.js';
import { labelOf, loadReferences } from '../refs.js';
import { loadClosed, restatedLines } from '../restated.js';
import { csvLink, part, printButton, runScreen, tableFrame, tools } from '../screen.js';
import { find, place, staffName } from '../setup.js';
import { footingOf, loadTankReports, tankFacts, weighedFish, weighedMean } from '../tank-rows.js';
import { stateMark } from '../water.js';
import { why } from '../why.js';

const DAYS_BARS = 42;
const ENTRIES = 12;
const HERE = [['feedings', 'tank_id'], ['weighings', 'tank_id'], ['fish-deaths', 'tank_id'], ['fish-moves', 'from_tank_id'], ['fish-moves', 'to_tank_id'],
  ['fish-counts', 'tank_id'], ['harvests', 'tank_id'], ['water-tests', 'place_id'], ['scoutings', 'tank_id'], ['treatments', 'tank_id']];

/* Among `rows` of a kind, the pairs that are much alike and stand. */
async function alikeAmong(kind, rows, from, to) {
  const { pairs } = await api.get(`/api/${kind}/alike?from=${from}&to=${to}`);
  const row = (id) => rows.find((r) => r.id === id);
  return pairs.map((p) => ({ kind, pair: [row(p.id), row(p.later_id)] })).filter(({ pair }) => pair.every(Boolean));
}

async function load(code) {
  const found = place(code);
  if (found?.kind !== 'tanks') return { unknown: true };
  const { id } = found.row;
  const day = farmDay();
  const [reports, steps, water, closed, weighings, moveIn, moveOut, feedings, deaths, ...newest] = await Promise.all([
    loadTankReports(found.row.code), api.get(`/api/reports/feed-conversion?by=tank&step=weighing&only=${encodeURIComponent(found.row.code)}&explain=1`), api.get('/api/reports/water'), loadClosed(),
    api.getAll(`/api/weighings?tank_id=${id}`), api.getAll(`/api/fish-moves?to_tank_id=${id}`), api.getAll(`/api/fish-moves?from_tank_id=${id}`),
    api.getAll(`/api/feedings?tank_id=${id}&from=${addDays(day, 1 - DAYS_BARS)}&to=${day}`), api.getAll(`/api/fish-deaths?tank_id=${id}&from=${addDays(day, 1 - DAYS_BARS)}&to=${day}`),
    ...HERE.map(([kind, field]) => api.get(`/api/${kind}?${field}=${id}&order=-at&limit=${ENTRIES}`)),
    loadReferences(['fish-lots', 'tanks', 'feeds', 'staff', 'feed-lots', 'places', 'incidents']),
  ]);
  const entries = HERE.flatMap(([kind], i) => newest[i].items.map((entry) => ({ kind, entry })))
    .filter(({ kind, entry }, i, all) => all.findIndex((o) => o.kind === kind && o.entry.id === entry.id) === i)
    .sort((a, b) => (b.entry.at ?? b.entry.day).localeCompare(a.entry.at ?? a.entry.day)).slice(0, ENTRIES);
  const from = addDays(day, 1 - DAYS_BARS);
  const alike = (await Promise.all([alikeAmong('feedings', feedings, from, day), alikeAmong('fish-deaths', deaths, from, day)])).flat();
  return { found, reports, closed, alike, steps: steps.rows, water: water.rows.filter((r) => r.place === found.row.code), weighings, moveIn, moveOut, feedings, deaths, entries, day };
}

const inKg = (grams) => massIn(grams, massUnits()[1], 2);
const width = () => Math.max(320, document.getElementById('main').clientWidth - (globalThis.innerWidth <= 480 ? 32 : 48));

function head(row, facts, data) {
  return html`<div class="tank-head"><div class=${codeClass(row.code)}>${row.code}</div><div class="grow"><p>${[row.name, row.role ? choiceWord('role', row.role) : ''].filter(Boolean).join(' · ')}</p>
    ${facts.stock ? html`<dl class="facts-list bare">
      <div class="fact"><dt>${t('field.fish')}</dt><dd>${number(facts.stock.fish)}</dd></div>
      <div class="fact"><dt>${t('at.each')}</dt><dd>${meanWeight(facts.stock)}</dd></div>
      <div class="fact"><dt>${fieldName('biomass_g')}</dt><dd>${biomass(facts.stock)}</dd></div>
      <div class="fact"><dt>${t('tanks.density')}</dt><dd>${densityBar(facts.stock.density_kg_m3, facts.limit)}</dd></div>
      <div class="fact"><dt>${t('at.lots')}</dt><dd>${facts.stock.lots.map((l) => l.fish_lot).join(', ')} <small>${[...new Set(facts.stock.lots.map((l) => l.species))].join(', ')}</small></dd></div></dl>` : html`<p class="soft">${t('tanks.empty_tank')}</p>`}</div>
    <a class="button" href="/at/${encodeURIComponent(row.code)}">${t('tanks.at_tank')}</a></div>`;
}

/* Conversion by weighing. */
function stepRow(row, scale, state, open) {
  const key = `${row.from}_${row.to}`;
  const opened = state.open === key;
  return html`<tr class=${opened ? 'opened' : ''}><th scope="row">${t('tanks.from_to', { from: shortDay(row.from), to: fullDay(row.to) })}</th>
    <td data-label=${fieldName('feed_g')}>${measure(inKg(row.feed_g))}</td><td data-label=${fieldName('gain_g')}>${row.gain_g === null ? html`${footing('unknown')}` : measure(inKg(row.gain_g))}</td>
    <td data-label=${fieldName('fcr_economic')}>${hasConversion(row) ? html`<span class="num">${footing(footingOf(row.basis))}<b>${number(row.fcr_economic, 2)}</b></span>` : html`<span class="num">${footing('unknown')}</span><small class="under">${noConversion(row)}</small>`}</td>
    <td class="left broad" data-label=${t('tanks.range_head', { scale: range.scaleWords(scale) })}>${hasConversion(row) ? html`<span class="range-cell">${range.draw(row, scale)} <small>${rangeText(row)}</small></span>` : nothing}</td>
    <td data-label=${t('tanks.dead_counted')}>${hasConversion(row) ? number(row.fcr_biological, 2) : '–'}</td>
    <td data-label=${fieldName('dead_fish')}>${number(row.dead_fish)}${row.unexplained_fish ? html` ${mark('amber', row.unexplained_fish < 0 ? '▼' : '▲', t('tanks.unexplained', { n: Math.abs(row.unexplained_fish), shown: number(Math.abs(row.unexplained_fish)) }))}` : nothing}</td>
    <td class="left"><button class="tool" aria-expanded=${String(opened)} @click=${press(() => open(opened ? null : key))}>${t(opened ? 'why.close' : 'why.open')}</button></td></tr>
    ${opened ? html`<tr class="why-row"><td colspan="8">${why(row)}</td></tr>` : nothing}`;
}

function conversionPart(code, data, state, open) {
  const csv = csvLink(`/api/reports/feed-conversion.csv?by=tank&step=weighing&only=${encodeURIComponent(code)}`);
  if (!data.steps.length) return part(t('tanks.conversion'), csv, html`<p class="soft">${t('tanks.why.no_fish')}</p>`);
  const scale = range.rangeScale(data.steps);
  const rows = [...data.steps].reverse();
  return part(t('tanks.conversion'), csv, tableFrame(t('tanks.conversion'), html`<table class="figures stacking"><thead><tr><th scope="col">${t('tanks.between')}</th><th scope="col">${fieldName('feed_g')}</th><th scope="col">${fieldName('gain_g')}</th>
    <th scope="col">${fieldName('fcr_economic')}</th><th scope="col" class="left broad">${t('tanks.range_head', { scale: range.scaleWords(scale) })}</th><th scope="col">${t('tanks.dead_counted')}</th><th scope="col">${fieldName('dead_fish')}</th><th scope="col" class="left"><span class="unseen">${t('why.open')}</span></th></tr></thead>
    <tbody>${rows.map((r) => stepRow(r, scale, state, open))}</tbody></table>`));
}

/* Growth. */
const events = (data) => [...data.moveIn.map((m) => ({ day: m.day, said: t('tanks.came_in', { n: m.fish, shown: number(m.fish), what: choiceWord('reason', m.reason), place: m.from_tank_id ? labelOf('tanks', m.from_tank_id) : '' }) })),
  ...data.moveOut.map((m) => ({ day: m.day, said: t('tanks.went_out', { n: m.fish, shown: number(m.fish), what: choiceWord('reason', m.reason), place: m.to_tank_id ? labelOf('tanks', m.to_tank_id) : '' }) }))]
  .sort((a, b) => a.day.localeCompare(b.day));

function growthPart(row, data, facts, state, toggle) {
  const weighings = data.weighings.map((w) => ({ day: w.day, lot: labelOf('fish-lots', w.fish_lot_id), mean_g: weighedMean(w), fish: weighedFish(w), id: w.id }));
  const present = (facts.stock?.lots ?? []).map((l) => ({ lot: l.fish_lot, mean_g: l.mean_weight_g, se_g: l.mean_weight_se_g, day: data.day }));
  const series = growth.toSeries(weighings, present);
  const ways = html`<button class="tool" aria-pressed=${String(state.growthTable)} @click=${press(() => toggle('growthTable'))}>${t('desk.table')}</button>${csvLink(`/api/weighings.csv?tank_id=${row.id}`)}`;
  if (!series) return part(t('tanks.growth'), nothing, html`<p class="soft">${t('tanks.nothing_weighed')}</p>`);
  return part(t('tanks.growth'), ways, html`<p class="soft">${t('tanks.growth_what')}</p>${growth.draw(series, events(data), width(), t('tanks.growth_label', { place: row.code, n: weighings.length }))}
    ${state.growthTable ? tableFrame(t('tanks.growth'), html`<table class="figures"><thead><tr><th scope="col">${kindOne('weighings')}</th><th scope="col">${t('field.fish_lot')}</th><th scope="col">${t('tanks.fish_weighed')}</th><th scope="col">${t('at.each')}</th></tr></thead>
      <tbody>${[...weighings].reverse().map((w) => html`<tr><th scope="row"><a href="/farm/weighings/${w.id}">${fullDay(w.day)}</a></th><td>${w.lot}</td><td>${number(w.fish)}</td><td>${measure(mass(w.mean_g))}</td></tr>`)}</tbody></table>`) : nothing}`);
}

/* Feed. */
function feedPart(row, data, state, toggle) {
  const from = addDays(data.day, 1 - DAYS_BARS);
  const fed = sumsByDay(data.feedings, 'amount_g', from, data.day);
  const planned = sumsByDay(data.feedings, 'planned_g', from, data.day);
  const days = fed.map((d, i) => ({ ...d, planned: planned[i].value }));
  if (!data.feedings.length) return part(t('tanks.feed_days', { n: DAYS_BARS }), nothing, html`<p class="soft">${t('tanks.why.not_fed')}</p>`);
  const ways = html`<button class="tool" aria-pressed=${String(state.feedTable)} @click=${press(() => toggle('feedTable'))}>${t('desk.table')}</button>${csvLink(`/api/feedings.csv?tank_id=${row.id}&from=${from}&to=${data.day}`)}`;
  return part(t('tanks.feed_days', { n: DAYS_BARS }), ways, html`<p class="soft">${t('tanks.feed_what')}</p>${dayBars.draw(days, width(), t('tanks.feed_label', { place: row.code, from: fullDay(from), to: fullDay(data.day) }))}
    ${state.feedTable ? tableFrame(t('tanks.feed_days', { n: DAYS_BARS }), html`<table class="figures"><thead><tr><th scope="col">${t('field.day')}</th><th scope="col">${fieldName('feed_g')}</th><th scope="col">${fieldName('planned_g')}</th></tr></thead>
      <tbody>${[...days].reverse().map((d) => html`<tr><th scope="row">${fullDay(d.day)}</th><td>${d.value === null ? '–' : measure(mass(d.value))}</td><td>${d.planned ? measure(mass(d.planned)) : '–'}</td></tr>`)}</tbody></table>`) : nothing}`);
}

function deathsPart(row, data, facts) {
  const from = addDays(data.day, 1 - DAYS_BARS);
  return part(t('tanks.deaths_days', { n: DAYS_BARS }), csvLink(`/api/fish-deaths.csv?tank_id=${row.id}&from=${from}&to=${data.day}`), html`
    ${facts.stock?.unexplained ? html`<p>${mark('amber', '△', t('tanks.unexplained_now', { n: Math.abs(facts.stock.unexplained), shown: number(Math.abs(facts.stock.unexplained)) }))}</p>` : nothing}
    ${data.deaths.length ? tableFrame(t('tanks.deaths_days', { n: DAYS_BARS }), html`<table class="figures narrow stack-phone"><thead><tr><th scope="col">${t('field.at')}</th><th scope="col">${t('field.fish')}</th><th scope="col">${t('field.weight_g')}</th><th scope="col" class="left">${t('field.cause')}</th></tr></thead>
      <tbody>${[...data.deaths].reverse().map((d) => html`<tr><th scope="row"><a href="/farm/fish-deaths/${d.id}">${whenText(d)}</a></th><td data-label=${t('field.fish')}>${d.fish === undefined ? '–' : number(d.fish)}</td><td data-label=${t('field.weight_g')}>${d.weight_g === undefined ? '–' : measure(mass(d.weight_g))}</td><td class="left" data-label=${t('field.cause')}>${d.cause ? choiceWord('cause', d.cause) : ''}</td></tr>`)}</tbody></table>`) : html`<p class="soft">${t('tanks.no_deaths')}</p>`}`);
}

/* Pairs of entries by two people that may tell of one event, for striking one out. */
const alikePart = (data) => data.alike.map(({ kind, pair }) => html`<p class="alike">${mark('amber', '△', t('tanks.alike'))} ${pair.map((e) => html`<a href="/farm/${kind}/${e.id}">${kindOne(kind)}, ${whenText(e)}${e.staff_id ? `, ${staffName(e.staff_id)}` : ''}</a>`)}</p>`);

const waterPart = (row, data) => part(t('tanks.water'), html`${csvLink(`/api/water-tests.csv?place_id=${row.id}`)}<a class="button tool" href="/farm/water-tests?place_id=${row.id}">${t('tanks.all_of', { what: kindName('water-tests') })}</a>`,
  data.water.length ? tableFrame(t('tanks.water'), html`<table class="figures narrow"><tbody>${data.water.map((r) => html`<tr><th scope="row">${fieldName(r.quantity)}</th><td>${measure(reading(r.quantity, r.value, r.bound))}</td><td class="left">${stateMark(r.state)} <small>${age(r.at)}</small></td></tr>`)}</tbody></table>`) : html`<p class="soft">${t('at.never_measured')}</p>`);

const entriesPart = (row, data) => part(t('tanks.entries'), html`${[...new Set(HERE.map(([kind]) => kind))].slice(0, 3).map((kind) => html`<a class="button tool" href="/farm/${kind}?tank_id=${row.id}">${t('tanks.all_of', { what: kindName(kind) })}</a>`)}`,
  html`${alikePart(data)}${tableFrame(t('tanks.entries'), html`<table class="figures log stack-phone"><tbody>${data.entries.map(({ kind, entry }) => html`<tr><th scope="row"><a href="/farm/${kind}/${entry.id}">${entry.at ? instant(entry.at) : whenText(entry)}</a></th><td class="left">${kindOne(kind)}</td><td class="left wrap">${entryText(kind, entry, ['tank_id', 'place_id'])}</td><td class="left"><small>${staffName(entry.staff_id) ?? ''}</small></td></tr>`)}</tbody></table>`)}`);

/** Mounts the page of the tank in params.code. */
export function mount(el, { params, setTitle }) {
  const state = { open: null, growthTable: false, feedTable: false };
  let screen = null;
  const set = (change) => {
    Object.assign(state, change);
    screen.draw();
  };
  const view = (data) => {
    if (data.unknown) return html`<div class="notice"><h2>${t('at.unknown', { code: params.code })}</h2><a class="button" href="/tanks">${t('tanks.back')}</a></div>`;
    const row = find('tanks', data.found.row.id);
    setTitle(t('tanks.page', { code: row.code }), fullDay(data.day));
    const facts = tankFacts(row, data.reports);
    const toggle = (name) => set({ [name]: !state[name] });
    return keyed(row.code, html`<div class="desk tank-page">${tools(html`<a href="/tanks">← ${t('tanks.back')}</a>`, printButton())}${head(row, facts, data)}${notesView(data.reports.notes)}${restatedLines(data.closed, row.code)}
      <p class="since">${t('tanks.since_stocking')}: ${conversion(facts.since)}</p>
      ${conversionPart(row.code, data, state, (key) => set({ open: key }))}${growthPart(row, data, facts, state, toggle)}${feedPart(row, data, state, toggle)}
      <div class="side-by-side">${deathsPart(row, data, facts)}${waterPart(row, data)}</div>${entriesPart(row, data)}</div>`);
  };
  screen = runScreen(el, { ask: () => load(params.code), view });
  const onSize = () => screen.draw();
  addEventListener('resize', onSize);
  return { update: screen.update, destroy: () => { removeEventListener('resize', onSize); screen.destroy(); } };
}

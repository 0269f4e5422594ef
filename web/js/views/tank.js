/*
 * A tank's page: conversion from weighing to weighing, each with its why; growth, sizes, feed by day, signs of unease, survival, deaths,
 * water, and the entries.  Each picture has its table and its CSV beside it.
 */
import * as api from '../api.js';
import * as range from '../charts/range.js';
import { entryText, instant, whenText } from '../describe.js';
import { keyed } from '/lib/lit-html/directives/keyed.js'; // here alone: the first load does without
import { html, nothing, press } from '../dom.js';
import { addDays, age, farmDay, fullDay, mass, massIn, massUnits, number, reading, shortDay } from '../format.js';
import { loadGrowth } from '../growth.js';
import { choiceWord, fieldName, kindName, kindOne, t } from '../i18n.js';
import { biomass, conversion, densityBar, hasConversion, meanWeight, noConversion, rangeText } from '../figures.js';
import { codeClass, footing, mark, measure } from '../marks.js';
import { notesView } from '../notes.js';
import { loadReferences } from '../refs.js';
import { loadProbes, probesPart } from '../probes.js';
import { keepQuery } from '../router.js';
import { loadClosed, restatedLines } from '../restated.js';
import { csvLink, part, printButton, runScreen, tableFrame, tools } from '../screen.js';
import { find, place, staffName } from '../setup.js';
import { footingOf, loadTankReports, tankFacts } from '../tank-rows.js';
import { feedPart, growthPart, periodFrom, periodPicks, PERIODS } from './tank-pictures.js';
import { firstLook, sizesPart, survivalPart, uneasePart } from './tank-watch.js';
import { stateMark } from '../water.js';
import { loadWatch } from '../watch.js';
import { why } from '../why.js';

const DAYS_DEAD = 42;
const ENTRIES = 12;
const HERE = [['feedings', 'tank_id'], ['weighings', 'tank_id'], ['fish-deaths', 'tank_id'], ['fish-moves', 'from_tank_id'], ['fish-moves', 'to_tank_id'],
  ['fish-counts', 'tank_id'], ['harvests', 'tank_id'], ['water-tests', 'place_id'], ['scoutings', 'tank_id'], ['treatments', 'tank_id']];

/* Among `rows` of a kind, the pairs that are much alike and stand. */
async function alikeAmong(kind, rows, from, to) {
  const { pairs } = await api.get(`/api/${kind}/alike?from=${from}&to=${to}`);
  const row = (id) => rows.find((r) => r.id === id);
  return pairs.map((p) => ({ kind, pair: [row(p.id), row(p.later_id)] })).filter(({ pair }) => pair.every(Boolean));
}

async function load(code, period) {
  const found = place(code);
  if (found?.kind !== 'tanks') return { unknown: true };
  const { id } = found.row;
  const day = farmDay();
  const [watch, reports, steps, water, closed, probes, weighings, moveIn, moveOut, growth, ...newest] = await Promise.all([
    loadWatch(found.row.code), loadTankReports(found.row.code), api.get(`/api/reports/feed-conversion?by=tank&step=weighing&only=${encodeURIComponent(found.row.code)}&explain=1`), api.get('/api/reports/water'), loadClosed(), loadProbes(found.row.code),
    api.getAll(`/api/weighings?tank_id=${id}`), api.getAll(`/api/fish-moves?to_tank_id=${id}`), api.getAll(`/api/fish-moves?from_tank_id=${id}`),
    loadGrowth(day, found.row.code).then(({ rows }) => rows.filter((r) => r.tank === found.row.code)),
    ...HERE.map(([kind, field]) => api.get(`/api/${kind}?${field}=${id}&order=-at&limit=${ENTRIES}`)),
    loadReferences(['fish-lots', 'tanks', 'feeds', 'staff', 'feed-lots', 'places', 'incidents']),
  ]);
  const entries = HERE.flatMap(([kind], i) => newest[i].items.map((entry) => ({ kind, entry })))
    .filter(({ kind, entry }, i, all) => all.findIndex((o) => o.kind === kind && o.entry.id === entry.id) === i)
    .sort((a, b) => (b.entry.at ?? b.entry.day).localeCompare(a.entry.at ?? a.entry.day)).slice(0, ENTRIES);
  const present = reports.stock.filter((r) => r.tank === found.row.code && r.fish > 0).map((r) => r.fish_lot);
  const from = periodFrom(period, { day, present, moveIn, moveOut, weighings });
  const lately = addDays(day, 1 - DAYS_DEAD);
  const [feedings, deaths] = await Promise.all([api.getAll(`/api/feedings?tank_id=${id}&from=${from}&to=${day}`), api.getAll(`/api/fish-deaths?tank_id=${id}&from=${lately}&to=${day}`)]);
  const alike = (await Promise.all([alikeAmong('feedings', feedings, lately, day), alikeAmong('fish-deaths', deaths, lately, day)])).flat();
  return { found, watch, reports, closed, probes, growth, alike, steps: steps.rows, water: water.rows.filter((r) => r.place === found.row.code), weighings, moveIn, moveOut, feedings, deaths, entries, day, from };
}

const inKg = (grams) => massIn(grams, massUnits()[1], 2);

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
  const rows = data.steps.filter((r) => r.to >= data.from).reverse();
  const earlier = data.steps.length - rows.length;
  return part(t('tanks.conversion'), csv, html`${tableFrame(t('tanks.conversion'), html`<table class="figures stacking"><thead><tr><th scope="col">${t('tanks.between')}</th><th scope="col">${fieldName('feed_g')}</th><th scope="col">${fieldName('gain_g')}</th>
    <th scope="col">${fieldName('fcr_economic')}</th><th scope="col" class="left broad">${t('tanks.range_head', { scale: range.scaleWords(scale) })}</th><th scope="col">${t('tanks.dead_counted')}</th><th scope="col">${fieldName('dead_fish')}</th><th scope="col" class="left"><span class="unseen">${t('why.open')}</span></th></tr></thead>
    <tbody>${rows.map((r) => stepRow(r, scale, state, open))}</tbody></table>`)}${earlier ? html`<p class="soft earlier">${t('growth.earlier', { n: earlier, shown: number(earlier) })}</p>` : nothing}`);
}

function deathsPart(row, data, facts) {
  const from = addDays(data.day, 1 - DAYS_DEAD);
  return part(t('tanks.deaths_days', { n: DAYS_DEAD }), csvLink(`/api/fish-deaths.csv?tank_id=${row.id}&from=${from}&to=${data.day}`), html`
    ${facts.stock?.unexplained ? html`<p>${mark('amber', '△', t('tanks.unexplained_now', { n: Math.abs(facts.stock.unexplained), shown: number(Math.abs(facts.stock.unexplained)) }))}</p>` : nothing}
    ${data.deaths.length ? tableFrame(t('tanks.deaths_days', { n: DAYS_DEAD }), html`<table class="figures narrow stack-phone"><thead><tr><th scope="col">${t('field.at')}</th><th scope="col">${t('field.fish')}</th><th scope="col">${t('field.weight_g')}</th><th scope="col" class="left">${t('field.cause')}</th></tr></thead>
      <tbody>${[...data.deaths].reverse().map((d) => html`<tr><th scope="row"><a href="/farm/fish-deaths/${d.id}">${whenText(d)}</a></th><td data-label=${t('field.fish')}>${d.fish === undefined ? '–' : number(d.fish)}</td><td data-label=${t('field.weight_g')}>${d.weight_g === undefined ? '–' : measure(mass(d.weight_g))}</td><td class="left" data-label=${t('field.cause')}>${d.cause ? choiceWord('cause', d.cause) : ''}</td></tr>`)}</tbody></table>`) : html`<p class="soft">${t('tanks.no_deaths')}</p>`}`);
}

/* Pairs of entries by two people that may tell of one event, for striking one out. */
const alikePart = (data) => data.alike.map(({ kind, pair }) => html`<p class="alike">${mark('amber', '△', t('tanks.alike'))} ${pair.map((e) => html`<a href="/farm/${kind}/${e.id}">${kindOne(kind)}, ${whenText(e)}${e.staff_id ? `, ${staffName(e.staff_id)}` : ''}</a>`)}</p>`);

const waterPart = (row, data) => part(t('tanks.water'), html`${csvLink(`/api/water-tests.csv?place_id=${row.id}`)}<a class="button tool" href="/farm/water-tests?place_id=${row.id}">${t('tanks.all_of', { what: kindName('water-tests') })}</a>`,
  data.water.length ? tableFrame(t('tanks.water'), html`<table class="figures narrow"><tbody>${data.water.map((r) => html`<tr><th scope="row">${fieldName(r.quantity)}</th><td>${measure(reading(r.quantity, r.value, r.bound))}</td><td class="left">${stateMark(r.state)} <small>${age(r.at)}</small></td></tr>`)}</tbody></table>`) : html`<p class="soft">${t('at.never_measured')}</p>`);

const entriesPart = (row, data) => part(t('tanks.entries'), html`${[...new Set(HERE.map(([kind]) => kind))].slice(0, 3).map((kind) => html`<a class="button tool" href="/farm/${kind}?tank_id=${row.id}">${t('tanks.all_of', { what: kindName(kind) })}</a>`)}`,
  html`${alikePart(data)}${tableFrame(t('tanks.entries'), html`<table class="figures log stack-phone"><tbody>${data.entries.map(({ kind, entry }) => html`<tr><th scope="row"><a href="/farm/${kind}/${entry.id}">${entry.at ? instant(entry.at) : whenText(entry)}</a></th><td class="left">${kindOne(kind)}</td><td class="left wrap">${entryText(kind, entry, ['tank_id', 'place_id'])}</td><td class="left"><small>${staffName(entry.staff_id) ?? ''}</small></td></tr>`)}</tbody></table>`)}`);

/** Mounts the page of the tank in params.code.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { params, query, setTitle }) {
  const state = { open: null, why: null, watched: null, growthTable: false, feedTable: false, period: PERIODS.includes(query.get('period')) ? query.get('period') : PERIODS[0] };
  let screen = null;
  const set = (change) => {
    Object.assign(state, change);
    screen.draw();
  };
  const pick = (period) => {
    set({ period });
    keepQuery(period === PERIODS[0] ? {} : { period });
    screen.update();
  };
  const view = (data) => {
    if (data.unknown) return html`<div class="notice"><h2>${t('at.unknown', { code: params.code })}</h2><a class="button" href="/tanks">${t('tanks.back')}</a></div>`;
    const row = find('tanks', data.found.row.id);
    setTitle(t('tanks.page', { code: row.code }), fullDay(data.day));
    const facts = tankFacts(row, data.reports);
    return keyed(row.code, html`<div class="desk tank-page">${tools(html`<a href="/tanks">← ${t('tanks.back')}</a>`, printButton())}${head(row, facts, data)}${firstLook(data.watch)}${notesView(data.reports.notes)}${restatedLines(data.closed, row.code)}
      <p class="since">${t('tanks.since_stocking')}: ${conversion(facts.since)}</p>
      ${periodPicks(state, pick)}${growthPart(row, data, facts, state, set)}${sizesPart(row.code, data, state, set)}${feedPart(row, data, state, set)}${conversionPart(row.code, data, state, (key) => set({ open: key }))}
      ${uneasePart(row.code, data, state, set)}${survivalPart(data, facts, state, set)}
      <div class="side-by-side">${deathsPart(row, data, facts)}${waterPart(row, data)}</div>${probesPart(data.probes)}${entriesPart(row, data)}</div>`);
  };
  screen = runScreen(el, { ask: () => load(params.code, state.period), view });
  const onSize = () => screen.draw();
  addEventListener('resize', onSize);
  return { update: screen.update, destroy: () => { removeEventListener('resize', onSize); screen.destroy(); } };
}

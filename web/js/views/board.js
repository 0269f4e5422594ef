/*
 * Board: the wall screen.  Nobody touches it; it is read from five metres, so every figure is large, and what is wrong stands first with a word.
 * What is old or not known says so: an empty wall must never look like a good one.
 */
import * as api from '../api.js';
import { alarmText, askAlarms } from '../alarms.js';
import { loadDay, stopsOf } from '../day.js';
import { html, nothing, render, repeat } from '../dom.js';
import { age, asText, bigMass, clock, longDay, farmDay, now, number, reading } from '../format.js';
import { t } from '../i18n.js';
import { mark, measure } from '../marks.js';
import { farm, isLoaded } from '../setup.js';
import { clockNow, setupNow } from '../stops.js';

const DRAW_MS = 15000; // the clock and the ages
const ALARMS_SHOWN = 4;
const OUT = new Set(['low', 'high', 'stop_low', 'stop_high']);
const STALE_H = 12;

const isStop = (row) => row.state.startsWith('stop');
const isFresh = (row) => (now() - new Date(row.at)) / 3600e3 <= STALE_H;

/* Out of its limits now, the stops first, oxygen before all else. */
function alarmsOf(water) {
  const weight = (row) => (isStop(row) ? 0 : 2) + (row.quantity === 'do_mg_l' ? 0 : 1);
  return water.filter((row) => OUT.has(row.state) && isFresh(row)).sort((a, b) => weight(a) - weight(b) || a.place.localeCompare(b.place, 'en', { numeric: true }));
}

const alarmLine = (row) => html`<li class=${isStop(row) ? 'stop' : ''}><span aria-hidden="true">${row.state.endsWith('low') ? '▼' : '▲'}</span>
  <b>${t(`water.out.${row.state}`, { what: t(`water.short.${row.quantity}`), place: row.place })}</b> ${measure(reading(row.quantity, row.value, row.bound))}<small>${age(row.at)}</small></li>`;

/* A probe that is silent, a value too long unread, what a person noted: no figure stands for it in a cell. */
const quietLine = (row) => html`<li class="silent"><span aria-hidden="true">–</span> <b>${row.place ?? ''}</b> ${alarmText(row)}</li>`;
const isQuiet = (row) => !OUT.has(row.level);

function alarmsView(water, alarms) {
  const lines = [...water.map(alarmLine), ...alarms.filter(isQuiet).map(quietLine)];
  if (!lines.length) return nothing;
  return html`<div role="status"><ul class="board-alarms" aria-label=${t('board.alarms')}>${lines.slice(0, ALARMS_SHOWN)}
    ${lines.length > ALARMS_SHOWN ? html`<li><b>${t('board.more', { n: lines.length - ALARMS_SHOWN })}</b></li>` : nothing}</ul></div>`;
}

function oxygenView({ oxygen }) {
  if (!oxygen) return html`<span class="figure unknown">${t('board.unknown')}</span><small>${t('water.short.do_mg_l')}</small>`;
  return html`<span class="figure ${oxygen.stale ? 'unknown' : ''}">${measure(reading('do_mg_l', oxygen.value, oxygen.bound))}</span><small>${t('water.short.do_mg_l')}, ${age(oxygen.at)}</small>`;
}

const FEED = { late: ['red', '!'], due: ['amber', '○'], done: ['ok', '✓'], held: ['amber', '△'] };
const OPEN = new Set(['late', 'due']);
function feedMark(stop) {
  if (!stop.feeding || !FEED[stop.state]) return nothing;
  if (stop.low && OPEN.has(stop.state)) return mark('red', '!', t('board.feed.first'));
  const [level, shape] = FEED[stop.state];
  return mark(level, shape, t(`board.feed.${stop.state}`, { time: stop.due }));
}

function tankCell(stop) {
  const { oxygen, temperature } = stop;
  const out = oxygen && !oxygen.stale && OUT.has(oxygen.state);
  return html`<li class="cell ${out ? (isStop(oxygen) ? 'stop' : 'out') : ''}"><span class="code">${stop.code}</span>${out ? mark(isStop(oxygen) ? 'red' : 'amber', oxygen.state.endsWith('low') ? '▼' : '▲', t(`water.state.${oxygen.state}`)) : nothing}
    <span class="oxygen">${oxygenView(stop)}</span>
    <span class="second">${temperature && !temperature.stale ? measure(reading('temperature_c', temperature.value, temperature.bound)) : nothing} ${feedMark(stop)}</span></li>`;
}

/* What is left of the day, in words and a number each. */
function todayView(stops, data) {
  const tanks = stops.filter((s) => s.sort === 'tank');
  const fed = tanks.flatMap((s) => s.feedings).reduce((sum, f) => sum + (f.amount_g ?? 0), 0);
  const dead = tanks.flatMap((s) => s.deaths).reduce((sum, d) => sum + (d.fish ?? 0), 0);
  const late = stops.filter((s) => s.state === 'late').length;
  const ready = stops.filter((s) => s.sort === 'bed').flatMap((s) => s.ready).reduce((sum, r) => sum + r.plants, 0);
  const fact = (word, value, level) => html`<li class=${level ?? ''}><b>${value}</b> <span>${word}</span></li>`;
  return html`<ul class="board-today">${fact(t('board.late'), number(late), late ? 'red' : '')}${fact(t('board.fed'), asText(bigMass(fed)))}
    ${fact(t('board.dead'), number(dead), dead ? 'amber' : '')}${fact(t('board.ready'), number(ready))}</ul>`;
}

/** Mounts Board.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { setTitle }) {
  let data = null;
  let alarms = [];
  let heardAt = null;
  let gone = false;
  let lock = null;

  function draw() {
    if (gone) return;
    setTitle(t('more.board'));
    if (!data || !isLoaded()) {
      render(html`<div class="board"><p class="board-wait" role="status">${t(api.isReachable() ? 'round.loading' : 'round.no_answer')}</p></div>`, el);
      return;
    }
    const stops = stopsOf(data, setupNow(), clockNow());
    const tanks = stops.filter((s) => s.sort === 'tank' && s.stock);
    render(html`<div class="board">
      <div class="board-head"><h2>${farm().name ?? ''}</h2><span>${longDay(farmDay())}</span><b class="board-clock">${clock(now())}</b></div>
      ${api.isReachable() ? nothing : html`<p class="board-away" role="alert">${mark('red', '!', t('board.away', { age: age(heardAt) }))}</p>`}
      ${alarmsView(alarmsOf(data.water), alarms)}
      <ul class="board-tanks" aria-label=${t('tanks.title')}>${repeat(tanks, (s) => s.code, tankCell)}</ul>
      ${todayView(stops, data)}<p class="board-leave"><a class="button quiet" href="/more">${t('board.leave')}</a></p></div>`, el);
  }

  async function update() {
    try {
      [data, alarms] = await Promise.all([loadDay(), askAlarms()]);
      if (api.isReachable()) heardAt = now();
    } catch (fault) {
      api.passKnown(fault);
    }
    draw();
  }

  /* A wall screen must not go dark; where the browser cannot hold it awake its own settings must. */
  const stayAwake = async () => {
    if (document.hidden || gone) return;
    lock = await navigator.wakeLock?.request('screen').catch(() => null);
  };
  const timer = setInterval(draw, DRAW_MS);
  document.addEventListener('visibilitychange', stayAwake);
  const stopReach = api.onReach(draw);
  stayAwake();
  draw();
  return {
    update,
    destroy: () => {
      gone = true;
      clearInterval(timer);
      stopReach();
      document.removeEventListener('visibilitychange', stayAwake);
      lock?.release();
    },
  };
}

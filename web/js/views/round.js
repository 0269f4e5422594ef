/*
 * Round: the walk in walking order.  Late first, then what is due, then what is done folded to a line, then what
 * comes later.
 */
import { alikeView, loadAlike } from '../alike.js';
import { alarmMarks } from '../alarms.js';
import * as api from '../api.js';
import { cautionsAt } from '../cautions.js';
import { loadDay, readingOf, stopsOf } from '../day.js';
import { html, keepFocus, nothing, oneAtATime, press, render, repeat } from '../dom.js';
import { takeBack } from '../enter.js';
import { buttonAmount, canFeedAtOnce, feedOf, feedOther, feedPlanned } from '../feed.js';
import { age, asText, clock, farmDay, longDay, mass, number, reading, shortDay } from '../format.js';
import { choiceWord, fieldName, t } from '../i18n.js';
import { codeClass, footing, mark, measure } from '../marks.js';
import { isLoaded, list, staffName } from '../setup.js';
import { clockNow, planMark, setupNow, standingLine } from '../stops.js';
import { answerChore, answerText } from '../chore.js';
import { DAILY, sweep, takeReadings } from '../water.js';

const at = (code) => `/at/${encodeURIComponent(code)}`;

/* Oxygen and temperature with their age. */
function waterCell(stop) {
  const { oxygen, temperature } = stop;
  const out = oxygen && !oxygen.stale && oxygen.state !== 'ok' && oxygen.state !== 'unknown';
  const value = oxygen ? measure(reading('do_mg_l', oxygen.value, oxygen.bound)) : measure({ text: '–', unit: '' });
  return html`<div class="readings">
    <span class="pair">${out ? html`<span class="mark red"><span aria-hidden="true">${oxygen.state.endsWith('low') ? '▼' : '▲'}</span> <b>${value}</b></span>` : html`<b class=${oxygen?.stale ? 'soft' : ''}>${value}</b>`}
    ${temperature ? html`<b class=${temperature.stale ? 'soft' : ''}>${measure(reading('temperature_c', temperature.value, temperature.bound))}</b>` : nothing}</span>
    <small>${oxygen ? html`${t('round.oxygen')}, ${age(oxygen.at)}${out && oxygen.low != null ? html` · ${t('round.limit', { value: number(oxygen.low, 1) })}` : nothing}`
      : html`${footing('unknown')}${t('round.oxygen_unknown')}`}</small></div>`;
}

function planMarks(stop) {
  const { missed } = stop.feeding;
  return html`${planMark(stop)}
    ${missed.length ? mark('amber', '○', t('round.missed', { times: missed.map((s) => s.due).join(', ') })) : nothing}`;
}

const fedText = (entry) => t('round.fed', { amount: asText(mass(entry.amount_g)) }) + (entry.appetite ? `, ${choiceWord('appetite', entry.appetite).toLocaleLowerCase()}` : '');

function feedHead(stop) {
  if (!stop.feeding) return html`<h2>${stop.row.name ?? t('round.no_plan')}</h2>`;
  const amount = buttonAmount(stop);
  const { fed } = stop.feeding.current;
  if (fed) return html`<p class="amount">${mark('ok', '✓', html`<b>${fedText(fed)}</b>`)} ${planMarks(stop)}</p>`;
  return html`<p class="amount">${amount !== null && !stop.stop ? html`<span class="big">${measure(mass(amount))}</span>` : html`<span class="big">${t('round.none_to_feed')}</span>`}
    <span class="soft">${feedOf(stop)?.name ?? stop.feeding.current.feed ?? ''}</span> ${planMarks(stop)}</p>`;
}

function tankActs(stop, act) {
  const oxygenAgain = stop.low;
  const feedButton = canFeedAtOnce(stop)
    ? html`<button class=${oxygenAgain ? '' : 'main'} @click=${press(() => act(() => feedPlanned(stop)))}>${t('feed.button', { amount: asText(mass(buttonAmount(stop))) })}</button>`
    : html`<button @click=${press(() => act(() => feedOther(stop)))}>${t('feed.open')}</button>`;
  const oxygenButton = html`<button class="alarm" @click=${press(() => act(() => takeReadings({
    place: stop.row, quantities: ['do_mg_l', 'temperature_c'], lastOf: (q) => ({ do_mg_l: stop.oxygen, temperature_c: stop.temperature })[q], species: stop.stock?.lots.map((l) => l.species) ?? [],
  })))}>${t('round.oxygen_again')}</button>`;
  const link = (panel, word) => html`<a class="button" href="${at(stop.code)}?do=${panel}">${word}</a>`;
  return html`<div class="acts">${oxygenAgain ? html`${oxygenButton}${feedButton}` : feedButton}${link('dead', t('act_at.dead'))}${oxygenAgain ? nothing : link('water', t('act_at.water'))}${link('look', t('act_at.look'))}</div>`;
}

const deadLine = (stop) => {
  const dead = stop.deaths.reduce((s, d) => s + (d.fish ?? 0), 0);
  return dead ? mark('amber', '†', t('round.dead_today', { n: dead })) : nothing;
};

const where = (stop, under) => html`<div class="where">${stop.code ? html`<a class=${codeClass(stop.code)} href=${at(stop.code)}>${stop.code}</a>` : html`<span class="code">·</span>`}<small>${under}</small></div>`;

const tankEntry = (stop, act) => html`<section class="entry" aria-label=${stop.code}>${where(stop, html`${stop.due ?? ''}${stop.state === 'late' ? html`<br>${mark('red', '!', t('round.late'))}` : nothing}`)}
  <div class="what"><div class="facts"><div class="grow">${feedHead(stop)}<p class="under-amount">${standingLine(stop.stock)} ${deadLine(stop)} ${alarmMarks(stop.code)}</p></div>${waterCell(stop)}</div>
  ${tankActs(stop, act)}</div></section>`;

const choreAnswer = (stop) => (stop.last?.answer && stop.chore.answer !== 'done' ? t('round.last_answer', { answer: answerText(stop.last.answer, stop.chore), age: age(stop.last.at ?? `${stop.last.day}T12:00:00Z`) }) : '');
const choreEntry = (stop, act) => html`<section class="entry" aria-label=${stop.chore.title}>${where(stop, html`${stop.due ? t('round.due_at', { time: stop.due }) : t('round.today')}${stop.state === 'late' ? html`<br>${mark('red', '!', t('round.late'))}` : nothing}`)}
  <div class="what"><div class="facts"><div class="grow"><h2>${stop.chore.title}</h2>${cautionsAt(stop.kind, stop.row)}${stop.chore.caution ? html`<p class="caution">${mark('amber', '△', stop.chore.caution)}</p>` : nothing}<small>${choreAnswer(stop)}</small></div>
  <button @click=${press(() => act(() => answerChore(stop)))}>${t(stop.chore.answer === 'done' ? 'round.done_button' : 'round.answer_button')}</button></div></div></section>`;

const bedEntry = (stop) => html`<section class="entry" aria-label=${stop.code}>${where(stop, t('round.ready'))}
  <div class="what"><div class="facts"><div class="grow"><h2>${t('round.harvest_heads', { n: stop.ready.reduce((s, r) => s + r.plants, 0), shown: number(stop.ready.reduce((s, r) => s + r.plants, 0)) })}</h2>
  ${stop.ready.map((r) => html`<small>${r.variety} ${r.crop_lot} · ${t('round.sown', { day: shortDay(r.sown_on) })}${r.rafts ? html` · ${t('round.rafts', { n: r.rafts })}` : nothing}${r.ready_until ? html` · ${t('round.keeps_until', { day: shortDay(r.ready_until) })}` : nothing}</small><br>`)}</div>
  <a class="button" href=${at(stop.code)}>${t('round.harvest')}</a></div></div></section>`;

/* Done: folded to a line, with Undo in the row. */
function doneLine(stop, act) {
  const entry = stop.sort === 'tank' ? stop.feeding.current.fed : stop.last;
  const kind = stop.sort === 'tank' ? 'feedings' : 'chores-done';
  const who = staffName(entry.staff_id);
  const what = stop.sort === 'tank'
    ? fedText(entry)
    : stop.chore.title + (entry.answer ? `: ${answerText(entry.answer, stop.chore)}` : '');
  return html`<section class="entry line done" aria-label=${stop.code}>${where(stop, '')}
    <div class="what"><span class="grow"><span class="mark ok"><span aria-hidden="true">✓</span> <b>${what}</b></span> <small>${entry.at ? clock(entry.at) : ''}${who ? ` · ${who}` : ''}</small>
    ${entry.kept ? mark('amber', '◇', t(`state.${entry.kept}`)) : nothing} ${stop.sort === 'tank' ? html`${deadLine(stop)}${stop.feeding.next ? html`<small class="next-at">${t('round.next_at', { time: stop.feeding.next.due })}</small>` : nothing}` : nothing}</span>
    <button class="quiet" @click=${press(() => act(() => takeBack(kind, entry.key)))}>${t('act.undo')}</button></div></section>`;
}
const laterChore = (stop, act) => html`<section class="entry line later" aria-label=${stop.chore.title}>${where(stop, stop.due ?? '')}
  <div class="what"><span class="grow">${stop.chore.title}</span><button class="quiet" @click=${press(() => act(() => answerChore(stop)))}>${t(stop.chore.answer === 'done' ? 'round.done_button' : 'round.answer_button')}</button></div></section>`;
const laterLine = (stop) => html`<section class="entry line later" aria-label=${stop.code}>${where(stop, stop.due ?? '')}
  <div class="what"><span class="grow">${stop.state === 'held' ? planMark(stop) : nothing} ${stop.feeding && stop.state === 'later' ? html`${t('round.later_feed', { amount: asText(mass(stop.feeding.current.amount_g)), time: stop.due })}` : standingLine(stop.stock)} ${deadLine(stop)}</span>
  <a class="button quiet" href=${at(stop.code)}>${t('round.open')}</a></div></section>`;

function entryOf(stop, act) {
  if (stop.state === 'done' && !stop.low) return doneLine(stop, act);
  if (stop.sort === 'chore') return stop.state === 'later' ? laterChore(stop, act) : choreEntry(stop, act);
  if (stop.sort === 'bed') return bedEntry(stop);
  if (!stop.low && ['later', 'none', 'held'].includes(stop.state)) return laterLine(stop);
  return tankEntry(stop, act);
}

/* A stop belongs to the first group that takes it.  Where the oxygen is at its stop nothing on the walk comes before. */
const GROUPS = [
  ['first', (s) => s.low && s.oxygen.state === 'stop_low'],
  ['late', (s) => s.state === 'late'],
  ['due', (s) => s.state === 'due' || s.low],
  ['done', (s) => s.state === 'done'],
  ['later', (s) => s.state === 'later'],
  ['rest', () => true],
];
const groupOf = (stop) => GROUPS.find(([, takes]) => takes(stop))[0];

/* One quantity through all tanks with fish in them, in walking order. */
const sweepKeys = (stops, data, act) => {
  const tanks = stops.filter((s) => s.sort === 'tank' && s.stock);
  if (tanks.length < 2) return nothing;
  const places = (quantity) => tanks.map((s) => ({ row: s.row, last: readingOf(data.water, s.code, quantity, clockNow().at), species: s.stock.lots.map((l) => l.species) }));
  return html`<div class="sweep no-print"><span class="soft">${t('round.sweep')}</span>${DAILY.map((quantity) => html`
    <button @click=${press(() => act(() => sweep(quantity, places(quantity))))}>${fieldName(quantity)}</button>`)}</div>`;
};

const empty = () => html`<div class="notice"><h2>${t('round.empty')}</h2><p>${t('round.empty_what')}</p>${list('tanks').length ? nothing : html`<a class="button main" href="/begin">${t('begin.title')}</a> <a class="button" href="/begin?demo=1">${t('round.demo')}</a>`}</div>`;

/** Mounts Round.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { setTitle }) {
  let data = null;
  let pairs = [];
  let fault = null;
  const act = oneAtATime(() => update());

  function draw() {
    setTitle(t('round.title'), longDay(farmDay()));
    if (!data || !isLoaded()) {
      render(html`<p class="notice" role="status">${t(fault ? 'round.no_answer' : 'round.loading')}</p>`, el);
      return;
    }
    const stops = stopsOf(data, setupNow(), clockNow());
    const groups = GROUPS.map(([name]) => [name, stops.filter((stop) => groupOf(stop) === name)]).filter(([, rows]) => rows.length);
    const column = (names) => repeat(groups.filter(([name]) => names.includes(name)), ([name]) => name, ([name, rows]) => html`
      <h2 class="group ${name}">${t(`round.group.${name}`)} <small>${rows.length}</small></h2>
      ${repeat(rows, (s) => s.id, (s) => entryOf(s, act))}`);
    keepFocus(el, () => render(html`${sweepKeys(stops, data, act)}${alikeView(pairs, act)}<div class="round">${groups.length ? html`<div class="now">${column(['first', 'late', 'due'])}</div><div class="then">${column(['done', 'later', 'rest'])}</div>` : empty()}</div>`, el));
  }

  async function update() {
    try {
      data = await loadDay();
      pairs = await loadAlike(data.logged);
      fault = null;
    } catch (trouble) {
      api.passKnown(trouble);
      fault = trouble;
    }
    draw();
  }

  draw();
  return { update };
}

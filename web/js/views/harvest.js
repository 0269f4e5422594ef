/*
 * Harvest: what is ready, what lies in the cold room; what was harvested, by period and by what sales asks, and as CSV.
 * The question stands in the address, so that it can be kept and sent.
 */
import * as api from '../api.js';
import { html, nothing, press } from '../dom.js';
import { addDays, DASH, farmDay, fullDay, longDay, massIn, massUnits, number } from '../format.js';
import { fieldName, t } from '../i18n.js';
import { footing, measure } from '../marks.js';
import { logHarvest } from '../log-harvest.js';
import { harvestFacts } from '../lots.js';
import { notesView } from '../notes.js';
import { keepQuery } from '../router.js';
import { part, picks, printButton, runScreen, tableFrame } from '../screen.js';
import { readyPart, storePart } from '../store-room.js';
import { mondayOf, periodText } from '../periods.js';

const PERIODS = ['day', 'week', 'month'];
const PARTS = ['crop', 'variety', 'species', 'bed', 'tank', 'grade', 'lot'];
const KEPT = 'weirbook.harvest';
const REACH = [['today', 0], ['days_button', 6], ['days_button', 27], ['days_button', 90]];

function remembered() {
  try {
    return new URLSearchParams(sessionStorage.getItem(KEPT) ?? '');
  } catch {
    return new URLSearchParams();
  }
}

/* The question that an address asks: {by, from, to, only}.  An address without one takes the last. */
function readQuestion(query, today) {
  const given = [...query.keys()].length ? query : remembered();
  const words = (given.get('by') ?? 'week,crop,species').split(',');
  return {
    by: [...PERIODS, ...PARTS].filter((w) => words.includes(w)),
    from: given.get('from') ?? mondayOf(addDays(today, -21)), to: given.get('to') ?? today, only: given.get('only') ?? '',
  };
}
/* The question as the service and the address take it. */
function queryOf({ by, from, to, only }) {
  const query = new URLSearchParams();
  if (by.length) query.set('by', by.join(','));
  if (from) query.set('from', from);
  if (to) query.set('to', to);
  if (only) query.set('only', only);
  return query.toString().replaceAll('%2C', ',');
}

/* Sums of the columns; a column with nothing known stays unknown. */
function totalsOf(rows, names) {
  return Object.fromEntries(names.map((name) => {
    const known = rows.map((r) => r[name]).filter((v) => v !== null && v !== undefined);
    return [name, known.length ? known.reduce((a, b) => a + b, 0) : null];
  }));
}

const SUMS = ['harvests', 'pieces', 'weight_g', 'estimated_g', 'culled_pieces', 'culled_g'];
/* What plants and fish each have of their own stands in one column when both are asked: a row has the one or the other. */
const PAIRS = [['crop', 'species'], ['bed', 'tank']];
const isMass = (name) => name.endsWith('_g');

const cell = (name, value) => {
  if (value === null || value === undefined) return html`<td data-label=${fieldName(name)}><span class="num">${name === 'weight_g' ? footing('unknown') : nothing}${DASH}</span></td>`;
  if (!isMass(name)) return html`<td data-label=${fieldName(name)}>${number(value)}</td>`;
  return html`<td data-label=${fieldName(name)}>${name === 'estimated_g' && value ? footing('estimated') : nothing}${measure(value ? massIn(value, massUnits()[1], 2) : { text: number(0), unit: massUnits()[1] })}</td>`;
};

/* The columns that say what a row is: [{name, said, of(row)}]. */
function columnsOf(by) {
  const parts = by.filter((w) => PARTS.includes(w));
  const pairOf = (name) => PAIRS.find((pair) => pair.includes(name) && pair.every((w) => parts.includes(w)));
  return parts.filter((name) => pairOf(name)?.[1] !== name).map((name) => {
    const pair = pairOf(name) ?? [name];
    return { name: pair.join(' '), said: pair.length > 1 ? t('harvests.either', { one: fieldName(pair[0]), other: fieldName(pair[1]).toLowerCase() }) : fieldName(name), of: (row) => pair.map((w) => row[w]).find((v) => v !== null && v !== undefined) };
  });
}

function table(data, question) {
  const keys = columnsOf(question.by);
  const period = question.by.find((w) => PERIODS.includes(w));
  const sums = SUMS.filter((name) => !['estimated_g', 'culled_pieces', 'culled_g'].includes(name) || data.rows.some((r) => r[name]));
  const totals = totalsOf(data.rows, SUMS);
  return tableFrame(t('harvests.title'), html`<table class="figures stack-phone totals"><thead><tr>${period ? html`<th scope="col">${fieldName(period)}</th>` : nothing}${keys.map((k) => html`<th scope="col" class="left">${k.said}</th>`)}${sums.map((s) => html`<th scope="col">${fieldName(s)}</th>`)}</tr></thead>
    <tbody>${data.rows.map((row, i) => {
    const first = !period || data.rows[i - 1]?.period !== row.period;
    return html`<tr class=${first && i ? 'new-period' : ''}>${period ? html`<th scope="row" class="period">${first ? html`${periodText(period, row.period)}${row.period < question.from ? html`<small class="under">${t('harvests.partly', { day: fullDay(question.from) })}</small>` : nothing}` : html`<span class="unseen">${periodText(period, row.period)}</span>`}</th>` : nothing}${keys.map((k) => html`<td class="left said">${k.of(row) ?? html`<span class="soft">${DASH}</span>`}</td>`)}${sums.map((s) => cell(s, row[s]))}</tr>`;
  })}</tbody>
    <tfoot><tr><th scope="row" colspan=${Number(Boolean(period)) + keys.length || 1}>${t('harvests.total', { n: data.rows.length, shown: number(data.rows.length) })}</th>${sums.map((s) => cell(s, totals[s])).slice(Number(!period && !keys.length))}</tr></tfoot></table>`);
}

function questionForm(question, change) {
  const period = question.by.find((w) => PERIODS.includes(w));
  const parts = question.by.filter((w) => PARTS.includes(w));
  const setPeriod = (word) => change({ by: [...(word ? [word] : []), ...parts] });
  const setPart = (word) => change({ by: [...(period ? [period] : []), ...(parts.includes(word) ? parts.filter((p) => p !== word) : [...parts, word])] });
  const day = (name) => html`<label class="field inline"><span>${t(`field.${name}`)}</span><input type="date" name=${name} .value=${question[name]} @change=${(e) => change({ [name]: e.target.value })}></label>`;
  return html`<form class="question no-print" @submit=${(e) => e.preventDefault()} aria-label=${t('harvests.question')}>
    ${picks(t('harvests.by_period'), PERIODS, (w) => period === w, fieldName, (w) => setPeriod(period === w && parts.length ? null : w))}
    ${picks(t('harvests.by_part'), PARTS, (w) => parts.includes(w), fieldName, setPart)}
    <fieldset class="picks days"><legend>${t('harvests.days')}</legend>${day('from')}${day('to')}${REACH.map(([word, n]) => html`<button type="button" class="pick" @click=${press(() => change({ from: addDays(farmDay(), -n), to: farmDay() }))}>${t(`harvests.${word}`, { n: n + 1 })}</button>`)}</fieldset></form>`;
}

/** Mounts Harvest; the question of the totals stands in the address.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { query, setTitle }) {
  let question = readQuestion(query, farmDay());
  let screen = null;
  const change = (given) => {
    question = { ...question, ...given };
    const text = queryOf(question);
    keepQuery(text);
    try {
      sessionStorage.setItem(KEPT, text);
    } catch {
      // it holds in the address
    }
    screen.draw();
    screen.update();
  };
  const address = (ending = '') => `/api/reports/harvest${ending}?${queryOf(question)}`;
  const view = (data) => {
    setTitle(t('harvests.title'), longDay(farmDay()));
    return html`<div class="desk">
      <div class="desk-tools no-print"><button class="main" @click=${press(async () => { await logHarvest(); screen.update(); })}>${t('harvests.log')}</button><span class="grow"></span>${printButton()}</div>
      ${readyPart(data.facts, () => screen.update())}
      ${storePart(data.store, data.facts, () => screen.update())}
      ${part(t('harvests.totals'), html`<a class="button tool" href=${address('.csv')} download>${t('harvests.csv')}</a>`, nothing)}
      ${questionForm(question, change)}
      <p class="said-days">${t('harvests.said', { from: fullDay(question.from), to: fullDay(question.to) })}${question.only ? html` · ${question.only}` : nothing}</p>
      ${notesView(data.notes)}
      ${data.rows.length ? table(data, data.question) : html`<div class="notice"><h2>${t('harvests.none')}</h2><p>${t('harvests.none_what')}</p></div>`}</div>`;
  };
  const ask = async () => {
    const asked = question;
    const [totals, facts, store] = await Promise.all([api.get(address()), harvestFacts(), api.get('/api/reports/in-store')]);
    return { ...totals, facts, store: store.rows, question: asked };
  };
  screen = runScreen(el, { ask, view });
  return screen;
}

/*
 * Beds: what stands where, to scale, on a day past or to come; what is ready and until when; seedlings that wait.
 * The same as a table.
 */
import * as api from '../api.js';
import * as chart from '../charts/bed.js';
import { html, nothing, press } from '../dom.js';
import { addDays, daysBetween, farmDay, fullDay, longDay, number, shortDay } from '../format.js';
import { choiceWord, fieldName, t } from '../i18n.js';
import { codeClass, mark } from '../marks.js';
import { notesView } from '../notes.js';
import { keepQuery } from '../router.js';
import { csvLink, part, printButton, runScreen, tableFrame } from '../screen.js';
import { list } from '../setup.js';
import { whyFacts } from '../why.js';

const BACK = 60;
const AHEAD = 56;
const WAIT_MS = 180; // a slider under way asks no question for each day

const isRaft = (bed) => bed.role === 'raft' || bed.role === undefined;
const byWalk = (a, b) => (a.walk_order ?? Infinity) - (b.walk_order ?? Infinity) || a.code.localeCompare(b.code, 'en', { numeric: true });
const at = (code) => `/at/${encodeURIComponent(code)}`;
const inPicture = (rows, bed) => rows.filter((r) => r.bed === bed.code && r.from_m !== null && r.plants > 0);

const stateMark = (row, day) => {
  const state = chart.stateOfLot(row, day);
  if (state.sort === 'ready') return mark('ok', '●', row.ready_until ? t('beds.ready_until', { day: shortDay(row.ready_until) }) : t('beds.ready'));
  if (state.sort === 'over') return mark('amber', '△', t('beds.over_since', { day: shortDay(row.ready_until) }));
  return state.sort === 'days' ? t('at.ready_on', { day: shortDay(row.ready_on) }) : '';
};

/* What the day is learned from, and its range where own lots give one. */
const restsOn = (row) => (row.basis ? html`<small class="under rests">${row.ready_low && row.ready_low !== row.ready_high ? html`${t('beds.between', { from: shortDay(row.ready_low), to: shortDay(row.ready_high) })} · ` : nothing}${t(`beds.rests.${row.basis}`, { n: row.lots, month: row.month_lots })}</small>` : nothing);

const lotWords = (row, day) => html`<b>${row.variety}</b> <small>${row.crop_lot}</small> · ${t('at.plants', { n: row.plants, shown: number(row.plants) })}${row.rafts ? ` · ${t('round.rafts', { n: row.rafts })}` : ''}
  ${row.from_m === null ? nothing : html` · ${chart.stretchText(row.from_m, row.to_m)}`} · ${t('round.sown', { day: shortDay(row.sown_on) })} · ${stateMark(row, day)} ${restsOn(row)}`;

function bedRow(bed, rows, view) {
  const mine = inPicture(rows, bed);
  const chosen = mine.find((r) => r.crop_lot === view.chosen && r.bed === view.chosenBed);
  return html`<section class="bed-row" aria-label=${bed.code}><div class="bed-where"><a class=${codeClass(bed.code)} href=${at(bed.code)}>${bed.code}</a></div><div class="bed-what">
    ${chart.draw(bed, mine, { ...view, choose: (row) => view.choose(row) })}
    ${chosen ? html`<p class="chosen-lot" role="status">${lotWords(chosen, view.day)} <a class="button quiet" href=${at(bed.code)}>${t('beds.open', { code: bed.code })}</a> ${whyButton(chosen, view)}</p>${view.open === keyOf(chosen) ? whyText(chosen, view) : nothing}` : nothing}
    ${mine.length ? nothing : html`<p class="soft">${t('at.bed_empty')}</p>`}</div></section>`;
}

/*
 * And why: what a lot's figures rest on, asked for the lot that was tapped, since all of them weigh much more than the picture.
 */
const keyOf = (row) => `${row.bed} ${row.crop_lot}`;
const whyButton = (row, { open, openWhy }) => html`<button class="quiet why-button no-print" aria-expanded=${String(open === keyOf(row))} @click=${press(() => openWhy(open === keyOf(row) ? null : row))}>${t(open === keyOf(row) ? 'why.close' : 'why.open')}<span class="unseen"> ${row.variety} ${row.crop_lot}</span></button>`;
function whyText(row, { explained, explainedLot }) {
  if (explainedLot !== row.crop_lot) return html`<div class="why"><p role="status">${t('round.loading')}</p></div>`;
  const full = explained.find((r) => keyOf(r) === keyOf(row));
  return html`<div class="why">${full ? html`<p>${whySentences(full)}</p>${whyFacts(full.explain)}` : html`<p role="status">${t('round.no_answer')}</p>`}</div>`;
}
function whySentences(row) {
  const { unexplained_plants: gap = 0, planned_days: planned, expected_days: expected } = row.explain.inputs;
  const said = [t('beds.why_plants', { n: row.plants, shown: number(row.plants), bed: row.bed })];
  if (gap) said.push(t(gap < 0 ? 'beds.why_fewer' : 'beds.why_more', { n: Math.abs(gap), shown: number(Math.abs(gap)) }));
  if (row.lots && expected) said.push(t('beds.why_own', { n: row.lots, shown: number(row.lots), days: number(expected), day: fullDay(row.ready_on) }));
  if (planned) said.push(t(row.lots ? 'beds.why_plan_too' : 'beds.why_plan', { days: number(planned), day: fullDay(row.ready_on) }));
  return said.join(' ');
}
/* Of the lot that was tapped; [] where the service is away and never told. */
async function askWhy(address, lot) {
  try {
    return (await api.get(`${address}${address.includes('?') ? '&' : '?'}only=${encodeURIComponent(lot)}&explain=1`)).rows;
  } catch (fault) {
    if (fault instanceof api.AwayError || fault instanceof api.ProblemError) return [];
    throw fault;
  }
}

/* Lots as a table; `standing` adds where they stand in the bed, which seedlings in trays have not. */
const lotTable = (label, rows, view, standing = true) => tableFrame(label, html`<table class="figures stack-phone"><thead><tr><th scope="col">${fieldName('bed')}</th><th scope="col" class="left">${fieldName('variety')}</th><th scope="col" class="left">${fieldName('crop_lot')}</th><th scope="col">${fieldName('plants')}</th>
  ${standing ? html`<th scope="col">${fieldName('rafts')}</th><th scope="col">${t('beds.from_to')}</th>` : nothing}<th scope="col">${fieldName('sown_on')}</th><th scope="col">${fieldName('age_days')}</th><th scope="col" class="left">${fieldName('ready_on')}</th></tr></thead><tbody>
  ${rows.map((r) => html`<tr class=${view.open === keyOf(r) ? 'opened' : ''}><th scope="row"><a href=${at(r.bed)}>${r.bed}</a></th><td class="left said">${r.variety}</td><td class="left" data-label=${fieldName('crop_lot')}>${r.crop_lot}</td><td data-label=${fieldName('plants')}>${number(r.plants)}</td>
    ${standing ? html`<td data-label=${fieldName('rafts')}>${number(r.rafts)}</td><td class="num" data-label=${t('beds.from_to')}>${r.from_m === null ? '–' : chart.stretchText(r.from_m, r.to_m)}</td>` : nothing}
    <td class="num" data-label=${fieldName('sown_on')}>${shortDay(r.sown_on)}</td><td class="num" data-label=${fieldName('age_days')}>${r.age_days === null ? '–' : t('beds.days', { n: r.age_days })}</td><td class="left num broad" data-label=${fieldName('ready_on')}><span class="ready-cell"><span>${stateMark(r, view.day)}${standing ? nothing : restsOn(r)}</span>${whyButton(r, view)}</span></td></tr>${view.open === keyOf(r) ? html`<tr class="why-row"><td colspan=${standing ? 9 : 7}>${whyText(r, view)}</td></tr>` : nothing}`)}</tbody></table>`);

function readyPart(rows, view) {
  const { day } = view;
  const ready = rows.filter((r) => r.plants > 0 && r.from_m !== null && ['ready', 'over'].includes(chart.stateOfLot(r, day).sort));
  return part(t('beds.ready_head', { n: ready.length }), nothing, ready.length ? lotTable(t('beds.ready_head', { n: ready.length }), ready, view) : html`<p class="soft">${t('beds.none_ready')}</p>`);
}

function waitingPart(rows, view, beds) {
  const nursery = new Set(beds.filter((b) => !isRaft(b)).map((b) => b.code));
  const waiting = rows.filter((r) => r.plants > 0 && (nursery.has(r.bed) || r.from_m === null));
  return part(t('beds.waiting'), nothing, waiting.length ? lotTable(t('beds.waiting'), waiting, view, false) : html`<p class="soft">${t('beds.none_waiting')}</p>`);
}

function slider(day, today, change) {
  const step = (n, word) => html`<button class="tool" @click=${press(() => change(addDays(day, n)))}>${word}</button>`;
  return html`<div class="day-slider no-print">${step(-7, t('beds.week_back'))}${step(-1, t('beds.day_back'))}
    <label class="grow"><span class="unseen">${t('field.day')}</span><input type="range" min=${-BACK} max=${AHEAD} step="1" .value=${String(daysBetween(today, day))} aria-valuetext=${longDay(day)} @input=${(e) => change(addDays(today, Number(e.target.value)))}></label>
    ${step(1, t('beds.day_on'))}${step(7, t('beds.week_on'))}<button class="tool" ?disabled=${day === today} @click=${press(() => change(today))}>${t('harvests.today')}</button></div>`;
}

const dayWords = (day, today) => (day === today ? t('beds.as_now') : day < today ? t('beds.as_was', { n: daysBetween(day, today) }) : t('beds.as_will', { n: daysBetween(today, day) }));

function pictureWidths() {
  const main = document.getElementById('main').clientWidth;
  const margin = main < 560 ? 64 : main < 1100 ? 88 : 120;
  return { width: main - margin - (main < 560 ? 16 : 24), rowsOfNames: main < 560 ? 2 : 4 };
}

/** Mounts Beds; the day and the choice of table stand in the address.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { query, setTitle }) {
  const today = farmDay();
  const state = { day: query.get('day') ?? today, table: query.get('view') === 'table', chosen: null, chosenBed: null, open: null, openLot: null };
  let screen = null;
  let timer = 0;
  const keep = () => keepQuery({ ...(state.day === today ? {} : { day: state.day }), ...(state.table ? { view: 'table' } : {}) });
  const change = (day) => {
    state.day = day;
    keep();
    screen.draw();
    clearTimeout(timer);
    timer = setTimeout(screen.update, WAIT_MS);
  };
  const show = (given) => {
    Object.assign(state, given);
    keep();
    screen.draw();
  };
  const openWhy = (row) => {
    Object.assign(state, { open: row && keyOf(row), openLot: row?.crop_lot ?? null });
    screen.draw();
    if (row) screen.update();
  };
  const address = (ending = '') => `/api/reports/beds${ending}${state.day === today ? '' : `?day=${state.day}`}`;

  const view = (data) => {
    setTitle(t('beds.title'), `${longDay(state.day)} · ${dayWords(state.day, today)}`);
    const beds = list('beds').sort(byWalk);
    const rafts = beds.filter(isRaft);
    if (!beds.length) return html`<div class="notice"><h2>${t('beds.none')}</h2><p>${t('beds.none_what')}</p><a class="button" href="/farm/beds/new">${t('beds.add')}</a></div>`;
    const lots = { ...data, open: state.open, openWhy };
    const widths = pictureWidths();
    const scale = chart.bedScale(rafts, widths.width);
    const pictures = () => html`<div class="beds"><div class="bed-row ruler-row"><div class="bed-where"></div><div class="bed-what"><p class="ends soft"><span>${choiceWord('end', 'head')}</span><span>${choiceWord('end', 'foot')}</span></p>${chart.ruler(scale, widths.width, Math.max(...rafts.map((b) => b.length_m)))}</div></div>
      ${rafts.map((bed) => bedRow(bed, data.rows, { ...lots, ...widths, scale, chosen: state.chosen, chosenBed: state.chosenBed, choose: (row) => show({ chosen: row.crop_lot, chosenBed: row.bed }) }))}</div>`;
    return html`<div class="desk"><div class="desk-tools no-print"><span class="grow soft">${t('beds.what')}</span><a class="button tool" href="/beds/yield">${t('yield.title')}</a><button class="tool" aria-pressed=${String(state.table)} @click=${press(() => show({ table: !state.table }))}>${t('desk.table')}</button>${csvLink(address('.csv'))}${printButton()}</div>
      ${slider(state.day, today, change)}
      ${notesView(data.notes)}
      ${state.table ? lotTable(t('beds.title'), data.rows.filter((r) => r.plants > 0), lots) : rafts.length ? pictures() : nothing}
      ${readyPart(data.rows, lots)}${waitingPart(data.rows, lots, beds)}</div>`;
  };
  const ask = async () => {
    const { day, openLot } = state;
    const [report, explained] = await Promise.all([api.get(address()), openLot ? askWhy(address(), openLot) : []]);
    return { ...report, day, explained, explainedLot: openLot };
  };
  screen = runScreen(el, { ask, view });
  const onSize = () => screen.draw();
  addEventListener('resize', onSize);
  return { update: screen.update, destroy: () => { clearTimeout(timer); removeEventListener('resize', onSize); screen.destroy(); } };
}

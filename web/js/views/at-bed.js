/* At the bed: what stands there from planting end to harvest end; sow, move on or harvest by what the bed is for; lost, water, look. */
import { readingOf } from '../day.js';
import { html, press, repeat } from '../dom.js';
import { addTo, enter } from '../enter.js';
import { number, shortDay } from '../format.js';
import { choiceWord, loadRest, t } from '../i18n.js';
import { openPad } from '../forms/pad.js';
import { mark } from '../marks.js';
import { clockNow } from '../stops.js';
import { speciesOfWater, takeReadings } from '../water.js';
import { head, notePanel, panel, wordChoices, wordsOf } from './at-parts.js';

/** The kinds that its list of the day shows, and by which field they name the place. */
export const LOGGED = [['harvests', 'bed_id'], ['crop-lots', 'bed_id'], ['crop-moves', 'from_bed_id'], ['crop-losses', 'bed_id'], ['water-tests', 'place_id'], ['scoutings', 'bed_id']];

/**
 * The stop that at.js draws at the bed.
 * @param {{kind: string, row: object}} found the place @param {object[]} stops of the day @param {object} data as loadDay() gives it @returns {object}
 */
export function stopOf(found, stops, data) {
  return { row: found.row, code: found.row.code, lots: data.beds.filter((r) => r.bed === found.row.code && r.plants > 0), day: data.day, chores: [] };
}

const isReady = (stop, lot) => lot.ready_on && lot.ready_on <= stop.day;
const readiness = (stop, lot) => (isReady(stop, lot) ? mark('ok', '●', t('round.ready')) : lot.ready_on ? t('at.ready_on', { day: shortDay(lot.ready_on) }) : '');
const lotRow = (stop) => (lot) => html`<li><span class="grow"><b>${lot.variety}</b> <small>${lot.crop_lot}</small></span>
  <span class="num">${t('at.plants', { n: lot.plants, shown: number(lot.plants) })}</span>
  <small>${readiness(stop, lot)}</small></li>`;

/** What stands at the bed, over the actions.  @param {object} stop of stopOf() @param {{open, act, state}} view of at.js */
export function facts(stop) {
  return html`${head(stop.row, [stop.row.name, stop.row.role ? choiceWord('role', stop.row.role) : ''].filter(Boolean).join(' · '))}
    ${stop.lots.length ? html`<ul class="at-lots">${repeat(stop.lots, (lot) => lot.crop_lot, lotRow(stop))}</ul>` : html`<p class="soft">${t('at.bed_empty')}</p>`}`;
}

/* Loaded when they are wanted: the first load of Round stays small. */
async function lotId(code) {
  const { harvestFacts } = await import('../lots.js');
  return (await harvestFacts()).lot(code)?.id ?? null;
}
const harvestPad = (stop, view, lot) => view.act(async () => {
  view.open(null);
  const { harvestAt } = await import('../log-harvest.js');
  await harvestAt(stop.code, lot.crop_lot);
});
const lostPad = (stop, view, lot) => view.act(async () => {
  const id = await lotId(lot.crop_lot);
  await openPad({
    title: t('lost.pad', { variety: lot.variety, lot: lot.crop_lot }),
    fields: [{ name: 'plants', label: t('field.plants'), unit: '', whole: true, low: 1, high: 1e8, note: t('harvest.standing', { n: number(lot.plants) }) }],
    saveLabel: ({ plants }) => (plants ? t('lost.button', { n: plants, shown: number(plants) }) : t('act_at.lost')),
    save: async ({ plants }) => {
      const result = await enter('crop-losses', { crop_lot_id: id, bed_id: stop.row.id, plants }, t('lost.said', { n: plants, shown: number(plants), place: stop.code }));
      view.open(null);
      if (result) view.state.last = { kind: 'crop-losses', key: result.key };
    },
  });
});

/* Comes with its words when it is wanted: the first load of Round stays small. */
const cropActs = async () => (await Promise.all([import('../log-crops.js'), loadRest()]))[0];

/* Oldest first: what has waited longest moves on. */
const movePad = (stop, view, lot) => view.act(async () => {
  const { moveOn } = await cropActs();
  const moved = await moveOn(stop.row, lot);
  view.open(null);
  if (moved?.left) view.state.last = { kind: 'crop-moves', key: moved.key, left: moved.left };
});
const sowHere = (stop, view) => view.act(async () => {
  const { sow } = await cropActs();
  await sow(stop.row);
});

/* One lot needs no question which. */
function start(stop, view, what, pad) {
  if (stop.lots.length === 1) pad(stop, view, stop.lots[0]);
  else view.open(what);
}
const whichLot = (stop, view, title, pad, first) => panel(title, view, html`<div class="choices tall">${[...stop.lots].sort((a, b) => Number(first(b)) - Number(first(a))).map((lot) => html`
  <button @click=${press(() => pad(stop, view, lot))}><span>${lot.variety}<span class="under">${lot.crop_lot} · ${t('at.plants', { n: lot.plants, shown: number(lot.plants) })}</span><span class="under">${readiness(stop, lot)}</span></span></button>`)}</div>`);

function lookPanel(stop, view) {
  return panel(t('look.title', { place: stop.code }), view, html`<p class="soft">${t('field.what')}</p>${wordChoices('what', wordsOf('scoutings', 'what'), (what) => view.act(async () => {
    const result = await enter('scoutings', { bed_id: stop.row.id, what }, t('look.said', { what: choiceWord('what', what), place: stop.code }));
    view.open(null);
    if (result) view.state.last = { kind: 'scoutings', key: result.key };
  }))}<div class="choices"><button class="quiet" @click=${press(() => view.open('note'))}>${t('note.title')}</button></div>`);
}

function afterPanel(view) {
  const { kind, key } = view.state.last;
  const fill = (fields) => view.act(async () => {
    view.state.last = null;
    await addTo(kind, key, fields);
  });
  if (kind === 'crop-moves') {
    const { left } = view.state.last;
    return panel(t('move.left', { n: left, shown: number(left) }), view, html`<div class="choices"><button @click=${press(() => view.open(null))}>${t('move.stay')}</button><button @click=${press(() => fill({ empties: true }))}>${t('move.gone')}</button></div>`, { skip: 'act.skip' });
  }
  if (kind === 'scoutings') {
    return panel(t('look.severity'), view, html`<div class="counts">${[0, 1, 2, 3, 4].map((severity) => html`<button @click=${press(() => fill({ severity }))}>${severity}</button>`)}</div>`, { skip: 'act.skip' });
  }
  return panel(t('lost.cause'), view, wordChoices('cause', wordsOf('crop-losses', 'cause'), (cause) => fill({ cause })), { skip: 'act.skip' });
}

/**
 * What can be done at the bed, or the panel that is open.  @param {object} stop of stopOf() @param {{open, act, state}} view of at.js @param {object} data as loadDay() gives it
 */
export function acts(stop, view, data) {
  if (view.state.last) return afterPanel(view);
  if (view.state.panel === 'harvest') return whichLot(stop, view, t('harvest.which'), harvestPad, (lot) => isReady(stop, lot));
  if (view.state.panel === 'move') return whichLot(stop, view, t('move.which'), movePad, (lot) => lot.age_days ?? 0);
  if (view.state.panel === 'lost') return whichLot(stop, view, t('lost.which'), lostPad, () => false);
  if (view.state.panel === 'look') return lookPanel(stop, view);
  if (view.state.panel === 'note') return notePanel(stop.row, view);
  const none = !stop.lots.length;
  const water = () => view.act(() => takeReadings({ place: stop.row, quantities: ['temperature_c', 'ph', 'do_mg_l', 'ec_ms_cm', 'nitrate_n_mg_l', 'iron_mg_l'], species: speciesOfWater(stop.row.loop_id, data.stock), lastOf: (q) => readingOf(data.water, stop.code, q, clockNow().at) }));
  const some = (name, pad, main) => html`<button class="${main ? 'act-main' : 'act'} ${main === 'now' ? 'main' : ''}" ?disabled=${none} @click=${press(() => start(stop, view, name, pad))}>${t(name === 'harvest' ? 'round.harvest' : `act_at.${name}`)}</button>`;
  const look = html`<button class="act" @click=${press(() => view.open('look'))}>${t('act_at.look')}</button>`;
  const waterAct = html`<button class="act" @click=${press(water)}>${t('act_at.water')}</button>`;
  if (stop.row.role === 'germination') {
    return html`<div class="act-grid"><button class="act-main main" @click=${press(() => sowHere(stop, view))}>${t('act_at.sow')}</button>${some('move', movePad)}${some('lost', lostPad)}${look}</div>`;
  }
  if (stop.row.role === 'nursery') return html`<div class="act-grid">${some('move', movePad, 'now')}${some('lost', lostPad)}${waterAct}${look}</div>`;
  return html`<div class="act-grid">${some('harvest', harvestPad, stop.lots.some((l) => isReady(stop, l)) ? 'now' : 'later')}${some('lost', lostPad)}${waterAct}${look}</div>`;
}

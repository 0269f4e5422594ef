/* At a unit, a zone or any other place: its chores, water, solids where it collects them, and a note. */
import { cautionsOf } from '../cautions-of-kinds.js';
import { cautionsAt } from '../cautions.js';
import { readingOf } from '../day.js';
import { html, nothing, press, repeat } from '../dom.js';
import { enter } from '../enter.js';
import { age, asText, fromUnit, plain, saidUnit, toUnit } from '../format.js';
import { choiceWord, t } from '../i18n.js';
import { openPad } from '../forms/pad.js';
import { mark } from '../marks.js';
import { answerChore, answerText } from '../chore.js';
import { kindOf } from '../setup.js';
import { clockNow } from '../stops.js';
import { ALL, speciesOfWater, takeReadings } from '../water.js';
import { head, notePanel } from './at-parts.js';

const COLLECTS = new Set(['swirl_separator', 'settling', 'upflow_filter', 'mineralizer']);

/** The kinds that its list of the day shows, and by which field they name the place. */
export const LOGGED = [['water-tests', 'place_id'], ['solids', 'unit_id']];

/**
 * The stop that at.js draws there.
 * @param {{kind: string, row: object}} found the place @param {object[]} stops of the day @param {object} data as loadDay() gives it @returns {object}
 */
export function stopOf(found, stops) {
  return { row: found.row, kind: found.kind, code: found.row.code, chores: stops.filter((s) => s.sort === 'chore' && s.code === found.row.code) };
}

const chore = (view) => (c) => html`<div class="at-chore"><span class="grow"><b>${c.chore.title}</b> ${c.state === 'done' ? mark('ok', '✓', t('at.done', { age: age(c.last.at ?? `${c.last.day}T12:00:00Z`) })) : c.state === 'late' ? mark('red', '!', t('round.late')) : nothing}
  ${c.chore.caution ? html`<br>${mark('amber', '△', c.chore.caution)}` : nothing}${c.last?.answer ? html`<br><small>${t('round.last_answer', { answer: answerText(c.last.answer, c.chore), age: age(c.last.at ?? `${c.last.day}T12:00:00Z`) })}</small>` : nothing}</span>
  <button class=${c.state === 'done' ? '' : 'main'} @click=${press(() => view.act(() => answerChore(c)))}>${t(c.chore.answer === 'done' ? 'round.done_button' : 'round.answer_button')}</button></div>`;

/** What stands there, over the actions.  @param {object} stop of stopOf() @param {{open, act, state}} view of at.js */
export function facts(stop, view) {
  return html`${head(stop.row, [stop.row.name, stop.row.role ? choiceWord('role', stop.row.role) : ''].filter(Boolean).join(' · '))}
    ${cautionsAt(stop.kind, stop.row)}
    ${stop.chores.length ? repeat(stop.chores, (c) => c.id, chore(view)) : html`<p class="soft">${t('at.no_chores')}</p>`}`;
}

const asTyped = (volume) => asText({ text: plain(volume, 3), unit: saidUnit('L').unit });
const solidsPad = (stop, view) => view.act(() => openPad({
  title: t('solids.pad', { place: stop.code }), fields: [{ name: 'volume', label: t('field.volume_l'), unit: saidUnit('L').unit, low: 0, high: toUnit(saidUnit('L'), 1e7) }],
  saveLabel: ({ volume: v }) => (v === undefined ? t('act_at.solids') : t('solids.button', { volume: asTyped(v) })),
  save: ({ volume: v }) => enter('solids', { unit_id: stop.row.id, volume_l: fromUnit(saidUnit('L'), v) }, t('solids.said', { volume: asTyped(v), place: stop.code })),
}));

/**
 * What can be done there, or the panel that is open.  @param {object} stop of stopOf() @param {{open, act, state}} view of at.js @param {object} data as loadDay() gives it
 */
export function acts(stop, view, data) {
  if (view.state.panel === 'note') return notePanel(stop.row, view);
  const collects = stop.kind === 'units' && COLLECTS.has(stop.row.role) && kindOf('solids');
  return html`${collects ? cautionsOf('solids') : nothing}<div class="act-grid pairs">
    ${collects ? html`<button class="act-main" @click=${press(() => solidsPad(stop, view))}>${t('act_at.solids')}</button>` : nothing}
    <button class="act" @click=${press(() => view.act(() => takeReadings({ place: stop.row, quantities: ALL, species: speciesOfWater(stop.row.loop_id, data.stock), lastOf: (q) => readingOf(data.water, stop.code, q, clockNow().at) })))}>${t('act_at.water')}</button>
    <button class="act" @click=${press(() => view.open('note'))}>${t('note.title')}</button></div>`;
}

/* Parts that the places share: the head, the day's entries with Undo, panels of choices, the note for the next. */
import { withWaiting } from '../day.js';
import { html, nothing, press, repeat } from '../dom.js';
import { enter, takeBack } from '../enter.js';
import { age, asText, clock, mass, number, plain, reading, saidUnit, toUnit } from '../format.js';
import { choiceWord, fieldName, t } from '../i18n.js';
import { codeClass, footing, mark, measure } from '../marks.js';
import { find, kindOf, staffName } from '../setup.js';

/**
 * The code in large letters, what it is under it, and what stands at its side.  @param {object} row of the place @param {string} under @param {TemplateResult} [side]
 */
export const head = (row, under, side) => html`<div class="at-head"><div class="grow"><p class=${codeClass(row.code)}>${row.code}</p><p class="soft">${under}</p></div>${side ?? nothing}</div>`;

const OUT = new Set(['low', 'high', 'stop_low', 'stop_high']);

/** A reading in large figures with its age, its limits and its footing. */
export function bigReading(quantity, row) {
  if (!row) return html`<div class="big-reading"><span class="soft">${fieldName(quantity)}</span><span class="value">${footing('unknown')}</span><small>${t('at.never_measured')}</small></div>`;
  const out = !row.stale && OUT.has(row.state);
  const low = row.state?.endsWith('low');
  const limit = low ? row.low ?? row.low_stop : row.high ?? row.high_stop;
  return html`<div class="big-reading ${out ? 'out' : ''} ${row.stale ? 'stale' : ''}"><span class="soft">${fieldName(quantity)}</span>
    <span class="value">${out ? html`<span aria-hidden="true">${low ? '▼' : '▲'}</span> ` : nothing}${measure(reading(quantity, row.value, row.bound))}</span>
    <small>${out ? html`<b>${t(`water.state.${row.state}`)}</b>${limit != null ? html` · ${t('round.limit', { value: asText(reading(quantity, limit)) })}` : nothing} · ` : nothing}${row.stale ? t('at.not_known_since', { age: age(row.at) }) : age(row.at)}</small></div>`;
}

const readingsText = (entry) => kindOf('water-tests').fields.filter((f) => f.kind === 'real' && entry[f.name] !== undefined)
  .map((f) => `${t(`water.short.${f.name}`)} ${asText(reading(f.name, entry[f.name]))}`).join(' · ');
const SAYS = {
  feedings: (e) => t('round.fed', { amount: asText(mass(e.amount_g)) }) + (e.appetite ? `, ${choiceWord('appetite', e.appetite).toLocaleLowerCase()}` : ''),
  'fish-deaths': (e) => t('dead.line', { n: e.fish ?? 0, shown: e.fish === undefined ? asText(mass(e.weight_g)) : number(e.fish) }) + (e.cause ? `, ${choiceWord('cause', e.cause)}` : ''),
  'water-tests': readingsText,
  scoutings: (e) => [choiceWord('what', e.what), e.name, e.severity === undefined ? '' : t('look.severity_n', { n: e.severity }), e.note].filter(Boolean).join(' · '),
  solids: (e) => t('solids.line', { volume: asText({ text: plain(toUnit(saidUnit('L'), e.volume_l), 2), unit: saidUnit('L').unit }) }),
  harvests: (e) => t('harvest.line', { n: e.pieces ?? 0, shown: e.pieces === undefined ? asText(mass(e.weight_g)) : number(e.pieces) }),
  'crop-lots': (e) => t('sow.line', { n: number(e.cubes), code: e.code }),
  'crop-moves': (e) => t('move.line', { n: number(e.plants), to: find('beds', e.to_bed_id)?.code ?? '' }),
  'crop-losses': (e) => t('lost.line', { n: e.plants, shown: number(e.plants) }) + (e.cause ? `, ${choiceWord('cause', e.cause)}` : ''),
};

/** Today's entries at a place, newest first, with Undo in the row.  field: tank_id, bed_id, place_id ... */
export function log(place, kinds, data, view) {
  const rows = kinds.flatMap(([kind, field]) => withWaiting(kind, data.logged[kind] ?? []).filter((e) => e[field] === place.id).map((entry) => ({ kind, entry })))
    .sort((a, b) => ((b.entry.at ?? '') < (a.entry.at ?? '') ? -1 : 1));
  return html`<h2 class="at-sub">${t('at.today')}</h2>
    ${rows.length ? html`<ul class="at-log">${repeat(rows, (r) => r.entry.key, ({ kind, entry }) => html`<li>
      <span class="time">${entry.at ? clock(entry.at) : '–'}</span><span class="grow"><b>${SAYS[kind](entry)}</b> <small>${staffName(entry.staff_id) ?? ''}</small>
      ${entry.kept ? mark('amber', '◇', t(`state.${entry.kept}`)) : nothing}${entry.look ? mark('amber', '△', t('at.to_look_at')) : nothing}</span>
      <button class="quiet" @click=${press(() => view.act(() => takeBack(kind, entry.key)))}>${t('act.undo')}</button></li>`)}</ul>`
    : html`<p class="soft">${t('at.nothing_yet')}</p>`}`;
}

/** A panel in place of the actions: a title, Back, and what it holds. */
export const panel = (title, view, body, { skip = 'act.back' } = {}) => html`<div class="panel"><div class="panel-head"><h2>${title}</h2>
  <button class="quiet" @click=${press(() => view.open(null))}>${t(skip)}</button></div>${body}</div>`;

/** Choices as large buttons; take(word) is called once. */
export const wordChoices = (field, words, take) => html`<div class="choices">${words.map((word) => html`
  <button @click=${press(() => take(word))}>${choiceWord(field, word)}</button>`)}</div>`;

/** The words of a choice of a kind, [] before the set-up is there.  @param {string} kind @param {string} field @returns {string[]} */
export const wordsOf = (kind, field) => kindOf(kind)?.fields.find((f) => f.name === field)?.words ?? [];

/** A note that the next one reads: a handover at this place. */
export function notePanel(place, view) {
  const submit = (event) => {
    event.preventDefault();
    const what = event.target.what.value.trim();
    if (!what) return;
    view.act(async () => {
      await enter('handovers', { what, place_id: place.id }, t('note.said', { place: place.code }));
      view.open(null);
    });
  };
  return panel(t('note.title'), view, html`<form @submit=${submit}><label class="field"><span>${t('note.label')}</span><textarea name="what" rows="3" maxlength="2000" required></textarea></label>
    <button class="main wide">${t('act.save')}</button></form>`);
}

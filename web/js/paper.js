/*
 * The lines of a paper sheet, in walking order, and the entries that follow from what was written on one.  The sheet
 * (views/paper.js) and the screen on which it is typed (views/typing.js) are drawn from the same lines, so that they match.
 *
 * A line: {no, code, what, under, sort: tank | chore | bed, row, lot?, chore?, cells}.  A cell: {name, label, sort: mass | number | whole | answer | clock | place | by,
 * unit, hint, done}: hint is printed in the box, done says what is in the record already.
 */
import * as api from './api.js';
import { choreNow, minutesOf, withWaiting } from './day.js';
import { addDays, asText, mass, massAsShown, massFromUnit, massToUnit, massUnit, massUnits, number, quantityFromShown, quantityUnit, readNumber, shortDay, unitSign } from './format.js';
import { t } from './i18n.js';
import { harvestFacts } from './lots.js';
import { answerText } from './chore.js';
import { farm, list, place, walk } from './setup.js';
import { fromLocal } from './zone.js';

/** The sheets that there are: of a day, of the beds, and without a date. */
export const SHEETS = ['day', 'beds', 'blank'];
const READINGS = ['do_mg_l', 'temperature_c', 'ph'];
const CHORE_DAYS = 40;

/** Asks for what the lines of a day's sheet need. */
export async function loadPaper(sheet, day) {
  if (sheet === 'beds') return { sheet, day, facts: await harvestFacts() };
  const entries = (kind, from) => api.getAll(`/api/${kind}?from=${from}&to=${day}`);
  const [ration, stock, feedings, deaths, choresDone] = await Promise.all([
    api.get(`/api/reports/ration?day=${day}`), api.get('/api/reports/stock'), entries('feedings', day), entries('fish-deaths', day), entries('chores-done', addDays(day, -CHORE_DAYS)),
  ]);
  return { sheet, day, ration: ration.rows, stock: stock.rows, feedings: withWaiting('feedings', feedings), deaths: withWaiting('fish-deaths', deaths), choresDone: withWaiting('chores-done', choresDone) };
}

const time = (name, label = t('paper.time')) => ({ name, label, sort: 'clock' });
/* Each line ends with when and by whom. */
const signed = (cells) => [...cells, time('at'), { name: 'by', label: t('paper.by'), sort: 'by' }];

function feedCells(slot, data) {
  const planned = slot.amount_g > 0 ? massAsShown(slot.amount_g) : null;
  const unit = massUnit(planned ?? 1000);
  const fed = data.feedings.find((f) => f.tank_id === place(slot.tank)?.row.id && f.slot === slot.slot);
  const blank = data.sheet === 'blank';
  return [{
    name: `feed${slot.slot}`, label: t('paper.feed', { due: slot.due }), sort: 'mass', unit, slot, planned: blank ? null : planned,
    hint: blank ? '' : planned === null ? (slot.factor === 0 ? t('paper.no_feed') : '') : asText(mass(planned)), done: fed && !blank ? asText(mass(fed.amount_g)) : '',
  }, time(`feed${slot.slot}_at`, t('paper.at'))];
}

function tankLine({ row }, data) {
  const slots = data.ration.filter((r) => r.tank === row.code).sort((a, b) => a.slot - b.slot);
  const stock = data.stock.filter((r) => r.tank === row.code && r.fish > 0);
  const dead = data.deaths.filter((d) => d.tank_id === row.id).reduce((sum, d) => sum + d.fish, 0);
  const blank = data.sheet === 'blank';
  return {
    sort: 'tank', row, code: row.code, what: slots[0]?.feed ?? row.name ?? '', under: stock.length && !blank ? stock.map((r) => `${r.fish_lot} ${number(r.fish)}`).join(', ') : '',
    cells: signed([...slots.flatMap((slot) => feedCells(slot, data)),
      { name: 'dead', label: t('paper.dead'), sort: 'whole', done: dead && !blank ? number(dead) : '' },
      ...READINGS.map((q) => ({ name: q, label: t(`water.short.${q}`), sort: 'number', unit: unitSign(quantityUnit(q)), quantity: q }))]),
  };
}

function choreLine(chore, placed, data) {
  const done = data.choresDone.filter((d) => d.chore_id === chore.id && d.day === data.day).at(-1);
  const bounds = [chore.low, chore.high].every((v) => v !== undefined && v !== null) ? `${number(chore.low)}–${number(chore.high)}` : '';
  return {
    sort: 'chore', chore, row: placed?.row, code: placed?.row.code ?? '', what: chore.title, under: [chore.answer === 'choice' ? (chore.choices ?? '').split(';').map((w) => w.trim()).join(' / ') : '', chore.due_hour === undefined ? '' : t('paper.due', { hour: `${String(chore.due_hour).padStart(2, '0')}:00` })].filter(Boolean).join(' · '),
    cells: signed([['number', 'choice', 'text'].includes(chore.answer) ? { name: 'answer', label: t('paper.answer'), sort: chore.answer === 'number' ? 'number' : 'answer', unit: unitSign(chore.answer_unit), hint: bounds, done: done ? answerText(done.answer ?? t('paper.done'), chore) : '' }
      : { name: 'answer', label: t('paper.tick'), sort: 'tick', done: done ? t('paper.done') : '' }]),
  };
}

function dayLines(data) {
  const lines = [];
  const now = { minutes: 0, beginsHour: farm().day_begins_hour ?? 0 };
  const isDue = (chore) => data.sheet === 'blank' || choreNow(chore, data.choresDone.filter((d) => d.day <= data.day), data.day, now);
  const addChores = (placed) => {
    for (const chore of list('chores').filter((c) => (c.place_id ?? null) === (placed?.row.id ?? null) && isDue(c))) lines.push(choreLine(chore, placed, data));
  };
  addChores(null);
  for (const placed of walk()) {
    if (placed.kind === 'tanks') lines.push(tankLine(placed, data));
    addChores(placed);
  }
  return lines;
}

function bedLine(r, data) {
  const [, large] = massUnits();
  return {
    sort: 'bed', row: place(r.bed).row, lot: data.facts.lot(r.crop_lot), code: r.bed, what: r.variety, under: [r.crop_lot, t('at.plants', { n: r.plants, shown: number(r.plants) }), r.ready_on ? t('at.ready_on', { day: shortDay(r.ready_on) }) : ''].filter(Boolean).join(' · '),
    cells: signed([{ name: 'pieces', label: t('paper.pieces'), sort: 'whole' }, { name: 'weight', label: t('paper.weight'), sort: 'mass', unit: large },
      { name: 'lost', label: t('paper.lost'), sort: 'whole' }, { name: 'moved', label: t('paper.moved'), sort: 'whole' }, { name: 'to', label: t('paper.to'), sort: 'place' }]),
  };
}

function bedLines(data) {
  const order = new Map(walk().map(({ row }, i) => [row.code, i]));
  return data.facts.beds.filter((r) => r.plants > 0 && place(r.bed) && data.facts.lot(r.crop_lot))
    .sort((a, b) => order.get(a.bed) - order.get(b.bed) || a.from_m - b.from_m || a.crop_lot.localeCompare(b.crop_lot)).map((r) => bedLine(r, data));
}

/** The lines of a sheet, numbered from 1. */
export const linesOf = (data) => (data.sheet === 'beds' ? bedLines(data) : dayLines(data)).map((line, i) => ({ ...line, no: i + 1 }));

/** Letters for each person, unlike for each: Map of staff id to letters. */
export function initials(staff) {
  const letters = new Map();
  const taken = new Set();
  for (const person of staff) {
    const words = person.name.trim().split(/\s+/);
    let text = words.map((w) => w[0]).join('').toUpperCase();
    for (let n = 2; taken.has(text) && n <= person.name.length; n += 1) text = (words[0].slice(0, n) + (words[1]?.[0] ?? '')).toUpperCase();
    taken.add(text);
    letters.set(person.id, text);
  }
  return letters;
}

/* The person that letters or the beginning of a name mean; undefined when none or more than one. */
function personOf(text, staff) {
  const wanted = text.trim().toUpperCase();
  const letters = initials(staff);
  const exact = staff.filter((p) => letters.get(p.id) === wanted);
  const found = exact.length ? exact : staff.filter((p) => p.name.toUpperCase().startsWith(wanted));
  return found.length === 1 ? found[0] : undefined;
}

/* "7", "715", "7:15", "7.15" as "07:15"; null when it is no time. */
function readClock(text) {
  const parts = /^(\d{1,2})(?:[:.h]?([0-5]\d))?$/.exec(text.trim());
  if (!parts || Number(parts[1]) > 23) return null;
  return `${parts[1].padStart(2, '0')}:${parts[2] ?? '00'}`;
}

/* A clock of a farm's day as an instant: hours before the day begins belong to the next date. */
function instant(day, clock) {
  const begins = farm().day_begins_hour ?? 0;
  const date = minutesOf(clock, begins) + begins * 60 >= 1440 ? addDays(day, 1) : day;
  return fromLocal(`${date}T${clock}`, farm().time_zone ?? 'UTC');
}

const readMass = (text, cell) => (/^[=x]$/i.test(text) ? cell.planned : Number(massFromUnit(readNumber(text), cell.unit).toPrecision(12)));
const READERS = {
  mass: readMass,
  number: (text) => readNumber(text),
  whole: (text) => (/^\d+$/.test(text) ? Number(text) : NaN),
  answer: (text) => text,
  tick: (text) => (/^[x=✓1]$/i.test(text) ? true : NaN),
  clock: readClock,
  place: (text) => place(text.toUpperCase())?.row ?? place(text)?.row ?? null,
  by: (text) => personOf(text, list('staff')) ?? null,
};
const isWrong = (value) => value === null || value === undefined || Number.isNaN(value);

/* What was written in a line's cells, by name; errors names the cells that cannot be read. */
function readLine(line, typed) {
  const values = {};
  const errors = {};
  for (const cell of line.cells) {
    const text = (typed[cell.name] ?? '').trim();
    if (!text) continue;
    const value = READERS[cell.sort](text, cell);
    if (isWrong(value)) errors[cell.name] = t(`paper.wrong.${cell.sort}`);
    else values[cell.name] = value;
  }
  return { values, errors };
}

const given = (fields) => Object.fromEntries(Object.entries(fields).filter(([, v]) => v !== undefined));

function tankEntries(line, v, when, day) {
  const entries = [];
  for (const cell of line.cells.filter((c) => c.slot && v[c.name] !== undefined)) {
    const { slot } = cell;
    const feed = list('feeds').find((f) => f.name === slot.feed);
    entries.push({ kind: 'feedings', fields: given({ tank_id: line.row.id, feed_id: feed?.id, amount_g: v[cell.name], slot: slot.slot, planned_g: slot.amount_g ?? undefined, at: instant(day, v[`${cell.name}_at`] ?? slot.due) }) });
  }
  if (v.dead) entries.push({ kind: 'fish-deaths', fields: { tank_id: line.row.id, fish: v.dead, ...when } });
  const readings = READINGS.filter((q) => v[q] !== undefined);
  if (readings.length) entries.push({ kind: 'water-tests', fields: { place_id: line.row.id, ...Object.fromEntries(readings.map((q) => [q, quantityFromShown(q, v[q])])), ...when } });
  return entries;
}

function bedEntries(line, v, when, errors, newCode) {
  const entries = [];
  const lot = { crop_lot_id: line.lot.id };
  if (v.pieces !== undefined || v.weight !== undefined) {
    const code = newCode();
    entries.push({ kind: 'harvests', fields: given({ ...lot, bed_id: line.row.id, pieces: v.pieces, weight_g: v.weight, ...(code ? { code } : {}), ...when }) });
  }
  if (v.lost) entries.push({ kind: 'crop-losses', fields: { ...lot, bed_id: line.row.id, plants: v.lost, ...when } });
  if (v.moved !== undefined && !v.to) errors.to = t('paper.wrong.place');
  else if (v.to && !v.moved) errors.moved = t('paper.wrong.whole');
  else if (v.moved) entries.push({ kind: 'crop-moves', fields: { ...lot, from_bed_id: line.row.id, to_bed_id: v.to.id, plants: v.moved, ...when } });
  return entries;
}

/**
 * The entries that a line's writing means: {entries: [{kind, fields}], errors: {cell: why}, by}.  context: {day, by (whoever wrote the sheet), typist, newCode()}.
 * Each is signed by who wrote the line, and its note says that it came from paper and who typed it.
 */
export function entriesOf(line, typed, { day, by, typist, newCode }) {
  const { values: v, errors } = readLine(line, typed);
  const when = v.at ? { at: instant(day, v.at) } : { day };
  const writer = v.by ?? by;
  let entries = [];
  if (line.sort === 'tank') entries = tankEntries(line, v, when, day);
  else if (line.sort === 'bed') entries = bedEntries(line, v, when, errors, newCode);
  else if (v.answer !== undefined) entries = [{ kind: 'chores-done', fields: given({ chore_id: line.chore.id, answer: v.answer === true ? undefined : String(v.answer), ...when }) }];
  if (entries.length && !writer) errors.by = t('paper.wrong.by');
  const note = typist ? t('paper.note', { who: typist.name }) : t('paper.note_only');
  return { errors, entries: entries.map(({ kind, fields }) => ({ kind, fields: { ...fields, staff_id: writer?.id, note } })) };
}

/** What a planned amount is when it is typed out, for the cell's own unit. */
export const plannedText = (cell) => (cell.planned ? String(Number(massToUnit(cell.planned, cell.unit).toFixed(3))) : '');

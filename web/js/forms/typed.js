/*
 * What is typed into a field of a form against what the service takes: by the kind of the field, both ways, and in the
 * farm's units.  Pure but for the farm's zone and units and the reader's decimal sign.
 */
import { forTyping, fromUnit, readNumber, toUnit } from '../format.js';
import { farm } from '../setup.js';
import { choicesOf, labelOf, rowOf } from '../refs.js';
import { saidInRecord } from '../units.js';
import { fromLocal, toLocal } from '../zone.js';

const zone = () => farm().time_zone ?? 'Etc/UTC';
const AS_KEPT = { per: 1, zero: 0 };
const fault = (code, args = {}) => ({ error: { code, args } });

function reference(field, text) {
  const wanted = text.trim().toLocaleLowerCase();
  const all = choicesOf(field.refers_to);
  const found = all.find((c) => c.label.toLocaleLowerCase() === wanted) ?? all.find((c) => c.short.toLocaleLowerCase() === wanted)
    ?? all.find((c) => rowOf(field.refers_to, c.id)?.name?.toLocaleLowerCase() === wanted);
  return found ? { value: found.id } : fault('unknown_reference');
}
/* A limit as a person reads it, in the unit that the field asks in. */
const bound = (how, limit) => (limit === undefined ? limit : Number(toUnit(how, limit).toPrecision(6)));
function numeric(field, text, how = AS_KEPT) {
  const typed = readNumber(text.trim());
  if (Number.isNaN(typed)) return fault('not_a_number');
  const value = fromUnit(how, typed);
  if (field.kind === 'integer' && !Number.isInteger(value)) return fault('not_whole');
  if ((field.low !== undefined && value < field.low) || (field.high !== undefined && value > field.high)) return fault('out_of_range', { low: bound(how, field.low), high: bound(how, field.high) });
  return { value };
}
/* Money is typed as it is said, and kept in its hundredths. */
const isMoney = (field) => field.name.endsWith('_minor');
function money(field, text) {
  const amount = readNumber(text);
  const minor = Math.round(amount * 100);
  return Number.isNaN(amount) || Math.abs(amount * 100 - minor) > 1e-6 ? fault('not_money') : numeric(field, String(minor));
}
/* Of nets every second number is a weight, the others count fish. */
const eachOf = (field, values, change) => values.map((v, i) => (field.name === 'nets' && i % 2 === 0 ? v : change(v)));
function numbers(field, text, how) {
  const values = text.trim().split(/\s+/).map(readNumber);
  return values.some(Number.isNaN) ? fault('not_a_number') : { value: eachOf(field, values, (v) => fromUnit(how, v)) };
}
function time(text) {
  const at = fromLocal(text, zone());
  return at ? { value: at } : fault('not_a_time');
}

const READ = {
  reference, real: numeric, integer: numeric,
  numbers,
  time: (field, text) => time(text),
  clocks: (field, text) => ({ value: text.trim().split(/[\s,;]+/) }),
};

/**
 * Reads what stands in a field: {value}, {value: undefined} when nothing is given, or {error: {code, args}}.  typed is
 * text, an array for words, or true and false; quantity is what the row is about, where it names one.
 */
export function readTyped(field, typed, quantity) {
  if (field.kind === 'bool') return { value: typed ? true : undefined };
  if (field.kind === 'words') return { value: typed.length ? typed : undefined };
  const text = String(typed ?? '').trim();
  if (text === '') return field.required ? fault('required') : { value: undefined };
  if (isMoney(field)) return money(field, text);
  return (READ[field.kind] ?? ((f, value) => ({ value })))(field, text, saidInRecord(field, quantity));
}

/* What was typed comes back as it was; what was kept in another unit has digits without end, and shows six. */
const MOST_PLACES = 5;
function shortly(how, value) {
  const text = forTyping(toUnit(how, value));
  return how.per === 1 || (text.split(/[.,]/)[1] ?? '').length <= MOST_PLACES ? text : forTyping(Number(toUnit(how, value).toPrecision(6)));
}

const SHOW = {
  reference: (field, value) => choicesOf(field.refers_to).find((c) => c.id === value)?.label ?? labelOf(field.refers_to, value),
  real: (field, value, how) => shortly(how, value),
  integer: (field, value) => String(value),
  numbers: (field, value, how) => eachOf(field, value, (v) => toUnit(how, v)).map(forTyping).join(' '),
  clocks: (field, value) => value.join(' '),
  time: (field, value) => toLocal(value, zone()),
  words: (field, value) => value,
  bool: (field, value) => value,
};

/** How a value stands in its field; quantity as for readTyped. */
export function showTyped(field, value, quantity) {
  if (value === undefined || value === null) return field.kind === 'words' ? [] : field.kind === 'bool' ? false : '';
  if (isMoney(field)) return forTyping(value / 100);
  return (SHOW[field.kind] ?? ((f, v) => String(v)))(field, value, saidInRecord(field, quantity));
}

/*
 * What is typed into a field of a form against what the service takes: by the kind of the field, both ways.  Pure but
 * for the farm's zone and the reader's decimal sign.
 */
import { forTyping, readNumber } from '../format.js';
import { farm } from '../setup.js';
import { choicesOf, labelOf, rowOf } from '../refs.js';
import { fromLocal, toLocal } from '../zone.js';

const zone = () => farm().time_zone ?? 'Etc/UTC';
const fault = (code, args = {}) => ({ error: { code, args } });

function reference(field, text) {
  const wanted = text.trim().toLocaleLowerCase();
  const all = choicesOf(field.refers_to);
  const found = all.find((c) => c.label.toLocaleLowerCase() === wanted) ?? all.find((c) => c.short.toLocaleLowerCase() === wanted)
    ?? all.find((c) => rowOf(field.refers_to, c.id)?.name?.toLocaleLowerCase() === wanted);
  return found ? { value: found.id } : fault('unknown_reference');
}
function numeric(field, text) {
  const value = readNumber(text.trim());
  if (Number.isNaN(value)) return fault('not_a_number');
  if (field.kind === 'integer' && !Number.isInteger(value)) return fault('not_whole');
  if ((field.low !== undefined && value < field.low) || (field.high !== undefined && value > field.high)) return fault('out_of_range', { low: field.low, high: field.high });
  return { value };
}
/* Money is typed as it is said, and kept in its hundredths. */
const isMoney = (field) => field.name.endsWith('_minor');
function money(field, text) {
  const amount = readNumber(text);
  const minor = Math.round(amount * 100);
  return Number.isNaN(amount) || Math.abs(amount * 100 - minor) > 1e-6 ? fault('not_money') : numeric(field, String(minor));
}
function numbers(text) {
  const values = text.trim().split(/\s+/).map(readNumber);
  return values.some(Number.isNaN) ? fault('not_a_number') : { value: values };
}
function time(text) {
  const at = fromLocal(text, zone());
  return at ? { value: at } : fault('not_a_time');
}

const READ = {
  reference, real: numeric, integer: numeric,
  numbers: (field, text) => numbers(text),
  time: (field, text) => time(text),
  clocks: (field, text) => ({ value: text.trim().split(/[\s,;]+/) }),
};

/**
 * Reads what stands in a field: {value}, {value: undefined} when nothing is given, or {error: {code, args}}.  typed is
 * text, an array for words, or true and false.
 */
export function readTyped(field, typed) {
  if (field.kind === 'bool') return { value: typed ? true : undefined };
  if (field.kind === 'words') return { value: typed.length ? typed : undefined };
  const text = String(typed ?? '').trim();
  if (text === '') return field.required ? fault('required') : { value: undefined };
  if (isMoney(field)) return money(field, text);
  return (READ[field.kind] ?? ((f, value) => ({ value })))(field, text);
}

const SHOW = {
  reference: (field, value) => choicesOf(field.refers_to).find((c) => c.id === value)?.label ?? labelOf(field.refers_to, value),
  real: (field, value) => forTyping(value),
  integer: (field, value) => String(value),
  numbers: (field, value) => value.map(forTyping).join(' '),
  clocks: (field, value) => value.join(' '),
  time: (field, value) => toLocal(value, zone()),
  words: (field, value) => value,
  bool: (field, value) => value,
};

/** How a value stands in its field. */
export function showTyped(field, value) {
  if (value === undefined || value === null) return field.kind === 'words' ? [] : field.kind === 'bool' ? false : '';
  if (isMoney(field)) return forTyping(value / 100);
  return (SHOW[field.kind] ?? ((f, v) => String(v)))(field, value);
}

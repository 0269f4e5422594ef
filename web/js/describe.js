/* How the values of an entry are read, drawn from the dictionary: by the kind of the field, its unit and its words. */
import { asText, clock, farmDay, fullDay, mass, money, number, plain, reading, toUnit, unitSign } from './format.js';
import { choiceWord, fieldName, kindName, t } from './i18n.js';
import { kindOf } from './setup.js';
import { labelOf } from './refs.js';
import { saidInRecord } from './units.js';

/** The common fields of entries, which lists show apart or not at all. */
export const COMMON = new Set(['at', 'day', 'staff_id', 'incident_id', 'note', 'tablet_at', 'unsure', 'look', 'received_at', 'struck_at', 'struck_why']);
const READINGS = new Set(['temperature_c', 'ph', 'do_mg_l', 'tan_mg_l', 'nitrite_n_mg_l', 'nitrate_n_mg_l', 'alkalinity_mg_l', 'hardness_mg_l', 'chloride_mg_l', 'ec_ms_cm',
  'iron_mg_l', 'calcium_mg_l', 'potassium_mg_l', 'phosphate_p_mg_l', 'magnesium_mg_l', 'co2_mg_l', 'salinity_g_kg', 'turbidity_ntu']);

/** An instant by the farm's clock: "25 Nov 2026, 07:42". */
export const instant = (at) => `${fullDay(farmDay(at))}, ${clock(at)}`;

/* What was typed in this unit has at most three decimals; what comes from another has them without end. */
const readable = (value) => (Number(value.toFixed(3)) === value ? plain(value, 3) : plain(Math.abs(value) < 1 ? Number(value.toPrecision(3)) : Number(value.toFixed(2)), 6));

function realText(field, value, row) {
  if (READINGS.has(field.name)) return asText(reading(field.name, value));
  if (field.unit === 'g') return asText(mass(value));
  const how = saidInRecord(field, row?.quantity);
  return asText({ text: how.per === 1 ? plain(value, 4) : readable(toUnit(how, value)), unit: unitSign(how.unit) });
}
/* Of nets every second number is a weight, the others count fish. */
function numbersText(field, value) {
  const how = saidInRecord(field);
  return asText({ text: value.map((v, i) => (how.per === 1 ? plain(v, 4) : field.name === 'nets' && i % 2 === 0 ? plain(v) : readable(toUnit(how, v)))).join(' '), unit: unitSign(how.unit) });
}

const TEXTS = {
  reference: (field, value) => labelOf(field.refers_to, value),
  choice: (field, value) => choiceWord(field.name, value),
  words: (field, value) => value.map((word) => choiceWord(field.name, word)).join(', '),
  day: (field, value) => fullDay(value),
  time: (field, value) => instant(value),
  bool: (field, value) => t(value ? 'desk.yes' : 'desk.no'),
  real: realText,
  integer: (field, value) => asText({ text: number(value), unit: unitSign(field.unit) }),
  clocks: (field, value) => value.join(', '),
  numbers: numbersText,
};

/** A value of a field as text; nothing for what was not given.  row, where it is at hand, says what quantity a limit is of. */
export function valueText(field, value, row) {
  if (value === undefined || value === null || value === '') return '';
  if (field.name === 'of_kind') return kindName(value);
  if (field.name === 'field') return fieldName(value);
  if (field.name.endsWith('_minor')) return money(value);
  return (TEXTS[field.kind] ?? ((f, v) => String(v)))(field, value, row);
}

/** Is it set right, as numbers are? */
export const isNumeric = (field) => ['real', 'integer'].includes(field.kind);

/** When an entry happened, its instant or else its day. */
export const whenText = (entry) => (entry.at ? instant(entry.at) : entry.day ? fullDay(entry.day) : '');

/** The fields of an entry in one line, without the common ones and those in `leave`. */
export function entryText(kindName, entry, leave = []) {
  const fields = kindOf(kindName)?.fields ?? [];
  return fields.filter((f) => !COMMON.has(f.name) && !leave.includes(f.name) && entry[f.name] !== undefined && entry[f.name] !== '')
    .map((f) => (f.kind === 'reference' || f.kind === 'choice' ? valueText(f, entry[f.name]) : `${fieldName(f.name)} ${valueText(f, entry[f.name], entry)}`)).join(' · ');
}


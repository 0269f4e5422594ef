/*
 * Readings by the pad, one after another, and the marks that a reading gets from the limits of what lives there.
 */
import { enter, enterAll } from './enter.js';
import { age, asText, plain, quantityDecimals, quantityFromShown, quantityToShown, quantityUnit, reading, unitSign } from './format.js';
import { fieldName, t } from './i18n.js';
import { openPad } from './forms/pad.js';
import { mark } from './marks.js';
import { kindOf, list } from './setup.js';

/** What is read at every tank each day. */
export const DAILY = ['do_mg_l', 'temperature_c', 'ph'];
/** What the pad of a place asks for, in this order. */
export const ALL = [...DAILY, 'tan_mg_l', 'nitrite_n_mg_l', 'nitrate_n_mg_l', 'alkalinity_mg_l', 'ec_ms_cm'];

const WIDEST = { low_stop: Math.max, low: Math.max, high: Math.min, high_stop: Math.min };

/**
 * Whose limits hold for a reading outside the tanks: what lives in the same water.
 * @param {number} [loopId] of the place @param {object[]} stock rows of report stock @returns {string[]} names of species
 */
export function speciesOfWater(loopId, stock) {
  const codes = list('tanks').filter((tank) => tank.loop_id === loopId).map((tank) => tank.code);
  return [...new Set(stock.filter((row) => codes.includes(row.tank)).map((row) => row.species))];
}

/* The tightest limits of a quantity over the species named; members that none has are left out. */
function limitsFor(quantity, speciesNames) {
  const ids = list('species').filter((s) => speciesNames.includes(s.name)).map((s) => s.id);
  const rows = list('species-limits').filter((l) => l.quantity === quantity && ids.includes(l.species_id));
  const limits = {};
  for (const [name, pick] of Object.entries(WIDEST)) {
    const values = rows.map((r) => r[name]).filter((v) => v !== undefined && v !== null);
    if (values.length) limits[name] = pick(...values);
  }
  return limits;
}

/** stop_low, low, ok, high, stop_high of a value against limits. */
export function stateOf(value, limits) {
  if (value <= limits.low_stop) return 'stop_low';
  if (value >= limits.high_stop) return 'stop_high';
  if (value < limits.low) return 'low';
  if (value > limits.high) return 'high';
  return 'ok';
}

/** The mark of a state, with its word; nothing for ok. */
export function stateMark(state) {
  if (!state || state === 'ok' || state === 'unknown') return '';
  const low = state.endsWith('low');
  return mark(state.startsWith('stop') ? 'red' : 'amber', low ? '▼' : '▲', t(`water.state.${state}`));
}

function padField(quantity, last, limits) {
  const range = kindOf('water-tests')?.fields.find((f) => f.name === quantity);
  const shown = (v) => Number(quantityToShown(quantity, v).toFixed(6));
  const words = [limits.low !== undefined ? t('water.from', { value: plain(shown(limits.low)) }) : '', limits.high !== undefined ? t('water.to', { value: plain(shown(limits.high)) }) : ''];
  return {
    name: quantity, label: fieldName(quantity), unit: unitSign(quantityUnit(quantity)), 
    low: range?.low === undefined ? undefined : shown(range.low), high: range?.high === undefined ? undefined : shown(range.high),
    last: last ? { value: Number(quantityToShown(quantity, last.value).toFixed(quantityDecimals(quantity))), text: `${asText(reading(quantity, last.value, last.bound))}, ${age(last.at)}` } : undefined,
    note: words.some(Boolean) ? t('water.limits', { words: words.filter(Boolean).join(' ') }) : undefined,
    check: (value) => stateMark(stateOf(quantityFromShown(quantity, value), limits)),
  };
}

/**
 * A sweep: one quantity through all places named, one after another.  places: [{row, last, species}].  Each
 * reading is an entry of its own; the undo bar takes back the whole sweep.
 */
export function sweep(quantity, places) {
  const fields = places.map(({ row, last, species }) => ({ ...padField(quantity, last, limitsFor(quantity, species)), name: row.code, label: row.code }));
  return openPad({
    title: t('water.sweep_pad', { what: fieldName(quantity) }),
    fields,
    saveLabel: (values) => t('water.save', { n: Object.keys(values).length }),
    save: (values) => enterAll(Object.entries(values).map(([code, value]) => ({
      kind: 'water-tests', fields: { place_id: places.find((p) => p.row.code === code).row.id, [quantity]: quantityFromShown(quantity, value) },
    })), t('water.swept', { what: fieldName(quantity), n: Object.keys(values).length })),
  });
}

/**
 * Takes readings at a place.  lastOf(quantity) -> row of reports/water or null; species: names of what lives there.
 */
export function takeReadings({ place, quantities = ALL, lastOf, species = [] }) {
  const wanted = quantities.filter((q) => kindOf('water-tests')?.fields.some((f) => f.name === q));
  return openPad({
    title: t('water.pad', { place: place.code }),
    fields: wanted.map((q) => padField(q, lastOf(q), limitsFor(q, species))),
    saveLabel: (values) => t('water.save', { n: Object.keys(values).length }),
    save: (values) => {
      const fields = Object.fromEntries(Object.entries(values).map(([q, v]) => [q, quantityFromShown(q, v)]));
      const said = Object.entries(fields).map(([q, v]) => `${t(`water.short.${q}`)} ${asText(reading(q, v))}`).join(', ');
      return enter('water-tests', { place_id: place.id, ...fields }, `${place.code}: ${said}`);
    },
  });
}

/*
 * The units in which a farm reads and types: metric as the service has them, or those of the United States.  For what calculators ask and
 * give, for the fields of the record, and for what forms keep: the service has SI, a form what a person typed.  Pure but for the farm's choice.
 *
 * Left metric on every farm: feed per planted area (its bands are published in g/m2 a day), pellets in mm, what kits and meters of water read,
 * and degree-days of a withdrawal, which stand on the label.
 */
import { fromUnit, GRAMS_PER_LB as LB, isUs, LITRES_PER_GAL as GAL, saidUnit, toUnit } from './format.js';

/* Those that only fields and calculators have; the others stand in format.js. */
const MORE = {
  'L/day': { unit: 'gal/day', per: GAL },
  'L/min': { unit: 'gal/min', per: GAL },
  kg: { unit: 'lb', per: LB / 1000 },
  cm: { unit: 'in', per: 2.54 },
  hPa: { unit: 'inHg', per: 33.8638864034 },
  'degC day': { unit: '°F·d', per: 1 / 1.8 },
};
const POUNDS = { unit: 'lb', per: LB };
const OUNCES = { unit: 'oz', per: LB / 16 };
const INCHES = { unit: 'in', per: 25.4 };
const fields = (names, unit) => Object.fromEntries(names.map((name) => [name, unit]));

/* In calculators what feed and stock weigh is said in pounds, single fish in ounces; doses and loads as scales of both kinds of farm show them. */
const OF_CALCULATORS = {
  ...fields(['feed_g', 'start_g', 'end_g', 'added_g', 'removed_g', 'dead_g', 'uneaten_g', 'gain_g'], POUNDS),
  ...fields(['weight_g', 'weight1_g', 'weight2_g', 'to_weight_g', 'mean_weight_g'], OUNCES),
};
/* In the record too, where weight_g is that of all fish together. */
const OF_RECORD = {
  ...fields(['market_weight_g', 'weight_from_g', 'mean_weight_g', 'head_weight_g', 'scoop_g', 'weights_g'], OUNCES),
  nets: POUNDS, lengths_mm: INCHES,
};
const METRIC = new Set(['withdrawal_degree_days']);
const OF_UNITS = { ...MORE, g: POUNDS, 'g/day': { unit: 'lb/day', per: LB } };
/* Of fields that hold a list the dictionary has no unit. */
const LISTS = { nets: 'g', weights_g: 'g', lengths_mm: 'mm' };
/* What is said in the unit of the quantity that the row is about. */
const BOUNDS = new Set(['low_stop', 'low', 'high', 'high_stop', 'value']);
const unitOfQuantity = (quantity = '') => (quantity === 'temperature_c' ? 'degC' : quantity.endsWith('_mg_l') ? 'mg/L' : { ec_ms_cm: 'mS/cm', salinity_g_kg: 'g/kg', saturation_pct: '%' }[quantity]);

/** How a field of a calculator is said here, as saidUnit() has it.  @param {object} field @returns {{unit: string, per: number, zero: number}} */
export function said(field) {
  const how = saidUnit(field.unit);
  return isUs() ? { ...how, ...(OF_CALCULATORS[field.name] ?? MORE[field.unit]) } : how;
}

/** The same of a field of the record.  @param {object} field @param {string} [quantity] what the row is about, where it names one @returns {{unit: string, per: number, zero: number}} */
export function saidInRecord(field, quantity) {
  const unit = field.unit ?? LISTS[field.name] ?? (BOUNDS.has(field.name) ? unitOfQuantity(quantity) : undefined);
  if (METRIC.has(field.name)) return { unit, per: 1, zero: 0 };
  const how = saidUnit(unit);
  return isUs() ? { ...how, ...(OF_RECORD[field.name] ?? OF_UNITS[unit]) } : how;
}

/* The end of a name that says its unit, the longest first. */
const BY_NAME = [['_g_m2_day', 'g/m2/day'], ['_kg_m3', 'kg/m3'], ['_mg_l', 'mg/L'], ['_l_day', 'L/day'], ['_l_min', 'L/min'], ['_g_day', 'g/day'], ['_g_kg', 'g/kg'], ['_pct', '%'], ['_m2', 'm2'], ['_min', 'min'], ['_days', 'days'], ['_c', 'degC'], ['_l', 'L'], ['_m', 'm'], ['_h', 'h']];
/** The unit of a figure that has only its name: "length_m" is in m.  @param {string} name @returns {string|undefined} */
export const unitByName = (name) => BY_NAME.find(([end]) => name.endsWith(end))?.[1];

/** A value of a calculator's field as it is shown.  @param {object} field @param {number} value @returns {number} */
export const toShown = (field, value) => toUnit(said(field), value);
/** What was typed into one, in the service's unit.  @param {object} field @param {number} shown @returns {number} */
export const fromShown = (field, shown) => fromUnit(said(field), shown);

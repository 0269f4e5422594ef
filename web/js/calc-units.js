/*
 * The units in which a farm reads and types what calculators ask and give: metric as the service has them, or those of the
 * United States.  Pure; the factors are those of the service's own "units" (NIST SP 811).
 */
import { isUs } from './format.js';

const LB = 453.59237; // g
const GAL = 3.785411784; // L
const FT = 0.3048; // m
const US = {
  degC: { unit: 'degF', per: 1 / 1.8, zero: 32 },
  L: { unit: 'gal', per: GAL },
  kg: { unit: 'lb', per: LB / 1000 },
  'kg/m3': { unit: 'lb/gal', per: LB / GAL },
  m: { unit: 'ft', per: FT },
  cm: { unit: 'in', per: 2.54 },
  m2: { unit: 'ft²', per: FT * FT },
  'g/m2/day': { unit: 'g/ft²/d', per: 1 / (FT * FT) },
  hPa: { unit: 'inHg', per: 33.8638864034 },
  'degC day': { unit: '°F·d', per: 1 / 1.8 },
};
/* What feed and stock weigh is said in pounds; single fish in ounces; doses and loads as scales of both kinds of farm show them. */
const MASSES = ['feed_g', 'start_g', 'end_g', 'added_g', 'removed_g', 'dead_g', 'uneaten_g', 'gain_g'];
const FISH = ['weight_g', 'weight1_g', 'weight2_g', 'to_weight_g', 'mean_weight_g'];
const OF_FIELD = {
  ...Object.fromEntries(MASSES.map((name) => [name, { unit: 'lb', per: LB }])),
  ...Object.fromEntries(FISH.map((name) => [name, { unit: 'oz', per: LB / 16 }])),
};

/** How a field is said here: {unit, per, zero}, where value = (shown - zero) x per. */
export function said(field) {
  const metric = { unit: field.unit, per: 1, zero: 0 };
  return isUs() ? { ...metric, ...(OF_FIELD[field.name] ?? US[field.unit]) } : metric;
}
const tidy = (value) => Number(value.toPrecision(12)); // 77 °F is 25 °C, not 25.000000000000004
/**
 * A value in the service's unit as the reader's farm says it.
 * @param {{name: string, unit: string}} field of a calculator @param {number} value @returns {number} rounded to 12 digits
 */
export const toShown = (field, value) => { const { per, zero } = said(field); return tidy(value / per + zero); };
/**
 * What was typed in the reader's unit, in the service's.
 * @param {{name: string, unit: string}} field of a calculator @param {number} shown @returns {number} rounded to 12 digits; NaN stays NaN
 */
export const fromShown = (field, shown) => { const { per, zero } = said(field); return tidy((shown - zero) * per); };

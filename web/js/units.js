/*
 * The units in which a farm reads and types: metric as the service has them, or those of the United States.  For what calculators ask and
 * give, for the fields of the record, and for what forms keep: the service has SI, a form what a person typed.  Pure but for the farm's choice.
 *
 * Left metric on every farm: feed per planted area (its bands are published in g/m2 a day), pellets in mm, what kits and meters of water read,
 * and degree-days of a withdrawal, which stand on the label.
 */
import { GRAMS_PER_LB as LB, isUs, LITRES_PER_GAL as GAL, METRES_PER_FT as FT } from './format.js';

const US = {
  degC: { unit: 'degF', per: 1 / 1.8, zero: 32 },
  L: { unit: 'gal', per: GAL },
  'L/day': { unit: 'gal/day', per: GAL },
  'L/min': { unit: 'gal/min', per: GAL },
  kg: { unit: 'lb', per: LB / 1000 },
  'kg/m3': { unit: 'lb/gal', per: LB / GAL },
  m: { unit: 'ft', per: FT },
  cm: { unit: 'in', per: 2.54 },
  m2: { unit: 'ft²', per: FT * FT },
  '1/m2': { unit: '1/ft²', per: 1 / (FT * FT) },
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
const OF_UNITS = { ...US, g: POUNDS, 'g/day': { unit: 'lb/day', per: LB } };
/* Of fields that hold a list the dictionary has no unit. */
const LISTS = { nets: 'g', weights_g: 'g', lengths_mm: 'mm' };
/* What is said in the unit of the quantity that the row is about. */
const BOUNDS = new Set(['low_stop', 'low', 'high', 'high_stop', 'value']);
const unitOfQuantity = (quantity = '') => (quantity === 'temperature_c' ? 'degC' : quantity.endsWith('_mg_l') ? 'mg/L' : { ec_ms_cm: 'mS/cm', salinity_g_kg: 'g/kg', saturation_pct: '%' }[quantity]);

/** How a field of a calculator is said here: {unit, per, zero}, where value = (shown - zero) x per. */
export function said(field) {
  const metric = { unit: field.unit, per: 1, zero: 0 };
  return isUs() ? { ...metric, ...(OF_CALCULATORS[field.name] ?? US[field.unit]) } : metric;
}

/** The same of a field of the record; `quantity` is what the row is about, where it names one. */
export function saidInRecord(field, quantity) {
  const unit = field.unit ?? LISTS[field.name] ?? (BOUNDS.has(field.name) ? unitOfQuantity(quantity) : undefined);
  const metric = { unit, per: 1, zero: 0 };
  return isUs() && !METRIC.has(field.name) ? { ...metric, ...(OF_RECORD[field.name] ?? OF_UNITS[unit]) } : metric;
}

/* 77 °F is 25 °C, not 25.000000000000004; near its zero a degree has fewer digits. */
const DIGITS = 12;
const PLACES = 8;
const tidy = (value, zero) => Number((zero ? Number(value.toFixed(PLACES)) : value).toPrecision(DIGITS));
/** SI to what is shown, and what was typed to SI; `how` as said() gives it.  What has at most nine digits comes back as it was typed. */
export const toUnit = ({ per, zero }, value) => (per === 1 && !zero ? value : tidy(value / per + zero, zero));
export const fromUnit = ({ per, zero }, shown) => (per === 1 && !zero ? shown : Number(((shown - zero) * per).toPrecision(DIGITS)));

export const toShown = (field, value) => toUnit(said(field), value);
export const fromShown = (field, shown) => fromUnit(said(field), shown);

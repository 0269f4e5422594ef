/*
 * How numbers, units, days and times are written: the farm's units and time zone, the reader's language.
 * It formats and reads back what was typed; it computes nothing of the farm.
 */
import { dayAt } from './farm-day.js';
import { getLanguage, t } from './i18n.js';

const settings = { units: 'si', timeZone: undefined, dayBeginsHour: 0, currency: 'EUR' };

/** Takes units, zone, hour at which the day begins and currency from the farm; setup.js calls it whenever the set-up was loaded.  @param {object} farm */
export function setFarm(farm) {
  settings.units = farm.units ?? 'si';
  settings.timeZone = farm.time_zone;
  settings.dayBeginsHour = farm.day_begins_hour ?? 0;
  settings.currency = farm.currency ?? 'EUR';
}
/** Whether the farm reads US customary units.  @returns {boolean} */
export const isUs = () => settings.units === 'us';

/* Which manner of a language: 25 November and 1,42 where units are metric, November 25 and 1.42 where they are not. */
const LOCALES = { en: { si: 'en-GB', us: 'en-US' }, es: { si: 'es-ES', us: 'es-US' } };
/** The reader's language in the manner of the farm's units, for Intl: en-GB, en-US, es-ES, es-US.  @returns {string} */
export const locale = () => LOCALES[getLanguage()]?.[settings.units] ?? getLanguage();

const cache = new Map();
function numberFormat(options) {
  const key = locale() + JSON.stringify(options);
  if (!cache.has(key)) cache.set(key, new Intl.NumberFormat(locale(), options));
  return cache.get(key);
}
function dateFormat(options, language = locale()) { // one costs milliseconds to make
  const given = { timeZone: settings.timeZone, ...options };
  const key = `d${language}${JSON.stringify(given)}`;
  if (!cache.has(key)) cache.set(key, new Intl.DateTimeFormat(language, given));
  return cache.get(key);
}

/** Stands where a figure is not known. */
export const DASH = '–';
/** A number with exactly so many decimals; the dash for what is not known.  @param {number|null|undefined} value @param {number} decimals @returns {string} */
export const number = (value, decimals = 0) => (value === null || value === undefined || Number.isNaN(value)
  ? DASH
  : numberFormat({ minimumFractionDigits: decimals, maximumFractionDigits: decimals }).format(value));
/** Up to so many decimals, without zeros at the end: for what a person typed. */
export const plain = (value, decimals = 6) => numberFormat({ maximumFractionDigits: decimals }).format(value);
/** A whole number or one with decimals as typed, comma or point; NaN when it is none. */
export const readNumber = (text) => (/^-?(\d+([.,]\d*)?|[.,]\d+)$/.test(text) ? Number(text.replace(',', '.')) : NaN);
/** A value as it would be typed: no grouping, the reader's decimal sign. */
export const forTyping = (value) => String(Number(value.toPrecision(9))).replace('.', decimalSign());
/** The sign that the reader types before decimals: point or comma.  @returns {string} */
export const decimalSign = () => numberFormat({ minimumFractionDigits: 1 }).format(0.5)[1];

/*
 * Quantities.  A measure is {text, unit}: the unit always stands beside the number.
 */
/** A pound in grams, as everything here of NIST SP 811, exact. */
export const GRAMS_PER_LB = 453.59237;
/** A gallon of the United States in litres. */
export const LITRES_PER_GAL = 3.785411784;
/** A foot in metres. */
export const METRES_PER_FT = 0.3048;
/* What stands for a unit of the service on a farm of the United States; units.js says which field is said in which. */
const US = {
  degC: { unit: 'degF', per: 1 / 1.8, zero: 32 },
  L: { unit: 'gal', per: LITRES_PER_GAL },
  'kg/m3': { unit: 'lb/gal', per: GRAMS_PER_LB / LITRES_PER_GAL },
  m: { unit: 'ft', per: METRES_PER_FT },
  m2: { unit: 'ft²', per: METRES_PER_FT ** 2 },
  '1/m2': { unit: '1/ft²', per: METRES_PER_FT ** -2 },
};
/** How a unit of the service is said here, where value = (shown - zero) x per.  @param {string} [unit] @returns {{unit: string, per: number, zero: number}} */
export const saidUnit = (unit) => ({ unit, per: 1, zero: 0, ...(isUs() ? US[unit] : {}) });

/* 77 °F is 25 °C, not 25.000000000000004; near its zero a degree has fewer digits. */
const DIGITS = 12;
const PLACES = 8;
const isSame = ({ per, zero }) => per === 1 && zero === 0;
/** A value of the service in the unit that it is said in.  @param {{per: number, zero: number}} how of saidUnit() @param {number} value @returns {number} */
export function toUnit(how, value) {
  if (isSame(how)) return value;
  const shown = value / how.per + how.zero;
  return Number((how.zero ? Number(shown.toFixed(PLACES)) : shown).toPrecision(DIGITS));
}
/** What was typed, in the service's unit; toUnit() gives up to nine digits of it back as they were.  @param {{per: number, zero: number}} how @param {number} shown @returns {number} */
export const fromUnit = (how, shown) => (isSame(how) ? shown : Number(((shown - how.zero) * how.per).toPrecision(DIGITS)));

/** A figure of the service as a measure in the farm's unit.  @param {string} unit the service's @param {number|null} value @param {number} [decimals] @returns {{text: string, unit: string}} */
export function inUnit(unit, value, decimals = 0) {
  const how = saidUnit(unit);
  return { text: value === null || value === undefined ? DASH : number(toUnit(how, value), decimals), unit: unitSign(how.unit) };
}
const GRAMS_PER_OZ = GRAMS_PER_LB / 16;
const MASS_UNITS = {
  g: { grams: 1, decimals: 0, fine: 10 }, kg: { grams: 1000, decimals: 2 },
  oz: { grams: GRAMS_PER_OZ, decimals: 1, fine: GRAMS_PER_OZ }, lb: { grams: GRAMS_PER_LB, decimals: 2 },
};
/* Of a small unit one decimal more where the mass is small: fry of 6.1 g, or 0.22 oz. */
const placesOf = (unit, grams) => MASS_UNITS[unit].decimals + (grams !== 0 && Math.abs(grams) < MASS_UNITS[unit].fine ? 1 : 0);
const massPair = () => (isUs() ? ['oz', 'lb'] : ['g', 'kg']);
/** The farm's two units of mass, the small one first: g and kg, or oz and lb.  @returns {[string, string]} */
export const massUnits = massPair;

/** The unit in which a mass is said: the large one from 1 kg or 1 lb up. */
export function massUnit(grams) {
  const [small, large] = massPair();
  return Math.abs(grams) >= MASS_UNITS[large].grams * 0.9995 ? large : small;
}
/**
 * A mass in a unit that is given; decimals as usual for it unless given.
 * @param {number} grams @param {string} unit g, kg, oz or lb @param {number} [decimals] @returns {{text: string, unit: string}}
 */
export function massIn(grams, unit, decimals) {
  const { grams: per } = MASS_UNITS[unit];
  const places = decimals ?? placesOf(unit, grams);
  return { text: number(grams / per, places), unit };
}
/** As number and unit in one text, for sentences and buttons. */
export const asText = ({ text, unit }) => (unit ? `${text}\u00a0${unit}` : text);
/** A mass in the unit that fits it; the dash when it is not known.  @param {number|null|undefined} grams @returns {{text: string, unit: string}} */
export function mass(grams) {
  if (grams === null || grams === undefined) return { text: DASH, unit: '' };
  return massIn(grams, massUnit(grams));
}
/** Biomass and stores: kilograms or pounds, no decimals from 100 up. */
export function bigMass(grams) {
  if (grams === null || grams === undefined) return { text: DASH, unit: '' };
  const large = massPair()[1];
  return massIn(grams, large, Math.abs(grams) / MASS_UNITS[large].grams >= 100 ? 0 : 1);
}
/** @param {number} grams @param {string} unit g, kg, oz or lb @returns {number} the mass in that unit, not rounded */
export const massToUnit = (grams, unit) => grams / MASS_UNITS[unit].grams;
/** @param {number} value in the unit @param {string} unit g, kg, oz or lb @returns {number} grams, not rounded */
export const massFromUnit = (value, unit) => value * MASS_UNITS[unit].grams;
/** The mass that a button shows, in grams: what is logged is what was read. */
export function massAsShown(grams) {
  const unit = massUnit(grams);
  const places = placesOf(unit, grams);
  return Number(massFromUnit(Number(massToUnit(grams, unit).toFixed(places)), unit).toPrecision(12));
}

const DECIMALS = {
  temperature_c: 1, ph: 1, do_mg_l: 1, saturation_pct: 0, tan_mg_l: 2, nh3_n_mg_l: 3, nitrite_n_mg_l: 2,
  nitrate_n_mg_l: 0, alkalinity_mg_l: 0, hardness_mg_l: 0, chloride_mg_l: 0, ec_ms_cm: 2, iron_mg_l: 2,
  calcium_mg_l: 0, potassium_mg_l: 0, phosphate_p_mg_l: 1, magnesium_mg_l: 0, co2_mg_l: 0, salinity_g_kg: 1,
  turbidity_ntu: 1,
};
const UNIT_OF = {
  temperature_c: 'degC', ph: '', saturation_pct: '%', ec_ms_cm: 'mS/cm', salinity_g_kg: 'g/kg', turbidity_ntu: 'NTU',
};
/** How a unit is written on screen; units of the dictionary are plain ASCII. */
export function unitSign(unit) {
  const signs = { degC: '°C', degF: '°F', '%/day': t('unit.pct_day'), days: t('unit.days'), m2: 'm²', 'kg/m3': 'kg/m³',
    'g/m2/day': t('unit.g_m2_day'), 'mol/m2/day': t('unit.mol_m2_day'), 'umol/m2/s': 'µmol/m²/s', '1/m2': '1/m²',
    'degC day': t('unit.degree_days'), 'L/day': t('unit.l_day'), 'g/day': t('unit.g_day'), 'lb/day': t('unit.lb_day'), 'gal/day': t('unit.gal_day'), deg: '°' };
  return signs[unit] ?? unit ?? '';
}

/** How many decimals a reading is shown with.  @param {string} quantity a field of water-tests @returns {number} */
export const quantityDecimals = (quantity) => DECIMALS[quantity] ?? 2;
const saidQuantity = (quantity) => saidUnit(UNIT_OF[quantity] ?? 'mg/L');
/**
 * The unit in which the farm reads a quantity, as the dictionary writes units; unitSign() writes it for the screen.  @param {string} quantity @returns {string}
 */
export const quantityUnit = (quantity) => saidQuantity(quantity).unit;
/**
 * A reading in the farm's unit: only temperatures of a US farm differ.  @param {string} quantity @param {number} value degC or the service's unit @returns {number}
 */
export const quantityToShown = (quantity, value) => toUnit(saidQuantity(quantity), value);
/**
 * What was read in the farm's unit, in the service's.  @param {string} quantity @param {number} value @returns {number} rounded to 12 digits where it is converted
 */
export const quantityFromShown = (quantity, value) => fromUnit(saidQuantity(quantity), value);

/** A reading; `bound` below or above says that the kit read its limit. */
export function reading(quantity, value, bound) {
  const sign = { below: '< ', above: '> ' }[bound] ?? '';
  if (value === null || value === undefined) return { text: DASH, unit: '' };
  return {
    text: sign + number(quantityToShown(quantity, value), quantityDecimals(quantity)),
    unit: unitSign(quantityUnit(quantity)),
  };
}

/*
 * Days and times.
 */
/** This tablet's clock.  @returns {Date} */
export const now = () => new Date(Date.now());
/** The clock on the wall of the farm: "07:58".  @param {Date|string|number} at @returns {string} */
export const clock = (at) => dateFormat({ hour: '2-digit', minute: '2-digit', hourCycle: 'h23' }).format(new Date(at));

/** The farm's day of an instant as YYYY-MM-DD: it begins at the farm's own hour. */
export const farmDay = (at = now()) => dayAt(new Date(at).getTime(), settings.dayBeginsHour, settings.timeZone);
/** Hours and minutes of the farm's clock, "07:58", for comparing with a plan's times. */
export const farmClock = (at = now()) => clock(at);

/** The farm day n days after another; n may be below 0.  @param {string} day YYYY-MM-DD @param {number} n whole days @returns {string} */
export function addDays(day, n) {
  const d = new Date(`${day}T12:00:00Z`);
  d.setUTCDate(d.getUTCDate() + n);
  return d.toISOString().slice(0, 10);
}
/** Whole days from one farm day to another; below 0 when it lies before.  @param {string} from YYYY-MM-DD @param {string} to YYYY-MM-DD @returns {number} */
export const daysBetween = (from, to) => Math.round((new Date(`${to}T12:00:00Z`) - new Date(`${from}T12:00:00Z`)) / 864e5);

const dayFormat = (options) => (day) => (day
  ? dateFormat({ timeZone: 'UTC', ...options }).format(new Date(`${day}T12:00:00Z`))
  : DASH);
/** "Thursday 26 November".  @param {string} day YYYY-MM-DD; the dash without one @returns {string} */
export const longDay = dayFormat({ weekday: 'long', day: 'numeric', month: 'long' });
const shortDayParts = dayFormat({ day: 'numeric', month: 'short' });
/** "25 Nov", never broken over two lines. */
export const shortDay = (day) => shortDayParts(day).replaceAll(' ', '\u00a0');
/** "Thursday". */
export const weekday = dayFormat({ weekday: 'long' });
/** "26 Nov 2026".  @param {string} day YYYY-MM-DD; the dash without one @returns {string} */
export const fullDay = dayFormat({ day: 'numeric', month: 'short', year: 'numeric' });

/** "12 min ago", "yesterday 18:40", "21 Nov". */
export function age(at, from = now()) {
  const minutes = Math.max(0, Math.round((from - new Date(at)) / 60e3));
  if (minutes < 1) return t('age.now');
  if (minutes < 90) return t('age.minutes', { n: minutes });
  if (minutes < 12 * 60) return t('age.hours', { n: Math.round(minutes / 60) });
  const day = farmDay(at);
  if (day === farmDay(from)) return t('age.today', { time: clock(at) });
  if (day === addDays(farmDay(from), -1)) return t('age.yesterday', { time: clock(at) });
  return t('age.day', { day: shortDay(day), time: clock(at) });
}

/** An amount in the farm's currency.  @param {number} minor in hundredths @returns {string} */
export const money = (minor) => numberFormat({ style: 'currency', currency: settings.currency }).format(minor / 100);

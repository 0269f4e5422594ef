/*
 * A new farm from one page of answers, as a set of exchange files: kept whole or not at all by the import.  Pure; what
 * is asked, and where a fault of a file's field stands on the page, is here too.
 */
import { GRAMS_PER_LB, LITRES_PER_GAL, METRES_PER_FT } from './format.js';
import { HANDBOOK } from './handbook.js';

const US = { litres: LITRES_PER_GAL, grams: GRAMS_PER_LB, metres: METRES_PER_FT };
const SI = { litres: 1, grams: 1000, metres: 1 };
const OTHER_PCT = 2; // % of body weight a day, until the species has steps of its own

/** Names of the page's fields, with what they begin as. */
export const FRESH = {
  farm: '', zone: '', units: 'si', person: '', loop: 'A', water: '', tanks: '4', volume: '', beds: '0', bed_length: '', bed_width: '', raft_length: '', raft_width: '', raft_sites: '',
  species: 'tilapia', species_name: '', lot: 'F1', fish: '', weight: '', tank: 'T1', feed: '', protein: '', times: '08:00 12:00 16:00',
};

/** Numbers among them: what is needed, and what only with the field that it belongs to. */
const NUMBERS = ['water', 'tanks', 'volume', 'beds', 'bed_length', 'bed_width', 'raft_length', 'raft_width', 'raft_sites', 'fish', 'weight', 'protein'];
const NEEDED = ['farm', 'zone', 'person', 'loop', 'water', 'tanks', 'volume', 'lot', 'fish', 'weight', 'feed', 'protein', 'times'];
const NEEDED_OF_BEDS = ['bed_length', 'bed_width'];
const MOST = { tanks: 40, beds: 40 };

/** A number of 0 and above as a person types it, with comma or point.  @param {string} text @returns {number} NaN when it is none */
export const readNumber = (text) => (/^\d+([.,]\d+)?$/.test(text.trim()) ? Number(text.trim().replace(',', '.')) : NaN);

/** What is missing or no number: [{field, code}]. */
export function check(typed) {
  const needed = [...NEEDED, ...(Number(typed.beds) > 0 ? NEEDED_OF_BEDS : []), ...(typed.species === 'other' ? ['species_name'] : [])];
  const missing = needed.filter((field) => !typed[field].trim()).map((field) => ({ field, code: 'required' }));
  const wrong = NUMBERS.filter((field) => typed[field].trim() && (Number.isNaN(readNumber(typed[field])) || readNumber(typed[field]) > (MOST[field] ?? Infinity))).map((field) => ({ field, code: 'not_a_number' }));
  return [...missing, ...wrong];
}

const cell = (value) => (/[",\r\n]/.test(String(value)) ? `"${String(value).replaceAll('"', '""')}"` : String(value));
function toCsv(rows) {
  const names = [...new Set(rows.flatMap((row) => Object.keys(row)))];
  return [names, ...rows.map((row) => names.map((name) => row[name] ?? ''))].map((cells) => cells.map(cell).join(',')).join('\r\n').concat('\r\n');
}
const times = (n, make) => Array.from({ length: n }, (_, i) => make(i + 1));

/**
 * The files of the farm that the answers describe.
 * @param {typeof FRESH} typed complete, as check() has it
 * @param {{at: string, day: string, language: string}} now instant and farm day on which the fish stand there
 */
export function toFiles(typed, { at, day, language }) {
  const of = typed.units === 'us' ? US : SI;
  const number = (field, factor = 1) => (typed[field].trim() ? Number((readNumber(typed[field]) * factor).toPrecision(12)) : '');
  const [loop, tank] = [typed.loop.trim(), typed.tank];
  const book = HANDBOOK[typed.species];
  const species = book?.species ?? { name: typed.species_name.trim() };
  const sets = {
    farm: [{ name: typed.farm.trim(), time_zone: typed.zone, units: typed.units, language }],
    staff: [{ name: typed.person.trim(), role: 'manager', language }],
    loops: [{ code: loop, name: loop, water_volume_l: number('water', of.litres), walk_order: 1 }],
    tanks: times(number('tanks'), (i) => ({ code: `T${i}`, loop, role: 'growout', volume_l: number('volume', of.litres), walk_order: 10 + i })),
    beds: times(number('beds') || 0, (i) => ({ code: `B${i}`, loop, role: 'raft', walk_order: 100 + i, length_m: number('bed_length', of.metres), width_m: number('bed_width', of.metres), raft_length_m: number('raft_length', of.metres), raft_width_m: number('raft_width', of.metres), sites_per_raft: number('raft_sites') })),
    species: [species],
    'species-limits': (book?.limits ?? []).map((row) => ({ species: species.name, ...row })),
    'ration-steps': (book?.steps ?? []).map((row) => ({ species: species.name, ...row })),
    feeds: [{ name: typed.feed.trim(), protein_pct: number('protein') }],
    'fish-lots': [{ code: typed.lot.trim(), species: species.name }],
    'fish-moves': [{ at, fish_lot: typed.lot.trim(), to_tank: tank, fish: number('fish'), weight_g: number('weight', of.grams), reason: 'stocking', staff: typed.person.trim() }],
    'feeding-plans': [{ tank, from_day: day, feed: typed.feed.trim(), times: typed.times.trim().split(/[\s;,]+/).join(' '), fixed_pct: book ? '' : OTHER_PCT }],
  };
  return Object.fromEntries(Object.entries(sets).filter(([, rows]) => rows.length).map(([kind, rows]) => [`${kind}.csv`, toCsv(rows)]));
}

const FIELDS = {
  'farm.csv': { name: 'farm', time_zone: 'zone' }, 'staff.csv': { name: 'person' }, 'loops.csv': { code: 'loop', water_volume_l: 'water' }, 'tanks.csv': { volume_l: 'volume' },
  'beds.csv': { length_m: 'bed_length', width_m: 'bed_width', raft_length_m: 'raft_length', raft_width_m: 'raft_width', sites_per_raft: 'raft_sites' }, 'species.csv': { name: 'species_name' },
  'feeds.csv': { name: 'feed', protein_pct: 'protein' }, 'fish-lots.csv': { code: 'lot' }, 'fish-moves.csv': { fish: 'fish', weight_g: 'weight' }, 'feeding-plans.csv': { times: 'times' },
};
/** The page's field that an error of the import is about, or ''. */
export const fieldOf = ({ file, field }) => FIELDS[file]?.[field] ?? '';

/*
 * The farm's set-up as the screens need it: the farm itself, its places in walking order, feeds, species,
 * staff, chores.  Loaded at start and refreshed now and then; lookups by id and by code.
 */
import * as api from './api.js';
import { setFarm } from './format.js';

const KINDS = ['places', 'loops', 'tanks', 'units', 'zones', 'beds', 'staff', 'species', 'species-limits', 'feeds', 'feeding-plans', 'chores'];
const state = { farm: null, record: null, lists: {}, loaded: false };
let byId = new Map();
let byCode = new Map();

const stands = (row) => !row.retired_on && !row.struck_at;

function index() {
  byId = new Map();
  byCode = new Map();
  for (const kind of KINDS) {
    for (const row of state.lists[kind] ?? []) {
      byId.set(`${kind}/${row.id}`, row);
      if (row.code && kind !== 'places') byCode.set(row.code.toUpperCase(), { kind, row });
    }
  }
  for (const row of state.lists.places ?? []) {
    const code = row.code?.toUpperCase();
    if (code && !byCode.has(code)) byCode.set(code, { kind: 'places', row });
  }
}

/** Asks for all of it; what has not changed costs little.  Throws as api.js does. */
export async function loadSetup() {
  const [farm, record, ...lists] = await Promise.all([
    api.get('/api/farm'), api.get('/api/record?kinds_only=1'), ...KINDS.map((kind) => api.getAll(`/api/${kind}`)),
  ]);
  state.farm = farm;
  state.record = record;
  KINDS.forEach((kind, i) => { state.lists[kind] = lists[i]; });
  state.loaded = true;
  setFarm(farm);
  index();
}

/** Whether rows of this kind are part of the set-up. */
export const isSetup = (kind) => kind === 'farm' || KINDS.includes(kind);
/** @returns {boolean} whether the set-up was loaded once */
export const isLoaded = () => state.loaded;
/** The farm row; {} before the set-up is loaded.  @returns {object} */
export const farm = () => state.farm ?? {};
/** The dictionary, as GET /api/record gives it. */
export const record = () => state.record;
/** A kind of the dictionary.  @param {string} name @returns {object|undefined} */
export const kindOf = (name) => state.record?.kinds.find((kind) => kind.name === name);
/** The rows of a set-up kind that are not retired. */
export const list = (kind) => (state.lists[kind] ?? []).filter(stands);
/** A row of the set-up by its id, retired or not.  @param {string} kind @param {number|null} id @returns {object|undefined} */
export const find = (kind, id) => byId.get(`${kind}/${id}`);
/** {kind, row} of a place's code, case ignored: kind is tanks, units, beds, zones, loops or places. */
export const place = (code) => byCode.get(String(code).toUpperCase());
/** @param {number|null} id of staff @returns {string|undefined} */
export const staffName = (id) => find('staff', id)?.name;

const WALKED = ['tanks', 'units', 'beds', 'zones', 'places'];
const order = ({ row }) => row.walk_order ?? Infinity;

/** Every place of the walk as {kind, row}, in walking order; places without one come last, by code. */
export function walk() {
  const seen = new Set();
  return WALKED.flatMap((kind) => list(kind).map((row) => ({ kind, row })))
    .filter(({ kind, row }) => {
      if (kind === 'places' && (seen.has(row.id) || ['loops', 'zones'].includes(row.sort))) return false;
      seen.add(row.id);
      return true;
    })
    .sort((a, b) => order(a) - order(b) || a.row.code.localeCompare(b.row.code, 'en', { numeric: true }));
}
/** The loop that a place belongs to, or undefined. */
export function loopOf(placeId) {
  for (const kind of ['tanks', 'units', 'beds']) {
    const row = find(kind, placeId);
    if (row) return find('loops', row.loop_id);
  }
  return find('loops', placeId) ?? (find('places', placeId)?.parent_id ? loopOf(find('places', placeId).parent_id) : undefined);
}

/*
 * What references point to, by code or name: for lists that show them and forms that choose among them.  Kinds of
 * the set-up and lots are asked whole; of entries the newest, and older ones one by one when a row names them.
 */
import * as api from './api.js';
import { waiting } from './outbox.js';
import { kindOf } from './setup.js';

const NEWEST = 1000;
const kinds = new Map(); // kind -> Map(id -> row)

const isWhole = (kind) => ['set_up', 'lot'].includes(kindOf(kind)?.class);

async function askRows(kind) {
  if (isWhole(kind)) return api.getAll(`/api/${kind}`);
  return (await api.get(`/api/${kind}?order=-at&limit=${NEWEST}`)).items;
}

/** Asks for the rows of these kinds, so that labelOf and choicesOf know them. */
export async function loadReferences(wanted) {
  await Promise.all([...new Set(wanted)].map(async (kind) => {
    const rows = await askRows(kind);
    const known = kinds.get(kind) ?? new Map();
    for (const row of rows) known.set(row.id, row);
    kinds.set(kind, known);
  }));
}

async function askOne(kind, id) {
  try {
    const row = await api.get(`/api/${kind}/${id}`);
    kinds.get(kind).set(id, row);
  } catch (fault) {
    if (!(fault instanceof api.ProblemError)) throw fault; // a row that is gone keeps its number
  }
}

/** Loads what the rows of a kind refer to, its newest and those that these rows name. */
export async function loadReferencesOf(kind, rows) {
  const fields = kind.fields.filter((f) => f.kind === 'reference');
  await loadReferences(fields.map((f) => f.refers_to));
  const missing = new Set(fields.flatMap((f) => rows.map((r) => r[f.name]).filter((id) => id !== undefined && !kinds.get(f.refers_to)?.has(id)).map((id) => `${f.refers_to} ${id}`)));
  await Promise.all([...missing].map((text) => text.split(' ')).map(([of, id]) => askOne(of, Number(id))));
}

/** How a row is called: its code, name or title, else its number. */
export const labelOfRow = (row) => row.code ?? row.name ?? row.title ?? `${row.id}`;
/** A row that loadReferences() brought, or undefined.  @param {string} kind @param {number|string} id @returns {object|undefined} */
export const rowOf = (kind, id) => kinds.get(kind)?.get(id);
/** How a row is called that is named by its id; its number while it is not loaded.  @param {string} kind @param {number|string} id @returns {string} */
export const labelOf = (kind, id) => {
  const row = rowOf(kind, id);
  return row ? labelOfRow(row) : `${id}`;
};

/** The same by the row's key, as changes keep references; what is not loaded is said by its key. */
export function labelOfKey(kind, key) {
  const row = [...(kinds.get(kind)?.values() ?? [])].find((r) => r.key === key);
  return row ? labelOfRow(row) : String(key);
}

/* A code with the name beside it, so that either finds it. */
const fullLabel = (row) => (row.code && row.name ? `${row.code} · ${row.name}` : labelOfRow(row));

/* Rows made on this tablet that wait to be sent: they go by their key, which the service takes wherever it takes an id. */
function waitingRows(kind) {
  const rows = waiting(kind);
  const struck = new Set(rows.filter((r) => r.op === 'strike').map((r) => r.key));
  return rows.filter((r) => r.op === 'create' && !struck.has(r.key)).map((r) => ({ ...r.fields, id: r.key, key: r.key }));
}

const newness = (row) => (typeof row.id === 'number' ? row.id : Infinity);

/** What a reference can be set to: [{id, label, short, gone}], those in use first, each by walk, code or name. */
export function choicesOf(kind) {
  const sent = [...(kinds.get(kind)?.values() ?? [])].filter((row) => !row.struck_at);
  const there = new Set(sent.map((row) => row.key));
  const rows = [...sent, ...waitingRows(kind).filter((row) => !there.has(row.key))];
  const placed = (row) => row.walk_order ?? Infinity;
  const byLabel = (a, b) => labelOfRow(a).localeCompare(labelOfRow(b), 'en', { numeric: true });
  const sorted = isWhole(kind) ? rows.sort((a, b) => Number(Boolean(a.retired_on)) - Number(Boolean(b.retired_on)) || placed(a) - placed(b) || byLabel(a, b)) : rows.sort((a, b) => (newness(b) > newness(a) ? 1 : newness(b) < newness(a) ? -1 : 0));
  return sorted.map((row) => ({ id: row.id, label: fullLabel(row), short: labelOfRow(row), gone: Boolean(row.retired_on) }));
}

/* The lines of a row: of an order its order lines, of a packing what went in.  A line is a kind of its own. */
import * as api from '../api.js';
import { html } from '../dom.js';
import { kindName, kindOne, t } from '../i18n.js';
import { loadReferencesOf } from '../refs.js';
import { part } from '../screen.js';
import { record } from '../setup.js';
import { rowsTable } from './rows-table.js';

const refersTo = (lineKind) => lineKind.fields.find((f) => f.name === lineKind.line_of)?.refers_to;
const lineKindsOf = (kind) => record().kinds.filter((k) => k.line_of && refersTo(k) === kind.name);

/** Asks for the lines of a row: [{kind, rows}]. */
export const loadLines = (kind, row) => Promise.all(lineKindsOf(kind).map(async (lineKind) => {
  const rows = await api.getAll(`/api/${lineKind.name}?${lineKind.line_of}=${row.id}`);
  await loadReferencesOf(lineKind, rows);
  return { kind: lineKind, rows };
}));

/** The address of the row that a new line belongs to, when the address says it. */
export function ownerOf(lineKind, query) {
  const owner = lineKind?.line_of && query.get(lineKind.line_of);
  return owner ? `/farm/${refersTo(lineKind)}/${owner}` : null;
}

/** One part for each kind of line. */
export const linesParts = (row, lines) => lines.map(({ kind, rows }) => part(kindName(kind.name),
  html`<a class="button tool" href="/farm/${kind.name}/new?${kind.line_of}=${row.id}">${t('form.new_of', { what: kindOne(kind.name) })}</a>`,
  rows.length ? rowsTable(kind, rows, [kind.line_of]) : html`<p>${t('lists.none', { what: kindName(kind.name) })}</p>`));

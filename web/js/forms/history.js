/*
 * What happened to a row: its changes with who, why and what stood before, and the dated changes of its set-up.
 */
import * as api from '../api.js';
import { instant, valueText } from '../describe.js';
import { html, nothing } from '../dom.js';
import { fullDay } from '../format.js';
import { choiceWord, fieldName, kindOne, t } from '../i18n.js';
import { labelOfKey, loadReferences } from '../refs.js';
import { tableFrame } from '../screen.js';
import { kindOf, staffName } from '../setup.js';

const MOST = 200;

/** Asks for the history of a row: {changes, dated}, newest first. */
export async function loadHistory(kind, row) {
  const of = `of_key=${row.key}&limit=${MOST}`;
  const [changes, dated] = await Promise.all([
    api.get(`/api/changes?${of}&order=-at`).then((page) => page.items),
    kind.fields.some((f) => f.dated) ? api.getAll(`/api/set-up-changes?of_key=${row.key}`) : [],
  ]);
  await loadNamed(changes);
  return { changes, dated: [...dated].sort((a, b) => (a.from_day < b.from_day ? 1 : -1)) };
}

/** Asks for what these changes name by key. */
export const loadNamed = (changes) => loadReferences(changes.flatMap((c) => {
  const before = beforeOf(c);
  return (kindOf(c.of_kind)?.fields ?? []).filter((f) => f.kind === 'reference' && before[f.name]).map((f) => f.refers_to);
}));

function beforeOf(change) {
  try {
    return JSON.parse(change.before ?? '{}');
  } catch {
    return {};
  }
}

/* In a change a reference stands by its key. */
function oneBefore(kind, [name, value], row) {
  const field = kind?.fields.find((f) => f.name === name);
  if (value === null || value === '') return `${fieldName(name)}: –`;
  if (field?.kind === 'reference') return `${fieldName(name)}: ${labelOfKey(field.refers_to, value)}`;
  return `${fieldName(name)}: ${field ? valueText(field, value, row) : value}`;
}
/* Striking and restoring say so themselves. */
const beforeText = (change, row) => Object.entries(beforeOf(change)).filter(([name]) => !name.startsWith('struck_')).map((entry, i, all) => oneBefore(kindOf(change.of_kind), entry, { ...row, ...Object.fromEntries(all) })).join(' · ');

const changeRow = (c, named, row) => html`<tr><th scope="row">${instant(c.changed_at)}</th>${named ? html`<td class="left"><a href="/farm/${c.of_kind}/${c.of_key}">${kindOne(c.of_kind)}</a></td>` : nothing}
  <td class="left">${choiceWord('what', c.what)}</td><td class="left">${staffName(c.staff_id) ?? ''}</td><td class="left wrap">${c.why ?? ''}</td><td class="left wrap">${beforeText(c, row)}</td></tr>`;
const head = (named) => html`<thead><tr><th scope="col">${fieldName('changed_at')}</th>${named ? html`<th scope="col" class="left">${fieldName('of_kind')}</th>` : nothing}<th scope="col" class="left">${fieldName('what')}</th>
  <th scope="col" class="left">${fieldName('staff_id')}</th><th scope="col" class="left">${fieldName('why')}</th><th scope="col" class="left">${fieldName('before')}</th></tr></thead>`;

/** All changes of a list, each with a link to its row. */
export const changesTable = (rows) => tableFrame(t('form.history'), html`<table class="figures log">${head(true)}<tbody>${rows.map((c) => changeRow(c, true))}</tbody></table>`);

function datedValue(kind, change) {
  const field = kind.fields.find((f) => f.name === change.field);
  if (field.kind === 'reference') return labelOfKey(field.refers_to, change.value);
  return valueText(field, ['real', 'integer'].includes(field.kind) ? Number(change.value) : change.value);
}
const datedText = (kind, change) => t('form.from_then', { day: fullDay(change.from_day), value: datedValue(kind, change) });
const datedRow = (kind, c) => html`<tr><th scope="row">${instant(c.received_at)}</th><td class="left"><a href="/farm/set-up-changes/${c.id}">${kindOne('set-up-changes')}</a></td><td class="left"></td><td class="left wrap">${c.note ?? ''}</td>
  <td class="left wrap">${fieldName(c.field)}: ${datedText(kind, c)}</td></tr>`;

/** The history of one row, newest first, down to when it was entered. */
export function historyTable(kind, row, { changes, dated }) {
  const rows = [...changes.map((c) => [c.changed_at, changeRow(c, false, row)]), ...dated.map((c) => [c.received_at, datedRow(kind, c)])].sort(([a], [b]) => (a < b ? 1 : a > b ? -1 : 0)); // of one second, as they came
  return tableFrame(t('form.history'), html`<table class="figures log">${head(false)}<tbody>${rows.map(([, line]) => line)}
    ${row.received_at ? html`<tr><th scope="row">${instant(row.received_at)}</th><td class="left">${t('form.received')}</td><td class="left">${staffName(row.staff_id) ?? ''}</td><td></td><td></td></tr>` : nothing}</tbody></table>`);
}

/** What holds from a day on, for the fields that have such: {field: text}. */
export function datedNotes(kind, dated) {
  const notes = {};
  for (const change of dated) notes[change.field] = [notes[change.field], datedText(kind, change)].filter(Boolean).join(' ');
  return notes;
}

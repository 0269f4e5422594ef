/*
 * The standard form of a kind, drawn from the dictionary: a field for each that a person may fill, errors beside
 * them.  It holds what is typed; keeping is its caller's.
 */
import { html, nothing, press } from '../dom.js';
import { farmDay, forTyping, unitSign } from '../format.js';
import { choiceWord, fieldName, t } from '../i18n.js';
import { choicesOf } from '../refs.js';
import { farm } from '../setup.js';
import { saidInRecord } from '../units.js';
import { readTyped, showTyped } from './typed.js';

const TYPES = { day: 'date', time: 'datetime-local', clock: 'time' };
const LAST = ['incident_id', 'staff_id', 'note', 'retired_on'];
const LONG = new Set(['note', 'caution', 'address', 'action', 'remark', 'what', 'why']);

/* The fields of a kind that a person fills, in the order of the form: when it was, what it is, who and what else. */
function formFields(kind) {
  const open = kind.fields.filter((f) => !f.server_set);
  const rank = (f) => (kind.class === 'entry' && ['at', 'day'].includes(f.name) ? -1 : LAST.indexOf(f.name) + 1);
  return open.map((f, i) => [f, i]).sort(([a, i], [b, j]) => rank(a) - rank(b) || i - j).map(([f]) => f);
}

/* Of an entry with its time the day goes without saying; shown beside it, it could be changed to no effect. */
const typedOf = (kind, field, row) => showTyped(field, kind.class === 'entry' && field.name === 'day' && row.at ? undefined : row[field.name], row.quantity);
const isMeasured = (field) => ['real', 'numbers'].includes(field.kind);
const same = (a, b) => JSON.stringify(a ?? null) === JSON.stringify(b ?? null);

/** Makes the state of a form: what is typed, from a row or from what is given, no errors, and notes by field. */
export function newForm(kind, row = {}) {
  const fields = formFields(kind);
  const typed = Object.fromEntries(fields.map((f) => [f.name, typedOf(kind, f, row)]));
  return { kind, fields, typed, first: { ...typed }, errors: [], notes: {}, row };
}

/** Does anything stand there that the form did not begin with? */
export const isTouched = (form) => !same(form.typed, form.first);

/**
 * Goes over to the row as it stands now after others changed it: fields that were not touched here follow, touched
 * ones stay as typed.  Returns the fields that others changed, [{field, before, now, mine}] as shown in their fields.
 */
export function rebase(form, current) {
  const theirs = form.fields.map((field) => ({ field, before: typedOf(form.kind, field, form.row), now: typedOf(form.kind, field, current) })).filter((c) => !same(c.before, c.now));
  for (const change of theirs) {
    const name = change.field.name;
    change.mine = !same(form.typed[name], change.before);
    if (!change.mine) form.typed[name] = change.now;
    form.first[name] = change.now;
  }
  form.row = current;
  return theirs;
}

/* What was not touched is what it was: shown in other units it may have lost digits. */
const isAsKept = (form, { name }) => form.row[name] !== undefined && same(form.typed[name], form.first[name]) && form.typed.quantity === form.first.quantity;

/** Reads all fields: {values, errors}; errors are items {field, code, args} as the service gives them. */
export function readForm(form) {
  const values = {};
  const errors = [];
  for (const field of form.fields) {
    const { value, error } = isMeasured(field) && isAsKept(form, field) ? { value: form.row[field.name] } : readTyped(field, form.typed[field.name], form.typed.quantity);
    if (error) errors.push({ field: field.name, ...error });
    else values[field.name] = value;
  }
  if (values.at && values.day && form.kind.class === 'entry') {
    const day = farmDay(values.at);
    if (day !== values.day) errors.push({ field: 'day', code: 'day_disagrees', args: { day } });
    delete values.day; // the instant says the day
  }
  return { values, errors };
}

/** The fields that differ from the row, with null for what was cleared. */
export function changesOf(form, values) {
  const changed = {};
  for (const field of form.fields) {
    if (!(field.name in values)) continue;
    if (field.name === 'day' && values.at && form.kind.class === 'entry') continue;
    const before = form.row[field.name];
    const now = values[field.name];
    if (field.kind === 'bool' && !now && !before) continue;
    if (!same(before, now)) changed[field.name] = now ?? (field.kind === 'bool' ? false : null);
  }
  return changed;
}

const NETS_LIKE = { g: [20, 4310, 18, 3902], lb: [20, 9.5, 18, 8.6] };
const groupOf = (kind, name) => (kind.choices ?? []).find((c) => c.fields.includes(name));
function hint(form, field) {
  const { kind } = form;
  const group = groupOf(kind, field.name);
  const words = [];
  if (group && group.fields[0] === field.name) words.push(t(group.min ? 'form.one_of' : 'form.at_most_one', { fields: group.fields.map(fieldName).join(', ') }));
  if (kind.class === 'entry' && field.name === 'day') words.push(t('form.day_alone'));
  if (field.kind === 'clocks') words.push(t('form.clocks'));
  if (field.name === 'nets') words.push(t('form.nets', { unit: saidInRecord(field).unit, like: NETS_LIKE[saidInRecord(field).unit].map(forTyping).join(' ') }));
  else if (field.kind === 'numbers') words.push(t('form.numbers'));
  if (form.notes[field.name]) words.push(form.notes[field.name]);
  return words.join(' ');
}

function control(form, field, id, described, change) {
  const value = form.typed[field.name];
  const wrong = form.errors.some((e) => e.field === field.name);
  const set = (typed) => {
    form.typed[field.name] = typed;
    change?.(field);
  };
  const invalid = wrong ? 'true' : nothing;
  if (field.kind === 'choice') {
    return html`<select id=${id} name=${field.name} aria-invalid=${invalid} aria-describedby=${described} .value=${value} @change=${(e) => set(e.target.value)}><option value="" ?selected=${value === ''}></option>${field.words.map((w) => html`<option value=${w} ?selected=${w === value}>${choiceWord(field.name, w)}</option>`)}</select>`;
  }
  if (field.kind === 'reference') {
    return html`<input id=${id} name=${field.name} list="${id}-list" autocomplete="off" aria-invalid=${invalid} aria-describedby=${described} .value=${value} @input=${(e) => set(e.target.value)}>
      <datalist id="${id}-list">${choicesOf(field.refers_to).filter((c) => !c.gone).map((c) => html`<option value=${c.label}></option>`)}</datalist>`;
  }
  if (LONG.has(field.name) && field.kind === 'text') {
    return html`<textarea id=${id} name=${field.name} rows="2" aria-invalid=${invalid} aria-describedby=${described} .value=${value} @input=${(e) => set(e.target.value)}></textarea>`;
  }
  const number = ['real', 'integer'].includes(field.kind);
  return html`<input id=${id} name=${field.name} type=${TYPES[field.kind] ?? 'text'} step=${field.kind === 'time' && value.length > 16 ? '1' : nothing} inputmode=${number ? 'decimal' : nothing} autocomplete="off" aria-invalid=${invalid} aria-describedby=${described} .value=${value} @input=${(e) => set(e.target.value)}>`;
}

function words(form, field, id, change) {
  const typed = form.typed[field.name];
  const toggle = (word) => {
    form.typed[field.name] = typed.includes(word) ? typed.filter((w) => w !== word) : field.words.filter((w) => w === word || typed.includes(w));
    change?.(field);
  };
  return html`<fieldset class="field words-field" id=${id}><legend>${fieldName(field.name)}</legend><div class="ways-out">${(field.words ?? []).map((w) => html`<button type="button" class="pick" aria-pressed=${String(typed.includes(w))} @click=${press(() => toggle(w))}>${choiceWord(field.name, w)}</button>`)}</div></fieldset>`;
}

const tick = (form, field, id, change) => html`<label class="field tick" for=${id}><input type="checkbox" id=${id} name=${field.name} .checked=${Boolean(form.typed[field.name])} @change=${(e) => {
  form.typed[field.name] = e.target.checked;
  change?.(field);
}}><span>${fieldName(field.name)}</span></label>`;

/** One field with its label, unit, hint and error. errorWords(item) puts an error in words. */
export function fieldRow(form, field, errorWords, change) {
  const id = `f-${field.name}`;
  if (field.kind === 'bool') return tick(form, field, id, change);
  if (field.kind === 'words' && field.words) return words(form, field, id, change);
  const wrong = form.errors.filter((e) => e.field === field.name);
  const unit = field.name.endsWith('_minor') ? farm().currency : unitSign(saidInRecord(field, form.typed.quantity).unit);
  const said = hint(form, field);
  const described = [said ? `${id}-hint` : '', wrong.length ? `${id}-error` : ''].filter(Boolean).join(' ') || nothing;
  return html`<div class="field ${LONG.has(field.name) ? 'long' : ''}"><label for=${id}>${fieldName(field.name)}${unit ? html` <span class="soft">${unit}</span>` : nothing}${field.required ? html` <span class="needed">${t('form.needed')}</span>` : nothing}</label>
    ${control(form, field, id, described, change)}
    ${said ? html`<small class="hint" id="${id}-hint">${said}</small>` : nothing}
    ${wrong.length ? html`<p class="field-error" id="${id}-error">${wrong.map((e) => html`<span><span aria-hidden="true">▲</span> ${errorWords(e)}</span>`)}</p>` : nothing}</div>`;
}

/** Puts the focus on the first field with an error, else on the notice over the form. */
export function focusError(el) {
  (el.querySelector('[aria-invalid="true"]') ?? el.querySelector('[role="alert"]'))?.focus();
}

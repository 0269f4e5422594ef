/*
 * One row of a kind: a form to add or to correct it, strike and restore with why, and its history.  What was
 * typed stays until it is kept.
 */
import * as api from '../api.js';
import { cautionsOf } from '../cautions-of-kinds.js';
import { instant, whenText } from '../describe.js';
import { isCoded, newCode, takeLetter } from '../codes.js';
import { announce, html, nothing, press, repeat } from '../dom.js';
import { ask as askPerson } from '../enter.js';
import { farmDay, now } from '../format.js';
import { datedNotes, historyTable, loadHistory } from '../forms/history.js';
import { linesParts, loadLines, ownerOf } from '../forms/lines.js';
import { changesOf, fieldRow, focusError, isTouched, newForm, readForm, rebase } from '../forms/record-form.js';
import { fieldName, kindName, kindOne, t } from '../i18n.js';
import { listenKeys } from '../keys.js';
import { mark } from '../marks.js';
import { isQuestion, KEPT, log, newKey, RECORDED } from '../outbox.js';
import { errorText } from '../problems.js';
import { labelOfRow, loadReferences, loadReferencesOf } from '../refs.js';
import { go } from '../router.js';
import { part, runScreen } from '../screen.js';
import { isLoaded, kindOf, loadSetup } from '../setup.js';
import { tablet } from '../tablet.js';

const FARM = 'farm';

function given(kind, query) {
  const row = {};
  for (const [name, text] of query) {
    const field = kind.fields.find((f) => f.name === name);
    if (field) row[name] = ['reference', 'integer', 'real'].includes(field.kind) ? Number(text) : text;
  }
  return row;
}
/* A new entry begins now and by the person who holds the tablet; a lot with the next code of the tablet. */
const fresh = (kind, query) => ({
  ...(kind.fields.some((f) => f.name === 'at') ? { at: `${now().toISOString().slice(0, 16)}:00Z`, staff_id: tablet().staff_id ?? undefined } : {}),
  ...(isCoded(kind) && !query.get('code') ? { code: newCode(farmDay()) || undefined } : {}), ...given(kind, query),
});
/* What is seen and done is kept on the tablet when the service is away; the set-up is for the desk, and is said to be away. */
const isQueued = (kind) => ['entry', 'lot'].includes(kind.class);

async function load(kindNameGiven, id, query) {
  const kind = kindOf(kindNameGiven);
  if (!kind || (kind.class === 'system' && kind.name !== FARM)) return { unknown: true };
  if (id === 'new') {
    await Promise.all([loadReferencesOf(kind, [given(kind, query)]), isCoded(kind) ? takeLetter() : null]);
    return { kind, row: null };
  }
  const row = await rowOrNone(kind.name === FARM ? '/api/farm' : `/api/${kind.name}/${id}`);
  if (!row) return { unknown: true, kind };
  const [history, lines] = await Promise.all([loadHistory(kind, row), loadLines(kind, row), loadReferencesOf(kind, [row]), loadReferences(['staff'])]);
  return { kind, row, history, lines };
}
async function rowOrNone(address) {
  try {
    return await api.get(address);
  } catch (fault) {
    if (fault instanceof api.ProblemError && fault.status === 404) return null;
    throw fault;
  }
}

/** Mounts the form of params.kind: params.id is "new", a number or a key; the farm has no id.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { params, query, setTitle, path }) {
  const kindGiven = params.kind ?? FARM;
  const id = params.id ?? (path.endsWith('/new') ? 'new' : null);
  const isNew = id === 'new';
  const state = { form: null, key: newKey(), why: '', fromDay: '', busy: false, away: false, stale: null, kept: false };
  let screen = null;
  const listAddress = kindGiven === FARM ? '/farm' : `/farm/${kindGiven}`;
  const back = () => go((isNew && ownerOf(kindOf(kindGiven), query)) || listAddress);
  async function leave() {
    const touched = state.form && (isTouched(state.form) || state.why);
    if (!touched || await askPerson({ title: t('form.leave_title'), lines: [t('form.leave_what')], yes: t('form.leave'), no: t('form.back_to_form') })) back();
  }
  const address = () => (kindGiven === FARM ? '/api/farm' : `/api/${kindGiven}/${state.form.row.id}`);

  /* By way of the outbox, so that it is kept whatever comes; what is refused or asked about stays in the form alone. */
  async function putNew(fields, confirm) {
    const timed = kindOf(kindGiven).fields.some((f) => f.name === 'at');
    let result = await log(kindGiven, fields, { key: state.key, timed });
    if (result.state === 'question' && confirm) result = await result.confirm();
    if (result.state === RECORDED) return result.entry;
    if (result.state === KEPT) return { key: result.key, kept: true };
    await result.drop();
    throw new api.ProblemError(result.problem.status, result.problem);
  }
  async function put(confirm) {
    const { values, errors } = readForm(state.form);
    if (errors.length) throw new api.ProblemError(422, { errors });
    const asked = confirm ? { confirm: true } : {};
    const why = state.why.trim() ? { change_why: state.why.trim() } : {};
    if (isNew) {
      const body = Object.fromEntries(Object.entries(values).filter(([, v]) => v !== undefined));
      if (isQueued(kindOf(kindGiven))) return putNew(body, confirm);
      return api.post(`/api/${kindGiven}`, { ...body, ...asked, key: state.key });
    }
    const changed = changesOf(state.form, values);
    const dated = Object.fromEntries(Object.entries(changed).filter(([name]) => state.fromDay && state.form.fields.find((f) => f.name === name)?.dated));
    const plain = Object.fromEntries(Object.entries(changed).filter(([name]) => !(name in dated)));
    if (plain.at && kindOf(kindGiven).class === 'entry' && state.form.row.day) plain.day = null;
    const send = async (body) => { state.form.row = await api.patch(address(), { ...body, ...why, ...asked }, state.form.row.version); };
    if (Object.keys(plain).length) await send(plain);
    if (Object.keys(dated).length) await send({ ...dated, from_day: state.fromDay });
    return state.form.row;
  }
  /* Someone was quicker: what is theirs is taken over and said, what was typed here stays to be saved or dropped. */
  async function meetOther(current) {
    await loadReferencesOf(kindOf(kindGiven), [current]);
    state.stale = rebase(state.form, current);
    await screen.update();
  }

  async function settle(fault, again) {
    if (fault instanceof api.AwayError) state.away = true;
    else if (fault instanceof api.ProblemError && isQuestion({ status: fault.status, errors: fault.errors }) && fault.errors.length) {
      const yes = await askPerson({ title: kindOne(kindGiven), lines: fault.errors.map(errorText), yes: t('ask.keep'), no: t('form.back_to_form') });
      if (yes) return run(again, true);
    } else if (fault instanceof api.ProblemError && fault.status === 412) await meetOther(fault.problem.current);
    else if (fault instanceof api.ProblemError) state.form.errors = fault.errors.length ? fault.errors : [{ field: '', code: '', message: fault.message }];
    else throw fault;
    screen.draw();
    focusError(el);
    return null;
  }
  async function run(step, confirm = false) {
    if (state.busy) return null;
    Object.assign(state, { busy: true, away: false, stale: null, kept: false });
    state.form.errors = [];
    screen.draw();
    try {
      const row = await step(confirm);
      state.busy = false;
      return row;
    } catch (fault) {
      state.busy = false;
      return settle(fault, step);
    }
  }

  async function save(event) {
    event?.preventDefault();
    const row = await run(put);
    if (!row) return;
    announce(t(row.kept ? 'state.kept' : 'state.recorded'));
    if (!row.kept && kindOf(kindGiven).class !== 'entry') await loadSetup().catch(() => {});
    if (isNew) return event?.submitter?.value === 'another' ? go(location.pathname + location.search) : back();
    state.form = null;
    Object.assign(state, { why: '', fromDay: '', kept: true });
    await screen.update();
  }
  const act = (name) => async () => {
    if (!state.why.trim() && name === 'strike') {
      state.form.errors = [{ field: 'why_struck', code: 'required' }];
      screen.draw();
      el.querySelector('#f-why')?.focus();
      return;
    }
    const row = await run((confirm) => api.post(`${address()}/${name}`, { why: state.why.trim() || undefined, ...(confirm ? { confirm: true } : {}) }));
    if (!row) return;
    state.form = null;
    Object.assign(state, { why: '', kept: true });
    await screen.update();
  };

  const errorWords = (e) => (e.code ? errorText(e) : e.message);
  const datedChanged = () => {
    if (isNew || !state.form.fields.some((f) => f.dated)) return false;
    const { values } = readForm(state.form);
    return Object.keys(changesOf(state.form, values)).some((name) => state.form.fields.find((f) => f.name === name).dated);
  };

  const asShown = (value) => (Array.isArray(value) ? value.join(', ') : typeof value === 'boolean' ? t(value ? 'desk.yes' : 'desk.no') : value) || '–';
  const theirLine = ({ field, before, now: theirs, mine }) => html`<p>${t(mine ? 'form.theirs_and_mine' : 'form.theirs', { field: fieldName(field.name), before: asShown(before), now: asShown(theirs), mine: asShown(state.form.typed[field.name]) })}</p>`;

  function notices(row) {
    const names = new Set(state.form.fields.map((f) => f.name));
    const rest = state.form.errors.filter((e) => !names.has(e.field) && e.field !== 'why_struck');
    return html`${state.kept ? html`<p class="notice" role="status">${mark('ok', '✓', t('state.recorded'))}</p>` : nothing}
      ${state.away ? html`<div class="notice bad" role="alert" tabindex="-1"><p>${t('form.away')}</p></div>` : nothing}
      ${state.stale ? html`<div class="notice bad" role="alert" tabindex="-1"><p>${t('form.stale')}</p>${state.stale.map(theirLine)}<button @click=${press(() => { state.form = null; state.stale = null; screen.update(); })}>${t('form.load_present')}</button></div>` : nothing}
      ${rest.length ? html`<div class="notice bad" role="alert" tabindex="-1">${rest.map((e) => html`<p>${errorWords(e)}</p>`)}</div>` : nothing}
      ${row?.struck_at ? html`<p class="notice">${mark('amber', '×', t('form.struck_on', { at: instant(row.struck_at), why: row.struck_why ?? '' }))}</p>` : nothing}`;
  }

  const whyField = () => html`<div class="field long"><label for="f-why">${t('form.why')}</label><input id="f-why" name="change_why" autocomplete="off" .value=${state.why} aria-invalid=${state.form.errors.some((e) => e.field === 'why_struck') ? 'true' : nothing} aria-describedby="f-why-error" @input=${(e) => { state.why = e.target.value; }}>
    <p class="field-error" id="f-why-error">${state.form.errors.some((e) => e.field === 'why_struck') ? html`<span><span aria-hidden="true">▲</span> ${t('form.why_needed')}</span>` : nothing}</p></div>`;

  const view = (data) => {
    if (data.unknown) return html`<div class="notice"><h2>${t(data.kind ? 'error.not_found' : 'missing.title')}</h2><a class="button" href=${data.kind ? listAddress : '/farm'}>${data.kind ? kindName(data.kind.name) : t('farms.title')}</a></div>`;
    const { kind, row } = data;
    if (!state.form) state.form = newForm(kind, row ?? fresh(kind, query));
    state.form.notes = row ? datedNotes(kind, data.history.dated) : {};
    const name = row && (kind.name === FARM ? row.name : kind.fields.some((f) => ['code', 'name', 'title'].includes(f.name) && row[f.name]) ? labelOfRow(row) : whenText(row));
    setTitle(row ? `${kindOne(kind.name)}: ${name}` : t('form.new_of', { what: kindOne(kind.name) }));
    return html`<div class="desk"><div class="desk-tools no-print"><span class="grow"><a href=${listAddress}>← ${kind.name === FARM ? t('farms.title') : kindName(kind.name)}</a></span></div>
      ${notices(row)}${cautionsOf(kind.name)}
      <form class="record-form" novalidate @submit=${save} aria-label=${kindOne(kind.name)}><div class="form-fields">
        ${repeat(state.form.fields, (f) => f.name, (f) => fieldRow(state.form, f, errorWords, f.dated || f.kind === 'words' || f.name === 'quantity' ? () => screen.draw() : undefined))}
        ${datedChanged() ? html`<div class="field"><label for="f-from-day">${t('form.from_day')}</label><input id="f-from-day" type="date" .value=${state.fromDay} @input=${(e) => { state.fromDay = e.target.value; }}><small class="hint">${t('form.from_day_what')}</small></div>` : nothing}
        ${isNew ? nothing : whyField()}</div>
        <div class="form-acts"><button class="main" ?disabled=${state.busy}>${t('act.save')}</button>${isNew ? html`<button value="another" ?disabled=${state.busy}>${t('form.save_another')}</button>` : nothing}
        <button type="button" class="quiet" @click=${press(leave)}>${t('act.cancel')}</button><span class="grow"></span>
        ${row && kind.name !== FARM ? html`<button type="button" ?disabled=${state.busy} @click=${press(act(row.struck_at ? 'restore' : 'strike'))}>${t(row.struck_at ? 'form.restore' : 'form.strike')}</button>` : nothing}</div></form>
      ${row ? linesParts(row, data.lines) : nothing}
      ${row ? part(t('form.history'), nothing, historyTable(kind, row, data.history)) : nothing}</div>`;
  };
  screen = runScreen(el, {
    ask: () => (isLoaded() ? load(kindGiven, id, query) : Promise.resolve(null)),
    view,
    drawn: (data) => {
      if (data && isNew && !state.focused) {
        state.focused = true;
        [...el.querySelectorAll('.form-fields input, .form-fields select')].find((f) => !f.value && f.name !== 'day')?.focus();
      }
    },
  });
  const stop = listenKeys({ leave: (event) => {
    event.preventDefault(); // the question would close at once by the same key
    leave();
  }, asks: true });
  return { update: screen.update, destroy: () => { stop(); screen.destroy(); } };
}

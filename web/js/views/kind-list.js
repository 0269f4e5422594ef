/*
 * The rows of a kind: entries newest first and page by page, set-up whole in its order.  Filters stand in the address;
 * search looks through what was loaded.
 */
import * as api from '../api.js';
import { COMMON, valueText, whenText } from '../describe.js';
import { html, nothing, press, repeat } from '../dom.js';
import { number } from '../format.js';
import { changesTable, loadNamed } from '../forms/history.js';
import { columnsOf, rowsTable } from '../forms/rows-table.js';
import { fieldName, kindName, kindOne, t } from '../i18n.js';
import { listenKeys } from '../keys.js';
import { filterWords, loadFiltered } from '../list-filters.js';
import { mark } from '../marks.js';
import { KEPT, MENDING, waiting } from '../outbox.js';
import { choicesOf, labelOfRow, loadReferencesOf } from '../refs.js';
import { go, keepQuery } from '../router.js';
import { csvLink, printButton, runScreen } from '../screen.js';
import { kindOf, staffName } from '../setup.js';

const PAGE = 50;
const SEARCHED = 1000;

const walked = (row) => row.walk_order ?? Infinity;
const byOrder = (a, b) => Number(Boolean(a.retired_on)) - Number(Boolean(b.retired_on)) || walked(a) - walked(b) || String(labelOfRow(a)).localeCompare(String(labelOfRow(b)), 'en', { numeric: true });

const FILTERED = ['tanks', 'beds', 'places', 'loops', 'units', 'species', 'crops', 'feeds', 'fish-lots', 'varieties', 'partners', 'products', 'materials', 'staff'];
const MOST_FILTERS = 2;
/* What a long list is asked by: its first references to what the farm has few of. */
const filterFields = (kind) => kind.fields.filter((f) => f.kind === 'reference' && !COMMON.has(f.name) && FILTERED.includes(f.refers_to)).slice(0, MOST_FILTERS);

/** Mounts the list of params.kind.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { params, query, setTitle }) {
  const own = Object.fromEntries(query);
  const state = { filters: own, search: own.search ?? '', after: [] };
  delete state.filters.search;
  const texts = new WeakMap(); // row -> what a search looks through: dear to make for a thousand rows at each key
  let screen = null;
  const kind = () => kindOf(params.kind);
  const pageSize = () => (state.search ? SEARCHED : PAGE);
  const isPaged = () => kind().class === 'entry' || kind().class === 'system';
  const keep = () => keepQuery({ ...state.filters, ...(state.search ? { search: state.search } : {}) });
  const filterText = () => new URLSearchParams(state.filters).toString();
  /* A row that is added where one tank's are listed is of that tank. */
  const newAddress = () => {
    const named = Object.entries(state.filters).filter(([name]) => kind().fields.some((f) => f.name === name && f.kind === 'reference'));
    return `/farm/${kind().name}/new${named.length ? `?${new URLSearchParams(named)}` : ''}`;
  };
  const set = (name, value) => {
    state.filters = Object.fromEntries(Object.entries({ ...state.filters, [name]: value }).filter(([, v]) => v));
    state.after = [];
    keep();
    screen.update();
  };
  const find = (text) => {
    const asks = isPaged() && Boolean(text) !== Boolean(state.search);
    state.search = text;
    state.after = [];
    keep();
    screen.draw();
    if (asks) screen.update();
  };

  /* What was made on this tablet and is not sent shows even where the list itself was never asked for. */
  async function ask() {
    if (!kind()) return { unknown: true };
    try {
      return await askRows();
    } catch (fault) {
      if (!(fault instanceof api.AwayError) || !waiting(kind().name).length) throw fault;
      return { rows: [], away: true };
    }
  }
  async function askRows() {
    const wanted = new URLSearchParams(state.filters);
    let rows;
    let next;
    if (isPaged()) {
      wanted.set('order', '-at');
      wanted.set('limit', pageSize());
      if (state.after.length) wanted.set('after', state.after.at(-1));
      ({ items: rows, next } = await api.get(`/api/${kind().name}?${wanted}`));
    } else rows = (await api.getAll(`/api/${kind().name}?${wanted}`.replace(/\?$/, ''))).sort(byOrder);
    await Promise.all([loadReferencesOf(kind(), rows), loadFiltered(kind(), state.filters)]);
    if (kind().name === 'changes') await loadNamed(rows);
    return { rows, next };
  }

  function tableOrNone(rows, data) {
    if (rows.length) return kind().name === 'changes' ? changesTable(rows) : rowsTable(kind(), rows);
    if (state.search || Object.keys(state.filters).length) return html`<div class="notice"><p>${t('lists.none_fit')}</p></div>`;
    return html`<div class="notice"><h2>${t('lists.none', { what: kindName(kind().name) })}</h2>${data.rows && kind().class !== 'system' ? html`<a class="button" href=${newAddress()}>${t('form.new_of', { what: kindOne(kind().name) })}</a>` : nothing}</div>`;
  }

  /* What stands in a field of the page already is no chip; several at once do not fit such a field. */
  const isShown = (name, value) => isPaged() && !value.includes(',') && filterFields(kind()).some((f) => f.name === name);
  const chip = ([name, value]) => {
    const words = isShown(name, value) ? null : filterWords(kind(), name, value);
    return words === null ? nothing : html`<button class="tool" @click=${press(() => set(name, ''))}>${words} <span aria-hidden="true">×</span><span class="unseen">${t('lists.drop')}</span></button>`;
  };
  const dayFilter = (name) => html`<label class="field inline"><span>${fieldName(name)}</span><input type="date" .value=${state.filters[name] ?? ''} @change=${(e) => set(name, e.target.value)}></label>`;

  const referenceFilter = (field) => html`<label class="field inline"><span>${fieldName(field.name)}</span><select @change=${(e) => set(field.name, e.target.value)}><option value="">${t('lists.all')}</option>${choicesOf(field.refers_to).map((c) => html`<option value=${c.id} ?selected=${String(c.id) === state.filters[field.name]}>${c.short}</option>`)}</select></label>`;
  const turn = (step) => press(async () => {
    step();
    await screen.update();
    scrollTo(0, 0);
  });
  /* How many rows there are to see, and of how many they are. */
  function said(n, data, before) {
    const shown = t('lists.shown', { n, shown: number(n) });
    if (!isPaged() || (!data.next && !before)) return shown;
    const range = { from: number(before + 1), to: number(before + data.rows.length) };
    return state.search ? `${shown} ${t('lists.searched', range)}` : t('lists.page', range);
  }

  const keptHere = () => {
    const rows = waiting(kind().name).filter((r) => r.op === 'create');
    return rows.length ? html`<ul class="kept-here">${repeat(rows, (r) => r.key, (r) => html`<li><b>${labelOfRow({ ...r.fields, id: '' }) || whenText(r.fields)}</b> ${mark('amber', '◇', t(`state.${r.state === MENDING ? MENDING : KEPT}`))}</li>`)}</ul>` : nothing;
  };

  const view = (data) => {
    if (data.unknown) return html`<div class="notice"><h2>${t('missing.title')}</h2><a class="button" href="/farm">${t('farms.title')}</a></div>`;
    setTitle(kindName(kind().name));
    const wanted = state.search.toLocaleLowerCase();
    const columns = columnsOf(kind(), data.rows);
    const textOf = (row) => {
      if (!texts.has(row)) texts.set(row, [whenText(row), row.note, staffName(row.staff_id), ...columns.map((f) => valueText(f, row[f.name], row))].join(' ').toLocaleLowerCase());
      return texts.get(row);
    };
    const rows = wanted ? data.rows.filter((r) => textOf(r).includes(wanted)) : data.rows;
    const before = state.after.length * pageSize();
    return html`<div class="desk"><div class="desk-tools no-print"><span class="grow"><a href="/farm">← ${t('farms.title')}</a></span>${csvLink(`/api/${kind().name}.csv${filterText() ? `?${filterText()}` : ''}`)}${printButton()}
        ${kind().class === 'system' ? nothing : html`<a class="button main" href=${newAddress()}>${t('form.new_of', { what: kindOne(kind().name) })}</a>`}</div>
      <div class="question no-print"><label class="field inline search"><span>${t('lists.search')}</span><input type="search" .value=${state.search} @input=${(e) => find(e.target.value)}></label>
        ${isPaged() ? filterFields(kind()).map(referenceFilter) : nothing}
        ${isPaged() && kind().name !== 'changes' ? html`${dayFilter('from')}${dayFilter('to')}` : nothing}
        ${kind().class === 'system' ? nothing : html`<button class="pick" aria-pressed=${String(state.filters.struck === '1')} @click=${press(() => set('struck', state.filters.struck === '1' ? '' : '1'))}>${t('lists.struck_only')}</button>`}
        ${Object.entries(state.filters).map(chip)}</div>
      ${keptHere()}
      ${data.away ? html`<p class="notice" role="status">${t('round.no_answer')}</p>` : html`<p class="said-days">${said(rows.length, data, before)}</p>
      ${tableOrNone(rows, data)}`}
      ${isPaged() && (data.next || before) ? html`<div class="desk-tools no-print"><button class="tool" ?disabled=${!before} @click=${turn(() => state.after.pop())}>${t(state.search ? 'lists.search_newer' : 'lists.newer')}</button><button class="tool" ?disabled=${!data.next} @click=${turn(() => state.after.push(data.next))}>${t(state.search ? 'lists.search_older' : 'lists.older')}</button></div>` : nothing}</div>`;
  };
  screen = runScreen(el, { ask, view });
  const stop = listenKeys({
    search: () => el.querySelector('input[type=search]')?.focus(),
    leave: () => go('/farm'),
  });
  return { update: screen.update, destroy: () => { stop(); screen.destroy(); } };
}

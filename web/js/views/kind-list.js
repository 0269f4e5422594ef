/*
 * The rows of a kind: entries newest first and page by page, set-up whole in its order.  Filters stand in the address;
 * search looks through what was loaded.
 */
import * as api from '../api.js';
import { COMMON, isNumeric, valueText, whenText } from '../describe.js';
import { html, nothing, press } from '../dom.js';
import { number } from '../format.js';
import { fieldName, kindName, kindOne, t } from '../i18n.js';
import { mark } from '../marks.js';
import { labelOfRow, loadReferencesOf } from '../refs.js';
import { go, keepQuery } from '../router.js';
import { csvLink, listenKeys, printButton, runScreen, tableFrame } from '../screen.js';
import { kindOf, staffName } from '../setup.js';

const PAGE = 50;
const SEARCHED = 1000;

const hasWhen = (kind) => kind.fields.some((f) => f.name === 'at');
const walked = (row) => row.walk_order ?? Infinity;
const byOrder = (a, b) => Number(Boolean(a.retired_on)) - Number(Boolean(b.retired_on)) || walked(a) - walked(b) || String(labelOfRow(a)).localeCompare(String(labelOfRow(b)), 'en', { numeric: true });

/** The fields that a list shows: those of the kind itself that any of the rows has. */
export function columnsOf(kind, rows) {
  const own = kind.fields.filter((f) => !COMMON.has(f.name) && !['retired_on'].includes(f.name));
  return own.filter((f) => rows.some((r) => r[f.name] !== undefined && r[f.name] !== null && r[f.name] !== ''));
}

function rowView(kind, columns, row) {
  const link = (text) => (kind.class === 'system' ? text : html`<a href="/farm/${kind.name}/${row.id}">${text}</a>`);
  const text = (f) => valueText(f, row[f.name]);
  const [first, ...rest] = hasWhen(kind) ? [null, ...columns] : columns;
  const head = hasWhen(kind) ? whenText(row) : first ? text(first) || labelOfRow(row) : labelOfRow(row);
  return html`<tr class=${row.struck_at ? 'struck' : ''}><th scope="row">${link(head)}${row.struck_at ? html` ${mark('amber', '×', t('form.struck'))}` : nothing}${row.retired_on ? html` <small>${t('form.retired', { day: row.retired_on })}</small>` : nothing}${row.look ? html` ${mark('amber', '△', t('at.to_look_at'))}` : nothing}</th>
    ${rest.map((f) => html`<td class=${isNumeric(f) ? '' : 'left'}>${text(f)}</td>`)}
    ${hasWhen(kind) ? html`<td class="left"><small>${staffName(row.staff_id) ?? ''}</small></td>` : nothing}<td class="left note">${row.note ?? ''}</td></tr>`;
}

function table(kind, rows) {
  const columns = columnsOf(kind, rows);
  const rest = hasWhen(kind) ? columns : columns.slice(1);
  return tableFrame(kindName(kind.name), html`<table class="figures rows"><thead><tr><th scope="col">${hasWhen(kind) ? fieldName('at') : columns[0] ? fieldName(columns[0].name) : fieldName('id')}</th>${rest.map((f) => html`<th scope="col" class=${isNumeric(f) ? '' : 'left'}>${fieldName(f.name)}</th>`)}
    ${hasWhen(kind) ? html`<th scope="col" class="left">${fieldName('staff_id')}</th>` : nothing}<th scope="col" class="left">${fieldName('note')}</th></tr></thead><tbody>${rows.map((r) => rowView(kind, columns, r))}</tbody></table>`);
}

/** Mounts the list of params.kind. */
export function mount(el, { params, query, setTitle }) {
  const own = Object.fromEntries(query);
  const state = { filters: own, search: own.search ?? '', after: [] };
  delete state.filters.search;
  let screen = null;
  const kind = () => kindOf(params.kind);
  const isPaged = () => kind().class === 'entry' || kind().class === 'system';
  const keep = () => keepQuery({ ...state.filters, ...(state.search ? { search: state.search } : {}) });
  const filterText = () => new URLSearchParams(state.filters).toString();
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

  async function ask() {
    if (!kind()) return { unknown: true };
    const wanted = new URLSearchParams(state.filters);
    let rows;
    let next;
    if (isPaged()) {
      wanted.set('order', '-at');
      wanted.set('limit', state.search ? SEARCHED : PAGE);
      if (state.after.length) wanted.set('after', state.after.at(-1));
      ({ items: rows, next } = await api.get(`/api/${kind().name}?${wanted}`));
    } else rows = (await api.getAll(`/api/${kind().name}?${wanted}`.replace(/\?$/, ''))).sort(byOrder);
    await loadReferencesOf(kind(), rows);
    return { rows, next };
  }

  function tableOrNone(rows, data) {
    if (rows.length) return table(kind(), rows);
    if (state.search || Object.keys(state.filters).length) return html`<div class="notice"><p>${t('lists.none_fit')}</p></div>`;
    return html`<div class="notice"><h2>${t('lists.none', { what: kindName(kind().name) })}</h2>${data.rows && kind().class !== 'system' ? html`<a class="button" href="/farm/${kind().name}/new">${t('form.new_of', { what: kindOne(kind().name) })}</a>` : nothing}</div>`;
  }

  const chip = ([name, value]) => {
    const field = kind().fields.find((f) => f.name === name);
    if (!field || ['from', 'to', 'struck'].includes(name)) return nothing;
    const typed = ['reference', 'integer', 'real'].includes(field.kind) ? Number(value) : value;
    return html`<button class="tool" @click=${press(() => set(name, ''))}>${fieldName(name)}: ${valueText(field, typed)} <span aria-hidden="true">×</span><span class="unseen">${t('lists.drop')}</span></button>`;
  };
  const dayFilter = (name) => html`<label class="field inline"><span>${fieldName(name)}</span><input type="date" .value=${state.filters[name] ?? ''} @change=${(e) => set(name, e.target.value)}></label>`;

  const view = (data) => {
    if (data.unknown) return html`<div class="notice"><h2>${t('missing.title')}</h2><a class="button" href="/farm">${t('farms.title')}</a></div>`;
    setTitle(kindName(kind().name));
    const wanted = state.search.toLocaleLowerCase();
    const columns = columnsOf(kind(), data.rows);
    const textOf = (row) => [whenText(row), row.note, staffName(row.staff_id), ...columns.map((f) => valueText(f, row[f.name]))].join(' ').toLocaleLowerCase();
    const rows = wanted ? data.rows.filter((r) => textOf(r).includes(wanted)) : data.rows;
    return html`<div class="desk"><div class="desk-tools no-print">${kind().class === 'system' ? nothing : html`<a class="button main" href="/farm/${kind().name}/new">${t('form.new_of', { what: kindOne(kind().name) })}</a>`}
        <span class="grow"><a href="/farm">← ${t('farms.title')}</a></span>${csvLink(`/api/${kind().name}.csv${filterText() ? `?${filterText()}` : ''}`)}${printButton()}</div>
      <div class="question no-print"><label class="field inline search"><span>${t('lists.search')}</span><input type="search" .value=${state.search} @input=${(e) => find(e.target.value)}></label>
        ${isPaged() && kind().name !== 'changes' ? html`${dayFilter('from')}${dayFilter('to')}` : nothing}
        ${kind().class === 'system' ? nothing : html`<button class="pick" aria-pressed=${String(state.filters.struck === '1')} @click=${press(() => set('struck', state.filters.struck === '1' ? '' : '1'))}>${t('lists.struck_too')}</button>`}
        ${Object.entries(state.filters).map(chip)}</div>
      <p class="said-days">${t('lists.shown', { n: rows.length, shown: number(rows.length) })}${isPaged() && state.search && data.next ? ` ${t('lists.searched', { shown: number(SEARCHED) })}` : ''}</p>
      ${tableOrNone(rows, data)}
      ${isPaged() && !state.search && (data.next || state.after.length) ? html`<div class="desk-tools no-print"><button class="tool" ?disabled=${!state.after.length} @click=${press(() => { state.after.pop(); screen.update(); scrollTo(0, 0); })}>${t('lists.newer')}</button><button class="tool" ?disabled=${!data.next} @click=${press(() => { state.after.push(data.next); screen.update(); scrollTo(0, 0); })}>${t('lists.older')}</button></div>` : nothing}</div>`;
  };
  screen = runScreen(el, { ask, view });
  const stop = listenKeys({
    search: () => el.querySelector('input[type=search]')?.focus(),
    leave: (event) => (event.target.type === 'search' && event.target.value ? undefined : go('/farm')),
  });
  return { update: screen.update, destroy: () => { stop(); screen.destroy(); } };
}

/* The rows of a kind as a table, drawn from the dictionary: those columns that any of the rows has a value in. */
import { COMMON, isNumeric, valueText, whenText } from '../describe.js';
import { html, nothing, repeat } from '../dom.js';
import { fullDay } from '../format.js';
import { fieldName, kindName, t } from '../i18n.js';
import { mark } from '../marks.js';
import { labelOfRow } from '../refs.js';
import { tableFrame } from '../screen.js';
import { staffName } from '../setup.js';

/* Whether rows of a kind have a time of their own, so that a list begins with it.  @param {object} kind of the dictionary @returns {boolean} */
const hasWhen = (kind) => kind.fields.some((f) => f.name === 'at');

/** The fields that a list shows: those of the kind itself that any of the rows has. */
export function columnsOf(kind, rows, leave = []) {
  const own = kind.fields.filter((f) => !COMMON.has(f.name) && !['retired_on', ...leave].includes(f.name));
  return own.filter((f) => rows.some((r) => r[f.name] !== undefined && r[f.name] !== null && r[f.name] !== ''));
}

const marks = (row) => html`${row.struck_at ? html` ${mark('amber', '×', t('form.struck'))}` : nothing}${row.retired_on ? html` <small>${t('form.retired', { day: fullDay(row.retired_on) })}</small>` : nothing}${row.look ? html` ${mark('amber', '△', t('at.to_look_at'))}` : nothing}`;

function rowView(kind, columns, row) {
  const text = (f) => valueText(f, row[f.name], row);
  const [first, ...rest] = hasWhen(kind) ? [null, ...columns] : columns;
  const name = hasWhen(kind) ? whenText(row) : (first && text(first)) || labelOfRow(row);
  return html`<tr class=${row.struck_at ? 'struck' : ''}><th scope="row">${kind.class === 'system' ? name : html`<a href="/farm/${kind.name}/${row.id}">${name}</a>`}${marks(row)}</th>
    ${rest.map((f) => html`<td class=${isNumeric(f) ? '' : 'left'}>${text(f)}</td>`)}
    ${hasWhen(kind) ? html`<td class="left"><small>${staffName(row.staff_id) ?? ''}</small></td>` : nothing}<td class="left note">${row.note ?? ''}</td></tr>`;
}

/** The table; `leave` names fields that go without saying. */
export function rowsTable(kind, rows, leave = []) {
  const columns = columnsOf(kind, rows, leave);
  const rest = hasWhen(kind) ? columns : columns.slice(1);
  return tableFrame(kindName(kind.name), html`<table class="figures rows"><thead><tr><th scope="col">${hasWhen(kind) ? fieldName('at') : columns[0] ? fieldName(columns[0].name) : fieldName('id')}</th>${rest.map((f) => html`<th scope="col" class=${isNumeric(f) ? '' : 'left'}>${fieldName(f.name)}</th>`)}
    ${hasWhen(kind) ? html`<th scope="col" class="left">${fieldName('staff_id')}</th>` : nothing}<th scope="col" class="left">${fieldName('note')}</th></tr></thead><tbody>${repeat(rows, (r) => r.id, (r) => rowView(kind, columns, r))}</tbody></table>`);
}

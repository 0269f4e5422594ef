/*
 * The sheet that shows what waits on this tablet, and what needs mending: send again, keep it as it is, give it up,
 * carry it away as a file.
 */
import { html, nothing, press, repeat } from './dom.js';
import { age, asText, clock, farmDay, mass, plain, saidUnit, toUnit, unitSign } from './format.js';
import { choiceWord, fieldName, kindOne, t } from './i18n.js';
import { exportText, flush, giveUp, isQuestion, KEPT, mend, MENDING, onOutbox, waiting } from './outbox.js';
import { errorText } from './problems.js';
import { find, kindOf } from './setup.js';
import { openSheet } from './sheet.js';

let isOpen = false;

const REFERENCES = { tank_id: 'tanks', bed_id: 'beds', place_id: 'places', unit_id: 'units', feed_id: 'feeds', staff_id: 'staff', chore_id: 'chores' };
const LEFT_OUT = new Set(['at', 'planned_g', 'slot', 'staff_id']);

function valueText(kind, name, value) {
  const row = REFERENCES[name] && find(REFERENCES[name], value);
  if (row) return row.code ?? row.name ?? row.title;
  const field = kindOf(kind)?.fields.find((f) => f.name === name);
  if (field?.kind === 'choice') return choiceWord(name, value);
  if (field?.kind !== 'real') return String(value);
  const how = saidUnit(field.unit);
  return asText(field.unit === 'g' ? mass(value) : { text: plain(toUnit(how, value), 4), unit: unitSign(how.unit) });
}
const fieldsText = ({ kind, fields }) => Object.entries(fields).filter(([name]) => !LEFT_OUT.has(name))
  .map(([name, value]) => `${fieldName(name)} ${valueText(kind, name, value)}`).join(' · ');

const isTaken = (row) => row.fields.code && row.problem?.errors?.some((e) => e.code === 'taken_code');
const withNewCode = async (row) => {
  const { newCode } = await import('./codes.js');
  const code = newCode(farmDay());
  if (code) await mend(row.seq, { code });
};

const acts = (row) => html`
  ${isQuestion(row.problem) ? html`<button class="main" @click=${press(() => mend(row.seq, { confirm: true }))}>${t('outbox.keep_it')}</button>`
    : isTaken(row) ? html`<button class="main" @click=${press(() => withNewCode(row))}>${t('outbox.new_code')}</button>`
      : html`<button @click=${press(() => mend(row.seq))}>${t('outbox.again')}</button>`}
  <button class="quiet" @click=${press(() => giveUp(row.seq))}>${t('outbox.give_up')}</button>`;

const rowView = (row) => html`<li>
  <span class="grow"><b>${row.op === 'strike' ? t('outbox.strike', { what: kindOne(row.kind) }) : kindOne(row.kind)}</b> ${clock(row.made_at)}
    <small>${age(row.made_at)}</small><br><small>${fieldsText(row)}</small>
    ${(row.problem?.errors ?? []).map((item) => html`<br><span class="mark red">▲ ${errorText(item)}</span>`)}</span>
  <span class="soft">${t(`state.${row.state === MENDING ? MENDING : KEPT}`)}</span>
  ${row.state === MENDING ? acts(row) : nothing}</li>`;

function download() {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([exportText()], { type: 'application/json' }));
  link.download = `weirbook-unsent-${new Date().toISOString().slice(0, 16).replaceAll(':', '')}.json`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}

const sheetView = () => {
  const rows = waiting();
  return html`${rows.length ? html`<ul class="rows">${repeat(rows, (row) => row.seq, rowView)}</ul>` : html`<p>${t('outbox.empty')}</p>`}
    <div class="choices"><button @click=${press(flush)} ?disabled=${!rows.length}>${t('outbox.send')}</button>
    <button @click=${press(download)} ?disabled=${!rows.length}>${t('outbox.export')}</button></div>`;
};

/** Opens the sheet; it draws itself anew while it is open. */
export async function openOutbox() {
  if (isOpen) return;
  isOpen = true;
  let stop = null;
  await openSheet(t('outbox.title'), (close, redraw) => {
    stop ??= onOutbox(redraw);
    return sheetView();
  });
  stop?.();
  isOpen = false;
}

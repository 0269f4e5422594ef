/*
 * Closed months: closing the last one when it is over, and a line for each figure of a closed month that is no
 * longer what it was.  What the book said then and says now comes from report restated.
 */
import * as api from './api.js';
import { html, nothing, press } from './dom.js';
import { enter } from './enter.js';
import { addDays, age, asText, farmDay, fullDay, mass, number, shortDay } from './format.js';
import { kindName, t } from './i18n.js';
import { mark } from './marks.js';
import { monthText } from './periods.js';
import { place, staffName } from './setup.js';

const SHOWN = 3;
const SAME_G = 0.5;
const monthStart = (day) => `${day.slice(0, 7)}-01`;

/* The first day of the month before that of `day`. */
const lastMonth = (day) => monthStart(addDays(monthStart(day), -1));
const lastDayOf = (month) => addDays(monthStart(addDays(month, 31)), -1);

/** {month, closing, rows}: the last month, its closing if it has one, and the rows of closed months that moved. */
export async function loadClosed() {
  const month = lastMonth(farmDay());
  const [closings, restated] = await Promise.all([api.get(`/api/closings?month=${month}`), api.get('/api/reports/restated')]);
  return { month, closing: closings.items.at(-1) ?? null, rows: restated.rows.filter((r) => r.moved) };
}

const conversionText = (value) => (value === null ? t('closed.none') : number(value, 2));

/* What moved, in words: [sentence, ...]. */
function movedTexts(row) {
  const said = [t('closed.moved', { then: conversionText(row.fcr_then), now: conversionText(row.fcr_now) })];
  const more = (row.feed_g_now ?? 0) - (row.feed_g_then ?? 0);
  const gained = row.gain_g_now === null || row.gain_g_then === null ? 0 : row.gain_g_now - row.gain_g_then;
  if (Math.abs(more) >= SAME_G) said.push(t(more > 0 ? 'closed.feed_more' : 'closed.feed_less', { mass: asText(mass(Math.abs(more))) }));
  if (Math.abs(gained) >= SAME_G) said.push(t(gained > 0 ? 'closed.gain_more' : 'closed.gain_less', { mass: asText(mass(Math.abs(gained))) }));
  said.push(row.touched ? t('closed.touched', { n: row.touched, shown: number(row.touched), day: shortDay(farmDay(row.touched_at)) }) : t('closed.untouched'));
  return said;
}

const entriesOf = (row) => {
  const tank = place(row.tank)?.row;
  return tank ? ['feedings', 'weighings', 'fish-deaths'].map((kind) => html`<a class="button quiet" href="/farm/${kind}?tank_id=${tank.id}&from=${row.month}&to=${lastDayOf(row.month)}">${kindName(kind)}</a>`) : nothing;
};

const line = (row, named) => html`<div class="restated"><p>${named ? html`<a class="strong" href="/tanks/${encodeURIComponent(row.tank)}">${row.tank}</a> ` : nothing}${mark('amber', '△', monthText(row.month))} ${movedTexts(row).join('; ')}.</p>
  <p class="ways-out no-print"><span class="soft">${t('closed.entries')}</span>${entriesOf(row)}</p></div>`;

/** The lines of what moved; `tank` keeps to one tank, and does not name it. */
export function restatedLines(closed, tank) {
  const rows = tank ? closed.rows.filter((r) => r.tank === tank) : closed.rows;
  const [first, rest] = [rows.slice(0, SHOWN), rows.slice(SHOWN)];
  return html`${first.map((row) => line(row, !tank))}${rest.length ? html`<details class="restated-rest"><summary>${t('closed.rest', { n: rest.length, shown: number(rest.length) })}</summary>${rest.map((row) => line(row, !tank))}</details>` : nothing}`;
}

const close = (month) => enter('closings', { month }, t('closed.said', { month: monthText(month) }));

/** Whether the last month is closed, or the button that closes it; `since`: the first day that the book has fish. */
export function closingLine(closed, since) {
  const month = monthText(closed.month);
  if (closed.closing) {
    const who = staffName(closed.closing.staff_id);
    return html`<p class="said-days closing">${t(who ? 'closed.closed_by' : 'closed.closed', { month, when: age(closed.closing.received_at ?? closed.closing.at), who })}</p>`;
  }
  if (!since || since > lastDayOf(closed.month)) return nothing;
  return html`<p class="said-days closing no-print"><button class="tool" @click=${press(() => close(closed.month))}>${t('closed.close', { month })}</button> <span>${t('closed.close_what', { day: fullDay(lastDayOf(closed.month)) })}</span></p>`;
}

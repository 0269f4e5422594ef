/*
 * The other crop's answer: what a fish harvest or a planting does to feed per planted area and to nitrate over six
 * weeks, all at once against in halves, beside what is planned.  The service reckons (report nitrate).
 */
import * as api from './api.js';
import { html } from './dom.js';
import { addDays, farmDay, number, shortDay } from './format.js';
import { t } from './i18n.js';
import { tableFrame } from './screen.js';

const WEEKS = 6;
/** What may be asked: so many kg of fish go, so many m2 of raft are planted. */
export const WISHES = ['fish_harvest', 'planting'];
/** What the size of each is asked in, as fields of the service. */
export const SIZES = { fish_harvest: { name: 'fish_kg', unit: 'kg' }, planting: { name: 'area_m2', unit: 'm2' } };
const WAYS = [['as_planned', ''], ['at_once', '&step=at_once'], ['halves', '&step=halves']];

/** Of a loop: {way: rows of each week}; size in kg of fish, or m2. */
export async function askOtherCrop(loop, wish, size) {
  const days = Array.from({ length: WEEKS }, (_, i) => addDays(farmDay(), 7 * (i + 1)));
  const answers = await Promise.all(WAYS.map(([way, step]) => api.getOnce(`/api/reports/nitrate?only=${encodeURIComponent(loop)}${way === 'as_planned' ? '' : `&by=${wish}&size=${size}${step}`}`)));
  return { days, ways: answers.map(({ rows, notes }, i) => ({ way: WAYS[i][0], notes, rows: days.map((day) => rows.find((r) => r.day === day)) })) };
}

const figure = (value) => (value === null || value === undefined ? '–' : number(value));
const cell = (row) => html`<td>${figure(row?.feed_g_m2_day)}<small class="under">${figure(row?.nitrate_n_mg_l)}${row && row.low !== null ? ` (${figure(row.low)}–${figure(row.high)})` : ''}</small></td>`;

/** The answer as a table: a column a way, a row a week; feed per area, and nitrate under it. */
export function otherCropTable({ days, ways }) {
  return tableFrame(t('other_crop.title'), html`<table class="figures narrow other-crop"><caption>${t('other_crop.columns')}</caption><thead><tr><th scope="col">${t('field.day')}</th>${ways.map(({ way }) => html`<th scope="col">${t(`other_crop.way.${way}`)}</th>`)}</tr></thead>
    <tbody>${days.map((day, i) => html`<tr><th scope="row">${shortDay(day)}</th>${ways.map(({ rows }) => cell(rows[i]))}</tr>`)}</tbody></table>`);
}

/** In words: what feed per area comes to by either way, against the band [low, high] of the loop (null: none). */
export function otherCropWords({ days, ways }, band) {
  const at = (week) => ['as_planned', 'at_once', 'halves'].map((way) => ways.find((w) => w.way === way).rows[week - 1]?.feed_g_m2_day);
  const [planned, once, halves] = at(WEEKS);
  const [, soonOnce, soonHalves] = at(WEEKS / 2 - 1);
  if ([planned, once, halves, soonOnce, soonHalves].some((v) => v === null || v === undefined)) return t('other_crop.unknown');
  const said = t('other_crop.said', { planned: number(planned), once: number(once), day: shortDay(days.at(-1)), soon: shortDay(days[WEEKS / 2 - 2]), first: number(soonOnce), gentle: number(soonHalves) });
  if (!band || band.low === null) return said;
  if (once < band.low) return `${said} ${t('other_crop.below', { low: number(band.low) })}`;
  return once > band.high ? `${said} ${t('other_crop.above', { high: number(band.high) })}` : said;
}

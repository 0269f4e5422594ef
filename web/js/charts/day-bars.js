/* One bar a day against what was planned: feed.  A day without an entry is a gap. */
import { svg } from '../dom.js';
import { addDays, asText, mass, shortDay } from '../format.js';
import { mondayOf } from '../periods.js';
import { dayTicks, valueTicks } from './axes.js';

const H = 220;
const LEFT = 64;
const RIGHT = 24;
const TOP = 14;
const FOOT = 34;

/* Sums of a field by what keyOf(day) says; what no entry gave is no member. */
function sumsBy(entries, field, keyOf) {
  const sums = new Map();
  for (const e of entries) if (e[field] !== undefined) sums.set(keyOf(e.day), (sums.get(keyOf(e.day)) ?? 0) + e[field]);
  return sums;
}

/**
 * Pure: feedings summed by farm day over [from, to], or by week, each named by its Monday.  What no entry gave is null, not 0.
 * @param {{day: string, amount_g?: number, planned_g?: number}[]} feedings @param {string} from @param {string} to @param {boolean} weekly
 * @returns {{day: string, value: number|null, planned: number|null}[]} grams, ascending
 */
export function toSeries(feedings, from, to, weekly) {
  const keyOf = weekly ? mondayOf : (day) => day;
  const [fed, planned] = ['amount_g', 'planned_g'].map((field) => sumsBy(feedings, field, keyOf));
  const days = [];
  for (let day = keyOf(from); day <= to; day = addDays(day, weekly ? 7 : 1)) days.push({ day, value: fed.get(day) ?? null, planned: planned.get(day) ?? null });
  return days;
}

/** Draws days: [{day, value, planned}] in grams, one for each day in order, or for each week by its Monday. */
export function draw(days, width, label) {
  const ticks = valueTicks(Math.max(...days.map((d) => Math.max(d.value ?? 0, d.planned ?? 0))), 4);
  const top = ticks.at(-1);
  const y = (v) => H - FOOT - (v / top) * (H - FOOT - TOP);
  const step = (width - LEFT - RIGHT) / days.length;
  const x = (i) => LEFT + i * step;
  const every = Math.ceil(days.length / Math.max(2, Math.floor(width / 100)));
  const weekly = days.length > 1 && addDays(days[0].day, 1) !== days[1].day;
  const labelled = new Set(weekly ? days.filter((d, i) => i % every === 0).map((d) => d.day) : dayTicks(days[0].day, days.at(-1).day, Math.max(2, Math.floor(width / 100))));
  return svg`<svg class="picture bars" width=${width} height=${H} role="img" aria-label=${label}>
    ${ticks.map((v) => svg`<line class="grid" x1=${LEFT} x2=${width - RIGHT} y1=${y(v)} y2=${y(v)}></line><text class="tick" x=${LEFT - 8} y=${y(v) + 5} text-anchor="end">${asText(mass(v))}</text>`)}
    ${days.map((d, i) => svg`<g>${d.value === null ? '' : svg`<rect class="bar" x=${x(i) + step * 0.18} width=${step * 0.64} y=${y(d.value)} height=${H - FOOT - y(d.value)}><title>${shortDay(d.day)}: ${asText(mass(d.value))}</title></rect>`}
      ${d.planned ? svg`<line class="plan" x1=${x(i) + 1} x2=${x(i) + step - 1} y1=${y(d.planned)} y2=${y(d.planned)}></line>` : ''}
      ${labelled.has(d.day) ? svg`<text class="tick" x=${x(i) + step / 2} y=${H - 12} text-anchor="middle">${shortDay(d.day)}</text>` : ''}</g>`)}
    <line class="axis" x1=${LEFT} x2=${width - RIGHT} y1=${H - FOOT} y2=${H - FOOT}></line></svg>`;
}

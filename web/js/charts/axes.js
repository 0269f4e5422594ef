/*
 * The pure half of the desk's pictures: scales and ticks.  Numbers in, numbers out; drawing is the pictures' own.
 */
import { addDays } from '../format.js';

/** Round steps from 0 to at least max: about n of them. */
export function valueTicks(max, n = 5) {
  if (!(max > 0)) return [0, 1];
  const raw = max / n;
  const ten = 10 ** Math.floor(Math.log10(raw));
  const step = [1, 2, 2.5, 5, 10].find((s) => s * ten >= raw) * ten;
  const ticks = [];
  for (let v = 0; v < max + step * 0.999; v += step) ticks.push(Number(v.toPrecision(12)));
  return ticks;
}

/** Days that carry a label between two days: Mondays for short spans, firsts of months for long ones. */
export function dayTicks(from, to, most = 12) {
  const days = [];
  for (let day = from; day <= to; day = addDays(day, 1)) days.push(day);
  const monday = (day) => new Date(`${day}T12:00:00Z`).getUTCDay() === 1;
  const choices = [(d) => Boolean(d), monday, (d, i) => monday(d) && Math.floor(i / 7) % 2 === 0, (d) => d.endsWith('-01'), (d) => /-(01|04|07|10)-01$/.test(d), (d) => d.endsWith('-01-01')];
  return choices.map((takes) => days.filter(takes)).find((ticks) => ticks.length <= most) ?? [from, to];
}

/** A straight scale. */
export const scale = (from, to, low, high) => (v) => low + ((v - from) / (to - from || 1)) * (high - low);
/** A farm day as a number, at its noon. */
export const dayNumber = (day) => Date.parse(`${day}T12:00:00Z`);


/* Growth as small as a word: the weighings of a lot in a tank, the estimate of now, and what is ahead for some weeks.  The cell beside it says it in words. */
import { svg } from '../dom.js';
import { daysBetween } from '../format.js';

const W = 120;
const H = 34;
const EDGE = 4;
const BACK_DAYS = 120;

/** Pure: [{day, g, ahead}] with days counted from today, oldest first, from a row of report growth; empty when there is no course. */
export function toSeries(row, today) {
  const days = row.weighed_days ?? [];
  const past = days.map((day, i) => ({ day: daysBetween(today, day), g: row.weighed_g[i], ahead: false })).filter((p) => p.day >= -BACK_DAYS);
  const now = row.mean_weight_g === null ? [] : [{ day: 0, g: row.mean_weight_g, ahead: false }];
  const ahead = (row.projected_g ?? []).map((g, i) => ({ day: i + 1, g, ahead: true })).filter((p) => p.day % 7 === 0);
  return [...past.filter((p) => p.day < 0), ...now, ...ahead];
}

/**
 * Draws the course of a lot; nothing when there are fewer than two points.
 * @param {object} row of report growth @param {string} today farm day @returns {SVGTemplateResult|string}
 */
export function draw(row, today) {
  const points = toSeries(row, today);
  if (points.length < 2) return '';
  const [from, to] = [points[0].day, points.at(-1).day];
  const max = Math.max(...points.map((p) => p.g));
  const at = (p) => [EDGE + ((p.day - from) / (to - from)) * (W - 2 * EDGE), H - EDGE - (p.g / max) * (H - 2 * EDGE)];
  const text = (some) => some.map((p) => at(p).map((v) => v.toFixed(1)).join(',')).join(' ');
  const here = points.filter((p) => !p.ahead);
  const [x, y] = at(here.at(-1));
  return svg`<svg class="spark" width=${W} height=${H} aria-hidden="true"><polyline class="line" points=${text(here)}></polyline>
    <polyline class="guess" points=${text([here.at(-1), ...points.filter((p) => p.ahead)])}></polyline><circle class="open" cx=${x} cy=${y} r="3.5"></circle></svg>`;
}

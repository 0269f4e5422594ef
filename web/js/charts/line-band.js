/*
 * A quantity over days: what is expected as a line with its band, what was measured as dots, a range to stay in shaded, gaps as
 * gaps.  The first half is pure.
 */
import { svg } from '../dom.js';
import { number, shortDay } from '../format.js';
import { dayNumber, dayTicks, scale, valueTicks } from './axes.js';

const H = 260;
const LEFT = 56;
const RIGHT = 20;
const TOP = 30;
const FOOT = 34;

/* Runs of days without a null in between: [[point, ...], ...]. */
function runsOf(points, field) {
  const runs = [[]];
  for (const p of points) {
    if (p[field] === null || p[field] === undefined) runs.push([]);
    else runs.at(-1).push(p);
  }
  return runs.filter((run) => run.length);
}

/**
 * Pure: points [{day, value, low?, high?, measured?}], ascending, as what is drawn; a null is a gap.
 * @returns {{from: string, to: string, max: number, lines: object[][], bands: object[][], measured: object[]}} max: the highest that must fit
 */
export function toSeries(points, inside) {
  const known = (field) => points.filter((p) => p[field] !== null && p[field] !== undefined);
  return {
    from: points[0].day, to: points.at(-1).day, max: Math.max(...points.flatMap((p) => [p.value ?? 0, p.high ?? 0, p.measured ?? 0]), inside?.high ?? 0, 1),
    lines: runsOf(points, 'value'), bands: runsOf(known('low'), 'high'), measured: known('measured'),
  };
}

const path = (points) => `M${points.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join('L')}`;

/** Draws points as toSeries() takes them; inside: {low, high} to stay in; today: where what lies ahead begins. */
export function draw({ points, inside, today, width, label, unit }) {
  const { from, to, max, lines, bands, measured } = toSeries(points, inside);
  const ticks = valueTicks(max);
  const x = (day) => scale(dayNumber(from), dayNumber(to), LEFT, width - RIGHT)(dayNumber(day));
  const y = scale(0, ticks.at(-1), H - FOOT, TOP);
  return svg`<svg class="picture line-band" width=${width} height=${H} role="img" aria-label=${label}>
    ${inside && inside.low !== null ? svg`<rect class="inside" x=${LEFT} width=${width - LEFT - RIGHT} y=${y(inside.high)} height=${y(inside.low) - y(inside.high)}></rect>` : ''}
    ${ticks.map((v) => svg`<line class="grid" x1=${LEFT} x2=${width - RIGHT} y1=${y(v)} y2=${y(v)}></line><text x=${LEFT - 8} y=${y(v) + 5} text-anchor="end">${number(v)}</text>`)}
    <text x="0" y=${TOP - 16}>${unit}</text>
    ${bands.map((run) => svg`<path class="band" d=${`${path([...run.map((p) => [x(p.day), y(p.high)]), ...[...run].reverse().map((p) => [x(p.day), y(p.low)])])}z`}></path>`)}
    ${lines.map((run) => svg`<path class="line" d=${path(run.map((p) => [x(p.day), y(p.value)]))}></path>`)}
    ${measured.map((p) => svg`<circle class="dot" cx=${x(p.day)} cy=${y(p.measured)} r="4"></circle>`)}
    ${today > from && today < to ? svg`<line class="axis" x1=${x(today)} x2=${x(today)} y1=${TOP} y2=${H - FOOT}></line>` : ''}
    <line class="axis" x1=${LEFT} x2=${width - RIGHT} y1=${H - FOOT} y2=${H - FOOT}></line>
    ${dayTicks(from, to, Math.max(2, Math.floor(width / 110))).map((day) => svg`<line class="axis" x1=${x(day)} x2=${x(day)} y1=${H - FOOT} y2=${H - FOOT + 5}></line><text x=${x(day)} y=${H - FOOT + 21} text-anchor="middle">${shortDay(day)}</text>`)}
  </svg>`;
}

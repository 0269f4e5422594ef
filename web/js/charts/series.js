/*
 * Readings over time, drawn by uPlot: the mean of each step as a line, lowest to highest as a band, gaps as gaps, and
 * what lies outside of the limits shaded.  The service has cut the series to the points that the width can show.
 */
import uPlot from '/lib/uplot/uPlot.esm.js';
import { locale } from '../format.js';

const H = 340;
const DAY_S = 86400;

/** The pure half: an answer of GET /api/readings as columns for uPlot, [x seconds, low, high, mean]; null is a gap. */
export function toSeries({ at, mean, low, high }, shown = (v) => v) {
  const of = (values) => values.map((v) => (v === null ? null : shown(v)));
  return [at.map((a) => Date.parse(a) / 1000), of(low ?? mean), of(high ?? mean), of(mean)];
}

/* How a place on the axis is named, by how far apart they stand. */
function axisWords(seconds, apart, timeZone) {
  const options = apart < DAY_S ? { hour: '2-digit', minute: '2-digit', hourCycle: 'h23' } : apart < 28 * DAY_S ? { day: 'numeric', month: 'short' } : apart < 360 * DAY_S ? { month: 'short', year: 'numeric' } : { year: 'numeric' };
  const format = new Intl.DateTimeFormat(locale(), { timeZone, ...options });
  const day = new Intl.DateTimeFormat(locale(), { timeZone, day: 'numeric', month: 'short' });
  return seconds.map((s) => {
    const text = format.format(new Date(s * 1000));
    return text === '00:00' ? day.format(new Date(s * 1000)) : text; // where a day begins, which one
  });
}

function shadeLimits(u, limits, colour) {
  const { ctx, bbox } = u;
  const band = (from, to) => {
    const [top, bottom] = [Math.max(bbox.top, Math.min(from, to)), Math.min(bbox.top + bbox.height, Math.max(from, to))];
    if (bottom > top) ctx.fillRect(bbox.left, top, bbox.width, bottom - top);
  };
  ctx.save();
  ctx.fillStyle = colour;
  if (limits.high !== undefined) band(bbox.top, u.valToPos(limits.high, 'y', true));
  if (limits.low !== undefined) band(u.valToPos(limits.low, 'y', true), bbox.top + bbox.height);
  ctx.restore();
}

/* What was done at a moment: a dashed line down, its words at the top, left out where they would meet. */
function drawMarks(u, marks, colour) {
  const { ctx, bbox } = u;
  const px = devicePixelRatio;
  let free = -Infinity;
  ctx.save();
  ctx.strokeStyle = colour;
  ctx.fillStyle = colour;
  ctx.lineWidth = px;
  ctx.font = `${14 * px}px system-ui, sans-serif`;
  ctx.textBaseline = 'top';
  ctx.setLineDash([4 * px, 4 * px]);
  for (const { at, text } of marks) {
    const x = u.valToPos(at, 'x', true);
    if (x < bbox.left || x > bbox.left + bbox.width) continue;
    ctx.beginPath();
    ctx.moveTo(x, bbox.top);
    ctx.lineTo(x, bbox.top + bbox.height);
    ctx.stroke();
    const words = ctx.measureText(text).width;
    const left = Math.min(x + 4 * px, bbox.left + bbox.width - words);
    if (left < free) continue;
    ctx.fillText(text, left, bbox.top + 2 * px);
    free = left + words + 12 * px;
  }
  ctx.restore();
}

const reach = (limits) => (u, least, most) => {
  const [low, high] = [Math.min(least ?? limits.low ?? 0, limits.low ?? Infinity), Math.max(most ?? limits.high ?? 1, limits.high ?? -Infinity)];
  const room = (high - low || 1) * 0.08;
  return [low - room, high + room];
};

/**
 * Draws columns into el; limits {low, high} and columns in the unit shown; marks [{at seconds, text}] in order of time;
 * points: each value as a point, whatever their number.  Returns what takes it away.
 */
export function draw(el, columns, { limits, unit, width, from, to, timeZone, marks = [], points = false }) {
  const css = getComputedStyle(document.documentElement);
  const colour = (name) => css.getPropertyValue(`--${name}`).trim();
  const axis = { stroke: colour('ink'), grid: { stroke: colour('rule'), width: 1 }, ticks: { stroke: colour('rule'), width: 1 }, font: '14px system-ui, sans-serif' };
  const edge = { stroke: colour('water'), width: 0.5, dash: [2, 3], points: { show: false } };
  const chart = new uPlot({
    width, height: H, legend: { show: false }, cursor: { drag: { x: false, y: false } }, tzDate: (s) => uPlot.tzDate(new Date(s * 1000), timeZone),
    scales: { x: { time: true, range: () => [from, to] }, y: { range: reach(limits) } },
    axes: [{ ...axis, space: 90, values: (u, splits, i, space, apart) => axisWords(splits, apart, timeZone) }, { ...axis, size: 64, label: unit, labelSize: 22, labelFont: '14px system-ui, sans-serif', values: (u, splits) => splits.map((v) => new Intl.NumberFormat(locale()).format(v)) }],
    series: [{}, edge, edge, { stroke: colour('ink'), width: 1.5, points: { show: points || columns[0].length < 60, size: 5 } }],
    bands: [{ series: [2, 1], fill: colour('water-wash') }],
    hooks: { drawClear: [(u) => shadeLimits(u, limits, colour('amber-wash'))], draw: [(u) => drawMarks(u, marks, colour('leaf'))] },
  }, columns, el);
  return () => chart.destroy();
}

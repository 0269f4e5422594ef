/*
 * Growth of the fish in a tank: each weighing a mark, straight lines between them, and the mean as it is estimated
 * now with its error.  What happened to the fish stands under the axis.
 */
import { svg } from '../dom.js';
import { asText, mass, shortDay } from '../format.js';
import { t } from '../i18n.js';
import { dayNumber, dayTicks, scale, valueTicks } from './axes.js';

const H = 340;
const LEFT = 64;
const RIGHT = 24;
const TOP = 18;
const FOOT = 56;
const Z95 = 1.96;

/**
 * The pure half.  weighings: [{day, lot, mean_g, fish}]; present: [{lot, mean_g, se_g, day}].  Gives
 * {lots: [{lot, points}], now, from, to, max}, or null when nothing was weighed.
 */
export function toSeries(weighings, present) {
  const all = [...weighings, ...present.filter((p) => p.mean_g !== null)];
  if (!all.length) return null;
  const names = [...new Set(all.map((w) => w.lot))];
  const days = all.map((w) => w.day).sort();
  return {
    lots: names.map((lot) => ({ lot, points: weighings.filter((w) => w.lot === lot && w.mean_g !== null).sort((a, b) => a.day.localeCompare(b.day)) })),
    now: present.filter((p) => p.mean_g !== null), from: days[0], to: days.at(-1),
    max: Math.max(...weighings.map((w) => w.mean_g ?? 0), ...present.map((p) => (p.mean_g ?? 0) + Z95 * (p.se_g ?? 0))),
  };
}

function frame(series, width, x, y) {
  const ticks = valueTicks(series.max);
  return svg`${ticks.map((v) => svg`<line class="grid" x1=${LEFT} x2=${width - RIGHT} y1=${y(v)} y2=${y(v)}></line><text class="tick" x=${LEFT - 8} y=${y(v) + 5} text-anchor="end">${asText(mass(v))}</text>`)}
    ${dayTicks(series.from, series.to, Math.max(2, Math.floor(width / 110))).map((day) => svg`<line class="axis" x1=${x(day)} x2=${x(day)} y1=${H - FOOT} y2=${H - FOOT + 6}></line><text class="tick" x=${x(day)} y=${H - FOOT + 22} text-anchor="middle">${shortDay(day)}</text>`)}
    <line class="axis" x1=${LEFT} x2=${width - RIGHT} y1=${H - FOOT} y2=${H - FOOT}></line>`;
}

function nowMark(p, points, x, y) {
  const last = points.at(-1);
  const px = x(p.day);
  const bar = p.se_g ? svg`<line class="error" x1=${px} x2=${px} y1=${y(p.mean_g - Z95 * p.se_g)} y2=${y(p.mean_g + Z95 * p.se_g)}></line>` : '';
  return svg`${last && last.day < p.day ? svg`<line class="guess" x1=${x(last.day)} y1=${y(last.mean_g)} x2=${px} y2=${y(p.mean_g)}></line>` : ''}${bar}
    <circle class="open" cx=${px} cy=${y(p.mean_g)} r="5"></circle><text class="said" x=${px - 10} y=${y(p.mean_g) - 12} text-anchor="end">${t('tanks.now_mean', { weight: asText(mass(p.mean_g)) })}</text>`;
}

/* Marks under the axis, and their words where two would not run into each other. */
function eventMarks(events, x, width) {
  let free = LEFT;
  return events.map((e) => {
    const px = x(e.day);
    const room = px >= free && px + e.said.length * 7.2 < width;
    if (room) free = px + e.said.length * 7.2 + 14;
    return svg`<g><title>${shortDay(e.day)}: ${e.said}</title><path class="event" d=${`M${px} ${H - FOOT - 1}l-5 -9h10z`}></path>${room ? svg`<text class="said" x=${px} y=${H - 8}>${e.said}</text><line class="leader" x1=${px} x2=${px} y1=${H - FOOT + 28} y2=${H - 20}></line>` : ''}</g>`;
  });
}

/* The code over a lot's first weighing, where it does not run into the one before. */
function lotNames(lots, x, y) {
  if (lots.length < 2) return '';
  let free = -Infinity;
  return lots.filter(({ points }) => points.length).sort((a, b) => a.points[0].day.localeCompare(b.points[0].day)).map(({ lot, points }) => {
    const px = x(points[0].day);
    if (px < free) return '';
    free = px + lot.length * 10 + 8;
    return svg`<text class="said" x=${px} y=${y(points[0].mean_g) - 12}>${lot}</text>`;
  });
}

/** Draws the series; events: [{day, said}] in order of days. */
export function draw(series, events, width, label) {
  const toX = scale(dayNumber(series.from), dayNumber(series.to), LEFT + 10, width - RIGHT - 20);
  const x = (day) => toX(dayNumber(day));
  const y = scale(0, valueTicks(series.max).at(-1), H - FOOT, TOP);
  return svg`<svg class="picture growth" width=${width} height=${H} role="img" aria-label=${label}>${frame(series, width, x, y)}
    ${series.lots.map(({ lot, points }) => svg`<polyline class="line" points=${points.map((p) => `${x(p.day).toFixed(1)},${y(p.mean_g).toFixed(1)}`).join(' ')}></polyline>
      ${points.map((p) => svg`<circle class="dot" cx=${x(p.day)} cy=${y(p.mean_g)} r="5"><title>${shortDay(p.day)}, ${lot}: ${asText(mass(p.mean_g))}</title></circle>`)}`)}
    ${lotNames([...series.lots], x, y)}
    ${series.now.map((p) => nowMark(p, series.lots.find((l) => l.lot === p.lot)?.points ?? [], x, y))}
    ${eventMarks(events.filter((e) => e.day >= series.from), x, width)}</svg>`;
}

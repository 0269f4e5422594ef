/*
 * Growth of the fish in a tank: each weighing a mark, straight lines between them, the mean as it is estimated now
 * with its error, and what is ahead: the expected weight and its band, to market weight.  What happened to the fish
 * stands under the axis.
 */
import { svg } from '../dom.js';
import { addDays, asText, mass, shortDay } from '../format.js';
import { t } from '../i18n.js';
import { dayNumber, dayTicks, scale, valueTicks } from './axes.js';

const H = 360;
const LEFT = 64;
const RIGHT = 24;
const TOP = 18;
const FOOT = 56;
const Z95 = 1.96;
const PAST_MARKET_DAYS = 10;
const SHOWN_DAYS = 56; // ahead, where market weight is not in sight
const OVER_MARKET = 1.25; // the band may run far above market weight: it is cut there

/** A row of report growth as what is ahead: {lot, days: [{day, mean_g, low_g, high_g}], market}, or null. */
export function aheadOf(row) {
  if (!row.projected_g?.length) return null;
  const days = row.projected_g.map((mean_g, i) => ({ day: addDays(row.first_day, i), mean_g, low_g: row.low_g[i], high_g: row.high_g[i] }));
  const market = row.market_weight_g ? { weight_g: row.market_weight_g, on: row.market_on, low: row.market_low, high: row.market_high } : null;
  const end = market?.on ? addDays(market.high ?? market.on, PAST_MARKET_DAYS) : addDays(row.first_day, SHOWN_DAYS - 1);
  return { lot: row.fish_lot, days: days.filter((d) => d.day <= end), market };
}

/**
 * The pure half.  weighings: [{day, lot, mean_g, fish}]; present: [{lot, mean_g, se_g, day}]; ahead: as aheadOf()
 * gives it; from: the first day shown.  Gives {lots: [{lot, points}], now, ahead, from, to, max}, or null when there is nothing.
 */
export function toSeries(weighings, present, ahead = [], from = '') {
  const shown = weighings.filter((w) => w.mean_g !== null && w.day >= from).sort((a, b) => a.day.localeCompare(b.day));
  const now = present.filter((p) => p.mean_g !== null);
  if (!shown.length && !now.length) return null;
  const days = [...shown, ...now].map((w) => w.day).sort();
  const markets = ahead.map((a) => a.market?.weight_g).filter(Boolean);
  const past = Math.max(0, ...shown.map((w) => w.mean_g), ...now.map((p) => p.mean_g + Z95 * (p.se_g ?? 0)));
  const top = Math.max(past, ...markets.map((g) => g * OVER_MARKET));
  const aheadTop = Math.max(0, ...ahead.flatMap((a) => a.days.map((d) => d.high_g)));
  return {
    lots: [...new Set([...shown, ...now].map((w) => w.lot))].map((lot) => ({ lot, points: shown.filter((w) => w.lot === lot) })),
    now, ahead, from: from && from > days[0] ? from : days[0], to: [days.at(-1), ...ahead.map((a) => a.days.at(-1)?.day ?? '')].sort().at(-1),
    max: markets.length ? Math.min(top, Math.max(past, aheadTop, ...markets)) : Math.max(past, aheadTop),
  };
}

function frame(series, width, x, y) {
  const ticks = valueTicks(series.max);
  return svg`${ticks.map((v) => svg`<line class="grid" x1=${LEFT} x2=${width - RIGHT} y1=${y(v)} y2=${y(v)}></line><text class="tick" x=${LEFT - 8} y=${y(v) + 5} text-anchor="end">${asText(mass(v))}</text>`)}
    ${dayTicks(series.from, series.to, Math.max(2, Math.floor(width / 110))).map((day) => svg`<line class="axis" x1=${x(day)} x2=${x(day)} y1=${H - FOOT} y2=${H - FOOT + 6}></line><text class="tick" x=${x(day)} y=${H - FOOT + 22} text-anchor="middle">${shortDay(day)}</text>`)}
    <line class="axis" x1=${LEFT} x2=${width - RIGHT} y1=${H - FOOT} y2=${H - FOOT}></line>`;
}

function nowMark(p, points, x, y, markets) {
  const last = points.at(-1);
  const px = x(p.day);
  const bar = p.se_g ? svg`<line class="error" x1=${px} x2=${px} y1=${y(p.mean_g - Z95 * p.se_g)} y2=${y(p.mean_g + Z95 * p.se_g)}></line>` : '';
  const room = px > 190;
  const below = markets.some((g) => Math.abs(y(g) - y(p.mean_g)) < 44) || (!room && y(p.mean_g) < H - FOOT - 40);
  return svg`${last && last.day < p.day ? svg`<line class="guess" x1=${x(last.day)} y1=${y(last.mean_g)} x2=${px} y2=${y(p.mean_g)}></line>` : ''}${bar}
    <circle class="open" cx=${px} cy=${y(p.mean_g)} r="5"></circle><text class="said" x=${px + (room ? -10 : 10)} y=${y(p.mean_g) + (below ? 26 : -12)} text-anchor=${room ? 'end' : 'start'}>${t('tanks.now_mean', { weight: asText(mass(p.mean_g)) })}</text>`;
}

const line = (points) => points.map(([px, py]) => `${px.toFixed(1)},${py.toFixed(1)}`).join(' ');

/* What is ahead of one lot: its band, its course, and when it is at market weight, on the line of that weight. */
function aheadMarks({ days, market }, named, x, y, width, max) {
  const above = days.map((d) => [x(d.day), y(d.high_g)]);
  const below = days.map((d) => [x(d.day), y(d.low_g)]);
  const at = market?.on && market.on <= days.at(-1)?.day ? x(market.on) : null;
  const end = at !== null && at + 190 > width;
  return svg`<polygon class="band" points=${line([...above, ...below.reverse()])}></polygon><polyline class="guess" points=${line(days.filter((d) => d.mean_g <= max).map((d) => [x(d.day), y(d.mean_g)]))}></polyline>
    ${at === null ? '' : svg`<g class="market"><title>${named}</title><line class="span" x1=${x(market.low ?? market.on)} x2=${market.high ? Math.min(x(market.high), width - RIGHT) : width - RIGHT} y1=${y(market.weight_g)} y2=${y(market.weight_g)}></line>
      <circle class="open" cx=${at} cy=${y(market.weight_g)} r="5"></circle><text class="said" x=${at + (end ? -6 : 0)} y=${y(market.weight_g) - 12} text-anchor=${end ? 'end' : 'middle'}>${named}</text></g>`}`;
}

/* The line of a market weight; its words stand at the end that has no mark. */
function marketLines(series, width, x, y) {
  const markets = series.ahead.map((a) => a.market).filter(Boolean);
  return [...new Set(markets.map((m) => m.weight_g))].map((g) => {
    const atStart = markets.some((m) => m.weight_g === g && m.on && x(m.on) < width / 2);
    return svg`<line class="limit" x1=${LEFT} x2=${width - RIGHT} y1=${y(g)} y2=${y(g)}></line><text class="said" x=${atStart ? width - RIGHT : LEFT + 6} y=${y(g) - 6} text-anchor=${atStart ? 'end' : 'start'}>${t('growth.market_line', { weight: asText(mass(g)) })}</text>`;
  });
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
  const top = valueTicks(series.max).at(-1);
  const toY = scale(0, top, H - FOOT, TOP);
  const y = (g) => toY(Math.min(Math.max(g, 0), top));
  const named = ({ lot, market }) => (market?.on ? (series.ahead.length > 1 ? `${lot}: ${shortDay(market.on)}` : shortDay(market.on)) : '');
  return svg`<svg class="picture growth" width=${width} height=${H} role="img" aria-label=${label}>${series.ahead.map((a) => aheadMarks(a, named(a), x, y, width, top))}${frame(series, width, x, y)}${marketLines(series, width, x, y)}
    ${series.lots.map(({ lot, points }) => svg`<polyline class="line" points=${line(points.map((p) => [x(p.day), y(p.mean_g)]))}></polyline>
      ${points.map((p) => svg`<circle class="dot" cx=${x(p.day)} cy=${y(p.mean_g)} r="5"><title>${shortDay(p.day)}, ${lot}: ${asText(mass(p.mean_g))}</title></circle>`)}`)}
    ${lotNames([...series.lots], x, y)}
    ${series.now.map((p) => nowMark(p, series.lots.find((l) => l.lot === p.lot)?.points ?? [], x, y, series.ahead.map((a) => a.market?.weight_g).filter(Boolean)))}
    ${eventMarks(events.filter((e) => e.day >= series.from), x, width)}</svg>`;
}

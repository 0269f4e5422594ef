/*
 * The flow of a bed: days across, metres down from the planting end, each lot a band that slants toward the harvest end.
 * A band that runs level is a jam; water that stays bare shows as a gap.  The first half is pure.
 */
import { svg } from '../dom.js';
import { addDays, daysBetween, number, saidUnit, shortDay } from '../format.js';
import { t } from '../i18n.js';

const LEFT = 64;
const TOP = 8;
const BELOW = 30;
const LETTER = 8.4;

/**
 * Pure: rows of report bed-flow to bands, [{lot, variety, steps: [{day, from, to, plants, ready}]}], each band's days without a gap.  A lot that
 * lies in two stretches, or left and came back, makes two bands.
 */
export function toSeries(rows) {
  const bands = [];
  const open = new Map(); // lot -> bands whose last day may be carried on
  for (const row of [...rows].sort((a, b) => (a.day < b.day ? -1 : a.day > b.day ? 1 : a.from_m - b.from_m))) {
    const step = { day: row.day, from: row.from_m, to: row.to_m, plants: row.plants, ready: row.ready_on !== null && row.ready_on <= row.day };
    const mine = open.get(row.crop_lot) ?? [];
    const before = addDays(row.day, -1);
    const band = mine.find((b) => b.steps.at(-1).day === before);
    if (band) {
      band.steps.push(step);
    } else {
      const fresh = { lot: row.crop_lot, variety: row.variety, steps: [step] };
      bands.push(fresh);
      open.set(row.crop_lot, [...mine, fresh]);
    }
  }
  return bands;
}

/** The outline of steps as points: from noon to noon down one edge and back up the other, so that a push shows as a slant. */
export function outline(steps, x, y) {
  const half = (x(addDays(steps[0].day, 1)) - x(steps[0].day)) / 2;
  const edge = (end) => {
    const line = steps.map((s) => [x(s.day) + half, y(s[end])]);
    return [[x(steps[0].day), line[0][1]], ...line, [x(steps.at(-1).day) + 2 * half, line.at(-1)[1]]];
  };
  return [...edge('from'), ...edge('to').reverse()];
}

/** Metres of bare water at the planting end on each day of [from, to]: {day, metres}. */
export function bareWater(rows, from, to, length) {
  const first = new Map();
  for (const r of rows) first.set(r.day, Math.min(first.get(r.day) ?? length, r.from_m));
  return Array.from({ length: daysBetween(from, to) + 1 }, (_, i) => addDays(from, i)).map((day) => ({ day, metres: Math.max(0, first.get(day) ?? length) }));
}

const path = (points) => `M${points.map(([px, py]) => `${px.toFixed(1)} ${py.toFixed(1)}`).join('L')}z`;

/* The name stands in the first stretch of days that holds it whole, between both edges. */
function nameOf(band, x, y) {
  const { steps } = band;
  const length = band.variety.length * LETTER + 12;
  for (let i = 0; i < steps.length; i += 1) {
    let low = -Infinity;
    let high = Infinity;
    for (let j = i; j < steps.length; j += 1) {
      low = Math.max(low, y(steps[j].from));
      high = Math.min(high, y(steps[j].to));
      if (high - low < 16) break;
      if (x(addDays(steps[j].day, 1)) - x(steps[i].day) >= length) return svg`<text class="said" x=${x(steps[i].day) + 8} y=${(low + high) / 2 + 5}>${band.variety}</text>`;
    }
  }
  return '';
}

function dayTicks(from, to, width) {
  const days = daysBetween(from, to) + 1;
  const every = [1, 7, 14, 28].find((n) => (width / days) * n >= 84) ?? 56;
  const monday = (8 - new Date(`${from}T12:00:00Z`).getUTCDay()) % 7;
  const ticks = [];
  for (let i = every === 1 ? 0 : monday; i < days; i += every) ticks.push(addDays(from, i));
  return ticks;
}

/** Draws it. length: of the bed in m; today: the line between what was and what is expected; choose(lot). */
export function draw({ rows, from, to, length, width, height, today, chosen, choose }) {
  const days = daysBetween(from, to) + 1;
  const plot = width - LEFT - 6;
  const x = (day) => LEFT + (plot * daysBetween(from, day)) / days;
  const most = Math.max(length, ...rows.map((r) => r.to_m));
  const y = (m) => TOP + (height * m) / most;
  const bands = toSeries(rows);
  const { per, unit } = saidUnit('m');
  const step = [1, 2, 5, 10, 20].find((n) => y(n * per) - y(0) >= 34) ?? 50;
  const lengths = Array.from({ length: Math.floor(most / per / step) + 1 }, (_, i) => i * step);
  return svg`<svg class="picture bed-flow" width=${width} height=${TOP + height + BELOW} role="img" aria-label=${t('flow.label', { n: new Set(bands.map((b) => b.lot)).size, from: shortDay(from), to: shortDay(to) })}>
    <rect class="water" x=${LEFT} y=${TOP} width=${plot} height=${height}></rect>
    ${lengths.map((n) => svg`<line class="grid" x1=${LEFT} x2=${LEFT + plot} y1=${y(n * per)} y2=${y(n * per)}></line><text x=${LEFT - 8} y=${y(n * per) + 5} text-anchor="end">${number(n)}${n ? '' : ` ${unit}`}</text>`)}
    ${bands.map((band) => svg`<g class="band ${band.lot === chosen ? 'chosen' : ''}" @click=${() => choose(band.lot)}><title>${band.variety} ${band.lot}</title>
      <path class="grown" d=${path(outline(band.steps, x, y))}></path>
      ${band.steps.some((s) => s.ready) ? svg`<path class="ready" d=${path(outline(band.steps.filter((s) => s.ready), x, y))}></path>` : ''}
      ${nameOf(band, x, y)}</g>`)}
    <line class="today" x1=${x(today)} x2=${x(today)} y1=${TOP} y2=${TOP + height}></line>
    ${dayTicks(from, to, plot).map((day) => svg`<line class="axis" x1=${x(day)} x2=${x(day)} y1=${TOP + height} y2=${TOP + height + 5}></line><text x=${Math.min(x(day), width - 52)} y=${TOP + height + 21}>${shortDay(day)}</text>`)}
  </svg>`;
}

/*
 * A bed to scale from planting end (left) to harvest end (right): lots as stretches, plants as discs that grow with
 * age, names above with leader lines where a stretch is too short for its name.  The first half is pure.
 */
import { svg } from '../dom.js';
import { asText, daysBetween, inUnit, number, saidUnit } from '../format.js';
import { t } from '../i18n.js';

const ROW = 18;
const GAP = 6;
const LETTER = 8.8; // width of a letter where no canvas can measure
const STATE = 20;

let canvas = null;
function lengthOf(text, strong) {
  if (typeof document === 'undefined') return text.length * LETTER;
  canvas ??= document.createElement('canvas').getContext('2d');
  const style = getComputedStyle(document.body);
  canvas.font = `${strong ? style.getPropertyValue('--strong') || 600 : style.fontWeight} 14px ${style.fontFamily}`;
  return canvas.measureText(text).width;
}

/** How a lot stands on a day: {sort: ready | over | days | open, days}. */
export function stateOfLot(row, day) {
  if (!row.ready_on) return { sort: 'open' };
  if (row.ready_until && row.ready_until < day) return { sort: 'over', days: daysBetween(row.ready_until, day) };
  if (row.ready_on <= day) return { sort: 'ready' };
  return { sort: 'days', days: daysBetween(day, row.ready_on) };
}

/** How far a lot is on its way, 0 to 1. */
export function share(row, day) {
  const left = row.ready_on ? Math.max(0, daysBetween(day, row.ready_on)) : 0;
  return row.age_days === null || row.age_days + left === 0 ? 0.5 : row.age_days / (row.age_days + left);
}

/*
 * Places for names over stretches: [{from, to, length}] in pixels -> [{row, x, lead} or null], in `rows` rows, none over
 * another and no leader line through a name.  Row 0 is the nearest; lead is where the leader line stands.
 */
function placeLabels(stretches, rows, width) {
  const ends = Array(rows).fill(-Infinity);
  let leader = -Infinity; // the last leader line, which goes through all nearer rows
  const nearer = (row) => Math.max(-Infinity, ...ends.slice(0, row));
  return stretches.map(({ from, to, length }) => {
    for (let row = 0; row < rows; row += 1) {
      const lead = Math.max(from + 3, row ? nearer(row) + GAP : leader + GAP);
      if (lead > to - 4) continue;
      const x = Math.min(row ? Math.max(lead, ends[row] + GAP) : lead, width - length);
      if (x < ends[row] + GAP || x > lead || (row === 0 && x <= leader)) continue;
      ends[row] = x + length;
      if (row) leader = lead;
      return { row, x, lead };
    }
    return null;
  });
}

/* The fewest rows of names that name all stretches, or `most`. */
function labelsFor(stretches, width, most) {
  for (let rows = 1; rows < most; rows += 1) {
    const labels = placeLabels(stretches, rows, width);
    if (labels.every(Boolean)) return { rows, labels };
  }
  return { rows: most, labels: placeLabels(stretches, most, width) };
}

/**
 * Pure: rows of reports/beds as stretches in pixels from the planting end, and where the name of each stands over them.
 * @param {object[]} rows each with its stretch @param {{scale: number, width: number, most: number, lengthOf: (row: object) => number}} at scale: pixels a metre;
 * most: rows of names @returns {{stretches: {from: number, to: number, length: number}[], rows: number, labels: ({row: number, x: number, lead: number}|null)[]}}
 */
export function toSeries(rows, { scale, width, most, lengthOf }) {
  const stretches = rows.map((r) => ({ from: r.from_m * scale, to: r.to_m * scale, length: lengthOf(r) }));
  return { stretches, ...labelsFor(stretches, width, most) };
}

/** Discs of p plants on a stretch of w by h pixels: {columns, lines, dx, dy}. */
export function grid(p, w, h) {
  const side = Math.sqrt((w * h) / Math.max(1, p));
  const columns = Math.max(1, Math.min(p, Math.round(w / side)));
  const lines = Math.max(1, Math.ceil(p / columns));
  return { columns, lines, dx: w / columns, dy: h / lines };
}

function discs(row, x, y, w, h, day) {
  const { columns, lines, dx, dy } = grid(row.plants, w, h);
  const f = share(row, day);
  const r = Math.max(1.2, 0.46 * Math.min(dx, dy) * (0.3 + 0.7 * f));
  let path = '';
  for (let i = 0; i < row.plants; i += 1) {
    const cx = x + (Math.floor(i / lines) + 0.5) * dx;
    const cy = y + ((i % lines) + 0.5) * dy;
    path += `M${(cx - r).toFixed(1)} ${cy.toFixed(1)}a${r.toFixed(1)} ${r.toFixed(1)} 0 1 0 ${(2 * r).toFixed(1)} 0a${r.toFixed(1)} ${r.toFixed(1)} 0 1 0 ${(-2 * r).toFixed(1)} 0`;
  }
  return columns ? svg`<path class="plants ${f < 0.6 ? 'young' : ''}" d=${path}></path>` : '';
}

/* The longest word for a state that fits under its stretch. */
function stateWord(state, w) {
  const words = state.sort === 'days' ? [t('beds.in_days', { n: state.days }), number(state.days)] : state.sort === 'open' ? [] : [t(`beds.${state.sort}`)];
  return words.find((word) => lengthOf(word, true) <= w - 2) ?? '';
}

/** Metres that a picture of `width` pixels gives each bed: pixels a metre, shared by all beds. */
export const bedScale = (beds, width) => width / Math.max(1, ...beds.map((b) => b.length_m));

/** Draws a bed. rows: of reports/beds, each with its stretch; chosen: code of a lot; choose(row). */
export function draw(bed, rows, { scale, width, day, chosen, choose, rowsOfNames }) {
  const { stretches, rows: used, labels } = toSeries(rows, { scale, width, most: rowsOfNames, lengthOf: (r) => lengthOf(r.variety, true) });
  const top = used * ROW + 4;
  const h = Math.max(22, bed.width_m * scale);
  const L = bed.length_m * scale;
  return svg`<svg class="bed" width=${width} height=${top + h + STATE} role="img" aria-label=${t('beds.label', { place: bed.code, n: rows.length, length: asText(inUnit('m', bed.length_m, 1)) })}>
    <rect class="water" x="0.75" y=${top} width=${L - 1.5} height=${h}></rect>
    ${rows.map((r, i) => {
    const { from, to } = stretches[i];
    const state = stateOfLot(r, day);
    const label = labels[i];
    const w = to - from;
    const word = stateWord(state, w);
    return svg`<g class="lot ${state.sort} ${r.crop_lot === chosen ? 'chosen' : ''}" @click=${() => choose(r)}><title>${r.variety} ${r.crop_lot}: ${t('at.plants', { n: r.plants, shown: number(r.plants) })}</title>
      <rect class="stretch" x=${from + 1.5} y=${top + 1.5} width=${Math.max(1, w - 3)} height=${h - 3}></rect>
      ${discs(r, from + 4, top + 3, Math.max(1, w - 8), h - 6, day)}
      ${label ? svg`${label.row ? svg`<line class="leader" x1=${label.lead} x2=${label.lead} y1=${top - label.row * ROW - 2} y2=${top}></line>` : ''}<text class="name" x=${label.x} y=${top - 6 - label.row * ROW}>${r.variety}</text>` : ''}
      ${word ? svg`<text class="state" x=${(from + to) / 2} y=${top + h + 15} text-anchor="middle">${word}</text>` : ''}</g>`;
  })}</svg>`;
}

/** A stretch of a bed in words: "26.4 to 28.2 m".  @param {number} from metres @param {number} to metres @returns {string} */
export const stretchText = (from, to) => t('beds.metres', { from: inUnit('m', from, 1).text, to: inUnit('m', to, 1).text, unit: saidUnit('m').unit });

/** The ruler over the beds, in the farm's unit of length.  @param {number} metre pixels a metre @param {number} width of the picture @param {number} longestM the longest bed, metres @returns {object} */
export function ruler(metre, width, longestM) {
  const how = saidUnit('m');
  const scale = metre * how.per;
  const longest = longestM / how.per;
  const step = [1, 2, 5, 10, 20, 50].find((s) => s * scale >= 70) ?? 50;
  const ticks = [];
  for (let m = 0; m <= longest + 1e-9; m += step) ticks.push(m);
  return svg`<svg class="ruler" width=${width} height="24" aria-hidden="true"><line class="axis" x1="0" x2=${longest * scale} y1="23" y2="23"></line>${ticks.map((m) => svg`<line class="axis" x1=${Math.min(width - 0.5, Math.max(0.5, m * scale))} x2=${Math.min(width - 0.5, Math.max(0.5, m * scale))} y1="17" y2="23"></line>
    <text x=${m * scale} y="13" text-anchor=${m === 0 ? 'start' : m * scale > width - 30 ? 'end' : 'middle'}>${number(m)}${m === 0 ? '' : ` ${how.unit}`}</text>`)}</svg>`;
}

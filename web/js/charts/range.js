/* A conversion and its range on a scale shared by the rows of one table: a dot and a line, an arrow where no end is known. */
import { svg } from '../dom.js';
import { number } from '../format.js';

const W = 190;
const H = 24;

/** The scale for rows of conversions: {from, to}. */
export function rangeScale(rows) {
  const known = rows.filter((r) => r.fcr_economic !== null && r.feed_g > 0);
  const low = Math.min(...known.map((r) => r.low ?? r.fcr_economic), 1);
  const high = Math.max(...known.map((r) => (r.high === null ? r.fcr_economic * 1.2 : Math.min(r.high, r.fcr_economic * 2))), 2);
  return { from: Math.floor(low * 2) / 2, to: Math.min(6, Math.ceil(high * 2) / 2) };
}

/**
 * Draws one conversion on the scale of its table; the cell beside it says the same in words.
 * @param {object} row of reports/feed-conversion with fcr_economic, low, high, basis @param {{from: number, to: number}} scale of rangeScale()
 */
export function draw(row, { from, to }) {
  const x = (v) => 8 + ((Math.min(Math.max(v, from), to) - from) / (to - from)) * (W - 16);
  const high = row.high ?? to;
  const ticks = [];
  for (let v = Math.ceil(from); v <= to; v += 1) ticks.push(v);
  return svg`<svg class="range" width=${W} height=${H} aria-hidden="true">${ticks.map((v) => svg`<line class="grid" x1=${x(v)} x2=${x(v)} y1="2" y2=${H - 2}></line>`)}
    <line class="span" x1=${x(row.low ?? row.fcr_economic)} x2=${x(high)} y1=${H / 2} y2=${H / 2}></line>
    ${row.high === null || row.high > to ? svg`<path class="on" d=${`M${W - 8} ${H / 2}l-7 -5v10z`}></path>` : ''}
    <circle class=${row.basis === 'weighed' ? 'dot' : 'open'} cx=${x(row.fcr_economic)} cy=${H / 2} r="5"><title>${number(row.fcr_economic, 2)}</title></circle></svg>`;
}
/** The ends of the scale for the head of the column: "1.0 – 3.5".  @returns {string} */
export const scaleWords = ({ from, to }) => `${number(from, 1)} – ${number(to, 1)}`;

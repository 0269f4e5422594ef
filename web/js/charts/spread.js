/*
 * How far the fish of a weighing differ: a dot for each net at the mean weight of its fish, a thin line for each fish weighed alone,
 * over the mean with its 95 % range.  The table beside it says the same in figures.
 */
import { svg } from '../dom.js';
import { asText, mass, number } from '../format.js';
import { t } from '../i18n.js';
import { scale, valueTicks } from './axes.js';

const H = 96;
const LEFT = 24;
const RIGHT = 36;
const FOOT = 30;
const MIDDLE = 34;
const LEAST_R = 4;
const MOST_R = 11;

/** Pure: a weighing as {nets: [{mean_g, fish}], singles: [g]}, or null where it was one mass. */
export function toSeries(entry) {
  const nets = entry.nets ?? [];
  const pairs = [];
  for (let i = 0; i + 1 < nets.length; i += 2) if (nets[i] > 0) pairs.push({ fish: nets[i], mean_g: nets[i + 1] / nets[i] });
  const singles = entry.weights_g ?? [];
  return pairs.length + singles.length > 1 ? { nets: pairs, singles } : null;
}

/** row: of report sizes. */
export function draw(marks, row, width, label) {
  const all = [...marks.nets.map((n) => n.mean_g), ...marks.singles];
  const off = (row.mean_weight_g * row.error_pct) / 100;
  const ticks = valueTicks(Math.max(...all, row.mean_weight_g + off), width < 500 ? 4 : 8);
  const x = scale(0, ticks.at(-1), LEFT, width - RIGHT);
  const most = Math.max(1, ...marks.nets.map((n) => n.fish));
  const radius = (fish) => LEAST_R + (MOST_R - LEAST_R) * Math.sqrt(fish / most);
  return svg`<svg class="picture spread" width=${width} height=${H} role="img" aria-label=${label}>
    ${ticks.map((v) => svg`<line class="grid" x1=${x(v)} x2=${x(v)} y1="6" y2=${H - FOOT}></line><text class="tick" x=${x(v)} y=${H - 10} text-anchor="middle">${asText(mass(v))}</text>`)}
    <line class="axis" x1=${LEFT} x2=${width - RIGHT} y1=${H - FOOT} y2=${H - FOOT}></line>
    <line class="mean" x1=${x(row.mean_weight_g)} x2=${x(row.mean_weight_g)} y1="8" y2=${H - FOOT}></line>
    <line class="error" x1=${x(row.mean_weight_g - off)} x2=${x(row.mean_weight_g + off)} y1=${H - FOOT - 5} y2=${H - FOOT - 5}></line>
    ${marks.singles.map((g) => svg`<line class="single" x1=${x(g)} x2=${x(g)} y1=${MIDDLE - 15} y2=${MIDDLE + 15}><title>${asText(mass(g))}</title></line>`)}
    ${marks.nets.map((n) => svg`<circle class="net" cx=${x(n.mean_g)} cy=${MIDDLE} r=${radius(n.fish)}><title>${t('watch.net', { n: n.fish, shown: number(n.fish), weight: asText(mass(n.mean_g)) })}</title></circle>`)}</svg>`;
}

/* Figures of fish as they are read: a mean with its error, a density against its limit, a conversion with its range. */
import { html, nothing, svg } from './dom.js';
import { bigMass, inUnit, isUs, mass, massIn, massUnit, number } from './format.js';
import { t } from './i18n.js';
import { footing, mark, measure } from './marks.js';
import { footingOf } from './tank-rows.js';

/** A mean weight: footing, value, and what it may be off by (one standard error), in the same unit. */
export function meanWeight(stock) {
  if (!stock || stock.mean_weight_g === null) return html`<span class="num">${footing('unknown')}</span>`;
  const se = stock.lots.length === 1 ? stock.lots[0].mean_weight_se_g : null;
  const unit = massUnit(stock.mean_weight_g);
  return html`<span class="num">${footing(stock.weighed ? 'measured' : 'estimated')}${measure(mass(stock.mean_weight_g))}${se
    ? html` <small>± ${massIn(se, unit).text}</small>` : nothing}</span>`;
}

/** The mass of all fish of a place: it rests on their mean weight, and has its footing. */
export const biomass = (stock) => html`<span class="num">${footing(stock.biomass_g === null ? 'unknown' : stock.weighed ? 'measured' : 'estimated')}${stock.biomass_g === null ? nothing : measure(bigMass(stock.biomass_g))}</span>`;

const BAR = 120;
/** A density as a bar against the tank's limit; the words beside it say the same. */
export function densityBar(density, limit) {
  if (density === null || density === undefined) return html`<span class="num">${footing('unknown')}</span>`;
  const { text, unit } = inUnit('kg/m3', density, isUs() ? 2 : 1);
  const words = limit ? t('tanks.of_limit', { value: text, limit: inUnit('kg/m3', limit, isUs() ? 2 : 0).text }) : text;
  const full = limit ? Math.min(1.12, density / limit) : 0;
  const level = !limit ? '' : density > limit ? 'red' : density > 0.9 * limit ? 'amber' : '';
  return html`<span class="density ${level}">${limit ? html`<svg width=${BAR * 1.15} height="20" aria-hidden="true" class="density-bar">${svg`
    <rect class="track" x="0" y="8" width=${BAR} height="4"></rect><rect class="fill" x="0" y="5" width=${BAR * full} height="10"></rect>
    <line class="limit" x1=${BAR} x2=${BAR} y1="0" y2="20"></line>`}</svg>` : nothing}
    <span class="num">${words}<span class="unit">${unit}</span></span>${level === 'red' ? mark('red', '▲', t('tanks.over')) : level === 'amber' ? mark('amber', '▲', t('tanks.near')) : nothing}</span>`;
}

/** The range of a conversion in words: "1.25 to 1.60", or its lower end alone when gain may have been none. */
export function rangeText(row) {
  if (row.low === null || row.low === undefined) return '';
  if (row.high === null || row.high === undefined) return t('tanks.low_only', { low: number(row.low, 2) });
  return t('tanks.range', { low: number(row.low, 2), high: number(row.high, 2) });
}
const REASONS = new Set(['no_gain', 'no_fish', 'no_weight', 'no_feed', 'gain_unsure']);
/** Why there is no conversion, in words. */
export function noConversion(row) {
  if (!row) return t('tanks.why.no_fish');
  if (row.reason && REASONS.has(row.reason)) return t(`tanks.why.${row.reason}`);
  return row.reason ?? '';
}
/** Is there a conversion to show? */
export const hasConversion = (row) => Boolean(row && row.fcr_economic !== null);

/** A conversion: footing, value, and under it its range; without one the reason in words. */
export function conversion(row, none) {
  if (!hasConversion(row)) return html`<span class="num">${footing('unknown')}</span><small class="under">${none ?? noConversion(row)}</small>`;
  return html`<span class="num">${footing(footingOf(row.basis))}<b>${number(row.fcr_economic, 2)}</b></span><small class="under">${rangeText(row)}</small>`;
}


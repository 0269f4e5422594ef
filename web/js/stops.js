/* What Round and At the tank share: the clock and the set-up as day.js takes them, and the line of what stands in a tank. */
import { minutesOf } from './day.js';
import { html, nothing } from './dom.js';
import { age, asText, farmClock, mass, now, number } from './format.js';
import { has, t } from './i18n.js';
import { footing, mark } from './marks.js';
import { farm, list, walk } from './setup.js';

/** The farm's clock as day.js takes it.  @returns {{at: Date, minutes: number, beginsHour: number}} minutes since the farm's day began */
export function clockNow() {
  const beginsHour = farm().day_begins_hour ?? 0;
  return { at: now(), minutes: minutesOf(farmClock(), beginsHour), beginsHour };
}
/** The set-up as day.js takes it.  @returns {{walk: object[], chores: object[]}} */
export const setupNow = () => ({ walk: walk(), chores: list('chores') });

/** Fish were counted unless all the book has is the supplier's word or a gap stands open. */
export const countFooting = (stock) => (stock.unexplained || stock.lots.every((l) => l.basis === 'supplier') ? 'estimated' : 'measured');
/** Whether the weights in a tank are weighed or estimated, as a footing mark.  @param {object} stock as standing() gives it @returns {string} */
export const weightFooting = (stock) => (stock.weighed ? 'measured' : 'estimated');

/** What stands in a tank, in one line with footing marks. */
export function standingLine(stock) {
  if (!stock) return html`<small>${t('round.no_fish')}</small>`;
  return html`<small>${footing(countFooting(stock))}${t('round.fish', { n: stock.fish, shown: number(stock.fish) })}
    · ${stock.mean_weight_g === null ? html`${footing('unknown')}${t('round.weight_unknown')}`
      : html`${footing(weightFooting(stock))}${t('round.each', { weight: asText(mass(stock.mean_weight_g)) })}`}</small>`;
}

const reasonText = (reason) => (has(`round.reasons.${reason}`) ? t(`round.reasons.${reason}`) : reason);

/** What the limits make of a tank's feeding now: stopped, cut, or not known; nothing when it is whole. */
export function planMark(stop) {
  const { factor, reason, amount_g: amount } = stop.feeding.current;
  const because = reason ? t('round.because', { what: reasonText(reason) }) : '';
  if (stop.stop) return mark('red', '■', t('round.stopped', { because }));
  if (factor !== null && factor < 1) return mark('amber', '▽', t('round.cut', { pct: number(100 * (1 - factor)), because }));
  if (!reason) return nothing;
  const since = reason === 'oxygen_unknown' && stop.oxygen ? t('round.since', { age: age(stop.oxygen.at) }) : '';
  return mark('amber', amount === null ? '–' : '?', `${reasonText(reason)}${since}`);
}

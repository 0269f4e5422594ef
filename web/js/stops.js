/* What Round and At the tank share: the clock and the set-up as day.js takes them, and the line of what stands in a tank. */
import { minutesOf } from './day.js';
import { html } from './dom.js';
import { asText, farmClock, mass, now, number } from './format.js';
import { t } from './i18n.js';
import { footing } from './marks.js';
import { farm, list, walk } from './setup.js';

export function clockNow() {
  const beginsHour = farm().day_begins_hour ?? 0;
  return { at: now(), minutes: minutesOf(farmClock(), beginsHour), beginsHour };
}
export const setupNow = () => ({ walk: walk(), chores: list('chores') });

/** Fish were counted unless all the book has is the supplier's word or a gap stands open. */
export const countFooting = (stock) => (stock.unexplained || stock.lots.every((l) => l.basis === 'supplier') ? 'estimated' : 'measured');
export const weightFooting = (stock) => (stock.weighed ? 'measured' : 'estimated');

/** What stands in a tank, in one line with footing marks. */
export function standingLine(stock) {
  if (!stock) return html`<small>${t('round.no_fish')}</small>`;
  return html`<small>${footing(countFooting(stock))}${t('round.fish', { n: stock.fish, shown: number(stock.fish) })}
    · ${stock.mean_weight_g === null ? html`${footing('unknown')}${t('round.weight_unknown')}`
      : html`${footing(weightFooting(stock))}${t('round.each', { weight: asText(mass(stock.mean_weight_g)) })}`}</small>`;
}

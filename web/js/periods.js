/* Periods of reports as they are read: a day, a week by its Monday and ISO number, a month. */
import { addDays, fullDay, locale } from './format.js';
import { t } from './i18n.js';

/* The ISO 8601 week number of a day. */
function isoWeek(day) {
  const thursday = new Date(`${day}T12:00:00Z`);
  thursday.setUTCDate(thursday.getUTCDate() + 3 - ((thursday.getUTCDay() + 6) % 7));
  const first = Date.UTC(thursday.getUTCFullYear(), 0, 1, 12);
  return Math.floor((thursday - first) / (7 * 864e5)) + 1;
}

/** The Monday of a day's week. */
export const mondayOf = (day) => addDays(day, -((new Date(`${day}T12:00:00Z`).getUTCDay() + 6) % 7));

/** The month of a day: "October 2026". */
export const monthText = (day) => new Intl.DateTimeFormat(locale(), { timeZone: 'UTC', month: 'long', year: 'numeric' }).format(new Date(`${day}T12:00:00Z`));

/** `first` is the period's first day, as the reports give it. */
export function periodText(period, first) {
  if (!first) return '–';
  if (period === 'week') return t('harvests.week_of', { day: fullDay(first), week: isoWeek(first) });
  return period === 'month' ? monthText(`${first.slice(0, 7)}-01`) : fullDay(first);
}

/* What report growth says of a lot, in words: when it reaches market weight, how sure that is, and what it rests on. */
import * as api from './api.js';
import { addDays, asText, daysBetween, fullDay, mass, number, shortDay } from './format.js';
import { has, t } from './i18n.js';

const REACH_DAYS = 400; // as far as the report lists days

/** The rows of all tanks, or with every day ahead of one tank. */
export const loadGrowth = (day, code) => api.get(`/api/reports/growth${code ? `?only=${encodeURIComponent(code)}&to=${addDays(day, REACH_DAYS - 1)}&explain=1` : ''}`);

const isThere = (row) => row.market_weight_g !== null && row.mean_weight_g >= row.market_weight_g;

/* Why there is no day of market weight. */
const noMarket = (row) => (has(`growth.why.${row.reason}`) ? t(`growth.why.${row.reason}`) : t('growth.why.no_growth'));

/** Days to market weight as a cell says them: {main, under}. */
export function marketCell(row, today) {
  if (isThere(row)) return { main: t('growth.there'), under: '' };
  if (!row.market_on) return { main: null, under: noMarket(row) };
  const n = daysBetween(today, row.market_on);
  return { main: t('growth.in_days', { n, shown: number(n) }), under: t(row.market_high ? 'growth.span' : 'growth.span_open', { low: shortDay(row.market_low), high: shortDay(row.market_high) }) };
}

/** A lot's prospect in a sentence. */
export function marketSentence(row, today) {
  const weight = asText(mass(row.market_weight_g));
  if (isThere(row)) return t('growth.said_there', { lot: row.fish_lot, weight });
  if (!row.market_on) return t('growth.said_none', { lot: row.fish_lot, reason: noMarket(row) });
  const n = daysBetween(today, row.market_on);
  return t(row.market_high ? 'growth.said' : 'growth.said_open', { lot: row.fish_lot, weight, day: fullDay(row.market_on), n, shown: number(n), low: fullDay(row.market_low), high: fullDay(row.market_high) });
}

/** What it rests on: own stretches or the handbook, and how such projections held. */
export function restsOn(row) {
  const own = row.own_stretches ? t('growth.own', { n: row.own_stretches, shown: number(row.own_stretches), lot: row.fish_lot, pct: number(row.handbook_share * 100) }) : t('growth.handbook', { species: row.species });
  const score = row.scored ? t('growth.scored', { n: row.scored, shown: number(row.scored), inside: number(row.scored_inside), species: row.species }) : '';
  return [own, score].filter(Boolean).join(' ');
}

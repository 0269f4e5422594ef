/*
 * What the manager's rows say of each tank, from the reports: asked in one go, then put together tank by tank.
 * The second half is pure.  Every figure is the service's; here they are only laid side by side.
 */
import * as api from './api.js';
import { standing } from './day.js';
import { addDays, farmDay } from './format.js';

/** Over so many days deaths are summed. */
export const DAYS_DIED = 30;
/* Over so many days feed is summed. */
const DAYS_FED = 7;

const conversion = (asked) => api.get(`/api/reports/feed-conversion?by=tank${asked}`);

/** Asks for all that the rows need; `code` narrows it to one tank. */
export async function loadTankReports(code) {
  const day = farmDay();
  const only = code ? `&only=${encodeURIComponent(code)}` : '';
  const [stock, steps, since, died, week, today] = await Promise.all([
    api.get('/api/reports/stock'), conversion(`&step=weighing${only}`), conversion(only),
    conversion(`&from=${addDays(day, 1 - DAYS_DIED)}${only}`), conversion(`&from=${addDays(day, 1 - DAYS_FED)}${only}`), conversion(`&from=${day}${only}`),
  ]);
  const notes = [stock, steps, since, died, week, today].flatMap((report) => report.notes);
  return { day, as_of: stock.as_of, notes, stock: stock.rows, steps: steps.rows, since: since.rows, died: died.rows, week: week.rows, today: today.rows };
}

const isWeighed = (row) => row.basis === 'weighed';

/* The conversion between the last two weighings of a tank's rows by step; null while there are none. */
const lastWeighed = (rows) => rows.filter(isWeighed).at(-1) ?? null;

/** How a figure's basis is marked: only what was weighed counts as measured. */
export const footingOf = (basis) => (basis === 'weighed' ? 'measured' : 'estimated');

/** A tank's facts: {row, stock, last, since, died, fed_7_g, fed_today_g, limit, over}. */
export function tankFacts(row, data) {
  const of = (rows) => rows.find((r) => r.tank === row.code) ?? null;
  const stock = standing(data.stock, row.code);
  return {
    row, stock, last: lastWeighed(data.steps.filter((r) => r.tank === row.code)), since: of(data.since), died: of(data.died),
    fed_7_g: of(data.week)?.feed_g ?? 0, fed_today_g: of(data.today)?.feed_g ?? 0,
    limit: row.density_limit_kg_m3 ?? null, over: Boolean(stock?.density_kg_m3 && row.density_limit_kg_m3 && stock.density_kg_m3 > row.density_limit_kg_m3),
  };
}

/**
 * The mean weight of a weighing entry in grams: whole weight over fish, all nets together, or the mean of
 * single weights.  Null when the entry holds none.
 */
export function weighedMean(entry) {
  const nets = entry.nets ?? [];
  const sum = (values) => values.reduce((a, b) => a + b, 0);
  if (nets.length >= 2) return sum(nets.filter((_, i) => i % 2)) / sum(nets.filter((_, i) => i % 2 === 0));
  if (entry.weights_g?.length) return sum(entry.weights_g) / entry.weights_g.length;
  return entry.weight_g && entry.fish ? entry.weight_g / entry.fish : null;
}
/** How many fish a weighing took. */
export function weighedFish(entry) {
  if (entry.nets?.length) return entry.nets.filter((_, i) => i % 2 === 0).reduce((a, b) => a + b, 0);
  return entry.weights_g?.length ?? entry.fish ?? null;
}

/*
 * The line of each water, for the top rule: what report waters says of a loop, as facts in the order in which they stand.
 * Pure: a row in, plain facts out; the words are put by top.js.
 */
const STALE_H = 12;
const OUT = new Set(['low', 'high', 'stop_low', 'stop_high']);

const outOf = (quantity, place, state) => ({ quantity, place, state, low: state === 'low' || state === 'stop_low', stop: state.startsWith('stop') });

function figureOf(row, now, { quantity, at, place, state, bound = null }) {
  if (row[quantity] === null) return null;
  const stale = (now - new Date(at)) / 3600e3 > STALE_H;
  return { quantity, value: row[quantity], bound, at, stale, out: OUT.has(state) && !stale ? outOf(quantity, place, state) : null };
}

/**
 * A row of reports/waters -> {loop, figures: [{quantity, value, bound, at, stale, out}], out, more, feed, base}: out is what else is the
 * furthest out of its limits, more how many further ones; feed {value, band}; base {state, day}, null where none is to be told.
 * What is older than 12 hours is stale, and no longer says that something is out.
 */
export function waterOf(row, now) {
  const figures = [
    figureOf(row, now, { quantity: 'do_mg_l', at: row.do_at, place: row.do_place, state: row.do_state }),
    figureOf(row, now, { quantity: 'nh3_n_mg_l', at: row.nh3_at, place: row.nh3_place, state: row.nh3_state, bound: row.nh3_bound }) ?? figureOf(row, now, { quantity: 'temperature_c', at: row.temperature_at }),
  ].filter(Boolean);
  const told = figures.filter((f) => f.out);
  const isTold = told.some((f) => f.quantity === row.out_quantity && f.out.place === row.out_place);
  const out = row.out_state && !isTold ? outOf(row.out_quantity, row.out_place, row.out_state) : null;
  return {
    loop: row.loop, figures, out, more: Math.max(0, row.out_count - told.length - (out ? 1 : 0)),
    feed: row.feed_g_m2_day === null ? null : { value: row.feed_g_m2_day, band: row.band },
    base: row.base_state === 'stalls' || (row.base_state !== 'unknown' && row.due_on) ? { state: row.base_state, day: row.due_on } : null,
  };
}

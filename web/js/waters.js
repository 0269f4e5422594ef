/*
 * The line of each water, for the top rule: what the newest readings of a loop say, from reports/water.
 * Pure: rows in, plain facts out; the words are put by top.js.
 */
const STALE_H = 12;
const SHOWN = ['do_mg_l', 'temperature_c', 'ph', 'nh3_n_mg_l', 'tan_mg_l', 'nitrite_n_mg_l'];
const LOW = new Set(['low', 'stop_low']);
const OUT = new Set(['low', 'high', 'stop_low', 'stop_high']);

const isStale = (row, now) => (now - new Date(row.at)) / 3600e3 > STALE_H;

/**
 * rows of reports/water -> [{loop, figures: [{quantity, value, bound, at, stale, n}], out: [{place, quantity, state}]}],
 * one for each loop in `loopOf(place code)`'s terms.  Of oxygen the lowest place stands for the loop, of all else the worst or newest.
 */
export function watersOf(rows, loopCodeOf, now) {
  const loops = new Map();
  for (const row of rows) {
    const loop = row.loop ?? loopCodeOf(row.place);
    if (!loop || row.value === null || row.value === undefined) continue;
    if (!loops.has(loop)) loops.set(loop, []);
    loops.get(loop).push({ ...row, stale: isStale(row, now) });
  }
  return [...loops].sort(([a], [b]) => a.localeCompare(b, 'en', { numeric: true })).map(([loop, all]) => ({
    loop,
    figures: SHOWN.map((quantity) => pick(quantity, all.filter((r) => r.quantity === quantity))).filter(Boolean).slice(0, 4),
    out: all.filter((r) => !r.stale && OUT.has(r.state)).map(({ place, quantity, state }) => ({ place, quantity, state, low: LOW.has(state), stop: state.startsWith('stop') })),
  }));
}

function pick(quantity, rows) {
  if (!rows.length) return null;
  const fresh = rows.filter((r) => !r.stale);
  const from = fresh.length ? fresh : rows;
  const best = from.reduce((a, b) => {
    if (quantity === 'do_mg_l') return b.value < a.value ? b : a;
    return b.at > a.at ? b : a;
  });
  return { quantity, value: best.value, bound: best.bound, at: best.at, place: best.place, stale: best.stale, state: best.state };
}

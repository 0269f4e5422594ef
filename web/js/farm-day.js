/*
 * The farm's day of an instant, as the service reckons it: a day begins when the clock on the wall first shows the farm's hour on
 * its date; where the zone skips that time, at the jump.  So a day begun is never gone back from.  Pure; instants are ms.
 */
const DAY_MS = 864e5;
const clocks = new Map();
const starts = new Map();

/* What the clock on the wall shows, as if it were UTC. */
function wall(ms, zone) {
  if (!clocks.has(zone)) {
    clocks.set(zone, new Intl.DateTimeFormat('en', { timeZone: zone, hourCycle: 'h23', year: 'numeric', month: 'numeric', day: 'numeric', hour: 'numeric', minute: 'numeric', second: 'numeric' }));
  }
  const p = Object.fromEntries(clocks.get(zone).formatToParts(ms).map(({ type, value }) => [type, Number(value)]));
  return Date.UTC(p.year, p.month - 1, p.day, p.hour, p.minute, p.second);
}

/* The first instant at which the clock shows `wanted` or later. */
function firstShown(wanted, zone) {
  const offsets = [-DAY_MS, DAY_MS].map((side) => wall(wanted + side, zone) - wanted - side);
  let before = wanted - Math.max(...offsets);
  let after = wanted - Math.min(...offsets);
  if (wall(before, zone) === wanted) return before;
  if (wall(after, zone) === wanted) return after;
  while (after - before > 1000) {
    const middle = Math.floor((before + after) / 2000) * 1000;
    if (wall(middle, zone) < wanted) before = middle;
    else after = middle;
  }
  return after;
}

const textOf = (ms) => new Date(ms).toISOString().slice(0, 10);

function startOf(midnight, hour, zone) {
  const key = `${midnight} ${hour} ${zone}`;
  if (!starts.has(key)) starts.set(key, firstShown(midnight + hour * 3600e3, zone));
  return starts.get(key);
}

/** The farm's day of an instant as YYYY-MM-DD; hour: at which its days begin. */
export function dayAt(ms, hour, zone) {
  const shown = wall(Math.floor(ms / 1000) * 1000, zone) - hour * 3600e3;
  let midnight = shown - (((shown % DAY_MS) + DAY_MS) % DAY_MS);
  while (startOf(midnight + DAY_MS, hour, zone) <= ms) midnight += DAY_MS;
  while (startOf(midnight, hour, zone) > ms) midnight -= DAY_MS;
  return textOf(midnight);
}

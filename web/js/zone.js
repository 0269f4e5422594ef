/*
 * The farm's clock for fields of forms: an instant as local text and back.  Pure; the zone is an argument.  An hour
 * that daylight saving skips has no instant, one that it repeats is taken as its first.
 */
const formats = new Map();

function partsOf(ms, zone) {
  if (!formats.has(zone)) {
    formats.set(zone, new Intl.DateTimeFormat('en', { timeZone: zone, hourCycle: 'h23', year: 'numeric', month: '2-digit', day: '2-digit', hour: '2-digit', minute: '2-digit', second: '2-digit' }));
  }
  return Object.fromEntries(formats.get(zone).formatToParts(new Date(ms)).map((p) => [p.type, p.value]));
}

/** An RFC 3339 instant as "YYYY-MM-DDTHH:MM" by the zone's clock; with its seconds where it has any. */
export function toLocal(at, zone) {
  const p = partsOf(Date.parse(at), zone);
  return `${p.year}-${p.month}-${p.day}T${p.hour}:${p.minute}${p.second === '00' ? '' : `:${p.second}`}`;
}

/** "YYYY-MM-DDTHH:MM[:SS]" by the zone's clock as an RFC 3339 instant; null when there is none. */
export function fromLocal(text, zone) {
  const asUtc = Date.parse(`${text}Z`);
  if (Number.isNaN(asUtc)) return null;
  const wanted = new Date(asUtc).toISOString().slice(0, 19);
  const offsets = [-1, 1].map((side) => {
    const near = asUtc + side * 864e5;
    const p = partsOf(near, zone);
    return Date.parse(`${p.year}-${p.month}-${p.day}T${p.hour}:${p.minute}:${p.second}Z`) - near;
  });
  for (const offset of [...offsets].sort((a, b) => b - a)) {
    const p = partsOf(asUtc - offset, zone);
    if (`${p.year}-${p.month}-${p.day}T${p.hour}:${p.minute}:${p.second}` === wanted) return `${new Date(asUtc - offset).toISOString().slice(0, 19)}Z`;
  }
  return null;
}

/*
 * What labels can be made for, with the network or without: what the service has, and what was made on this tablet and waits to be sent.
 */
import * as api from './api.js';
import { addDays, farmDay } from './format.js';
import { waiting } from './outbox.js';
import { labelOf, loadReferences, rowOf } from './refs.js';
import { walk } from './setup.js';

/** How far back the lists of what is made every day reach. */
export const DAYS = 14;
/* What was made on this tablet and waits to be sent is labelled like the rest, with the network or without. */
async function withKept(kind, ask) {
  const rows = await ask().catch((fault) => {
    if (!(fault instanceof api.AwayError)) throw fault;
    return [];
  });
  const there = new Set(rows.map((row) => row.key));
  return [...waiting(kind).filter((r) => r.op === 'create' && !there.has(r.key)).map((r) => ({ ...r.fields, day: r.fields.day ?? farmDay(r.fields.at) })), ...rows];
}
/* A label without its second line is better than none. */
const names = (kinds) => loadReferences(kinds).catch((fault) => {
  if (!(fault instanceof api.AwayError)) throw fault;
});
const called = (kind, id) => (rowOf(kind, id) ? labelOf(kind, id) : '');
const newest = (kind) => withKept(kind, () => api.get(`/api/${kind}?order=-at&limit=200&from=${addDays(farmDay(), -DAYS)}`).then(({ items }) => items));
const whole = (kind) => withKept(kind, () => api.getAll(`/api/${kind}`));

/** What can be labelled, by kind: resolves to rows of {code, line, day}.  line is what a person reads under the code. */
export const SOURCES = {
  places: async () => walk().map(({ row }) => ({ code: row.code, line: row.name ?? '' })),
  'crop-lots': async () => {
    const [items] = await Promise.all([newest('crop-lots'), names(['varieties'])]);
    return items.map((row) => ({ code: row.code, line: called('varieties', row.variety_id), day: row.day }));
  },
  'fish-lots': async () => {
    const [items] = await Promise.all([whole('fish-lots'), names(['species'])]);
    return items.filter((row) => !row.retired_on).map((row) => ({ code: row.code, line: called('species', row.species_id), day: row.arrived_on }));
  },
  'seed-lots': async () => {
    const [items] = await Promise.all([whole('seed-lots'), names(['varieties'])]);
    return items.filter((row) => !row.retired_on).map((row) => ({ code: row.code, line: called('varieties', row.variety_id), day: row.received_on }));
  },
  harvests: async () => {
    const [items] = await Promise.all([newest('harvests'), names(['crop-lots', 'fish-lots'])]);
    return items.filter((row) => row.code).map((row) => ({ code: row.code, line: row.crop_lot_id ? called('crop-lots', row.crop_lot_id) : called('fish-lots', row.fish_lot_id), day: row.day }));
  },
  packings: async () => {
    const [items] = await Promise.all([newest('packings'), names(['products'])]);
    return items.map((row) => ({ code: row.code, line: called('products', row.product_id), day: row.day }));
  },
};

/** Asks ahead for the lists that change every day, so that their labels can be made while the network is away. */
export const keepLabels = () => Promise.all(['crop-lots', 'harvests', 'packings'].map(newest));

/*
 * What harvesting and packing need to know: which lots stand where, what a lot is of, what it can be packed as and what
 * blocks it.  Asked by addresses that at-hand.js asks for ahead, so that it is known while the network is away.
 */
import * as api from './api.js';
import { addDays, farmDay } from './format.js';

const SOWN_DAYS = 200; // older lots are asked for one by one
const GRADED_DAYS = 60;

const byId = (rows) => new Map(rows.map((row) => [row.id, row]));
const stands = (row) => !row.retired_on && !row.struck_at;

/* Lots that stand and were sown long ago: cut again and again. */
async function olderLots(codes, known) {
  const missing = [...new Set(codes)].filter((code) => !known.has(code));
  const pages = await Promise.all(missing.map((code) => api.get(`/api/crop-lots?code=${encodeURIComponent(code)}`)));
  return pages.flatMap((page) => page.items);
}

async function report(name) {
  try {
    return (await api.get(`/api/reports/${name}`)).rows;
  } catch (fault) {
    if (fault instanceof api.ProblemError) return [];
    throw fault;
  }
}

/** Is a product sold by weight? */
export const isWeighed = (product) => ['kg', 'g'].includes(product.unit);

/** Asks for all of it: {day, beds, stock, held, grades(lot), lot(code), products(lot), packedAt, cutAgain(lot)}. */
export async function harvestFacts() {
  const day = farmDay();
  const [beds, stock, held, graded, sown, fishLots, varieties, crops, products, species, packings] = await Promise.all([
    report('beds'), report('stock'), report('held'), report(`harvest?by=crop,species,grade&from=${addDays(day, -GRADED_DAYS)}&to=${day}`),
    api.getAll(`/api/crop-lots?order=-at&from=${addDays(day, -SOWN_DAYS)}&fields=code,variety_id`), api.getAll('/api/fish-lots'), api.getAll('/api/varieties'), api.getAll('/api/crops'), api.getAll('/api/products'), api.getAll('/api/species'), api.get('/api/packings?order=-at&limit=1'),
  ]);
  const lots = new Map([...sown, ...fishLots].map((row) => [row.code, row]));
  for (const row of await olderLots(beds.filter((r) => r.plants > 0).map((r) => r.crop_lot), lots)) lots.set(row.code, row);
  const varietyOf = byId(varieties);
  const cropOf = byId(crops);
  const speciesOf = byId(species);
  const crop = (lot) => cropOf.get(varietyOf.get(lot?.variety_id)?.crop_id);
  const fits = (product, lot) => (lot.species_id ? product.species_id === lot.species_id
    : product.variety_id === lot.variety_id || (product.crop_id !== undefined && product.crop_id === crop(lot)?.id));
  return {
    day, beds, stock, held, grades: (lot) => graded.filter((r) => r.grade && (lot?.species_id ? r.species === speciesOf.get(lot.species_id)?.name : r.crop === crop(lot)?.name)).map((r) => r.grade), lot: (code) => lots.get(code),
    products: (lot) => (lot ? products.filter((p) => stands(p) && fits(p, lot)).sort((a, b) => Number(Boolean(b.variety_id)) - Number(Boolean(a.variety_id)) || a.code.localeCompare(b.code)) : []),
    packedAt: packings.items[0]?.place_id, // where packing was done last
    cutAgain: (lot) => crop(lot)?.cut === 'again',
  };
}

/** Packs of a product that pieces and grams fill, whole ones: {packs, pieces?, weight_g?} of what they take; packs 0 when none is full or it cannot be said. */
export function fill(product, { pieces, weight_g: grams }) {
  const size = product.pack_size || 1;
  if (isWeighed(product)) {
    const each = product.unit === 'kg' ? size * 1000 : size;
    const packs = Math.floor((grams ?? 0) / each + 1e-9);
    return { packs, ...takes(packs, { weight_g: Number((packs * each).toPrecision(12)) }) };
  }
  const packs = Math.floor((pieces ?? 0) / size + 1e-9);
  return { packs, ...takes(packs, { pieces: Math.round(packs * size) }) };
}
const takes = (packs, what) => (packs > 0 ? what : {});

/** What so many packs of a product take of a harvest: {pieces} or {weight_g}. */
export function taken(product, packs) {
  const size = product.pack_size || 1;
  if (isWeighed(product)) return { weight_g: Number((packs * size * (product.unit === 'kg' ? 1000 : 1)).toPrecision(12)) };
  return { pieces: Math.round(packs * size) };
}

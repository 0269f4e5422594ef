/*
 * Sowing and moving on, in a few taps: which variety, or which lot and where to; then how many, by the pad.  A lot's
 * code is made on the tablet.  Loaded when it is wanted.
 */
import * as api from './api.js';
import { newCode } from './codes.js';
import { html } from './dom.js';
import { enter } from './enter.js';
import { addDays, asText, farmDay, inUnit, number, shortDay } from './format.js';
import { openPad } from './forms/pad.js';
import { choiceWord, t } from './i18n.js';
import { harvestFacts } from './lots.js';
import { list } from './setup.js';
import { askWhich } from './sheet.js';

const SOWN_DAYS = 200; // how far back the last sowing of a variety is looked for
const NEXT_ROLE = { germination: 'nursery', nursery: 'raft', raft: 'raft' };

const whole = (name, label, more) => ({ name, label, unit: '', whole: true, low: 1, high: 1e7, ...more });

/* Varieties, those sown last first, each with its last sowing and its newest seed lot. */
async function varietiesToSow() {
  const [varieties, sown, seeds] = await Promise.all([
    api.getAll('/api/varieties'), api.getAll(`/api/crop-lots?order=-at&from=${addDays(farmDay(), -SOWN_DAYS)}&fields=code,variety_id,cubes,day,seed_lot_id`), api.getAll('/api/seed-lots'),
  ]);
  const last = (v) => sown.find((lot) => lot.variety_id === v.id);
  const seed = (v) => seeds.filter((s) => s.variety_id === v.id && !s.struck_at).at(-1);
  return varieties.filter((v) => !v.retired_on).map((v) => ({ ...v, last: last(v), seed: seed(v) }))
    .sort((a, b) => (b.last?.day ?? '').localeCompare(a.last?.day ?? '') || a.name.localeCompare(b.name));
}

/** Sows a variety in a bed: which, how many cubes. */
export async function sow(bed) {
  const v = await askWhich(t('sow.which'), await varietiesToSow(), (item) => html`${item.name}<span class="under">${item.last ? t('sow.last', { n: number(item.last.cubes), day: shortDay(item.last.day) }) : t('sow.never')}</span>`, t('sow.no_variety'));
  if (!v) return;
  await openPad({
    title: `${bed.code} · ${v.name}`,
    fields: [whole('cubes', t('field.cubes'), { last: v.last ? { value: v.last.cubes, text: number(v.last.cubes) } : undefined, note: v.seed ? t('sow.seed', { code: v.seed.code }) : undefined })],
    saveLabel: ({ cubes }) => (cubes ? t('sow.button', { n: cubes, shown: number(cubes) }) : t('act_at.sow')),
    save: async ({ cubes }) => {
      const code = newCode(farmDay());
      await enter('crop-lots', { code, variety_id: v.id, bed_id: bed.id, cubes, ...(v.seed ? { seed_lot_id: v.seed.id } : {}) }, t('sow.said', { n: number(cubes), variety: v.name, code, place: bed.code }));
    },
  });
}

/* Where a lot may go from a bed: those of the next role, with the metres that are free at their planting end. */
function bedsAhead(bed, rows) {
  const role = NEXT_ROLE[bed.role];
  const free = (to) => Math.min(to.length_m ?? 0, ...rows.filter((r) => r.bed === to.code && r.plants > 0 && r.from_m !== null).map((r) => r.from_m));
  return list('beds').filter((to) => to.role === role && to.id !== bed.id).map((to) => ({ ...to, free: role === 'raft' ? free(to) : null }));
}

/**
 * Moves plants of a lot on to another bed: where to, how many.  lot: a row of report beds.  Resolves to {key, left} of the
 * move, left: plants that still stand in the bed; null when nothing was logged.
 */
export async function moveOn(bed, lot) {
  const facts = await harvestFacts();
  const ahead = bedsAhead(bed, facts.beds);
  const to = ahead.length === 1 ? ahead[0] : await askWhich(t('move.where', { lot: `${lot.variety} ${lot.crop_lot}` }), ahead, (item) => html`${item.code}<span class="under">${[item.name, item.free === null ? '' : t('move.free', { m: asText(inUnit('m', item.free, 1)) })].filter(Boolean).join(' · ')}</span>`, t('move.no_bed', { role: choiceWord('role', NEXT_ROLE[bed.role]) }));
  if (!to) return null;
  const keep = async (plants) => {
    const all = plants >= lot.plants;
    const result = await enter('crop-moves', { crop_lot_id: facts.lot(lot.crop_lot)?.id, from_bed_id: bed.id, to_bed_id: to.id, plants, ...(all ? { empties: true } : {}) }, t('move.said', { n: number(plants), variety: lot.variety, to: to.code }));
    return result && { key: result.key, left: all ? 0 : lot.plants - plants };
  };
  let kept = null; // the pad closes before what it keeps is kept
  await openPad({
    title: `${bed.code} → ${to.code} · ${lot.variety} ${lot.crop_lot}`,
    fields: [whole('plants', t('field.plants'), { value: lot.plants, note: t('harvest.standing', { n: number(lot.plants) }), quick: [{ label: t('harvest.all'), under: number(lot.plants), value: lot.plants }] })],
    saveLabel: ({ plants }) => (plants ? t('move.button', { n: plants, shown: number(plants), to: to.code }) : t('act_at.move')),
    save: ({ plants }) => (kept = keep(plants)),
  });
  return kept;
}

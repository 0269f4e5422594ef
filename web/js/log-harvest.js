/*
 * Logs a harvest: which lot where, those that are ready first, then how much.  Heads are counted by the crate, one press a
 * harvest, or typed; fish and what is cut again are weighed.  Then it can be packed at once (pack.js).
 */
import { newCode } from './codes.js';
import { html, nothing, press } from './dom.js';
import { ask, enter } from './enter.js';
import { farmDay, fullDay, mass, asText, massUnits, massFromUnit, number, shortDay } from './format.js';
import { openPad } from './forms/pad.js';
import { loadRest, t } from './i18n.js';
import { harvestFacts, isWeighed } from './lots.js';
import { mark } from './marks.js';
import { packHarvest } from './pack.js';
import { loadSheet } from './screens.js';
import { place } from './setup.js';
import { openSheet } from './sheet.js';

const MOST_CRATES = 12; // so many keys; more is typed

/* Report held names fish of a lot in a tank, a bed with all that stands in it, or a lot wherever it is. */
const heldAt = (facts, where, lot) => facts.held.find((h) => (h.place === null || h.place === where) && (h.lot === null || h.lot === lot));

/** What can be harvested: {sort: bed | tank, where, lot, what, there, ready, ready_on, mean_g, held}, the ready ones first. */
export function harvestable(facts) {
  const crops = facts.beds.filter((r) => r.plants > 0 && r.rafts !== null && r.ready_on)
    .map((r) => ({ sort: 'bed', where: r.bed, lot: r.crop_lot, what: r.variety, there: r.plants, ready_on: r.ready_on, until: r.ready_high, ready: r.ready_on <= facts.day, held: heldAt(facts, r.bed, r.crop_lot) }));
  const fish = facts.stock.filter((r) => r.fish > 0).map((r) => ({ sort: 'tank', where: r.tank, lot: r.fish_lot, what: r.species, there: r.fish, mean_g: r.mean_weight_g, ready: false, held: heldAt(facts, r.tank, r.fish_lot) }));
  return [...crops.filter((c) => c.ready), ...fish, ...crops.filter((c) => !c.ready).sort((a, b) => a.ready_on.localeCompare(b.ready_on))];
}

/** Why a lot is not to be harvested or packed, in words; from a row of report held. */
export const heldText = (held) => (held.medicine ? t(held.free_on ? 'packs.withdrawal' : 'packs.withdrawal_open', { medicine: held.medicine, day: held.free_on ? fullDay(held.free_on) : '' })
  : t('packs.on_hold', { code: held.held_code, why: held.why }));

const there = (c) => (c.sort === 'tank' ? t('round.fish', { n: c.there, shown: number(c.there) }) : t('at.plants', { n: c.there, shown: number(c.there) }));
/** A lot as a large key. */
export const lotKey = (c, take) => html`<button class="lot-key" @click=${press(take)}><span>${c.where} · ${c.what}<span class="under">${c.lot} · ${there(c)}${c.ready ? nothing : c.ready_on ? ` · ${t('at.ready_on', { day: shortDay(c.ready_on) })}` : ''}</span>${c.held ? html`<span class="under">${mark('red', '■', t('packs.held'))}</span>` : nothing}</span></button>`;

const GROUPS = [['ready', (c) => c.ready], ['tanks', (c) => c.sort === 'tank'], ['later', (c) => c.sort === 'bed' && !c.ready]];

const askLot = (lots) => openSheet(t('harvests.which'), (close) => html`
  ${GROUPS.map(([name, belongs]) => [name, lots.filter(belongs)]).filter(([, rows]) => rows.length).map(([name, rows]) => html`<fieldset><legend>${t(`harvests.group.${name}`)}</legend><div class="tiles">${rows.map((c) => lotKey(c, () => close(c)))}</div></fieldset>`)}
  ${lots.length ? nothing : html`<p>${t('harvests.nothing_stands')}</p>`}`);

/* How many heads a crate of what this is packed as takes; 0 when nobody said. */
function crateOf(products) {
  const counted = products.find((p) => !isWeighed(p) && (p.crate_pieces || p.pack_size > 1));
  return counted ? counted.crate_pieces || counted.pack_size : 0;
}

/* One press a harvest, as crates are counted; resolves to {pieces}, or {other: true} for the pad. */
const askCrates = (c, crate) => openSheet(`${c.where} · ${c.what} ${c.lot}`, (close) => html`<p class="soft">${t('harvest.standing', { n: number(c.there) })} · ${t('packs.crates_of', { n: number(crate) })}</p>
  <div class="counts crates">${Array.from({ length: Math.min(MOST_CRATES, Math.floor(c.there / crate)) }, (_, i) => i + 1).map((n) => html`<button @click=${press(() => close({ pieces: n * crate }))}>${n}<span class="under">${t('packs.heads', { n: n * crate, shown: number(n * crate) })}</span></button>`)}</div>
  <div class="choices"><button @click=${press(() => close({ pieces: c.there }))}><span>${t('harvest.all')}<span class="under">${number(c.there)}</span></span></button><button @click=${press(() => close({ other: true }))}>${t('packs.other')}</button></div>`, { className: 'crate-sheet' });

const pieces = (c) => ({ name: 'pieces', label: t(c.sort === 'tank' ? 'field.fish' : 'field.pieces'), unit: '', whole: true, low: 0, high: 1e8, note: t('harvest.standing', { n: number(c.there) }), quick: [{ label: t('harvest.all'), under: number(c.there), value: c.there }] });
const culled = () => ({ name: 'culled_pieces', label: t('field.culled_pieces'), unit: '', whole: true, low: 0, high: 1e8 });
const KG = () => massUnits()[1];
const weight = (c) => ({ name: 'weight', label: t('field.weight_g'), unit: KG(), low: 0, high: 1e7, note: c.mean_g ? t('round.each', { weight: asText(mass(c.mean_g)) }) : undefined });

const saveWords = (c) => ({ pieces: n, weight: typed }) => {
  if (n !== undefined) return t(c.sort === 'tank' ? 'harvest.button_fish' : 'harvest.button', { n, shown: number(n) });
  return typed === undefined ? t('round.harvest') : `${t('round.harvest')} ${number(typed, 2)} ${KG()}`;
};

/* Resolves to what was typed, in grams, or undefined. */
function askByPad(c, byWeight) {
  let given;
  return openPad({
    title: `${c.where} · ${c.what} ${c.lot}`, fields: byWeight ? [weight(c), pieces(c), culled()] : [pieces(c), weight(c), culled()], saveLabel: saveWords(c),
    save: ({ weight: typed, ...counts }) => { given = { ...counts, ...(typed === undefined ? {} : { weight_g: Number(massFromUnit(typed, KG()).toPrecision(12)) }) }; },
  }).then(() => given);
}

async function askHowMuch(c, facts) {
  const lot = facts.lot(c.lot);
  const products = facts.products(lot);
  const byWeight = c.sort === 'bed' && facts.cutAgain(lot);
  const crate = c.sort === 'tank' || byWeight ? 0 : crateOf(products);
  if (!crate || crate > c.there) return askByPad(c, byWeight);
  const counted = await askCrates(c, crate);
  return counted?.other ? askByPad(c, byWeight) : counted;
}

/* What is under a withdrawal or a hold is left alone; that it was harvested all the same can be logged. */
const askHeld = (c) => ask({ title: t('packs.held_title', { place: c.where, lot: c.lot }), lines: [heldText(c.held), t('packs.held_defer')], level: 'red', yes: t('act.back'), no: t('packs.held_anyway') });

const saidOf = (given, c) => t('harvest.said', { n: given.pieces === undefined ? asText(mass(given.weight_g ?? 0)) : number(given.pieces), place: c.where });

/** Harvests one lot: how much, then the offer to pack it.  Resolves when all is closed. */
export async function harvestLot(c, facts) {
  if (c.held && await askHeld(c)) return;
  const given = await askHowMuch(c, facts);
  if (!given) return;
  const lot = facts.lot(c.lot);
  const at = place(c.where);
  const fields = { ...(c.sort === 'tank' ? { fish_lot_id: lot.id, tank_id: at.row.id } : { crop_lot_id: lot.id, bed_id: at.row.id }), ...given };
  const code = newCode(farmDay());
  const said = saidOf(given, c);
  const result = await enter('harvests', code ? { ...fields, code } : fields, said);
  if (result) await packHarvest({ ...given, key: result.key, code, of: c, lot, said }, facts);
}

/** Asks which lot, then harvests it. */
export async function logHarvest() {
  const facts = await harvestFacts();
  const c = await askLot(harvestable(facts));
  if (c) await harvestLot(c, facts);
}

/** The same where the lot is known: a bed's, at the bed. */
export async function harvestAt(where, lot) {
  const [facts] = await Promise.all([harvestFacts(), loadRest(), loadSheet('harvest')]);
  const row = facts.beds.find((r) => r.bed === where && r.crop_lot === lot);
  const c = harvestable(facts).find((one) => one.where === where && one.lot === lot)
    ?? (row && { sort: 'bed', where, lot, what: row.variety, there: row.plants, ready: false, held: heldAt(facts, where, lot) });
  if (c) await harvestLot(c, facts);
}

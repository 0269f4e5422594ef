/*
 * Packs a harvest at the place where it was made: one press makes the packing with its code and its line.  Then the code
 * stands there as it will on the label.  What is held is not packed.
 */
import { cautionsOf } from './cautions-of-kinds.js';
import { newCode } from './codes.js';
import { html, nothing, press, repeat } from './dom.js';
import { addTo, enterAll, takeBack } from './enter.js';
import { asText, farmDay, fullDay, mass, number } from './format.js';
import { openPad } from './forms/pad.js';
import { t } from './i18n.js';
import { labelFace } from './label-face.js';
import { fill, isWeighed, taken } from './lots.js';
import { heldText } from './log-harvest.js';
import { mark } from './marks.js';
import { newKey } from './outbox.js';
import { go } from './router.js';
import { openSheet } from './sheet.js';

/* The entries of a packing of one harvest, packed at a place (id): [packing, its line]. */
function packingOf(product, packs, harvest, code, at) {
  const key = newKey();
  return [
    { kind: 'packings', key, fields: { code, product_id: product.id, packs, ...(at ? { place_id: at } : {}) } },
    { kind: 'packing-lines', key: newKey(), fields: { packing_id: key, harvest_id: harvest.key, ...taken(product, packs) } },
  ];
}

/* What of the harvest is in no pack yet.  Where it was counted and weighed, what packs took of the one took the same share of the other. */
function leftOf(harvest, packed) {
  const used = (name) => packed.reduce((sum, p) => sum + (p.line[name] ?? 0), 0);
  const gone = (harvest.pieces ? used('pieces') / harvest.pieces : 0) + (harvest.weight_g ? used('weight_g') / harvest.weight_g : 0);
  const left = Math.max(0, 1 - gone);
  return {
    ...(harvest.pieces === undefined ? {} : { pieces: Math.round(harvest.pieces * left) }),
    ...(harvest.weight_g === undefined ? {} : { weight_g: Number((harvest.weight_g * left).toPrecision(9)) }),
  };
}
const isNone = (left) => !(left.pieces > 0) && !(left.weight_g > 0);
const amount = ({ pieces: n, weight_g: grams }) => [n === undefined ? null : number(n), grams === undefined ? null : asText(mass(grams))].filter(Boolean).join(' · ');

async function pack(product, packs, harvest, packed) {
  const code = newCode(farmDay());
  const entries = packingOf(product, packs, harvest, code, harvest.packedAt);
  const kept = await enterAll(entries, t('packs.said', { n: packs, shown: number(packs), product: product.name }), { chained: true });
  if (kept.length === entries.length) packed.push({ product, packs, code, key: kept[0].key, lineKey: kept[1].key, state: kept[0].state, line: entries[1].fields });
}

function otherNumber(product, harvest, packed) {
  return openPad({
    title: product.name, fields: [{ name: 'packs', label: t('field.packs'), unit: '', whole: true, low: 1, high: 1e7 }],
    saveLabel: ({ packs }) => (packs ? t('packs.button', { n: packs, shown: number(packs), product: product.name }) : t('packs.pack')), save: ({ packs }) => pack(product, packs, harvest, packed),
  });
}

/* One product with the number that the harvest fills; the first is the main one. */
function productKey(product, harvest, packed, first, redraw) {
  const { packs } = fill(product, leftOf(harvest, packed));
  const act = (step) => press(async () => {
    await step();
    redraw();
  });
  return html`<div class="pack-row">${packs > 0 ? html`<button class=${first ? 'main' : ''} @click=${act(() => pack(product, packs, harvest, packed))}>${t('packs.button', { n: packs, shown: number(packs), product: product.name })}</button>` : html`<span class="grow soft">${product.name}: ${t(isWeighed(product) && harvest.weight_g === undefined ? 'packs.not_weighed' : 'packs.none_full')}</span>`}
    <button class="quiet" aria-label=${`${t('packs.other')}: ${product.name}`} @click=${act(() => otherNumber(product, harvest, packed))}>${t('packs.other')}</button></div>`;
}

const packedView = (p, harvest, close, undo) => html`<div class="packed"><div class="label-face">${labelFace({ code: p.code, line: p.product.name, day: farmDay() })}</div>
  <div class="packed-what"><p>${mark('ok', '✓', t('packs.said', { n: p.packs, shown: number(p.packs), product: p.product.name }))} <small>${t(`state.${p.state}`)}</small></p>
  <div class="choices"><button class="main" @click=${press(() => close({ print: p }))}>${t('packs.print', { n: p.packs, shown: number(p.packs) })}</button><button class="quiet" @click=${undo(p)}>${t('packs.undo')}</button></div></div></div>`;

const gradeKeys = (harvest, grades, chosen, take) => (grades.length ? html`<fieldset><legend>${t('field.grade')}</legend><div class="choices grades">${grades.map((g) => html`<button aria-pressed=${String(g === chosen)} @click=${press(() => take(g))}>${g}</button>`)}</div></fieldset>` : nothing);

/**
 * Offers to pack what was just harvested, or on an earlier day (logged).  given: {key, code, pieces?, weight_g?, of, lot, said, logged?}; facts as harvestFacts gives them.
 * Resolves when it is closed.
 */
export async function packHarvest(given, facts) {
  const harvest = { ...given, packedAt: facts.packedAt };
  const packed = [];
  let grade = null;
  const products = facts.products(harvest.lot);
  const held = harvest.of.held;
  const full = (p) => fill(p, leftOf(harvest, packed)).packs > 0;
  const main = products.find(full);
  const closed = await openSheet(harvest.said, (close, redraw) => {
    const left = leftOf(harvest, packed);
    const undo = (p) => press(async () => {
      await takeBack('packing-lines', p.lineKey);
      await takeBack('packings', p.key);
      packed.splice(packed.indexOf(p), 1);
      redraw();
    });
    return html`<p class="harvest-code">${harvest.code ? html`<b class="code">${harvest.code}</b> ` : nothing}<span class="soft">${harvest.of.what} · ${harvest.of.lot} · ${fullDay(harvest.logged ?? farmDay())}</span></p>
      ${held ? html`<p class="line red">${mark('red', '■', heldText(held))}</p><p>${t('packs.held_not')}</p>` : html`${repeat(packed, (p) => p.key, (p) => packedView(p, harvest, close, undo))}
        ${packed.length && !isNone(left) ? html`<p class="soft">${t('packs.left', { amount: amount(left) })}</p>` : nothing}
        ${isNone(left) ? nothing : html`<div class="pack-rows">${repeat(products.filter((p) => !packed.length || full(p)), (p) => p.id, (p) => productKey(p, harvest, packed, p === main && !packed.length, redraw))}</div>`}
        ${products.length ? nothing : html`<p class="soft">${t('packs.no_product', { what: harvest.of.what })}</p>`}`}
      ${cautionsOf('packings')}
      ${gradeKeys(harvest, facts.grades(harvest.lot), grade, async (g) => {
    await addTo('harvests', harvest.key, { grade: g });
    grade = g;
    redraw();
  })}
      <div class="choices"><button @click=${press(() => close())}>${t(packed.length ? 'packs.done' : 'packs.not_now')}</button>${packed.length || harvest.logged ? nothing : html`<button class="quiet" @click=${press(async () => { await takeBack('harvests', harvest.key); close(); })}>${t('packs.undo_harvest')}</button>`}</div>`;
  }, { className: 'pack-sheet' });
  if (closed?.print) go(`/labels?of=packings&codes=${encodeURIComponent(closed.print.code)}&copies=${closed.print.packs}`);
}

/*
 * The parts of Harvest that are acted on: what is ready in the beds, and what lies in the cold room, oldest first, to
 * pack, label or throw away.
 */
import * as api from './api.js';
import { html, nothing, press, repeat } from './dom.js';
import { enter } from './enter.js';
import { fullDay, massIn, massUnits, number } from './format.js';
import { openPad } from './forms/pad.js';
import { fieldName, t } from './i18n.js';
import { harvestable, harvestLot, lotKey } from './log-harvest.js';
import { fill } from './lots.js';
import { mark, measure } from './marks.js';
import { packHarvest } from './pack.js';
import { csvLink, part, tableFrame } from './screen.js';

/** Lots that are ready, as keys: one press opens the count. */
export function readyPart(facts, done) {
  const ready = harvestable(facts).filter((c) => c.ready);
  return part(t('packs.ready'), nothing, ready.length ? html`<div class="lot-keys">${repeat(ready, (c) => `${c.where} ${c.lot}`, (c) => lotKey(c, async () => {
    await harvestLot(c, facts);
    done();
  }))}</div>` : html`<p class="soft">${t('packs.none_ready')}</p>`);
}

const oneOf = async (kind, code) => (await api.get(`/api/${kind}?code=${encodeURIComponent(code)}`)).items[0];

async function packRow(row, facts) {
  const harvest = await oneOf('harvests', row.code);
  if (!harvest) return;
  await packHarvest({
    key: harvest.key, code: row.code, ...(row.pieces === null ? {} : { pieces: row.pieces }), ...(row.weight_g === null ? {} : { weight_g: row.weight_g }),
    of: { what: row.what, lot: row.lot }, lot: facts.lot(row.lot), said: t('packs.pack'), logged: row.since,
  }, facts);
}

const packsOf = (n) => t('packs.of_packs', { n, shown: number(n) });
const throwAway = (row) => openPad({
  title: t('packs.thrown_pad', { code: row.code }), fields: [{ name: 'quantity', label: t('field.packs'), unit: '', whole: true, low: 1, high: row.packs, quick: [{ label: t('harvest.all'), under: number(row.packs), value: row.packs }] }],
  saveLabel: () => t('packs.thrown'),
  save: async ({ quantity }) => {
    const packing = await oneOf('packings', row.code);
    if (packing) await enter('discards', { packing_id: packing.id, quantity }, t('packs.thrown_said', { n: packsOf(quantity), code: row.code }));
  },
});

function waysOf(row, facts, done) {
  const act = (step) => press(async () => {
    await step(row, facts);
    done();
  });
  if (!row.product) return row.held_code || !row.code ? nothing : html`<button @click=${act(packRow)}>${t('packs.pack_it')}</button>`;
  return html`<a class="button" href="/labels?of=packings&codes=${encodeURIComponent(row.code)}&copies=${row.packs}">${t('packs.label')}</a> <button class="quiet" @click=${act(throwAway)}>${t('packs.thrown')}</button>`;
}

const weight = (grams) => (grams === null ? nothing : measure(massIn(grams, massUnits()[1], grams < 99500 ? 1 : 0)));
function storeRow(row, facts, done) {
  const cell = (name, value, cls = '') => html`<td class=${cls} data-label=${fieldName(name)}>${value}</td>`;
  return html`<tr class=${row.held_code ? 'held-row' : ''}><th scope="row"><span class="code">${row.code ?? row.lot}</span></th>
    <td class="left said">${row.what}<small class="under">${[row.product ? null : t('packs.unpacked'), row.place].filter(Boolean).join(' · ')}</small>${row.held_code ? html`<span class="under">${mark('red', '■', t('packs.on_hold', { code: row.held_code, why: row.why }))}</span>` : nothing}</td>
    ${cell('age_days', row.age_days ? html`<span title=${fullDay(row.since)}>${t('packs.age', { n: row.age_days, shown: number(row.age_days) })}</span>` : t('packs.fresh'))}
    ${cell('packs', row.packs === null ? nothing : number(row.packs))}${cell('pieces', row.pieces === null ? nothing : number(row.pieces))}${cell('weight_g', weight(row.weight_g))}
    <td class="does no-print">${waysOf(row, facts, done)}</td></tr>`;
}

const HEADS = [['code', ''], ['product', 'left'], ['age_days', ''], ['packs', ''], ['pieces', ''], ['weight_g', '']];
const tableOf = (rows, facts, done) => tableFrame(t('packs.store'), html`<table class="figures stack-phone store"><thead><tr>${HEADS.map(([name, cls]) => html`<th scope="col" class=${cls}>${fieldName(name)}</th>`)}<th class="no-print"><span class="unseen">${t('packs.pack')}</span></th></tr></thead>
  <tbody>${repeat(rows, (row, i) => row.code ?? `${row.lot} ${i}`, (row) => storeRow(row, facts, done))}</tbody></table>`);

/* Of a harvest that is not packed: is there still something to do with it?  A few heads that fill no pack were eaten or thrown away. */
const FRESH_DAYS = 7; // common practice, no source: what nobody packed within a week is not sold fresh
function isToPack(row, facts) {
  if (row.age_days > FRESH_DAYS) return false;
  const products = facts.products(facts.lot(row.lot));
  return !products.length || products.some((p) => fill(p, { pieces: row.pieces ?? undefined, weight_g: row.weight_g ?? undefined }).packs > 0);
}

/** What lies in the cold room, packed first, then to pack, then leftovers folded; rows of report in-store. */
export function storePart(rows, facts, done) {
  const oldest = [...rows].sort((a, b) => b.age_days - a.age_days);
  const packed = oldest.filter((r) => r.product);
  const toPack = oldest.filter((r) => !r.product && isToPack(r, facts));
  const left = oldest.filter((r) => !r.product && !toPack.includes(r));
  const shown = [...packed, ...toPack];
  return part(t('packs.store'), csvLink('/api/reports/in-store.csv', t('packs.store_csv')), html`<p class="soft">${shown.length ? t('packs.store_what') : t('packs.store_none')}</p>
    ${shown.length ? tableOf(shown, facts, done) : nothing}
    ${left.length ? html`<details class="leftovers"><summary>${t('packs.leftovers', { n: left.length, shown: number(left.length) })}</summary>${tableOf(left, facts, done)}</details>` : nothing}`);
}

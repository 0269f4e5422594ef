/*
 * Harvest, pack and label: three presses and one more; by the crate and by weight; at the bed and at the desk; with the
 * network away; and never what is held.
 */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { axeFindings, daysAgo, DESK, eventually, prepare, smallTargets } from './support.mjs';

let service;
let browser;
let ids;
let page;

/* Products for the sowing C1 (200 heads stand ready in B1) and for the fish. */
async function more(its, made) {
  const make = async (kind, fields) => (await its.post(`/api/${kind}`, fields)).id;
  made.crate = await make('products', { code: 'ASH12', name: 'Lettuce, crate of 12', crop_id: made.crop, unit: 'head', pack_size: 12, crate_pieces: 12 });
  made.box = await make('products', { code: 'RED5', name: 'Redfin, box of 5 kg', species_id: made.species, unit: 'kg', pack_size: 5 });
  made.cold = await make('places', { code: 'PACK', name: 'Packing room', walk_order: 90 });
  await make('packings', { code: 'K0', product_id: made.box, packs: 0, place_id: made.cold, day: daysAgo(3) });
  await make('harvests', { code: 'H0', crop_lot_id: made.sowing, bed_id: made.B1, pieces: 12, grade: 'A', day: daysAgo(2) });
}
prepare((given) => { ({ browser, ids, page, service } = given); }, { seed: { more } });

const countPresses = (at) => at.evaluate(() => {
  globalThis.presses = 0;
  addEventListener('click', (event) => { if (event.isTrusted) globalThis.presses += 1; }, true);
});
const presses = (at) => at.evaluate(() => globalThis.presses);
const open = async (path, wait) => {
  await page.goto(service.base + path);
  await page.locator(wait).first().waitFor();
};
const button = (name, at = page) => at.getByRole('button', { name, exact: typeof name === 'string' }).first();

test('a_harvest_is_two_presses_packing_it_one_and_the_way_to_its_label_one_more', async () => {
  await open('/harvest', '.lot-key');
  await countPresses(page);
  await button(/^B1 · Ashgreen/).tap();
  await button(/^5/, page.locator('.crates')).tap();
  await button('Pack 5: Lettuce, crate of 12').tap();
  const [harvest] = (await service.kept('harvests', 2)).filter((h) => h.code !== 'H0');
  assert.deepEqual([harvest.pieces, harvest.crop_lot_id, harvest.staff_id], [60, ids.sowing, ids.ines]);
  const [line] = await service.kept('packing-lines', 1);
  const packing = (await service.entries('packings')).find((p) => p.code !== 'K0');
  assert.deepEqual([line.pieces, line.harvest_id, line.packing_id], [60, harvest.id, packing.id]);
  assert.deepEqual([packing.packs, packing.product_id, packing.place_id], [5, ids.crate, ids.cold]);
  assert.notEqual(packing.code, harvest.code);
  await page.locator('.label-face').getByText(packing.code).waitFor();
  await button('Print its 5 labels').tap();
  await page.waitForURL('**/labels?**');
  assert.equal(await presses(page), 4);
  await page.locator('.label').nth(4).waitFor();
  assert.deepEqual(await page.locator('.label .label-code').allInnerTexts(), Array(5).fill(packing.code));
});

test('at_the_bed_it_is_the_same_sheet_and_the_grade_is_one_press', async () => {
  await open('/at/B1', '.at-lots');
  await button(/^Harvest/).tap();
  await page.locator('.crates, .at-pick, dialog[open]').first().waitFor();
  await button(/^2/, page.locator('.crates')).tap();
  const key = page.locator('.grades').getByRole('button', { name: 'A', exact: true });
  await key.tap();
  await eventually(async () => (await service.entries('harvests')).some((h) => h.pieces === 24 && h.grade === 'A'));
  assert.deepEqual(await axeFindings(page), []);
  assert.deepEqual(await smallTargets(page), []);
});

test('undo_takes_the_packing_and_its_line_back_and_the_harvest_stays', async () => {
  await open('/harvest', '.lot-key');
  await button(/^B1 · Ashgreen/).tap();
  await button(/^1/, page.locator('.crates')).tap();
  await button('Pack 1: Lettuce, crate of 12').tap();
  await service.kept('packing-lines', 1);
  await button('Undo the packing').tap();
  await service.kept('packings', 1);
  await service.kept('packing-lines', 0);
  assert.equal((await service.entries('harvests')).length, 2);
  await button('Pack 1: Lettuce, crate of 12').waitFor(); // offered again
});

test('fish_are_weighed_and_packed_by_weight', async () => {
  await open('/harvest', '.lot-key');
  await button('Log a harvest').tap();
  await button(/^T1 · Redfin/).tap();
  const pad = page.locator('dialog.pad');
  for (const key of ['6', '0']) await button(key, pad).tap();
  await button(/^Next/, pad).tap();
  for (const key of ['1', '2']) await button(key, pad).tap();
  await button(/^Harvest/, pad).tap();
  await button('Pack 2: Redfin, box of 5 kg').tap();
  const [line] = await service.kept('packing-lines', 1);
  assert.equal(line.weight_g, 10000);
  await page.getByText(/^Not packed yet: 10 · 2(.0+)?.kg/).waitFor();
});

test('what_lies_in_the_cold_room_is_packed_labelled_and_thrown_away_there', async () => {
  await open('/harvest', '.store tbody tr');
  const row = (code) => page.locator('.store tbody tr').filter({ hasText: code });
  await row('H0').getByRole('button', { name: 'Pack' }).tap();
  await button('Pack 1: Lettuce, crate of 12').tap();
  const packing = (await service.kept('packings', 2)).find((p) => p.code !== 'K0');
  await button('Done').tap();
  await row(packing.code).waitFor();
  assert.equal(await row('H0').count(), 0);
  assert.match(await row(packing.code).getByRole('link', { name: 'Label' }).getAttribute('href'), new RegExp(`codes=${packing.code}`));
  await row(packing.code).getByRole('button', { name: 'Thrown away' }).tap();
  await button(/^All of them/, page.locator('dialog.pad')).tap();
  await button('Thrown away', page.locator('dialog.pad')).tap();
  const [gone] = await service.kept('discards', 1);
  assert.deepEqual([gone.packing_id, gone.quantity], [packing.id, 1]);
  await page.getByText('Nothing is packed or waits to be packed.').waitFor();
});

test('under_a_withdrawal_the_screen_blocks_before_the_act_and_nothing_is_packed', async () => {
  await service.post('/api/treatments', { tank_id: ids.T1, medicine: 'Bath salt', first_day: daysAgo(1), last_day: daysAgo(0), withdrawal_days: 30, day: daysAgo(0) });
  await open('/harvest', '.lot-key');
  await button(/^B1 · Ashgreen.*held/s).tap();
  const caution = page.locator('dialog.ask');
  await caution.getByText(/Withdrawal of Bath salt: free on/).waitFor();
  await caution.getByText(/The label and the veterinarian decide/).waitFor();
  assert.deepEqual(await axeFindings(page), []);
  await button('It was harvested already: log it', caution).tap();
  await button(/^1/, page.locator('.crates')).tap();
  await button(/keep/i, page.locator('dialog.ask')).tap();
  await service.kept('harvests', 2);
  await page.getByText('It is kept apart, and not packed until it is free.').waitFor();
  assert.equal(await page.getByRole('button', { name: /^Pack 1/ }).count(), 0);
  await page.keyboard.press('Escape');
  const [hold] = await service.kept('holds', 1);
  const harvest = (await service.entries('harvests')).find((h) => h.code !== 'H0');
  assert.equal(hold.of_code, harvest.code);
  const refused = await service.post('/api/packings', { code: 'K9', product_id: ids.crate, packs: 1, day: daysAgo(0) })
    .then((p) => service.post('/api/packing-lines', { packing_id: p.id, harvest_id: harvest.id, pieces: 12 })).catch((fault) => String(fault));
  assert.match(String(refused), /held/);
  const store = page.locator('.store tr.held-row').filter({ hasText: harvest.code });
  await store.waitFor();
  assert.equal(await store.getByRole('button', { name: 'Pack' }).count(), 0);
});

test('harvest_and_packing_are_made_with_the_network_away_and_arrive_together', async (context) => {
  const tablet = await browser.newTablet(service, { staff: ids.ines });
  context.after(() => tablet.context.close());
  await tablet.open('/harvest');
  const at = tablet.page;
  await at.locator('.lot-key').first().waitFor();
  await at.evaluate(() => Promise.all([import('/js/pack.js'), import('/js/views/labels.js')]));
  await tablet.context.setOffline(true);
  await button(/^B1 · Ashgreen/, at).tap();
  await button(/^3/, at.locator('.crates')).tap();
  await button('Pack 3: Lettuce, crate of 12', at).tap();
  await at.locator('.packed').getByText('kept on this tablet').waitFor();
  const code = await at.locator('.packed .label-code').innerText();
  assert.equal((await service.entries('packings')).length, 1);
  await tablet.context.setOffline(false);
  const [line] = await service.kept('packing-lines', 1);
  const packing = (await service.entries('packings')).find((p) => p.code !== 'K0');
  assert.deepEqual([packing.code, packing.packs, line.pieces, line.packing_id], [code, 3, 36, packing.id]);
});

test('every_language_theme_and_size_shows_all_of_it', async (context) => {
  for (const [language, theme, size] of [['es', 'dark', DESK], ['en', 'sun', undefined], ['es', 'light', { viewport: { width: 390, height: 844 }, hasTouch: true }]]) {
    const tablet = await browser.newTablet(service, { staff: ids.maud, language, theme, ...(size ? { size } : {}) });
    context.after(() => tablet.context.close());
    await tablet.open('/harvest');
    await tablet.page.locator('.store tbody tr').first().waitFor();
    await tablet.page.locator('.store tbody tr').first().evaluate((row) => row.scrollIntoView({ block: 'center' }));
    assert.deepEqual(await axeFindings(tablet.page), [], `${language} ${theme}`);
    assert.deepEqual(await smallTargets(tablet.page), [], `${language} ${theme}`);
    assert.ok(await tablet.page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${language} ${theme} scrolls sideways`);
    assert.deepEqual(tablet.faults, []);
  }
});

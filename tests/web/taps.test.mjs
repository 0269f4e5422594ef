/* How many presses the morning walk costs: counted by the page, of fingers alone. */
import assert from 'node:assert/strict';
import { after, before, beforeEach, test } from 'node:test';
import { DESK, TABLET, daysAgo, minutesAgo, seedFarm, startBrowser, startService } from './support.mjs';

const TANKS = 8;
let browser;
let service;
let ids;
before(async () => { browser = await startBrowser(); });
after(() => browser.stop());
beforeEach(async (context) => {
  service = await startService();
  ids = await seedFarm(service);
  context.after(() => service.stop());
});

/* WEIRBOOK_SIZE=desk counts the presses of a mouse at a desk screen instead. */
const AT_DESK = process.env.WEIRBOOK_SIZE === 'desk';

/** A tablet whose page counts what is pressed; touch where the finger does, never by script. */
async function countingTablet(context, path) {
  const tablet = await browser.newTablet(service, { staff: ids.ines, size: AT_DESK ? DESK : TABLET });
  context.after(() => tablet.context.close());
  await tablet.context.addInitScript(() => {
    globalThis.presses = 0;
    addEventListener('click', (event) => { if (event.isTrusted) globalThis.presses += 1; }, true);
  });
  await tablet.open(path);
  const { page } = tablet;
  return { ...tablet, tap: (locator) => (AT_DESK ? locator.click() : locator.tap()), presses: () => page.evaluate(() => globalThis.presses) };
}

test('feeding_as_planned_is_one_press_at_the_tank', async (context) => {
  const { page, tap, presses } = await countingTablet(context, '/at/T1');
  await tap(page.getByRole('button', { name: /^Feed 1.42 kg/ }));
  const [feeding] = await service.kept('feedings', 1);
  assert.equal(feeding.amount_g, 1420);
  assert.equal(await presses(), 1);
});

for (const [name, pick, grams] of [['half', /^Half/, 710], ['three_scoops', /^3 scoops/, 720]]) {
  test(`another_amount_is_four_presses_at_most_${name}`, async (context) => {
    const { page, tap, presses } = await countingTablet(context, '/at/T1');
    await tap(page.getByRole('button', { name: 'Other amount' }));
    await tap(page.getByRole('button', { name: pick }));
    await tap(page.getByRole('button', { name: /^Feed 7\d\d g/ }));
    const [feeding] = await service.kept('feedings', 1);
    assert.equal(feeding.amount_g, grams);
    assert.ok(await presses() <= 4, `${await presses()} presses`);
  });
}

test('a_death_is_two_presses', async (context) => {
  const { page, tap, presses } = await countingTablet(context, '/at/T1');
  await tap(page.getByRole('button', { name: 'Dead', exact: true }));
  await tap(page.getByRole('button', { name: '3', exact: true }));
  const [death] = await service.kept('fish-deaths', 1);
  assert.equal(death.fish, 3);
  assert.equal(await presses(), 2);
});

test('oxygen_goes_through_eight_tanks_without_leaving_the_pad', async (context) => {
  for (let n = 5; n <= TANKS + 1; n += 1) { // T4 stands empty
    const { id } = await service.post('/api/tanks', { code: `T${n}`, loop_id: ids.loop, role: 'growout', volume_l: 6000, walk_order: 100 + n });
    const lot = await service.post('/api/fish-lots', { code: `G${n}`, species_id: ids.species, mean_weight_g: 200 });
    await service.post('/api/fish-moves', { fish_lot_id: lot.id, to_tank_id: id, fish: 500, weight_g: 100000, reason: 'stocking', day: daysAgo(20) });
    await service.post('/api/water-tests', { place_id: id, at: minutesAgo(300), do_mg_l: 6, temperature_c: 26 });
  }
  const before = (await service.entries('water-tests')).length;
  const { page, tap, presses } = await countingTablet(context, '/');
  await page.evaluate(() => {
    globalThis.pads = 0;
    new MutationObserver((changes) => {
      for (const { addedNodes } of changes) for (const node of addedNodes) if (node.nodeName === 'DIALOG') globalThis.pads += 1;
    }).observe(document.body, { childList: true });
  });
  await tap(page.locator('.sweep button').first());
  const pad = page.locator('dialog.pad');
  await pad.waitFor();
  for (let i = 0; i < TANKS; i += 1) {
    await tap(pad.getByRole('button', { name: '6', exact: true }));
    await tap(pad.getByRole('button', { name: '.', exact: true }));
    await tap(pad.getByRole('button', { name: String(i + 1), exact: true }));
    await page.waitForTimeout(450); // no finger is quicker: the same key again within 400 ms is a drop of water
    if (i + 1 < TANKS) await tap(pad.getByRole('button', { name: /Next/ }));
  }
  assert.equal(await page.evaluate(() => globalThis.pads), 1);
  await tap(pad.getByRole('button', { name: `Save ${TANKS} readings` }));
  const tests = (await service.kept('water-tests', before + TANKS)).slice(before);
  assert.deepEqual(tests.map((e) => e.do_mg_l).sort(), [6.1, 6.2, 6.3, 6.4, 6.5, 6.6, 6.7, 6.8]);
  assert.equal(await presses(), 1 + 4 * TANKS); // three keys and Next a tank, Save for the last
});

/* Beds of each stage beside the farm's raft B1, and a product by the crate. */
async function seedBeds() {
  const make = async (kind, fields) => (await service.post(`/api/${kind}`, fields)).id;
  ids.G1 = await make('beds', { code: 'G1', loop_id: ids.loop, role: 'germination', length_m: 2, width_m: 1, walk_order: 40 });
  ids.N1 = await make('beds', { code: 'N1', loop_id: ids.loop, role: 'nursery', length_m: 6, width_m: 1.2, walk_order: 45 });
  ids.young = await make('crop-lots', { code: 'C2', variety_id: ids.variety, bed_id: ids.N1, cubes: 120, day: daysAgo(15) });
  await make('products', { code: 'ASH12', name: 'Lettuce, crate of 12', crop_id: ids.crop, unit: 'head', pack_size: 12, crate_pieces: 12 });
}

test('a_harvest_is_three_presses_at_the_bed_packing_it_one_more_its_label_one', async (context) => {
  await seedBeds();
  const { page, tap, presses } = await countingTablet(context, '/at/B1');
  await tap(page.getByRole('button', { name: /^Harvest/ }).first());
  await tap(page.locator('.crates').getByRole('button', { name: /^5/ }).first());
  const [harvest] = await service.kept('harvests', 1);
  assert.equal(harvest.pieces, 60);
  assert.ok(await presses() <= 3, `${await presses()} presses to the harvest`);
  const before = await presses();
  await tap(page.getByRole('button', { name: 'Pack 5: Lettuce, crate of 12' }));
  await service.kept('packing-lines', 1);
  assert.equal(await presses(), before + 1);
  await tap(page.getByRole('button', { name: 'Print its 5 labels' }));
  await page.locator('.label').nth(4).waitFor();
  assert.equal(await presses(), before + 2);
});

test('sowing_as_last_time_is_four_presses_at_the_bench', async (context) => {
  await seedBeds();
  const { page, tap, presses } = await countingTablet(context, '/at/G1');
  await tap(page.getByRole('button', { name: 'Sow', exact: true }));
  await tap(page.locator('dialog[open]').getByRole('button', { name: /^Ashgreen/ }));
  const pad = page.locator('dialog.pad');
  await tap(pad.getByRole('button', { name: /last time/ }));
  await tap(pad.getByRole('button', { name: /^Sow 120/ }));
  const lot = (await service.kept('crop-lots', 3)).find((l) => !['C1', 'C2'].includes(l.code));
  assert.deepEqual([lot.cubes, lot.variety_id, lot.bed_id], [120, ids.variety, ids.G1]);
  assert.ok(await presses() <= 4, `${await presses()} presses`);
});

test('transplanting_a_lot_is_three_presses_where_one_bed_is_next', async (context) => {
  await seedBeds();
  const { page, tap, presses } = await countingTablet(context, '/at/N1');
  await tap(page.getByRole('button', { name: /^Move on/ }).first());
  const pad = page.locator('dialog.pad');
  await tap(pad.getByRole('button', { name: /^Move.*120/ }).last());
  const [move] = await service.kept('crop-moves', 1);
  assert.deepEqual([move.plants, move.from_bed_id, move.to_bed_id, move.empties], [120, ids.N1, ids.B1, true]);
  assert.ok(await presses() <= 3, `${await presses()} presses`);
});

test('a_chore_is_one_press_where_it_only_asks_for_done', async (context) => {
  await service.post('/api/chores', { title: 'Foot mats', place_id: ids.S1, every_days: 1, due_hour: 12, answer: 'done' });
  const { page, tap, presses } = await countingTablet(context, '/');
  await tap(page.getByRole('region', { name: 'Foot mats' }).getByRole('button', { name: 'Done' }));
  await service.kept('chores-done', 1);
  assert.equal(await presses(), 1);
});

test('undo_is_one_press_and_strikes_what_was_sent', async (context) => {
  const { page, tap, presses } = await countingTablet(context, '/at/T1');
  await tap(page.getByRole('button', { name: /^Feed 1.42 kg/ }));
  await service.kept('feedings', 1);
  await page.locator('.undo').getByText('in the record').waitFor();
  await page.waitForTimeout(750); // the bar is deaf at first
  await tap(page.locator('.undo button'));
  await service.kept('feedings', 0);
  assert.equal(await presses(), 2);
});

/* How many presses the morning walk costs: counted by the page, of fingers alone. */
import assert from 'node:assert/strict';
import { after, before, beforeEach, test } from 'node:test';
import { daysAgo, minutesAgo, seedFarm, startBrowser, startService } from './support.mjs';

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

/** A tablet whose page counts what is pressed; touch where the finger does, never by script. */
async function countingTablet(context, path) {
  const tablet = await browser.newTablet(service, { staff: ids.ines });
  context.after(() => tablet.context.close());
  await tablet.context.addInitScript(() => {
    globalThis.presses = 0;
    addEventListener('click', (event) => { if (event.isTrusted) globalThis.presses += 1; }, true);
  });
  await tablet.open(path);
  const { page } = tablet;
  return { ...tablet, tap: (locator) => locator.tap(), presses: () => page.evaluate(() => globalThis.presses) };
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

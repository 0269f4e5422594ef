/* The flow of a bed: bands from days, and the picture on its page. */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { axeFindings, daysAgo, DESK, PHONE, seedFarm, startBrowser, startService } from './support.mjs';

let service;
let browser;
let ids;
before(async () => {
  service = await startService();
  ids = await seedFarm(service);
  const moved = await service.post('/api/crop-lots', { code: 'C2', variety_id: ids.variety, bed_id: ids.B1, cubes: 36, day: daysAgo(30) });
  ids.nursery = (await service.post('/api/beds', { code: 'N1', loop_id: ids.loop, role: 'nursery', length_m: 4, width_m: 1.2 })).id;
  const plugs = await service.post('/api/crop-lots', { code: 'C3', variety_id: ids.variety, bed_id: ids.nursery, cubes: 144, day: daysAgo(29) });
  await service.post('/api/crop-moves', { crop_lot_id: plugs.id, from_bed_id: ids.nursery, to_bed_id: ids.B1, plants: 72, day: daysAgo(12) });
  await service.post('/api/crop-moves', { crop_lot_id: plugs.id, from_bed_id: ids.nursery, to_bed_id: ids.B1, plants: 72, day: daysAgo(5) });
  assert.ok(moved.id);
  browser = await startBrowser();
});
after(async () => {
  await browser?.stop();
  await service?.stop();
});

test('days_become_bands_and_bare_water_is_measured', async () => {
  const { page, open } = await browser.newTablet(service, { staff: ids.ines, size: DESK });
  await open('/more');
  const got = await page.evaluate(async () => {
    const { toSeries, bareWater, outline } = await import('/js/charts/bed-flow.js');
    const row = (day, lot, from, to) => ({ day, crop_lot: lot, variety: lot, from_m: from, to_m: to, plants: 1, ready_on: null });
    const rows = [row('2026-11-02', 'A', 6, 8), row('2026-11-01', 'A', 4, 6), row('2026-11-02', 'B', 2, 6), row('2026-11-05', 'A', 8, 10)];
    const bands = toSeries(rows);
    const points = outline(bands[0].steps, (day) => Number(day.slice(-2)), (m) => m);
    return { bands: bands.map((b) => [b.lot, b.steps.length]), points, bare: bareWater(rows, '2026-11-01', '2026-11-03', 10) };
  });
  assert.deepEqual(got.bands, [['A', 2], ['B', 1], ['A', 1]], 'a lot that was gone for days is a band of its own');
  assert.deepEqual(got.points, [[1, 4], [1.5, 4], [2.5, 6], [3, 6], [3, 8], [2.5, 8], [1.5, 6], [1, 6]]);
  assert.deepEqual(got.bare, [{ day: '2026-11-01', metres: 4 }, { day: '2026-11-02', metres: 2 }, { day: '2026-11-03', metres: 10 }]);
  await page.context().close();
});

test('the_page_draws_what_the_report_gives', async () => {
  const { page, open, faults } = await browser.newTablet(service, { staff: ids.ines, size: DESK });
  await open('/beds/B1');
  await page.waitForSelector('.bed-flow .band');
  const { rows } = await service.get('/api/reports/bed-flow?only=B1');
  assert.equal(await page.locator('.bed-flow .band').count(), new Set(rows.map((r) => r.crop_lot)).size);
  await page.locator('.bed-flow .band', { hasText: 'C3' }).first().click();
  assert.match(await page.textContent('.chosen-lot'), /C3/);
  await page.getByRole('button', { name: 'Table', exact: true }).click();
  assert.match(await page.textContent('table.figures tbody'), /C3/);
  assert.deepEqual(await axeFindings(page), []);
  assert.deepEqual(faults, []);
  await page.setViewportSize(PHONE.viewport);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), 'no sideways scroll on a phone');
  await page.context().close();
});

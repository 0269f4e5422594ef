/* Balance: each water's figures as the reports have them, and what is not known said so. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { axeFindings, daysAgo, DESK, PHONE, prepare, smallTargets, TABLET } from './support.mjs';

let service;
let browser;
let ids;
const more = async (farm, its) => {
  for (let n = 9; n > 0; n -= 1) await farm.post('/api/feedings', { tank_id: its.T1, feed_id: its.feed, amount_g: 1800, day: daysAgo(n) });
  const plugs = await farm.post('/api/beds', { code: 'N1', loop_id: its.loop, role: 'nursery', length_m: 4, width_m: 1.2 });
  const lot = await farm.post('/api/crop-lots', { code: 'C2', variety_id: its.variety, bed_id: plugs.id, cubes: 360, day: daysAgo(20) });
  await farm.post('/api/crop-moves', { crop_lot_id: lot.id, from_bed_id: plugs.id, to_bed_id: its.B1, plants: 360, day: daysAgo(10) });
};
prepare((given) => { ({ browser, ids, service } = given); }, { once: true, holder: null, seed: { more } });

test('the_ratio_and_what_feed_asks_are_the_reports', async () => {
  const { page, open, faults } = await browser.newTablet(service, { staff: ids.ines, size: DESK });
  await open('/balance');
  await page.waitForSelector('.balance-ratio');
  const { rows } = await service.get('/api/reports/loading');
  const last = rows.filter((r) => r.feed_g_m2_day !== null).at(-1);
  assert.equal(await page.textContent('.balance-ratio'), last.feed_g_m2_day.toFixed(0));
  assert.match(await page.textContent('main'), /not known|unknown/i, 'what nobody measured is said to be unknown');
  assert.doesNotMatch(await page.textContent('main'), /NaN|null|undefined|balance\./);
  await page.getByRole('button', { name: 'Table', exact: true }).click();
  assert.ok(await page.locator('table.figures').count() >= 2);
  assert.deepEqual(await axeFindings(page), []);
  assert.deepEqual(faults, []);
  await page.context().close();
});

test('the_flow_of_nitrogen_has_a_band_for_each_known_way_and_names_the_unknown', async () => {
  const { page, open } = await browser.newTablet(service, { staff: ids.ines, size: DESK });
  await open('/balance');
  await page.waitForSelector('svg.flow');
  const { rows } = await service.get('/api/reports/nitrogen');
  const known = rows.filter((r) => r.nitrogen_g);
  assert.equal(await page.locator('svg.flow .way').count(), known.length);
  const heights = await page.locator('svg.flow').evaluate((el) => [...el.querySelectorAll('rect.end')].map((r) => [Number(r.getAttribute('x')), Number(r.getAttribute('height'))]));
  const side = (least) => heights.filter(([x]) => (x < 300) === least).reduce((sum, [, h]) => sum + h, 0);
  assert.ok(Math.abs(side(true) - side(false)) < 2 + known.length, `in ${side(true)} px, out ${side(false)} px: what comes in goes somewhere`);
  assert.match(await page.textContent('.balance-loop'), /Not known and in the rest: .*Makeup water/);
  await page.context().close();
});

test('what_a_harvest_does_to_the_beds_is_the_report_at_once_and_in_halves', async () => {
  const { page, open, faults } = await browser.newTablet(service, { staff: ids.ines, size: TABLET });
  await open('/balance');
  await page.waitForSelector('.wish');
  await page.getByRole('button', { name: 'Work it out' }).click();
  await page.getByText('Fill in a number above 0').waitFor();
  await page.fill('.wish input', '150');
  await page.getByRole('button', { name: 'Work it out' }).click();
  await page.waitForSelector('.other-crop');
  const cells = (await page.locator('.other-crop tbody tr').last().locator('td').allInnerTexts()).map((text) => text.trim().split(/\s/)[0]);
  const day = daysAgo(-42);
  for (const [i, step] of ['', '&by=fish_harvest&size=150&step=at_once', '&by=fish_harvest&size=150&step=halves'].entries()) {
    const { rows } = await service.get(`/api/reports/nitrate?only=A${step}`);
    assert.equal(cells[i], rows.find((r) => r.day === day).feed_g_m2_day.toFixed(0));
  }
  assert.ok(Number(cells[1]) < Number(cells[0]), 'fewer fish, less feed');
  assert.equal(new URL(page.url()).searchParams.get('size'), '150');
  assert.deepEqual(await axeFindings(page), []);
  assert.deepEqual(faults, []);
  await page.context().close();
});

test('it_reads_in_spanish_and_fits_a_tablet_and_a_phone', async () => {
  const { page, open } = await browser.newTablet(service, { staff: ids.ines, size: TABLET, language: 'es' });
  await open('/balance');
  await page.waitForSelector('.balance-ratio');
  assert.doesNotMatch(await page.textContent('main'), /balance\.|Feed per planted/);
  assert.deepEqual(await smallTargets(page), []);
  await page.setViewportSize(PHONE.viewport);
  await page.waitForTimeout(100);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), 'no sideways scroll on a phone');
  await page.context().close();
});

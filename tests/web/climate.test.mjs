/* Air and light: what the report gives, at the desk and on a phone. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { axeFindings, daysAgo, DESK, PHONE, prepare } from './support.mjs';

let service;
let browser;
let ids;
const more = async (service, its) => {
  const farm = await service.get('/api/farm');
  await service.patch('/api/farm', { latitude_deg: 28.3 }, farm.version);
  const { id } = await service.post('/api/zones', { code: 'GLASS', name: 'Glasshouse', glazing_transmission: 0.68, lamp_ppfd: 120, lamp_on: '04:30', lamp_off: '20:30', temperature_low_c: 17, temperature_high_c: 29 });
  await service.post('/api/climate-notes', { zone_id: id, day: daysAgo(1), temperature_c: 31, humidity_pct: 60 });
};
prepare((given) => { ({ browser, ids, service } = given); }, { once: true, holder: null, seed: { more } });

test('each_zone_shows_its_days_as_the_report_has_them', async () => {
  const { page, open, faults } = await browser.newTablet(service, { staff: ids.ines, size: DESK });
  await open('/climate');
  await page.waitForSelector('table.figures tbody tr');
  const { rows } = await service.get('/api/reports/climate');
  assert.equal(await page.locator('table.figures tbody tr').count(), rows.length);
  const noted = rows.findIndex((r) => r.notes === 1);
  const cells = await page.locator('table.figures tbody tr').nth(noted).locator('td').allTextContents();
  assert.match(cells[0], /31/);
  assert.match(cells[0], /high/);
  assert.equal(cells[2].trim(), rows[noted].deficit_kpa.toFixed(2));
  assert.match(cells[5], new RegExp(`${rows[noted].sun_low_mol_m2.toFixed(0)} to ${rows[noted].sun_high_mol_m2.toFixed(0)}`));
  const quiet = rows.findIndex((r) => r.notes === 0);
  assert.doesNotMatch(await page.locator('table.figures tbody tr').nth(quiet).textContent(), /NaN|null|\b0\.0\b/);
  assert.deepEqual(await axeFindings(page), []);
  assert.deepEqual(faults, []);
  await page.setViewportSize(PHONE.viewport);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), 'no sideways scroll on a phone');
  await page.context().close();
});

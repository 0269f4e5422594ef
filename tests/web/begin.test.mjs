/* A new farm: from an empty record to its first feeding, on a tablet, in one page. */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { axeFindings, smallTargets, startBrowser, startService, zoneAtNoon } from './support.mjs';

let service;
let browser;
before(async () => {
  service = await startService();
  browser = await startBrowser();
});
after(async () => {
  await browser?.stop();
  await service?.stop();
});

const fill = async (page, answers) => {
  for (const [name, text] of Object.entries(answers)) await page.fill(`[name=${name}]`, text);
};

test('what_is_missing_is_said_beside_its_field', async () => {
  const { page, open, faults } = await browser.newTablet(service);
  await open('/');
  await page.getByRole('link', { name: 'Begin a farm' }).click();
  await page.getByRole('button', { name: 'Begin', exact: true }).click();
  assert.equal(await page.evaluate(() => document.activeElement.name), 'farm');
  assert.match(await page.textContent('#b-farm-error'), /missing/);
  await fill(page, { fish: 'many' });
  await page.getByRole('button', { name: 'Begin', exact: true }).click();
  assert.match(await page.textContent('#b-fish-error'), /number/);
  assert.equal((await service.entries('tanks')).length, 0);
  assert.deepEqual(await axeFindings(page), []);
  assert.deepEqual(await smallTargets(page), []);
  assert.deepEqual(faults, []);
  await page.context().close();
});

test('the_demo_farm_is_one_press_from_an_empty_farm_and_one_press_back', async () => {
  const { page, open, faults } = await browser.newTablet(service);
  await open('/');
  await page.getByRole('link', { name: 'Look around in the demo farm' }).click();
  await page.getByText('The demo farm is being made').waitFor();
  await page.waitForURL((url) => url.origin !== service.base, { timeout: 60000 });
  await page.getByText('The demo farm: all of it is invented.').waitFor();
  await page.getByRole('link', { name: 'T1', exact: true }).first().waitFor(); // at night nothing is fed
  const demo = new URL(page.url());
  const said = await (await fetch(new URL('/api/demo', demo))).json();
  assert.deepEqual([said.demo, String(said.beside)], [true, new URL(service.base).port]);
  await page.setViewportSize({ width: 800, height: 6000 }); // nothing half under the bar at the foot
  assert.deepEqual(await axeFindings(page), []);
  await page.getByRole('link', { name: 'To your own farm' }).click();
  await page.getByRole('link', { name: 'Begin a farm' }).waitFor();
  assert.equal(new URL(page.url()).origin, service.base);
  assert.equal(await page.getByText('all of it is invented').count(), 0);
  assert.equal((await service.entries('tanks')).length, 0);
  assert.deepEqual(faults, []);
  await page.context().close();
});

test('a_page_of_answers_leads_to_the_first_feeding', async () => {
  const { page, open, faults } = await browser.newTablet(service);
  await open('/begin');
  await page.waitForSelector('[name=farm]');
  await fill(page, { farm: 'Sallow Bank', zone: zoneAtNoon(), person: 'Ines', water: '48000', tanks: '3', volume: '6000', beds: '2' });
  await fill(page, { bed_length: '24', bed_width: '1,2', raft_length: '1.2', raft_width: '0.6', raft_sites: '18', lot: 'F1', fish: '600', weight: '47.52', feed: 'Grower 36', protein: '36', times: '06:00 12:30 18:00' });
  await page.selectOption('[name=tank]', 'T2');
  assert.match(await page.textContent('.begin'), /79\s*g each/);
  await page.getByRole('button', { name: 'Begin', exact: true }).click();
  await page.waitForURL((url) => url.pathname === '/');
  const feed = page.getByRole('button', { name: /^Feed / }).first();
  await feed.click();
  const [feeding] = await service.kept('feedings', 1);
  const [tank] = (await service.entries('tanks')).filter((row) => row.id === feeding.tank_id);
  assert.equal(tank.code, 'T2');
  /* 600 fish of 79.2 g; the steps at 50 g and 100 g are 4 and 2.9 %: between them 3.36 % of 47.52 kg, in three feedings. */
  assert.ok(feeding.amount_g > 400 && feeding.amount_g < 650, `${feeding.amount_g} g`);
  const stock = await service.get('/api/reports/stock');
  assert.equal(stock.rows.find((r) => r.tank === 'T2').fish, 600);
  assert.equal((await service.entries('beds'))[0].width_m, 1.2, 'a decimal comma is read');
  assert.ok((await service.entries('species-limits')).every((l) => l.source), 'each limit says its source');
  assert.deepEqual(faults, []);
  await page.context().close();
});

test('what_the_record_refuses_is_said_beside_its_field_and_keeps_nothing', async () => {
  const { page, open } = await browser.newTablet(service, { staff: (await service.entries('staff'))[0].id });
  await open('/begin');
  await page.waitForSelector('[name=farm]');
  await fill(page, { farm: 'Other Bank', zone: 'Nowhere/Atall', person: 'Maud', water: '48000', tanks: '1', volume: '6000', fish: '10', weight: '1', feed: 'Grower 40', protein: '140', loop: 'Z' });
  await page.getByRole('button', { name: 'Begin', exact: true }).click();
  await page.waitForSelector('#b-protein-error');
  assert.equal((await service.entries('loops')).length, 1);
  await page.context().close();
});

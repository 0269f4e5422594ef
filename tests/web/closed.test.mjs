/* Closed months: closing the last one on Tanks, and what a late entry moved, there and on the tank's page. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { axeFindings, DESK, eventually, PHONE, prepare, smallTargets, TABLET } from './support.mjs';

/* The day in the last month that is n days before its end, and that month's name. */
const endOfLast = new Date(Date.UTC(new Date().getUTCFullYear(), new Date().getUTCMonth(), 0, 12));
const dayOfLast = (n) => new Date(endOfLast - n * 864e5).toISOString().slice(0, 10);
const month = `${dayOfLast(0).slice(0, 7)}-01`;
const monthName = new Intl.DateTimeFormat('en-GB', { month: 'long', year: 'numeric', timeZone: 'UTC' }).format(endOfLast);
let service;
let browser;
let ids;
let desk;
let page;

const more = async (farm, its) => {
  const make = (kind, fields) => farm.post(`/api/${kind}`, { ...fields, confirm: true });
  its.T6 = (await make('tanks', { code: 'T6', loop_id: its.loop, role: 'growout', volume_l: 6000, walk_order: 60 })).id;
  its.lot = (await make('fish-lots', { code: 'F06', species_id: its.species })).id;
  await make('fish-moves', { fish_lot_id: its.lot, to_tank_id: its.T6, fish: 600, weight_g: 47520, reason: 'stocking', day: dayOfLast(29) });
  await make('feedings', { tank_id: its.T6, feed_id: its.feed, amount_g: 36000, day: dayOfLast(20) });
  await make('weighings', { tank_id: its.T6, fish_lot_id: its.lot, fish: 60, weight_g: 7752, day: dayOfLast(0) });
};
prepare((given) => { ({ browser, ids, page, service, tablet: desk } = given); }, { once: true, holder: 'maud', tablet: { size: DESK }, seed: { more } });

/* A page as long as it is: else what is half under the way between screens counts as too small. */
const tall = (size) => (size === DESK ? size : { ...size, viewport: { ...size.viewport, height: 5000 } });
const text = async (locator) => (await locator.innerText()).replace(/\s+/g, ' ').trim();

test('the_last_month_is_closed_by_one_button_and_undone_by_the_bar', async () => {
  await desk.open('/tanks');
  await page.getByRole('button', { name: `Close ${monthName}` }).click();
  await page.getByText(`${monthName} was closed just now by Maud.`).waitFor();
  const [closing] = await service.kept('closings', 1);
  assert.deepEqual([closing.month, closing.staff_id], [month, ids.maud]);
  assert.equal(await page.getByRole('button', { name: `Close ${monthName}` }).count(), 0, 'a closed month is not offered');
  await page.waitForTimeout(700); // the bar is deaf to the finger that brought it up
  await page.getByRole('button', { name: 'Undo' }).click();
  await page.getByRole('button', { name: `Close ${monthName}` }).waitFor();
  await service.kept('closings', 0);
  await page.waitForTimeout(450);
  await page.getByRole('button', { name: `Close ${monthName}` }).click();
  await service.kept('closings', 1);
  assert.equal(await page.locator('.restated').count(), 0, 'nothing has moved yet');
});

test('a_late_entry_says_what_it_moved_and_leads_to_the_entries', async () => {
  await page.waitForTimeout(1100); // entries of the second in which it was closed count as there
  const at = `${dayOfLast(11)}T09:00:00Z`;
  await service.post('/api/feedings', { tank_id: ids.T6, feed_id: ids.feed, amount_g: 12000, at, confirm: true });
  const row = (await service.get('/api/reports/restated')).rows.find((r) => r.tank === 'T6');
  const two = (value) => value.toFixed(2);
  assert.notEqual(two(row.fcr_then), two(row.fcr_now));
  await desk.open('/tanks');
  const line = page.locator('.restated');
  await line.waitFor();
  assert.equal(await line.count(), 1, 'one figure moved, and no other tank is named');
  const { time_zone: timeZone } = await service.get('/api/farm');
  const day = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', timeZone }).format(new Date());
  const said = `T6 △ ${monthName} conversion ${two(row.fcr_then)} when it was closed, now ${two(row.fcr_now)}; 12.00 kg of feed more; 1 entry since, newest ${day}.`;
  assert.equal(await text(line.locator('p').first()), said);
  await line.getByRole('link', { name: 'T6' }).click();
  await page.locator('.tank-page .restated').waitFor();
  assert.equal(await text(page.locator('.restated p').first()), said.slice(3));
  await page.locator('.restated').getByRole('link', { name: 'Feedings' }).click();
  await page.locator('main table.figures tbody tr').nth(1).waitFor();
  assert.equal(await page.locator('main table.figures tbody tr').count(), 2, 'the feedings of that tank in that month');
  await desk.open('/tanks/T1');
  await page.locator('.tank-page').waitFor();
  assert.equal(await page.locator('.restated').count(), 0, 'another tank has moved nothing');
});

test('striking_the_late_entry_takes_the_line_away', async () => {
  await desk.open('/tanks');
  await page.locator('.restated').waitFor();
  const late = (await service.entries('feedings')).find((f) => f.amount_g === 12000);
  await service.post(`/api/feedings/${late.id}/strike`, { why: 'a slip' });
  await eventually(async () => await page.locator('.restated').count() === 0);
  await service.post(`/api/feedings/${late.id}/restore`, { why: 'it was right' });
  await page.locator('.restated').waitFor();
});

test('it_reads_in_both_languages_at_all_sizes', async () => {
  for (const [size, language] of [[TABLET, 'es'], [PHONE, 'es'], [DESK, 'en']]) {
    const other = await browser.newTablet(service, { staff: ids.maud, size: tall(size), language });
    for (const address of ['/tanks', '/tanks/T6']) {
      await other.open(address);
      await other.page.locator('.restated').waitFor();
      assert.deepEqual(await axeFindings(other.page), [], address);
      if (size !== DESK) assert.deepEqual(await smallTargets(other.page), [], address);
      assert.ok(await other.page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), address);
      if (language === 'es') assert.doesNotMatch(await other.page.innerText('.restated'), /\b(closed|now|since|entries|feed)\b/);
    }
    assert.deepEqual(other.faults, []);
    await other.context.close();
  }
});

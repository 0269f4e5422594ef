/* The worst of an ordinary week: a power cut between commit and answer, wrong clocks, two tablets at one tank, a store that is gone, an upgrade. */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { eventually, prepare, startFront } from './support.mjs';

let browser;
let ids;
let service;
prepare((given) => { ({ browser, ids, service } = given); }, { holder: null });

const dead = async (page, n) => {
  await page.getByRole('button', { name: 'Dead', exact: true }).click();
  await page.getByRole('button', { name: String(n), exact: true }).click();
};
const kept = (page) => page.getByText(/kept here since/);
async function atTank(context, { code = 'T1', staff = ids.ines, base = service.base, worker = false } = {}) {
  const tablet = await browser.newTablet({ base }, { staff, worker });
  context.after(() => tablet.context.close());
  await tablet.open(`/at/${code}`);
  await tablet.page.locator('.act-grid').waitFor();
  return tablet;
}

test('a_service_killed_between_commit_and_answer_has_the_entry_once', async (context) => {
  const front = await startFront(service);
  context.after(() => front.stop());
  const { page } = await atTank(context, { base: front.base });
  let killed = false;
  front.onAnswer = async (request, answer) => {
    if (killed || request.method !== 'POST' || request.url !== '/api/feedings') return true;
    killed = answer.statusCode === 201;
    await service.kill();
    return false;
  };
  await page.locator('.act-main').click();
  await page.locator('.undo').getByText('kept on this tablet').waitFor();
  assert.ok(killed);
  await kept(page).waitFor();
  await service.again();
  front.leadTo(service);
  await kept(page).waitFor({ state: 'detached', timeout: 30000 });
  const feedings = await service.entries('feedings');
  assert.deepEqual(feedings.map((f) => f.amount_g), [1420]);
});

test('a_tablet_two_hours_slow_keeps_the_right_time', async (context) => {
  const tablet = await browser.newTablet(service, { staff: ids.ines });
  context.after(() => tablet.context.close());
  await tablet.context.clock.install({ time: Date.now() - 2 * 3600e3 });
  const { page } = tablet;
  await tablet.open('/at/T1');
  await page.locator('.act-main').waitFor();
  await tablet.context.setOffline(true);
  await dead(page, 2);
  await page.locator('.undo').getByText('kept on this tablet').waitFor();
  const made = Date.now();
  await tablet.context.setOffline(false);
  const [death] = await service.kept('fish-deaths', 1);
  assert.ok(Math.abs(Date.parse(death.at) - made) < 90e3, `${death.at} is not ${new Date(made).toISOString()}`);
  assert.ok(Math.abs(Date.parse(death.tablet_at) - (made - 2 * 3600e3)) < 90e3, JSON.stringify(death));
});

test('two_tablets_that_fed_one_slot_keep_both_and_say_so', async (context) => {
  const one = await atTank(context);
  const two = await atTank(context, { staff: ids.maud });
  for (const tablet of [one, two]) {
    await tablet.context.setOffline(true);
    await tablet.page.locator('.act-main').click();
    await tablet.page.locator('.undo').getByText('kept on this tablet').waitFor();
  }
  for (const tablet of [one, two]) {
    await tablet.context.setOffline(false);
    await kept(tablet.page).waitFor({ state: 'detached', timeout: 20000 });
  }
  const feedings = await service.kept('feedings', 2);
  assert.equal(feedings.filter((f) => f.slot !== undefined).length, 1, 'one stands in the slot, one as an extra');
  await one.open('/');
  await one.page.getByText('fed 1.42 kg, by two people').waitFor();
});

test('one_death_logged_by_two_is_offered_to_be_struck', async (context) => {
  const one = await atTank(context);
  const two = await atTank(context, { staff: ids.maud });
  for (const tablet of [one, two]) {
    await tablet.context.setOffline(true);
    await dead(tablet.page, 3);
    await tablet.page.locator('.undo').getByText('kept on this tablet').waitFor();
  }
  for (const tablet of [one, two]) {
    await tablet.context.setOffline(false);
    await kept(tablet.page).waitFor({ state: 'detached', timeout: 20000 });
  }
  await service.kept('fish-deaths', 2);
  const { page } = two;
  await two.open('/');
  const pair = page.getByRole('region', { name: 'Logged twice in T1?' });
  await pair.getByText('3 dead, by two people').waitFor();
  await pair.getByRole('button', { name: /^Strike that of/ }).click();
  const [left] = await service.kept('fish-deaths', 1);
  assert.equal(left.fish, 3);
  await pair.waitFor({ state: 'detached' });
  await one.open('/');
  await one.page.locator('.round').waitFor();
  assert.equal(await one.page.getByRole('region', { name: 'Logged twice in T1?' }).count(), 0);
});

test('what_waits_outlives_the_loss_of_the_browsers_store', async (context) => {
  const tablet = await atTank(context);
  const { page } = tablet;
  await tablet.context.setOffline(true);
  await dead(page, 4);
  await kept(page).waitFor();
  await page.evaluate(() => new Promise((resolve, reject) => {
    const request = indexedDB.deleteDatabase('weirbook');
    request.onsuccess = resolve;
    request.onerror = reject;
    request.onblocked = reject;
  }));
  await kept(page).waitFor();
  await eventually(() => page.evaluate(async () => (await (await import('/js/outbox-store.js')).all()).length === 1)); // and is on the disk anew
  await tablet.context.setOffline(false);
  const [death] = await service.kept('fish-deaths', 1);
  assert.equal(death.fish, 4);
});

test('a_tablet_that_forgot_everything_starts_anew_with_another_letter', async (context) => {
  const tablet = await atTank(context);
  const { page } = tablet;
  await page.evaluate(() => { localStorage.setItem('weirbook.tablet', '{}'); });
  await page.reload();
  await eventually(() => page.evaluate(() => JSON.parse(localStorage.getItem('weirbook.tablet')).letter));
  const letters = new Set([await page.evaluate(() => JSON.parse(localStorage.getItem('weirbook.tablet')).letter)]);
  letters.add((await service.post('/api/tablets', {})).letter);
  assert.equal(letters.size, 2);
});

test('entries_not_sent_can_be_carried_away_as_a_file_and_sent_by_other_means', async (context) => {
  const tablet = await atTank(context);
  const { page } = tablet;
  await tablet.context.setOffline(true);
  await dead(page, 2);
  await kept(page).click();
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save as a file' }).click()]);
  const file = JSON.parse(readFileSync(await download.path(), 'utf8'));
  const { answers } = await service.post('/api/batch', { entries: file.entries });
  assert.deepEqual(answers.map((a) => a.status), [201]);
  await tablet.context.setOffline(false); // and when the tablet finds the network after all
  await page.getByText('Nothing waits').waitFor({ timeout: 20000 });
  assert.deepEqual((await service.entries('fish-deaths')).map((d) => d.fish), [2]);
});

test('the_page_opens_from_cold_without_the_network_and_says_how_old_its_figures_are', async (context) => {
  const tablet = await atTank(context, { worker: true });
  const { page } = tablet;
  await page.evaluate(() => navigator.serviceWorker.ready);
  await eventually(() => page.evaluate(async () => (await caches.keys()).length === 1));
  await tablet.open('/');
  await page.locator('.round a.code', { hasText: 'T1' }).waitFor();
  await page.waitForTimeout(2000); // the newest answers go to the tablet's disk
  await page.close();
  await tablet.context.setOffline(true);
  const again = await tablet.context.newPage();
  again.setDefaultTimeout(20000);
  await again.goto(`${service.base}/`);
  await again.locator('.round a.code', { hasText: 'T1' }).waitFor();
  await again.getByText(/The service does not answer.*The oldest figure here is from/s).waitFor();
  await again.locator('a.code', { hasText: 'T1' }).click();
  await dead(again, 2);
  await kept(again).waitFor();
  await again.reload();
  await kept(again).waitFor();
  for (const name of ['Tanks', 'Beds', 'Harvest', 'More']) { // every screen is on the tablet
    await again.getByRole('link', { name, exact: true }).click();
    await again.locator('h1', { hasText: name }).waitFor();
    assert.equal(await again.getByText('This screen is not on this tablet yet').count(), 0, name);
  }
  assert.equal(await again.evaluate(async () => (await Promise.all((await caches.keys()).map(async (n) => (await (await caches.open(n)).keys()).map((r) => r.url)))).flat()
    .filter((url) => url.includes('/api/')).length), 0);
  await tablet.context.setOffline(false);
  assert.deepEqual((await service.kept('fish-deaths', 1)).map((d) => d.fish), [2]);
});

test('a_page_left_open_over_an_upgrade_says_so_and_loses_nothing', async (context) => {
  const front = await startFront(service);
  context.after(() => front.stop());
  const tablet = await atTank(context, { base: front.base, worker: true });
  const { page } = tablet;
  const build = () => page.evaluate(async () => (await import('/js/build.js')).WEB_BUILD);
  await page.evaluate(() => navigator.serviceWorker.ready);
  await eventually(() => page.evaluate(() => Boolean(navigator.serviceWorker.controller)));
  assert.notEqual(await build(), 'f'.repeat(20));
  await page.route('**/api/fish-deaths', (route) => (route.request().method() === 'POST' ? route.abort() : route.fallback()));
  await page.route('**/api/batch', (route) => route.abort());
  await dead(page, 6);
  await kept(page).waitFor();
  await service.stop({ keep: true });
  await service.again();
  front.leadTo(service);
  front.newBuild = 'f'.repeat(20);
  await page.getByText('A new version of these screens is here.').waitFor({ timeout: 30000 });
  await kept(page).waitFor();
  assert.notEqual(await build(), 'f'.repeat(20)); // the page goes on as it is
  await page.unroute('**/api/fish-deaths');
  await page.unroute('**/api/batch');
  const loadIt = page.getByRole('button', { name: 'Load it now' });
  await eventually(async () => { // a press while the page is busy may be a ghost's
    await loadIt.click({ timeout: 1000 }).catch(() => {});
    return (await build().catch(() => '')) === 'f'.repeat(20);
  }, 30000);
  await page.locator('.act-grid').waitFor();
  assert.equal(await build(), 'f'.repeat(20));
  assert.equal(await page.getByText('A new version of these screens is here.').count(), 0);
  assert.deepEqual((await service.kept('fish-deaths', 1)).map((d) => d.fish), [6]);
});

/* The outbox: kept before it is sent, sent exactly once, and what cannot be understood comes back to be mended. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { prepare } from './support.mjs';

let service;
let ids;
let tablet;
let page;

prepare((now) => { ({ service, ids, tablet, page } = now); });

const dead = async (n) => {
  await page.getByRole('button', { name: 'Dead', exact: true }).click();
  await page.getByRole('button', { name: String(n), exact: true }).click();
};
const untilSent = async (kind, n) => {
  for (let i = 0; i < 100; i += 1) {
    const entries = await service.entries(kind);
    if (entries.length >= n) return entries;
    await page.waitForTimeout(100);
  }
  throw new Error(`${kind} did not arrive`);
};

test('without_the_network_an_entry_is_kept_and_goes_once_it_is_back', async () => {
  await tablet.open('/at/T1');
  await page.locator('.act-main').waitFor();
  await tablet.context.setOffline(true);
  await dead(2);
  await page.locator('.undo').getByText('kept on this tablet').waitFor();
  await page.getByText(/^1 entry kept here since/).waitFor();
  await page.getByText('Cause of death').waitFor();
  await page.getByRole('button', { name: 'Skip' }).click();
  await page.locator('.at-log').getByText('2 dead').waitFor();
  assert.deepEqual(await service.entries('fish-deaths'), []);
  await tablet.context.setOffline(false);
  const [death, ...more] = await untilSent('fish-deaths', 1);
  assert.equal(more.length, 0);
  assert.equal(death.fish, 2);
  assert.equal(death.staff_id, ids.ines);
  await page.getByText(/kept here since/).waitFor({ state: 'detached' });
});

test('what_waits_survives_closing_the_page', async () => {
  await tablet.open('/at/T1');
  await page.locator('.act-main').waitFor();
  await page.route('**/api/fish-deaths', (route) => route.abort());
  await page.route('**/api/batch', (route) => route.abort());
  await dead(3);
  await page.locator('.undo').getByText('kept on this tablet').waitFor();
  await page.close();
  const again = await tablet.context.newPage();
  await again.goto(`${service.base}/`);
  const [death, ...more] = await (async () => {
    for (let i = 0; i < 80; i += 1) {
      const entries = await service.entries('fish-deaths');
      if (entries.length) return entries;
      await again.waitForTimeout(100);
    }
    return [];
  })();
  assert.equal(death.fish, 3);
  assert.equal(more.length, 0);
});

test('an_answer_lost_on_the_way_does_not_double_the_entry', async () => {
  await tablet.open('/at/T1');
  await page.locator('.act-main').waitFor();
  let reached = 0;
  await page.route('**/api/fish-deaths', async (route) => { // the service keeps it, the tablet never hears
    const response = await route.fetch();
    if (response.status() === 201) reached += 1;
    await route.abort();
  });
  await dead(4);
  await page.locator('.undo').getByText('kept on this tablet').waitFor();
  assert.equal(reached, 1);
  await page.getByText(/kept here since/).waitFor({ state: 'detached', timeout: 15000 });
  const deaths = await service.entries('fish-deaths');
  assert.deepEqual(deaths.map((d) => d.fish), [4]);
});

test('undo_without_the_network_leaves_nothing_behind', async () => {
  await tablet.open('/at/T1');
  await page.locator('.act-main').waitFor();
  await tablet.context.setOffline(true);
  await dead(5);
  await page.locator('.undo').waitFor();
  await page.waitForTimeout(700);
  await page.locator('.undo button').click();
  await tablet.context.setOffline(false);
  await page.getByText(/kept here since/).waitFor({ state: 'detached', timeout: 15000 });
  assert.deepEqual(await service.entries('fish-deaths'), []);
});

test('a_queue_is_never_asked', async () => {
  await tablet.open('/at/T1');
  await page.locator('.act-main').waitFor();
  await tablet.context.setOffline(true);
  await page.getByRole('button', { name: 'Dead', exact: true }).click();
  await page.getByRole('button', { name: 'More …' }).click();
  await page.keyboard.type('1500');
  await page.getByRole('button', { name: '1,500 dead' }).click();
  await page.locator('.undo').getByText('kept on this tablet').waitFor();
  await tablet.context.setOffline(false);
  const [death] = await untilSent('fish-deaths', 1);
  assert.equal(death.fish, 1500);
  assert.equal(await page.locator('dialog.ask').count(), 0);
});

test('what_is_refused_waits_for_mending_and_does_not_block_the_rest', async () => {
  await tablet.open('/at/T4'); // holds no fish, and the tank is retired meanwhile
  await page.locator('.act-grid').waitFor();
  await tablet.context.setOffline(true);
  await page.evaluate(async (tankId) => {
    const { log } = await import('/js/outbox.js');
    await log('fish-deaths', { tank_id: 999999, fish: 1 });
    await log('fish-deaths', { tank_id: tankId, fish: 7 });
  }, ids.T1);
  await tablet.context.setOffline(false);
  const deaths = await untilSent('fish-deaths', 1);
  assert.deepEqual(deaths.map((d) => d.fish), [7]);
  await page.getByRole('button', { name: '1 needs mending' }).click();
  await page.getByText('Tank names nothing that is in the record.').waitFor();
  await page.getByText('needs mending', { exact: true }).waitFor();
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save as a file' }).click()]);
  assert.match(download.suggestedFilename(), /^weirbook-unsent-.*\.json$/);
  await page.getByRole('button', { name: 'Give up' }).click();
  await page.getByText('Nothing waits').waitFor();
});

test('the_page_keeps_working_while_the_network_is_away', async () => {
  await tablet.open('/');
  await page.locator('.round').waitFor();
  await page.waitForFunction(() => performance.getEntriesByType('resource').some((r) => r.name.endsWith('/views/at-tank.js') && r.responseEnd)); // comes right after Round
  await tablet.context.setOffline(true);
  await page.locator('a.code', { hasText: 'T1' }).click();
  await page.locator('.at-head .code', { hasText: 'T1' }).waitFor();
  await page.getByText(/The service does not answer/).waitFor();
  await page.getByRole('link', { name: 'Round' }).first().click();
  await page.locator('.round').waitFor();
});

/*
 * Codes made on the tablet stand in the forms of lots, online and offline: two tablets that sow at the same time while the
 * network is away never make the same one, and what hangs together offline arrives together.
 */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { axeFindings, DESK, eventually, prepare } from './support.mjs';

let service;
let browser;
let ids;

prepare((now) => { ({ service, browser, ids } = now); });

/** A tablet that gets its letter from the service, with the form's choices at hand. */
async function tabletAt(context, path, { size } = {}) {
  const tablet = await browser.newTablet(service, { staff: ids.ines, letter: null, ...(size ? { size } : {}) });
  context.after(() => tablet.context.close());
  await tablet.open(path);
  await tablet.page.locator('.record-form').waitFor();
  await tablet.page.waitForFunction(() => JSON.parse(localStorage.getItem('weirbook.tablet')).letter);
  return tablet;
}
const form = (page, path) => page.evaluate((to) => {
  history.pushState(null, '', to);
  dispatchEvent(new PopStateEvent('popstate'));
}, path);
const codeIn = async (page) => {
  await page.locator('.record-form #f-code').waitFor();
  return page.inputValue('#f-code');
};
const sow = async (page, cubes) => {
  await page.fill('#f-variety_id', 'Ashgreen');
  await page.fill('#f-bed_id', 'B1');
  await page.fill('#f-cubes', String(cubes));
  await page.getByRole('button', { name: 'Save', exact: true }).click();
};

test('each_kind_of_lot_begins_with_the_next_code_of_the_tablet', async (context) => {
  const { page } = await tabletAt(context, '/farm/crop-lots/new', { size: DESK });
  const letter = await page.evaluate(() => JSON.parse(localStorage.getItem('weirbook.tablet')).letter);
  const seen = [];
  for (const kind of ['crop-lots', 'fish-lots', 'seed-lots', 'feed-lots', 'material-lots', 'harvests', 'packings', 'orders', 'shipments']) {
    await form(page, `/farm/${kind}/new`);
    await page.waitForURL(`**/farm/${kind}/new`);
    await page.waitForFunction((before) => { const f = document.querySelector('#f-code'); return f && f.value && !before.includes(f.value); }, seen);
    seen.push(await codeIn(page));
  }
  assert.equal(new Set(seen).size, 9);
  for (const code of seen) {
    assert.match(code, new RegExp(`^\\d{6}${letter}\\d\\d[0-9A-Z]$`));
    assert.ok(await page.evaluate(async (c) => (await import('/js/codes.js')).checkHolds(c), code), code);
  }
  for (const kind of ['products', 'tanks']) { // named by people
    await form(page, `/farm/${kind}/new`);
    await page.waitForFunction(() => document.querySelector('#f-name'));
    assert.equal(await codeIn(page), '', kind);
  }
  assert.deepEqual(await axeFindings(page), []);
});

test('a_late_entry_and_a_new_day_never_make_a_code_twice', async (context) => {
  const { page } = await tabletAt(context, '/farm/crop-lots/new');
  const codes = await page.evaluate(async () => {
    const { newCode } = await import('/js/codes.js');
    return ['2026-03-02', '2026-03-01', '2026-03-02', '2026-03-03', '2026-03-01', '2026-03-02'].map(newCode);
  });
  assert.equal(new Set(codes).size, 6, codes.join(' '));
});

test('two_tablets_that_sow_offline_at_the_same_time_make_different_codes_and_both_arrive', async (context) => {
  const before = (await service.entries('crop-lots')).length;
  const tablets = [await tabletAt(context, '/farm/crop-lots/new'), await tabletAt(context, '/farm/crop-lots/new')];
  for (const { page } of tablets) await page.evaluate(() => import('/js/views/kind-list.js')); // by itself some seconds after the start
  await Promise.all(tablets.map(({ context: c }) => c.setOffline(true)));
  const codes = [];
  for (const round of [1, 2]) {
    const now = await Promise.all(tablets.map(async ({ page }, i) => {
      const code = await codeIn(page);
      await sow(page, 100 * round + i);
      await page.waitForURL('**/farm/crop-lots');
      await page.locator('.kept-here').getByText(code).waitFor();
      await page.locator('.kept-here li').nth(round - 1).getByText('kept on this tablet').waitFor();
      await form(page, '/farm/crop-lots/new');
      await page.locator('.record-form').waitFor();
      return code;
    }));
    codes.push(...now);
  }
  assert.equal(new Set(codes).size, 4, codes.join(' '));
  assert.equal((await service.entries('crop-lots')).length, before, 'nothing went while the network was away');
  await Promise.all(tablets.map(({ context: c }) => c.setOffline(false)));
  const sown = (await service.kept('crop-lots', before + 4)).slice(-4);
  assert.deepEqual(sown.map((s) => s.code).sort(), [...codes].sort());
  assert.deepEqual(sown.map((s) => s.cubes).sort(), [100, 101, 200, 201]);
  assert.ok(sown.every((s) => s.staff_id === ids.ines && s.at));
  for (const { page } of tablets) await eventually(async () => (await page.getByText(/kept here since/).count()) === 0);
});

test('a_lot_made_offline_can_be_named_at_once_by_what_follows', async (context) => {
  const { page, context: c } = await tabletAt(context, '/farm/crop-moves/new');
  await form(page, '/farm/crop-lots/new');
  const code = await codeIn(page);
  await c.setOffline(true);
  await sow(page, 60);
  await page.waitForURL('**/farm/crop-lots');
  await form(page, '/farm/crop-moves/new');
  await page.locator('#f-crop_lot_id').waitFor();
  await page.fill('#f-crop_lot_id', code);
  await page.fill('#f-from_bed_id', 'B1');
  await page.fill('#f-to_bed_id', 'B1');
  await page.fill('#f-plants', '50');
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await page.waitForURL('**/farm/crop-moves');
  await c.setOffline(false);
  const [move] = await service.kept('crop-moves', 1);
  const lot = (await service.entries('crop-lots')).find((l) => l.code === code);
  assert.equal(move.crop_lot_id, lot.id);
});

test('a_refused_lot_stays_in_the_form_and_waits_nowhere', async (context) => {
  const { page } = await tabletAt(context, '/farm/crop-lots/new');
  await codeIn(page);
  await page.fill('#f-code', 'C1'); // taken
  await sow(page, 10);
  await page.locator('[aria-invalid="true"]#f-code, [role=alert]').first().waitFor();
  assert.equal(await page.inputValue('#f-cubes'), '10');
  assert.equal(await page.locator('.top-state, #top').getByText('mending').count(), 0);
  await page.fill('#f-code', 'C77');
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await eventually(async () => (await service.entries('crop-lots')).some((l) => l.code === 'C77'));
});

test('a_code_that_is_taken_after_all_is_mended_by_the_next_one', async (context) => {
  const { page, context: c } = await tabletAt(context, '/farm/crop-lots/new');
  await codeIn(page);
  await c.setOffline(true);
  await page.fill('#f-code', 'C1');
  await sow(page, 33);
  await page.getByText(/^1 entry kept here since/).waitFor();
  await c.setOffline(false);
  const mending = page.getByText('1 needs mending');
  await mending.waitFor();
  await mending.click();
  await page.getByRole('button', { name: 'Send with the next code' }).click();
  await eventually(async () => (await service.entries('crop-lots')).some((l) => l.cubes === 33 && /^\d{6}[A-Z]\d\d[0-9A-Z]$/.test(l.code)));
});

/* Round and At the tank on a tablet, against the real service: what a press does to the record, and what it looks like. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { axeFindings, DESK, eventually, PHONE, prepare, smallTargets } from './support.mjs';

let service;
let browser;
let ids;
let tablet;
let page;

prepare((now) => { ({ service, browser, ids, tablet, page } = now); });

const entry = (code) => page.locator(`section.entry[aria-label="${code}"]`);
const button = (name) => page.getByRole('button', { name, exact: true });
/** Counts the presses of a way through the screen. */
async function press(...names) {
  for (const name of names) await button(name).click();
  return names.length;
}

test('the_amount_stands_on_the_button_and_one_press_feeds_it', async () => {
  await tablet.open('/');
  await entry('T1').getByRole('button', { name: 'Feed 1.42 kg' }).click();
  await page.locator('.undo').getByText('Fed 1.42 kg in T1').waitFor();
  await page.locator('.undo').getByText('in the record').waitFor();
  const [fed, ...more] = await service.entries('feedings');
  assert.equal(more.length, 0);
  assert.equal(fed.amount_g, 1420);
  assert.equal(fed.planned_g, 1420);
  assert.equal(fed.slot, 2);
  assert.equal(fed.tank_id, ids.T1);
  assert.equal(fed.staff_id, ids.ines);
  await page.locator('section.entry.done[aria-label="T1"]').getByText('Fed 1.42 kg').waitFor();
});

test('undo_in_the_bar_strikes_what_was_sent', async () => {
  await tablet.open('/');
  await entry('T1').getByRole('button', { name: 'Feed 1.42 kg' }).click();
  await page.locator('.undo').waitFor();
  await page.waitForTimeout(700); // the bar is deaf at first
  await page.locator('.undo button').click();
  await entry('T1').getByRole('button', { name: 'Feed 1.42 kg' }).waitFor();
  await eventually(async () => (await service.entries('feedings')).length === 0);
  assert.equal((await service.get('/api/feedings?struck=1')).items.length, 1);
});

test('undo_stays_in_the_row', async () => {
  await tablet.open('/');
  await entry('T1').getByRole('button', { name: 'Feed 1.42 kg' }).click();
  await page.locator('section.entry.done[aria-label="T1"]').getByRole('button', { name: 'Undo' }).click();
  await entry('T1').getByRole('button', { name: 'Feed 1.42 kg' }).waitFor();
  await eventually(async () => (await service.entries('feedings')).length === 0);
});

test('low_oxygen_asks_for_oxygen_first_and_feeds_second', async () => {
  await tablet.open('/at/T2');
  const first = page.locator('.act-grid button').first();
  assert.equal((await first.textContent()).trim(), 'Oxygen again');
  await page.getByText('low', { exact: true }).waitFor();
  // 3.9 mg/L between the stop at 3 and the limit at 5: 45 % of 1420 g is left
  await page.locator('.act-grid button', { hasText: 'Feed 639 g' }).waitFor();
});

test('at_a_stop_limit_no_single_press_feeds', async () => {
  await tablet.open('/');
  const acts = entry('T3').locator('.acts');
  await acts.getByRole('button', { name: 'Oxygen again' }).waitFor();
  await acts.getByRole('button', { name: 'Feed …' }).click();
  await page.locator('dialog.pad').waitFor();
  assert.deepEqual(await service.entries('feedings'), []);
});

test('a_tank_at_its_oxygen_stop_stands_before_what_is_late', async () => {
  await tablet.open('/');
  const first = page.locator('.round .now > *');
  await first.first().waitFor();
  assert.match(await first.nth(0).innerText(), /^Oxygen first/);
  assert.equal(await first.nth(1).getAttribute('aria-label'), 'T3');
  assert.equal(await entry('T3').count(), 1);
});

test('another_amount_takes_at_most_four_presses', async () => {
  await tablet.open('/at/T1');
  let presses = await press('Other amount');
  await page.getByRole('button', { name: '3 scoops' }).click(); // 240 g each
  presses += 1 + await press('Feed 720 g');
  assert.equal(presses, 3);
  await page.getByText('How did they eat?').waitFor();
  const [fed] = await service.kept('feedings', 1);
  assert.equal(fed.amount_g, 720);
  await button('Slow').click();
  await page.locator('.at-log').getByText('slow').waitFor();
  await eventually(async () => (await service.entries('feedings'))[0].appetite === 'slow');
});

test('an_amount_typed_by_keys_takes_four_presses', async () => {
  await tablet.open('/at/T1');
  const presses = await press('Other amount', '.', '9', 'Feed 900 g'); // the pad stands at kilograms
  assert.equal(presses, 4);
  await page.getByText('How did they eat?').waitFor();
  assert.equal((await service.entries('feedings'))[0].amount_g, 900);
});

test('a_death_takes_two_presses_and_its_cause_one_more', async () => {
  await tablet.open('/at/T1');
  await press('Dead', '1');
  await page.getByText('Cause of death').waitFor();
  const [death] = await service.kept('fish-deaths', 1);
  assert.equal(death.fish, 1);
  assert.equal(death.tank_id, ids.T1);
  await button('handling').click();
  await page.locator('.at-log').getByText('1 dead, handling').waitFor();
  await eventually(async () => (await service.entries('fish-deaths'))[0].cause === 'handling');
});

test('readings_are_typed_one_after_another', async () => {
  await tablet.open('/at/T1');
  const before_ = (await service.entries('water-tests')).length;
  await press('Water');
  for (const key of ['5', '.', '8']) await page.locator('.key', { hasText: key }).first().click();
  await button('Next: Temperature').click();
  for (const key of ['2', '6']) await page.locator('.key', { hasText: key }).first().click();
  await button('Save 2 readings').click();
  await page.locator('.at-log').getByText('oxygen 5.8').waitFor();
  const tests = await service.kept('water-tests', before_ + 1);
  assert.equal(tests.at(-1).do_mg_l, 5.8);
  assert.equal(tests.at(-1).temperature_c, 26);
  assert.equal(tests.at(-1).ph, undefined);
  assert.equal(tests.at(-1).place_id, ids.T1);
});

test('a_reading_outside_its_range_is_said_and_not_sent', async () => {
  await tablet.open('/at/T1');
  await press('Water');
  await page.keyboard.type('58');
  await page.getByText('must be between 0 and 40').waitFor();
  assert.equal(await page.locator('.pad-save').isDisabled(), true);
});

test('a_reading_outside_the_tanks_is_held_against_what_lives_in_the_water', async () => {
  await tablet.open('/at/S1');
  await press('Water');
  const oxygen = page.locator('.pad-fields li').first();
  await oxygen.getByText('Limits: from 5').waitFor();
  await page.keyboard.type('4');
  await oxygen.locator('.mark', { hasText: 'low' }).waitFor();
  await page.keyboard.press('Escape');
});

test('more_dead_than_there_asks_with_the_numbers', async () => {
  await tablet.open('/at/T1');
  await press('Dead', 'More …');
  await page.keyboard.type('1200');
  await button('1,200 dead').click();
  const question = page.locator('dialog.ask');
  await question.getByText('1,000').waitFor();
  await question.getByText('1,200', { exact: false }).first().waitFor();
  await question.getByRole('button', { name: 'No, drop it' }).click();
  assert.deepEqual(await service.entries('fish-deaths'), []);
  await press('Dead', 'More …');
  await page.keyboard.type('1200');
  await button('1,200 dead').click();
  await question.getByRole('button', { name: 'It is right, keep it' }).click();
  await page.getByText('Cause of death').waitFor();
  assert.equal((await service.entries('fish-deaths'))[0].fish, 1200);
});

test('a_slot_that_someone_else_fed_is_asked_and_kept_as_an_extra', async () => {
  await tablet.open('/');
  await entry('T1').getByRole('button', { name: 'Feed 1.42 kg' }).waitFor();
  let hear; // this tablet does not hear of it in time
  const heard = new Promise((resolve) => { hear = resolve; });
  await page.route('**/api/reports/**', async (route) => { await heard; await route.continue(); });
  await service.post('/api/feedings', { tank_id: ids.T1, feed_id: ids.feed, amount_g: 1400, slot: 2, staff_id: ids.maud, at: new Date().toISOString().slice(0, 19) + 'Z' });
  await entry('T1').getByRole('button', { name: 'Feed 1.42 kg' }).click();
  await page.locator('dialog.ask').getByText('Maud').waitFor();
  hear();
  await page.unrouteAll({ behavior: 'wait' });
  await button('Feed again, as an extra').click();
  await page.locator('.undo').getByText('Fed 1.42 kg in T1').waitFor();
  const fed = await service.kept('feedings', 2);
  assert.deepEqual(fed.map((f) => f.slot), [2, undefined]);
});

test('a_chore_is_answered_by_the_pad', async () => {
  await tablet.open('/');
  await entry('Empty the swirl').getByRole('button', { name: 'Answer' }).click();
  await page.keyboard.type('40');
  await button('Done, 40 L').click();
  await page.locator('.undo').getByText('Empty the swirl: 40 L').waitFor();
  assert.equal((await service.entries('chores-done'))[0].answer, '40');
});

test('a_look_becomes_a_scouting', async () => {
  await tablet.open('/at/T1?do=look');
  await page.getByRole('radio', { name: 'disease' }).check();
  await page.getByRole('radio', { name: '3' }).check();
  await page.getByLabel('Which').fill('fin rot');
  await button('Save').click();
  await page.locator('.at-log').getByText('disease').waitFor();
  const [seen] = await service.kept('scoutings', 1);
  assert.deepEqual([seen.what, seen.severity, seen.name, seen.tank_id], ['disease', 3, 'fin rot', ids.T1]);
});

test('next_leads_on_and_the_back_button_back', async () => {
  await tablet.open('/at/T1');
  await page.getByRole('link', { name: /^Next: T2/ }).click();
  await page.locator('.at-head .code', { hasText: 'T2' }).waitFor();
  await page.goBack();
  await page.locator('.at-head .code', { hasText: 'T1' }).waitFor();
});

test('the_keyboard_saves_with_enter_and_leaves_with_escape', async () => {
  await tablet.open('/at/T1');
  await press('Other amount');
  await page.keyboard.type('0.5');
  await page.keyboard.press('Enter');
  await page.getByText('How did they eat?').waitFor();
  assert.equal((await service.entries('feedings'))[0].amount_g, 500);
  await page.keyboard.press('Escape');
  await button('Feed again').or(page.getByRole('button', { name: /^Feed again/ })).waitFor();
  await page.keyboard.press('Escape');
  await page.getByRole('heading', { name: 'Round', level: 1 }).waitFor();
});

test('nothing_that_is_pressed_is_under_48_px', async () => {
  for (const path of ['/', '/at/T1', '/at/T2', '/at/S1', '/at/B1', '/at/T1?do=dead', '/at/T1?do=look']) {
    await tablet.open(path);
    await page.locator('.round, .at').first().waitFor();
    assert.deepEqual(await smallTargets(page), [], path);
  }
  await page.goto(`${service.base}/at/T1`);
  await press('Other amount');
  assert.deepEqual(await smallTargets(page), [], 'pad');
});

test('keys_of_the_pad_are_72_px_or_more', async () => {
  await tablet.open('/at/T1');
  await press('Water');
  const sizes = await page.locator('.pad-keys button').evaluateAll((all) => all.map((b) => Math.min(b.getBoundingClientRect().width, b.getBoundingClientRect().height)));
  assert.ok(sizes.length >= 12);
  assert.ok(Math.min(...sizes.slice(0, 12)) >= 72, sizes.join(' '));
});

test('axe_finds_nothing_serious_in_any_theme', async () => {
  const paths = { light: ['/', '/at/T2', '/at/T1?do=look', '/at/B1', '/nowhere'], dark: ['/', '/at/T2'], sun: ['/', '/at/T2'] };
  for (const theme of ['light', 'dark', 'sun']) {
    const one = await browser.newTablet(service, { staff: ids.ines, theme });
    for (const path of paths[theme]) {
      await one.open(path);
      await one.page.locator('.round, .at, .notice').first().waitFor();
      assert.deepEqual(await axeFindings(one.page), [], `${theme} ${path}`);
    }
    await one.open('/at/T1');
    await one.page.getByRole('button', { name: 'Water', exact: true }).click();
    assert.deepEqual(await axeFindings(one.page), [], `${theme} pad`);
    assert.deepEqual(one.faults, []);
    await one.context.close();
  }
});

test('a_narrow_phone_shows_all_without_scrolling_sideways', async () => {
  const phone = await browser.newTablet(service, { staff: ids.ines, size: PHONE, language: 'es' });
  for (const path of ['/', '/at/T2', '/at/T1?do=dead', '/at/B1']) {
    await phone.open(path);
    await phone.page.locator('.round, .at').first().waitFor();
    assert.equal(await phone.page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), true, path);
  }
  await phone.context.close();
});

test('the_left_hand_has_the_actions_mirrored', async () => {
  const left = await browser.newTablet(service, { staff: ids.ines, hand: 'left' });
  await left.open('/at/T1');
  const feed = await left.page.locator('.act-main').first().boundingBox();
  const other = await left.page.getByRole('button', { name: 'Other amount' }).boundingBox();
  assert.ok(feed.x > other.x);
  await left.context.close();
});

test('someone_is_asked_who_they_are_and_it_is_kept', async () => {
  const fresh = await browser.newTablet(service);
  await fresh.open('/');
  await fresh.page.locator('section.entry[aria-label="T1"]').getByRole('button', { name: 'Feed 1.42 kg' }).click();
  await fresh.page.getByRole('button', { name: /^Maud/ }).click();
  await fresh.page.locator('.undo').getByText('in the record').waitFor();
  assert.equal((await service.entries('feedings'))[0].staff_id, ids.maud);
  await fresh.page.reload();
  await fresh.page.locator('.person', { hasText: 'Maud' }).waitFor();
  await fresh.context.close();
});

test('the_desk_in_spanish_walks_the_round_with_the_keyboard', async () => {
  const desk = await browser.newTablet(service, { staff: ids.maud, size: DESK, language: 'es' });
  await desk.open('/');
  const row = desk.page.locator('section.entry[aria-label="T1"]');
  await row.getByRole('button', { name: 'Dar 1,42 kg' }).waitFor();
  await row.getByRole('link', { name: 'Muertos' }).focus();
  await desk.page.keyboard.press('Enter');
  await desk.page.getByRole('heading', { name: 'Muertos en T1' }).waitFor();
  await desk.page.getByRole('button', { name: '2', exact: true }).focus();
  await desk.page.keyboard.press('Enter');
  await desk.page.getByText('Causa de la muerte').waitFor();
  assert.equal((await service.entries('fish-deaths'))[0].fish, 2);
  await desk.page.keyboard.press('Escape');
  await desk.page.getByRole('button', { name: 'Agua', exact: true }).click();
  await desk.page.keyboard.type('6,1');
  await desk.page.getByRole('button', { name: 'Guardar 1 lectura' }).click();
  await eventually(async () => (await service.entries('water-tests')).at(-1).do_mg_l === 6.1);
  assert.deepEqual(await axeFindings(desk.page), []);
  await desk.context.close();
});

test('us_units_are_shown_and_read_back', async () => {
  const farm = await service.get('/api/farm');
  await service.patch('/api/farm', { units: 'us' }, farm.version);
  await tablet.open('/at/T1');
  await page.getByText('79.0').first().waitFor(); // 26.1 degrees Celsius
  await page.getByRole('button', { name: /^Feed 3.13/ }).click();
  await page.getByText('How did they eat?').waitFor();
  const [fed] = await service.kept('feedings', 1);
  assert.ok(Math.abs(fed.amount_g - 3.13 * 453.59237) < 0.001, String(fed.amount_g)); // the international pound
});

test('a_sweep_takes_oxygen_through_all_tanks_and_undo_takes_it_back', async () => {
  await tablet.open('/');
  const already = (await service.entries('water-tests')).length;
  await page.locator('.sweep').getByRole('button', { name: 'Oxygen' }).click();
  for (const value of ['5.9', '4.8', '5.2']) { // T1, T2, T3: T4 holds no fish
    await page.keyboard.type(value);
    if (value !== '5.2') await page.keyboard.press('Enter');
  }
  await button('Save 3 readings').click();
  await page.locator('.undo').getByText('Oxygen: 3 readings').waitFor();
  const tests = (await service.entries('water-tests')).slice(already);
  assert.deepEqual(tests.map((w) => [w.place_id, w.do_mg_l]), [[ids.T1, 5.9], [ids.T2, 4.8], [ids.T3, 5.2]]);
  await page.waitForTimeout(700);
  await page.locator('.undo button').click();
  await eventually(async () => (await service.entries('water-tests')).length === already);
});

/* Alarms on screen: they show on every screen in words, can be marked seen with what was done, and end with a good reading. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import WORDS from '../../web/js/words/alarms.js';
import { axeFindings, eventually, prepare, smallTargets } from './support.mjs';

let service;
let ids;
let tablet;
let page;
let browser;
prepare((made) => { ({ service, ids, tablet, page, browser } = made); });

const openAlarms = async () => (await service.get('/api/reports/alarms')).rows;
const item = (code) => page.locator('.alarm', { has: page.locator('.alarm-place', { hasText: code }) });

test('both_languages_have_the_same_words', () => {
  assert.deepEqual(Object.keys(WORDS.es), Object.keys(WORDS.en));
});

test('alarms_of_limits_stand_on_every_screen_and_the_stop_comes_first', async () => {
  await eventually(async () => (await openAlarms()).length === 2);
  await tablet.open('/');
  const way = page.locator('.top .alarms-way');
  await way.waitFor();
  assert.match(await way.innerText(), /2 alarms\s*, 1 at stop/);
  await way.click();
  await page.locator('.alarm').first().waitFor();
  const places = await page.locator('.alarm-place').allInnerTexts();
  assert.deepEqual(places.map((p) => p.trim()), ['T3', 'T2']);
  const stop = await item('T3').innerText();
  assert.match(stop, /too low/);
  assert.match(stop, /2\.4\s*mg\/L/);
  assert.match(stop, /0 minutes of air left/);
  assert.equal(await item('T3').locator('.mark.red').count(), 1);
  assert.equal(await item('T2').locator('.mark.amber').count(), 1);
  /* 6000 L x (3.9 - 3) mg/L over 200 kg and what they grew in 20 days, at 300 mg/kg/h: about five minutes */
  assert.match(await item('T2').innerText(), /[345] minutes of air left/);
  const ranked = await page.locator('.desk-part tbody th').allInnerTexts();
  assert.deepEqual(ranked.map((p) => p.trim()), ['T3', 'T2', 'T1']);
});

test('an_alarm_is_marked_seen_with_what_was_done', async () => {
  await eventually(async () => (await openAlarms()).length === 2);
  await tablet.open('/alarms');
  await item('T3').getByRole('button', { name: /Seen/ }).click();
  await page.getByLabel('What was done').fill('Oxygen stone in, blower 2 on');
  await item('T3').getByRole('button', { name: 'Save' }).click();
  await eventually(async () => {
    const row = (await openAlarms()).find((r) => r.place === 'T3');
    return row.seen_by === 'Ines' && row.action === 'Oxygen stone in, blower 2 on';
  });
  await eventually(async () => /Seen by Ines: Oxygen stone in, blower 2 on/.test(await item('T3').innerText()));
  assert.match(await item('T2').innerText(), /not seen yet/);
});

test('a_good_reading_ends_the_alarm_on_the_screen', async () => {
  await eventually(async () => (await openAlarms()).length === 2);
  await tablet.open('/alarms');
  await item('T2').waitFor();
  await service.post('/api/water-tests', { place_id: ids.T2, at: new Date().toISOString().replace(/\.\d+Z/, 'Z'), do_mg_l: 6.2 });
  await eventually(async () => (await page.locator('.alarm').count()) === 1);
  assert.match(await page.locator('.top .alarms-way').innerText(), /1 alarm\s*, 1 at stop/);
});

test('at_the_tank_its_alarm_stands_above', async () => {
  await eventually(async () => (await openAlarms()).length === 2);
  await tablet.open('/at/T3');
  await eventually(async () => /too low[\s\S]*not seen yet/.test(await page.locator('.alarms-here').innerText()));
  await tablet.open('/at/T1');
  await page.locator('.at-head').waitFor();
  assert.equal(await page.locator('.alarms-here').count(), 0);
});

test('water_says_why', async () => {
  await service.post('/api/water-tests', { place_id: ids.T1, at: new Date().toISOString().replace(/\.\d+Z/, 'Z'), ph: 7.2, tan_mg_l: 0.25, below: ['tan_mg_l'], temperature_c: 26 });
  await tablet.open('/water');
  const row = page.locator('.water-sheet', { has: page.getByRole('link', { name: 'T1', exact: true }) });
  await eventually(async () => /< 0\.25\s*mg\/L[\s\S]*< 0\.00\d\s*mg\/L/.test(await row.innerText()));
  await row.getByRole('button', { name: /Why/ }).click();
  const why = await row.locator('.why').innerText();
  assert.match(why, /Emerson/);
  assert.match(why, /Benson and Krause/);
  assert.match(why, /Redfin: made for this test/);
});

test('without_alarms_the_screen_says_what_would_show', async () => {
  for (const code of ['T2', 'T3']) await service.post('/api/water-tests', { place_id: ids[code], at: new Date().toISOString().replace(/\.\d+Z/, 'Z'), do_mg_l: 6.8 });
  await eventually(async () => (await openAlarms()).length === 0);
  await tablet.open('/alarms');
  await page.getByText('No alarm lasts').waitFor();
  assert.equal(await page.locator('.top .alarms-way').count(), 0);
});

test('axe_finds_nothing_and_every_target_is_large_enough_in_both_languages_and_on_a_phone', async () => {
  await eventually(async () => (await openAlarms()).length === 2);
  for (const look of [{}, { theme: 'dark' }, { theme: 'sun', language: 'es', size: { viewport: { width: 390, height: 2000 } } }]) {
    const other = await browser.newTablet(service, { staff: ids.ines, ...look });
    await other.open('/alarms');
    await other.page.locator('.alarm').first().waitFor();
    await other.page.locator('.alarm button').first().click();
    assert.deepEqual(await axeFindings(other.page), [], JSON.stringify(look));
    assert.deepEqual(await smallTargets(other.page), [], JSON.stringify(look));
    assert.ok(await other.page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), 'nothing runs out of the page');
    assert.deepEqual(other.faults, []);
    await other.context.close();
  }
});

/* Board: large enough for five metres, live, and never better than what is known. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { axeFindings, eventually, minutesAgo, prepare } from './support.mjs';

const WALL = { viewport: { width: 1920, height: 1080 } };
/* A screen of 40 inches is 886 mm wide.  What is read from 5 m wants letters of 20 mm or more, the small print of 10 mm: the usual rule of a
   two-hundred-and-fiftieth of the distance, common practice, no source. */
const MM_A_PX = 886 / 1920;
const CAP_OF_SIZE = 0.72; // height of a figure, of its font size

let browser;
let ids;
let service;
prepare((given) => { ({ browser, ids, service } = given); }, { holder: null });
async function openBoard(context, options = {}) {
  const wall = await browser.newTablet(service, { staff: ids.maud, size: WALL, ...options });
  context.after(() => wall.context.close());
  await wall.open('/board');
  await wall.page.locator('.board .cell').first().waitFor();
  return wall;
}
const sizes = (page, selector) => page.evaluate((s) => [...document.querySelectorAll(s)].map((e) => Number.parseFloat(getComputedStyle(e).fontSize)), selector);

test('figures_and_words_are_large_enough_for_five_metres', async (context) => {
  const { page } = await openBoard(context);
  const figures = await sizes(page, '.board .figure, .board-alarms li, .board-clock, .board .cell .code');
  assert.ok(figures.length >= 8);
  for (const px of figures) assert.ok(px * CAP_OF_SIZE * MM_A_PX >= 19, `${px} px`);
  for (const px of await sizes(page, '.board .cell small, .board .cell .mark')) assert.ok(px * CAP_OF_SIZE * MM_A_PX >= 10, `${px} px`);
  assert.ok(await page.evaluate(() => document.documentElement.scrollHeight <= innerHeight), 'it does not fit on the wall');
});

test('the_gravest_stands_first_with_a_word', async (context) => {
  const { page } = await openBoard(context);
  const alarms = await page.locator('.board-alarms li').allInnerTexts();
  assert.match(alarms[0], /too low in T3/);
  assert.match(alarms[1], /low in T2/);
  assert.match(await page.locator('.cell', { hasText: 'T3' }).innerText(), /too low/);
});

test('it_is_live_and_nobody_touches_it', async (context) => {
  const { page } = await openBoard(context);
  await eventually(() => page.evaluate(async () => (await import('/js/live.js')).isLive()));
  await service.post('/api/water-tests', { place_id: ids.T3, do_mg_l: 6.9, at: minutesAgo(0) });
  const began = Date.now();
  await page.locator('.cell', { hasText: 'T3' }).getByText('6.9').waitFor();
  assert.ok(Date.now() - began < 1500, `${Date.now() - began} ms`);
  await eventually(async () => !(await page.locator('.board-alarms').innerText()).includes('T3'));
});

test('a_service_that_is_away_is_said_in_large_letters', async (context) => {
  const wall = await openBoard(context);
  await wall.context.setOffline(true);
  let px; // an answer that was under way may still come, and take the words away once more
  await eventually(async () => {
    await wall.page.evaluate(async () => (await import('/js/api.js')).get('/api/farm'));
    [px] = await sizes(wall.page, '.board-away .mark');
    return px !== undefined;
  });
  await wall.page.getByText(/The service does not answer: these figures are from/).waitFor();
  assert.ok(px * CAP_OF_SIZE * MM_A_PX >= 19, `${px} px`);
});

test('it_can_be_read_in_every_theme_and_in_spanish', async (context) => {
  for (const [theme, language] of [['light', 'en'], ['dark', 'es'], ['sun', 'es']]) {
    const { page } = await openBoard(context, { theme, language });
    assert.deepEqual(await axeFindings(page), []);
    if (language === 'es') await page.getByText('muertos hoy').waitFor();
  }
});

test('a_probe_that_fell_silent_is_said_and_low_oxygen_goes_before_feed', async (context) => {
  const { page } = await openBoard(context);
  assert.match(await page.locator('.cell', { hasText: 'T2' }).innerText(), /oxygen first/);
  await service.post('/api/probes', { code: 'DO-T3', place_id: ids.T3, quantity: 'do_mg_l', unit: 'mg/L', silent_after_min: 30 });
  await service.post('/api/readings', { readings: [{ probe: 'DO-T3', at: minutesAgo(90), value: 6.8 }] });
  await page.locator('.board-alarms li.silent', { hasText: 'DO-T3' }).waitFor({ timeout: 90000 });
});

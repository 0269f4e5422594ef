/* Trouble: one press from everywhere, without the network too; feeding held and given back; everything under one incident; the card on paper. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import WORDS from '../../web/js/words/trouble.js';
import { axeFindings, DESK, eventually, PHONE, prepare, smallTargets } from './support.mjs';

let browser;
let ids;
let service;
prepare((given) => { ({ browser, ids, service } = given); }, { holder: null });

async function openTablet(context, path, options = {}) {
  const tablet = await browser.newTablet(service, { staff: ids.ines, ...options });
  context.after(() => tablet.context.close());
  await tablet.open(path);
  return tablet;
}
const standing = async () => (await service.entries('feeding-plans')).filter((p) => !p.struck_at);
const amounts = async () => (await service.get('/api/reports/ration')).rows.map((r) => r.amount_g);

test('the_words_of_both_languages_have_the_same_shape', () => {
  const shape = (node) => (node && typeof node === 'object' ? Object.fromEntries(Object.entries(node).map(([k, v]) => [k, shape(v)])) : typeof node);
  assert.deepEqual(shape(WORDS.es), shape(WORDS.en));
});

test('it_is_one_press_from_every_screen', async (context) => {
  const { page } = await openTablet(context, '/');
  for (const path of ['/', '/at/T1', '/tanks', '/beds', '/water', '/harvest', '/farm', '/more']) {
    await page.goto(service.base + path);
    await page.getByRole('link', { name: 'Trouble', exact: true }).click();
    await page.getByRole('heading', { name: 'What is wrong?' }).waitFor();
  }
});

test('the_tank_that_goes_first_stands_first', async (context) => {
  const { page } = await openTablet(context, '/trouble');
  const rows = page.locator('.air li');
  await rows.first().waitFor();
  const { rows: air } = await service.get('/api/reports/air'); // the screen works nothing out by itself
  const shown = await rows.allInnerTexts();
  assert.deepEqual(air.map((r) => r.tank), ['T3', 'T2', 'T1']);
  assert.equal(shown.length, 3);
  for (const [i, { tank, air_left_min: minutes }] of air.entries()) {
    assert.ok(shown[i].startsWith(tank), shown[i]);
    assert.ok(shown[i].includes(`${Math.round(minutes)} min`), shown[i]);
  }
  const step = page.locator('.steps').first().locator('li').nth(2); // air first there: the list may stand below the screen
  assert.equal(await step.locator('.code').first().innerText(), 'T3');
  await page.getByRole('button', { name: 'No air' }).click();
  await page.getByText('read before this began').first().waitFor();
  await rows.first().getByRole('button', { name: 'Oxygen' }).click();
  await page.keyboard.type('4.4');
  await page.getByRole('button', { name: 'Save 1 reading' }).click();
  await page.locator('.air li', { hasText: '4.4 mg/L' }).waitFor();
  assert.equal(await page.locator('.air li', { hasText: '4.4 mg/L' }).getByText('read before this began').count(), 0);
});

test('all_feeding_is_held_and_given_back', async (context) => {
  const { page, open } = await openTablet(context, '/trouble');
  const before = await amounts();
  assert.ok(before.filter((g) => g > 0).length >= 6);
  await page.getByRole('button', { name: /Hold all feeding/ }).click();
  await page.getByText('Feeding is held in 3 tanks').waitFor();
  await eventually(async () => (await amounts()).every((g) => g === 0));
  assert.equal((await standing()).length, 6); // each plan of before, and one over it
  await open('/at/T1');
  await page.locator('.act-grid').waitFor();
  assert.equal(await page.getByRole('button', { name: /^Feed 1/ }).count(), 0); // no feeding by one press
  await open('/trouble');
  await page.getByRole('button', { name: 'Feed again as planned' }).click();
  await page.getByRole('button', { name: /Hold all feeding/ }).waitFor();
  await eventually(async () => JSON.stringify(await amounts()) === JSON.stringify(before));
});

test('without_the_network_everything_is_kept_and_lands_under_one_incident', async (context) => {
  const tablet = await openTablet(context, '/');
  const { page } = tablet;
  await page.locator('.round').waitFor();
  await page.evaluate(async () => (await import('/js/screens.js')).loadAll()); // as a few seconds later happens by itself
  await tablet.context.setOffline(true);
  await page.getByRole('link', { name: 'Trouble', exact: true }).click();
  await page.getByRole('button', { name: 'No air' }).click();
  await page.getByText(/No air, since/).waitFor();
  await page.getByText('Open the reserve').first().waitFor();
  await page.getByRole('button', { name: /Hold all feeding/ }).click();
  await page.getByText('Feeding is held in 3 tanks').waitFor();
  const row = page.locator('.air li', { hasText: 'T3' });
  await row.getByRole('button', { name: 'Oxygen' }).click();
  await page.keyboard.type('1.8');
  await page.getByRole('button', { name: 'Save 1 reading' }).click();
  await row.getByRole('button', { name: 'Dead' }).click();
  await page.keyboard.type('14');
  await page.keyboard.press('Enter');
  await page.keyboard.type('2.8');
  await page.getByRole('button', { name: 'Log the dead' }).click();
  await page.getByRole('button', { name: 'What was done' }).click();
  await page.getByRole('textbox').fill('Second blower on, belt was off');
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await page.getByText('1 reading, 14 dead, 1 note').waitFor();
  await page.getByRole('button', { name: 'It is over' }).click();
  await page.getByRole('heading', { name: 'What is wrong?' }).waitFor();
  assert.deepEqual(await service.entries('incidents'), []);
  await page.getByRole('link', { name: 'Round' }).first().click();
  await page.locator('.round').waitFor();
  assert.equal(await page.getByRole('button', { name: /^Feed 1/ }).count(), 0); // the hold holds here already
  await tablet.context.setOffline(false);
  const [incident] = await service.kept('incidents', 1);
  assert.equal(incident.what, 'No air');
  await eventually(async () => (await service.entries('incidents'))[0].ended_at);
  const [death] = await service.kept('fish-deaths', 1);
  const reading = (await service.entries('water-tests')).find((e) => e.do_mg_l === 1.8);
  const [note] = await service.kept('handovers', 1);
  assert.deepEqual([death.fish, death.weight_g, death.tank_id], [14, 2800, ids.T3]);
  for (const entry of [death, reading, note]) {
    assert.equal(entry.incident_id, incident.id);
    assert.equal(entry.staff_id, ids.ines);
  }
  await eventually(async () => (await amounts()).every((g) => g === 0));
});

test('an_incident_that_is_open_is_seen_by_the_next_tablet', async (context) => {
  await service.post('/api/incidents', { what: 'No power', began_at: '2026-01-05T03:00:00Z', at: '2026-01-05T03:00:00Z' });
  const { page } = await openTablet(context, '/trouble', { language: 'es' });
  await page.getByText(/Sin luz, desde las/).waitFor();
  await page.getByText('Arrancar el generador').first().waitFor();
});

test('on_paper_it_is_the_emergency_card', async (context) => {
  const { page } = await openTablet(context, '/trouble');
  await page.getByRole('heading', { name: 'What is wrong?' }).waitFor();
  await page.emulateMedia({ media: 'print' });
  for (const steps of Object.values(WORDS.en.steps)) assert.ok(await page.getByText(steps[0]).last().isVisible(), steps[0]);
  for (const who of WORDS.en.call_blank) assert.ok(await page.getByRole('rowheader', { name: who, exact: true }).isVisible(), who);
  assert.ok(await page.getByText(WORDS.en.cautions.gas).isVisible());
  assert.equal(await page.getByRole('button', { name: /Hold all feeding/ }).count(), 0);
});

for (const [name, size] of Object.entries({ tablet: undefined, desk: DESK, phone: PHONE })) {
  test(`it_can_be_read_and_pressed_on_a_${name}_in_every_theme`, async (context) => {
    for (const theme of ['light', 'dark', 'sun']) {
      const { page } = await openTablet(context, '/trouble', { theme, size });
      await page.getByRole('heading', { name: 'What is wrong?' }).waitFor();
      await page.locator('.air').waitFor();
      // At the end of the page nothing lies half under the way between screens, which axe would take for small.
      await page.evaluate(() => scrollTo(0, document.body.scrollHeight));
      assert.deepEqual(await axeFindings(page), []);
      assert.deepEqual(await smallTargets(page), []);
      assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), 'it scrolls sideways');
    }
  });
}

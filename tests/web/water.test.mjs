/* Water: from a value to all that was read of it, with the doses in their place, and the dosing desk to a dose on record. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { axeFindings, DESK, eventually, PHONE, prepare, smallTargets, TABLET } from './support.mjs';

let service;
let browser;
let ids;
let tablet;
let page;
prepare((given) => { ({ service, browser, ids, tablet, page } = given); }, { once: true, tablet: { size: TABLET } });

const hoursAgo = (hours) => new Date(Date.now() - hours * 36e5).toISOString().replace(/\.\d+Z/, 'Z');
const test1 = (hours, fields) => service.post('/api/water-tests', { place_id: ids.S1, at: hoursAgo(hours), ...fields });
const text = async (locator) => (await locator.innerText()).replace(/\s+/g, ' ').trim();
let material;

test('a_value_leads_to_its_history_with_doses_in_their_place', async () => {
  material = await service.post('/api/materials', { name: 'Potash lye', formula: 'KOH', purpose: 'alkalinity', purity_pct: 90 });
  await test1(72, { ph: 6.8, alkalinity_mg_l: 50, tan_mg_l: 1, temperature_c: 28 });
  await service.post('/api/doses', { loop_id: ids.loop, material_id: material.id, amount_g: 900, at: hoursAgo(60), ph_before: 6.8, ph_after: 7.1 });
  await test1(5, { ph: 7.1, alkalinity_mg_l: 62, tan_mg_l: 1, temperature_c: 28, nitrite_n_mg_l: 1, chloride_mg_l: 20 });
  await tablet.open('/water');
  await page.locator('.water-sheet').getByRole('link', { name: /62/ }).click();
  await page.locator('.series canvas').waitFor();
  const url = new URL(page.url());
  assert.equal(`${url.pathname}${url.search}`, '/water/of/S1?of=alkalinity_mg_l');
  const lines = (await page.locator('table.readings tbody tr').allInnerTexts()).map((line) => line.replace(/\s+/g, ' '));
  assert.equal(lines.length, 3);
  assert.match(lines[0], /62 ?mg\/L/);
  assert.match(lines[1], /900 ?g Potash lye pH 6\.8 → 7\.1/);
  assert.match(lines[2], /50 ?mg\/L/);
});

/* Emerson and others (1975), worked by hand: 1 mg/L at 28 degrees and pH 6.8 is 0.0044, at pH 7.1 0.0087. */
test('ammonia_has_a_history_though_nobody_typed_it', async () => {
  await page.getByRole('button', { name: /^Un-ionized ammonia/ }).click();
  const lines = await page.locator('table.readings tbody tr:not(.dose-row)').allInnerTexts();
  assert.match(lines[0], /0\.009/);
  assert.match(lines[1], /0\.004/);
  assert.equal(new URL(page.url()).searchParams.get('of'), 'nh3_n_mg_l');
});

/*
 * 56.11 g of potassium hydroxide are 50.04 g of calcium carbonate (molar masses, IUPAC): a rise of 20 mg/L in the loop's
 * water takes volume x 20 / 1000 x 56.106 / 50.0435 / 0.9 grams.
 */
/* The ammonia is that of the newest temperature, 26.1 degrees: 0.0238, by the same equation. */
test('the_desk_says_how_much_and_two_taps_put_the_dose_on_record', async () => {
  await tablet.open('/water');
  await page.getByRole('link', { name: 'Dosing' }).click();
  await page.locator('.dosing').waitFor();
  await page.fill('#dose-now', '60');
  await page.fill('#dose-to', '80');
  const { items: [loop] } = await service.get('/api/loops?code=A');
  const grams = (loop.water_volume_l * 20) / 1000 * (56.106 / 50.0435) / 0.9;
  const shown = page.locator('.dose-amount b');
  await shown.waitFor();
  const [, figure, unit] = /([\d.,]+) ?(k?g)/.exec(await text(shown));
  assert.ok(Math.abs(Number(figure.replace(',', '')) * (unit === 'kg' ? 1000 : 1) - grams) < grams * 0.006, `${figure} ${unit} for ${grams} g`);
  assert.match(await text(page.locator('.dosing .calc-result')), /At pH 7\.6 the ammonia of the last test would be 0\.024 mg\/L/);
  const before = (await service.entries('doses')).length;
  await page.getByRole('button', { name: /^Dosed:/ }).click();
  await eventually(async () => (await service.entries('doses')).length === before + 1);
  const made = (await service.entries('doses')).at(-1);
  assert.equal(made.material_id, material.id);
  assert.equal(made.ph_before, undefined, 'a pH of five hours ago is not that before the dose');
  assert.ok(Math.abs(made.amount_g - grams) < grams * 0.006);
});

/* formulas.md, part 8, worked: nitrite-N 1.0, chloride 20, ratio 10 on the ion: 12.84 mg/L of chloride, 21.2 g of salt in 1000 L. */
test('salt_against_nitrite_waits_for_the_ratio_and_counts_the_ion', async () => {
  const { items: [loop] } = await service.get('/api/loops?code=A');
  await service.post('/api/materials', { name: 'Fine salt', formula: 'NaCl', purpose: 'chloride', purity_pct: 100 });
  await tablet.open('/water/dosing?for=chloride');
  await page.locator('#dose-ratio').waitFor();
  assert.match(await text(page.locator('.dosing .calc-result')), /Fill in the figures/);
  assert.equal(await page.locator('#dose-nitrite').inputValue(), '1');
  await page.fill('#dose-ratio', '10');
  await page.locator('.dose-amount b').waitFor();
  const grams = 21.2 * loop.water_volume_l / 1000;
  const [, figure, unit] = /([\d.,]+) ?(k?g)/.exec(await text(page.locator('.dose-amount b')));
  assert.ok(Math.abs(Number(figure.replace(',', '')) * (unit === 'kg' ? 1000 : 1) - grams) < grams * 0.006, `${figure} ${unit} for ${grams} g`);
  assert.match(await text(page.locator('.cautions')), /label and the safety sheet come first.*Sodium harms lettuce/);
});

/* By definition: 48,000 L x 1.5 mg/L = 72 g of iron, in a chelate of 11 % 654.5 g. */
test('iron_is_dosed_by_the_content_of_its_label', async () => {
  const { items: [loop] } = await service.get('/api/loops?code=A');
  assert.equal(loop.water_volume_l, 48000);
  await service.post('/api/materials', { name: 'Iron chelate', purpose: 'iron', purity_pct: 11 });
  await test1(0.2, { ph: 7.0 });
  await tablet.open('/water/dosing?for=iron');
  await page.locator('#dose-content').waitFor();
  assert.equal(await page.locator('#dose-content').inputValue(), '11');
  await page.fill('#dose-nutrient_now', '0.5');
  await page.fill('#dose-nutrient_to', '2');
  await page.locator('.dose-amount b').waitFor();
  assert.match(await text(page.locator('.dose-amount')), /65[45] ?g Iron chelate/);
  assert.doesNotMatch(await text(page.locator('.cautions')), /Hydroxides/);
  const before = (await service.entries('doses')).length;
  await page.getByRole('button', { name: /^Dosed:/ }).click();
  await eventually(async () => (await service.entries('doses')).length === before + 1);
  assert.equal((await service.entries('doses')).at(-1).ph_before, 7);
});

test('axe_finds_nothing_and_fingers_find_all_in_both_languages', async () => {
  for (const [size, lang] of [[TABLET, 'en'], [DESK, 'es'], [PHONE, 'es']]) {
    const other = await browser.newTablet(service, { size: { ...size, viewport: { ...size.viewport, height: 3000 } }, staff: ids.ines, language: lang });
    for (const [path, there] of [['/water', '.water-sheet'], ['/water/dosing', '.dosing'], ['/water/of/S1?of=ph', '.series canvas']]) {
      await other.open(path);
      await other.page.locator(there).first().waitFor();
      assert.deepEqual(await axeFindings(other.page), [], `${path} ${lang}`);
      if (size !== DESK) assert.deepEqual(await smallTargets(other.page), [], `${path} ${lang}`);
      assert.ok(await other.page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${path} ${lang} is wider than the page`);
    }
    assert.deepEqual(other.faults, []);
    await other.context.close();
  }
});

/* The calculators' screen: drawn from the service's list, live, in both languages, for fingers and for readers. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { axeFindings, DESK, PHONE, prepare, smallTargets, TABLET } from './support.mjs';

let service;
let browser;
let ids;
prepare((given) => { ({ browser, ids, service } = given); }, { once: true, holder: null });

async function open(path, options = {}) {
  const { page, open: go } = await browser.newTablet(service, { size: DESK, staff: ids.ines, ...options });
  await go(path);
  await page.waitForSelector('.calc-inputs, .calcs');
  return page;
}
const output = (page, name) => page.locator(`[data-output=${name}]`);
const shows = (page, name, pattern) => page.waitForFunction(([of, like]) => new RegExp(like).test(document.querySelector(`[data-output=${of}]`)?.textContent ?? ''), [name, pattern], { timeout: 8000 });

test('more_leads_to_every_calculator_of_the_service', async () => {
  const { calculators } = await service.get('/api/calc');
  const { page, open: go } = await browser.newTablet(service, { size: DESK, staff: ids.ines });
  await go('/more');
  await page.click('a[href="/calc"]');
  await page.waitForSelector('.calcs li');
  assert.equal(await page.locator('.calcs li').count(), calculators.length);
  await page.click('.calcs a[href="/calc/moist-air"]');
  await page.waitForSelector('.calc-inputs');
  await page.goBack();
  await page.waitForSelector('.calcs li');
});

/* 1.5 mg/L at 28 degrees and pH 7.6 is 0.0406 mg/L: the equation of Emerson and others (1975), worked by hand. */
test('the_result_follows_what_is_typed', async () => {
  const page = await open('/calc/unionized-ammonia');
  await page.fill('#in-temperature_c', '28');
  await page.fill('#in-ph', '7.6');
  assert.match(await page.locator('.calc-result').innerText(), /Still needed/);
  await page.fill('#in-tan_mg_l', '1.5');
  await shows(page, 'nh3_n_mg_l', '^0\\.041');
  await page.fill('#in-tan_mg_l', '3,0'); // a comma is a decimal sign too
  await shows(page, 'nh3_n_mg_l', '^0\\.081');
  assert.match(await page.locator('.calc-caution').innerText(), /0\.1 off/);
  assert.match(page.url(), /temperature_c=28/);
});

test('an_old_result_never_stands_beside_new_inputs', async () => {
  const page = await open('/calc/density?fish=600&weight_g=79.2&volume_l=7800');
  await shows(page, 'kg_m3', '^6\\.092');
  await page.route('**/api/calc/density?*', (route) => route.abort());
  await page.fill('#in-fish', '60');
  assert.equal((await output(page, 'kg_m3').innerText()).trim(), '–');
  await page.waitForFunction(() => /does not answer/.test(document.querySelector('.calc-result').textContent));
  assert.equal((await output(page, 'kg_m3').innerText()).trim(), '–');
});

test('what_is_out_of_range_is_said_at_its_field', async () => {
  const page = await open('/calc/unionized-ammonia?temperature_c=28&ph=7.6&tan_mg_l=1');
  await shows(page, 'fraction', '^2\\.7 %$');
  await page.fill('#in-ph', '12');
  await page.waitForSelector('#in-ph[aria-invalid=true]');
  assert.match(await page.locator('#fault-ph').innerText(), /between 6 and 10/);
  assert.equal((await output(page, 'fraction').innerText()).trim(), '–');
  await page.fill('#in-ph', 'seven');
  await page.waitForFunction(() => /must be a number/.test(document.querySelector('#fault-ph').textContent));
});

test('two_of_three_are_asked_for_and_the_third_given', async () => {
  const page = await open('/calc/feed-area');
  await page.fill('#in-feed_g_day', '1000');
  await page.waitForFunction(() => /two of the three/i.test(document.querySelector('.calc').textContent));
  await page.fill('#in-ratio_g_m2_day', '60');
  await shows(page, 'area_m2', '^16\\.67'); // FB047: 1,000 g a day at 60 g/m2/day feed 16.7 m2 (Rakocy 2007)
});

/* FB029's kin: 24.9 g of 90 % KOH raise 1,000 L by 20 mg/L; the caution stands beside the amount. */
test('a_dose_shows_its_caution_where_the_amount_is', async () => {
  const page = await open('/calc/alkalinity-dose');
  await page.fill('#in-volume_l', '1000');
  await page.fill('#in-rise_mg_l', '20');
  await page.selectOption('#in-material', 'koh');
  await page.fill('#in-purity_pct', '90');
  await shows(page, 'amount_g', '^24\\.91');
  assert.match(await page.locator('.calc-result .calc-caution').innerText(), /burn skin and eyes/);
});

/* 250 US gallons are 946.353 L (NIST SP 811); the second unit is one of the same quantity, and a new first one empties it. */
test('a_unit_is_told_in_another_of_its_quantity', async () => {
  const page = await open('/calc/units');
  await page.fill('#in-value', '250');
  await page.selectOption('#in-from_unit', 'us_gal');
  const offered = await page.locator('#in-to_unit optgroup').evaluateAll((groups) => groups.map((g) => g.label));
  assert.deepEqual(offered, ['Volume']);
  await page.selectOption('#in-to_unit', 'l');
  await shows(page, 'converted', '^946\\.353 L$');
  await page.selectOption('#in-from_unit', 'lb');
  assert.equal(await page.inputValue('#in-to_unit'), '');
  assert.equal((await output(page, 'converted').innerText()).trim(), '–');
});

/* FB052: 220 g of iron raise 110,000 L by 2 mg/L (SRAC 454, from memory); in a chelate of 6 % that is 3,667 g. */
test('a_nutrient_is_dosed_by_its_label', async () => {
  const page = await open('/calc/nutrient-dose?volume_l=110000&element_rise_mg_l=2&content_pct=6');
  await shows(page, 'element_g', '^220 g');
  await shows(page, 'amount_g', '^3,667 g');
  assert.match(await page.locator('.calc-result .calc-caution').innerText(), /Copper and zinc kill fish/);
});

test('a_ration_offers_the_species_of_the_record', async () => {
  const page = await open('/calc/ration');
  const names = (await service.get('/api/species')).items.map((row) => row.name);
  const offered = await page.locator('#in-species option').allInnerTexts();
  for (const name of names) assert.ok(offered.includes(name), name);
});

/* Two nets, 20 fish of 4,310 g and 18 of 3,902 g: 8,212 / 38 = 216.1 g. */
test('a_list_of_nets_is_typed_as_text', async () => {
  const page = await open('/calc/weigh-enough');
  await page.fill('#in-nets', '20 4310 18 3902');
  await shows(page, 'mean_weight_g', '^216\\.1');
  await shows(page, 'sample_fish', '^38');
});

/* 82.4 °F is 28 °C; 100 fish of 16 oz in 250 US gal: 45.359 kg in 946.353 L are 47.93 kg/m3, 0.4 lb/gal. */
test('a_farm_of_pounds_types_and_reads_its_own_units', async () => {
  const farm = await service.get('/api/farm');
  await service.patch('/api/farm', { units: 'us' }, farm.version);
  try {
    const page = await open('/calc/unionized-ammonia?ph=7.6&tan_mg_l=1.5');
    assert.match(await page.locator('label[for=in-temperature_c]').innerText(), /°F/);
    assert.match(await page.locator('#hint-temperature_c').innerText(), /^32 to 122 °F/);
    await page.fill('#in-temperature_c', '82.4');
    await shows(page, 'nh3_n_mg_l', '^0\\.041');
    assert.match(page.url(), /temperature_c=28(&|$)/); // an address means the same on every farm
    const tank = await open('/calc/density');
    await tank.fill('#in-fish', '100');
    await tank.fill('#in-weight_g', '16');
    await tank.fill('#in-volume_l', '250');
    await shows(tank, 'kg_m3', '^0\\.4 lb/gal');
    await tank.reload();
    await shows(tank, 'kg_m3', '^0\\.4 lb/gal');
    assert.equal(await tank.inputValue('#in-volume_l'), '250');
  } finally {
    const now = await service.get('/api/farm');
    await service.patch('/api/farm', { units: 'si' }, now.version);
  }
});

/* Awkward typing: spaces, a comma, two signs, a thousands comma, a field emptied again. */
test('awkward_typing_is_read_or_said_at_its_field', async () => {
  const page = await open('/calc/density?fish=100&weight_g=450&volume_l=1000');
  await shows(page, 'kg_m3', '^45 kg');
  await page.fill('#in-weight_g', ' 450,0 ');
  await shows(page, 'kg_m3', '^45 kg');
  for (const wrong of ['4.5.0', '1,000.5', '4e2', '--4', '450 g']) {
    await page.fill('#in-weight_g', wrong);
    await page.waitForSelector('#in-weight_g[aria-invalid=true]');
    assert.equal((await output(page, 'kg_m3').innerText()).trim(), '–', wrong);
  }
  await page.fill('#in-weight_g', '');
  await page.waitForFunction(() => /Still needed/.test(document.querySelector('.calc-result').textContent));
  await page.fill('#in-weight_g', '.45');
  await shows(page, 'kg_m3', '^0\\.045');
});

test('it_reads_in_spanish_with_a_decimal_comma', async () => {
  const page = await open('/calc/unionized-ammonia?temperature_c=28&ph=7.6&tan_mg_l=1.5', { language: 'es' });
  await page.waitForFunction(() => /Cuidado/.test(document.body.textContent));
  await shows(page, 'nh3_n_mg_l', '^0,041');
});

test('every_calculator_is_sound_for_readers_and_fits_each_size', async () => {
  const { calculators } = await service.get('/api/calc');
  const { page, open: go } = await browser.newTablet(service, { size: TABLET, staff: ids.ines });
  for (const path of ['', ...calculators.map((c) => `/${c.name}`)]) {
    await page.setViewportSize(TABLET.viewport);
    await go(`/calc${path}`);
    await page.waitForSelector(path ? '.calc-inputs' : '.calcs');
    for (const size of [DESK, PHONE, TABLET]) {
      await page.setViewportSize(size.viewport);
      const beyond = await page.evaluate(() => [...document.querySelectorAll('.desk *')].filter((e) => e.getBoundingClientRect().right > innerWidth + 1).map((e) => `${e.tagName} ${e.className} ${e.textContent.trim().slice(0, 30)}`));
      assert.deepEqual(beyond, [], path);
      assert.deepEqual(await smallTargets(page), [], path);
    }
    await page.evaluate(() => document.querySelector('.calcs ul:last-of-type li:last-child')?.scrollIntoView({ block: 'center' })); // the bar below hides part of a list's row
    assert.deepEqual(await axeFindings(page), [], path);
  }
});

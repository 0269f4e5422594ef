/* US units: what a person types is kept as SI and comes back as it was typed; in the record's forms, on the pads, in lists.  The factors are those of NIST SP 811. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import * as format from '../../web/js/format.js';
import * as units from '../../web/js/units.js';
import { axeFindings, daysAgo, DESK, eventually, PHONE, prepare, smallTargets, TABLET } from './support.mjs';

let service;
let browser;
let ids;
let desk;
let page;
const SEED = Number(process.env.SEED ?? 20260 + (Date.now() % 100000));

const more = async (farm, its) => {
  const made = await farm.get('/api/farm');
  await farm.patch('/api/farm', { units: 'us' }, made.version);
  const make = async (kind, fields) => (await farm.post(`/api/${kind}`, { ...fields, confirm: true })).id;
  its.metric = await make('weighings', { tank_id: its.T1, fish_lot_id: its['lot-T1'], nets: [20, 4310, 18, 3902], day: new Date(Date.now() - 4 * 864e5).toISOString().slice(0, 10) });
};
prepare((given) => { ({ browser, ids, page, service, tablet: desk } = given); }, { once: true, holder: 'maud', tablet: { size: DESK }, seed: { more } });

/* A linear congruence is enough to spread what is tried (Numerical Recipes' constants). */
function numbersFrom(seed) {
  let state = seed >>> 0;
  return () => { state = (Math.imul(state, 1664525) + 1013904223) >>> 0; return state / 2 ** 32; };
}
async function everyField() {
  const { kinds } = await service.get('/api/record');
  return kinds.flatMap((k) => k.fields.map((f) => ({ ...f, of: k.name }))).filter((f) => ['real', 'numbers'].includes(f.kind));
}
const inUs = async (check) => {
  format.setFarm({ units: 'us' });
  try {
    await check();
  } finally {
    format.setFarm({ units: 'si' });
  }
};

test('what_is_typed_in_any_unit_comes_back_as_it_was_typed', () => inUs(async () => {
  const next = numbersFrom(SEED);
  const hows = new Map();
  for (const field of await everyField()) {
    for (const how of [units.saidInRecord(field), units.saidInRecord(field, 'temperature_c')]) if (how.per !== 1) hows.set(how.unit, how);
  }
  for (const unit of ['lb', 'oz', 'gal', 'degF', 'ft', 'in', 'ft²', 'lb/gal', 'gal/day', 'gal/min', 'lb/day', '1/ft²']) assert.ok(hows.has(unit), unit);
  for (const [unit, how] of hows) {
    for (let i = 0; i < 3000; i += 1) {
      const places = Math.floor(next() * 4);
      const typed = Number((next() ** 3 * (unit === 'degF' ? 212 : 99999)).toFixed(places)) * (unit === 'degF' && next() < 0.2 ? -0.2 : 1);
      const once = Number(typed.toFixed(3));
      const si = format.fromUnit(how, once);
      assert.equal(format.forTyping(format.toUnit(how, si)), format.forTyping(once), `${once} ${unit} is ${si}, seed ${SEED}`);
      assert.equal(Number(si.toPrecision(15)), si, 'the service keeps it as it is');
    }
  }
}));

test('the_pad_s_pounds_and_ounces_come_back_too', () => inUs(async () => {
  const next = numbersFrom(SEED + 1);
  for (const unit of ['lb', 'oz']) {
    for (let i = 0; i < 3000; i += 1) {
      const typed = Number((next() ** 3 * 99999).toFixed(Math.floor(next() * 4)));
      const grams = Number(format.massFromUnit(typed, unit).toPrecision(12));
      assert.equal(format.forTyping(format.massToUnit(grams, unit)), format.forTyping(typed), `${typed} ${unit}, seed ${SEED}`);
    }
  }
}));

test('what_a_button_logs_is_what_it_says_however_small', () => {
  const next = numbersFrom(SEED + 2);
  for (const farm of ['si', 'us']) {
    format.setFarm({ units: farm });
    for (let i = 0; i < 3000; i += 1) {
      const grams = next() ** 4 * 20000;
      const said = format.mass(grams);
      const logged = format.massAsShown(grams);
      const read = Number(said.text.replaceAll(',', ''));
      assert.ok(Math.abs(format.massToUnit(logged, said.unit) - read) < 1e-9, `${grams} g says ${said.text} ${said.unit} and logs ${logged} g, seed ${SEED}`);
    }
  }
  assert.deepEqual(format.mass(6.1), { text: '0.22', unit: 'oz' }, 'fry have two digits');
  format.setFarm({ units: 'si' });
  assert.deepEqual(format.mass(6.1), { text: '6.1', unit: 'g' });
});

/* NIST SP 811 (2008), appendix B.8; 32 degF and 212 degF are 0 and 100 degC. */
test('units_are_those_of_the_published_table', () => inUs(async () => {
  const si = (field, typed) => format.fromUnit(units.saidInRecord(field), typed);
  assert.equal(si({ name: 'amount_g', unit: 'g' }, 1), 453.59237);
  assert.equal(si({ name: 'market_weight_g', unit: 'g' }, 1), 28.349523125);
  assert.equal(si({ name: 'volume_l', unit: 'L' }, 1), 3.785411784);
  assert.equal(si({ name: 'length_m', unit: 'm' }, 1), 0.3048);
  assert.equal(si({ name: 'lengths_mm', kind: 'numbers' }, 1), 25.4);
  assert.equal(si({ name: 'area_m2', unit: 'm2' }, 1), 0.09290304);
  assert.deepEqual([32, 212, -40].map((f) => si({ name: 'temperature_c', unit: 'degC' }, f)), [0, 100, -40]);
  assert.equal(Number(si({ name: 'density_limit_kg_m3', unit: 'kg/m3' }, 1).toPrecision(6)), 119.826, '1 lb/gal is 119.826 kg/m3');
}));

test('metric_farms_type_what_the_service_keeps', async () => {
  for (const field of await everyField()) {
    const how = units.saidInRecord(field, 'temperature_c');
    assert.deepEqual([how.per, how.zero], [1, 0], `${field.of}.${field.name}`);
    assert.equal(format.fromUnit(how, 1.234), 1.234);
  }
});

test('what_the_trade_or_a_label_says_in_metric_stays_so', () => inUs(async () => {
  for (const field of [{ name: 'withdrawal_degree_days', unit: 'degC day' }, { name: 'feed_ratio_min_g_m2_day', unit: 'g/m2/day' }, { name: 'pellet_mm', unit: 'mm' }, { name: 'do_mg_l', unit: 'mg/L' }, { name: 'meter_reading' }]) assert.equal(units.saidInRecord(field).per, 1, field.name);
  assert.equal(units.saidInRecord({ name: 'low' }, 'ph').unit, undefined);
  assert.equal(units.saidInRecord({ name: 'low' }, 'temperature_c').unit, 'degF');
  assert.equal(units.saidInRecord({ name: 'low' }).per, 1, 'a chore asks in words of its own');
}));

const label = (name) => page.locator(`label[for=f-${name}]`).innerText().then((s) => s.replace(/\s+/g, ' ').trim());
const field = (name) => page.locator(`#f-${name}`);
const newest = async (kind) => (await service.get(`/api/${kind}?order=-at&limit=1`)).items[0];

test('a_form_asks_in_pounds_keeps_grams_and_shows_what_was_typed', async () => {
  await desk.open(`/farm/feedings/new?tank_id=${ids.T1}&feed_id=${ids.feed}`);
  await field('amount_g').waitFor();
  assert.equal(await label('amount_g'), 'Amount lb needed');
  await field('amount_g').fill('5');
  await field('uneaten_g').fill('0.125');
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await page.locator('table.rows').waitFor();
  const kept = await newest('feedings');
  assert.deepEqual([kept.amount_g, kept.uneaten_g], [2267.96185, 56.69904625]);
  const row = page.locator('table.rows tbody tr').first();
  assert.match(await row.innerText(), /5\.00\s+lb/);
  await row.locator('a').first().click();
  await field('amount_g').waitFor();
  assert.deepEqual([await field('amount_g').inputValue(), await field('uneaten_g').inputValue()], ['5', '0.125']);
  await field('note').fill('as typed');
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await page.locator('.notice[role=status]').waitFor();
  const { amount_g: grams } = await service.get(`/api/feedings/${kept.id}`);
  assert.equal(grams, 2267.96185);
  await field('amount_g').fill('5.25');
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await eventually(async () => (await service.get(`/api/feedings/${kept.id}`)).amount_g === 2381.3599425);
  await page.locator('table.log', { hasText: '5.00' }).waitFor();
});

test('a_water_test_is_typed_in_degrees_fahrenheit_and_milligrams', async () => {
  await desk.open(`/farm/water-tests/new?place_id=${ids.T1}`);
  await field('temperature_c').waitFor();
  assert.equal(await label('temperature_c'), 'Temperature °F');
  await field('temperature_c').fill('78.8');
  await field('do_mg_l').fill('6.1');
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await page.locator('table.rows').waitFor();
  const kept = await newest('water-tests');
  assert.deepEqual([kept.temperature_c, kept.do_mg_l], [26, 6.1]);
  await page.locator('table.rows tbody tr').first().locator('a').first().click();
  await field('temperature_c').waitFor();
  assert.equal(await field('temperature_c').inputValue(), '78.8');
  await field('temperature_c').fill('200');
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  assert.match(await page.locator('#f-temperature_c-error').innerText(), /23 .* 122/, 'the limits are said in the same unit'); // -5 to 50 degC
});

test('tanks_and_beds_are_set_up_in_gallons_and_feet', async () => {
  await desk.open('/farm/tanks/new');
  await field('code').fill('T8');
  await field('loop_id').fill('A');
  await field('volume_l').fill('1250.5');
  await field('density_limit_kg_m3').fill('0.5');
  assert.deepEqual([await label('volume_l'), await label('density_limit_kg_m3')], ['Volume gal needed', 'Density limit lb/gal']);
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await eventually(async () => (await service.get('/api/tanks?code=T8')).items.length === 1);
  const [tank] = (await service.get('/api/tanks?code=T8')).items;
  assert.deepEqual([tank.volume_l, tank.density_limit_kg_m3], [1250.5 * 3.785411784, (0.5 * 453.59237) / 3.785411784].map((v) => Number(v.toPrecision(12))));
  await desk.open(`/farm/tanks/${tank.id}`);
  await field('volume_l').waitFor();
  assert.deepEqual([await field('volume_l').inputValue(), await field('density_limit_kg_m3').inputValue()], ['1250.5', '0.5']);
  await desk.open(`/farm/beds/${ids.B1}`);
  await field('length_m').waitFor();
  assert.equal(await field('length_m').inputValue(), '78.7402', '24 m, typed elsewhere');
  await field('width_m').fill('4');
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await eventually(async () => (await service.get(`/api/beds/${ids.B1}`)).width_m === 1.2192);
  assert.equal((await service.get(`/api/beds/${ids.B1}`)).length_m, 24, 'what was not touched keeps all its digits');
});

test('nets_are_typed_in_pounds_and_a_limit_in_the_unit_of_its_quantity', async () => {
  await desk.open(`/farm/weighings/new?tank_id=${ids.T1}&fish_lot_id=${ids['lot-T1']}`);
  await field('nets').waitFor();
  assert.match(await page.locator('#f-nets-hint').innerText(), /fish and lb of each net, like 20 9\.5 18 8\.6/);
  await field('nets').fill('20 9.5 18 8.6');
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await page.locator('table.rows').waitFor();
  assert.deepEqual((await newest('weighings')).nets, [20, 4309.127515, 18, 3900.894382]);
  assert.match(await page.locator('table.rows tbody tr').first().innerText(), /20 9\.5 18 8\.6\s+lb/);
  await desk.open(`/farm/weighings/${ids.metric}`);
  await field('nets').waitFor();
  await field('note').fill('of the old scale');
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await page.locator('.notice[role=status]').waitFor();
  assert.deepEqual((await service.get(`/api/weighings/${ids.metric}`)).nets, [20, 4310, 18, 3902]);
  await desk.open(`/farm/species-limits/new?species_id=${ids.species}`);
  await field('quantity').selectOption('temperature_c');
  assert.equal(await label('low'), 'Low limit °F');
  await field('low').fill('72.5');
  await field('source').fill('made for this test');
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await eventually(async () => (await service.get('/api/species-limits?limit=100')).items.some((l) => l.quantity === 'temperature_c' && l.low === 22.5));
});

test('the_pad_feeds_in_pounds_as_typed_and_the_form_says_the_same', async () => {
  const hand = await browser.newTablet(service, { staff: ids.ines });
  await hand.open('/at/T1');
  await hand.page.getByRole('button', { name: 'Other amount' }).click();
  await hand.page.getByRole('button', { name: 'lb', exact: true }).click();
  await hand.page.keyboard.type('5');
  await hand.page.getByRole('button', { name: /^Feed 5\.00/ }).click();
  await eventually(async () => (await newest('feedings')).amount_g === 2267.96185 && (await newest('feedings')).staff_id === ids.ines);
  const { id } = await newest('feedings');
  await desk.open(`/farm/feedings/${id}`);
  await field('amount_g').waitFor();
  assert.equal(await field('amount_g').inputValue(), '5');
  await hand.page.getByText('How did they eat?').waitFor();
  await hand.page.keyboard.press('Escape');
  await hand.page.getByRole('button', { name: 'Water', exact: true }).click();
  await hand.page.keyboard.press('Enter'); // oxygen is left out
  await hand.page.keyboard.type('79.3');
  await hand.page.getByRole('button', { name: 'Save 1 reading' }).click();
  await eventually(async () => (await newest('water-tests')).temperature_c === Number(((79.3 - 32) / 1.8).toPrecision(12)));
  await desk.open(`/farm/water-tests/${(await newest('water-tests')).id}`);
  await field('temperature_c').waitFor();
  assert.equal(await field('temperature_c').inputValue(), '79.3');
  await hand.context.close();
});

test('a_paper_sheet_is_typed_in_the_units_that_it_was_printed_with', async () => {
  const day = daysAgo(1);
  await desk.open(`/paper/type?sheet=day&day=${day}&by=${ids.ines}`);
  const line = page.locator('.paper-line', { has: page.locator('.code', { hasText: /^T3$/ }) });
  const box = (name) => line.locator(`[data-cell="${name}"] input`);
  await box('feed1').waitFor();
  assert.match(await line.locator('[data-cell="feed1"]').innerText(), /lb/);
  assert.match(await line.locator('[data-cell="temperature_c"]').innerText(), /°F/);
  await box('feed1').fill('1.375');
  await box('temperature_c').fill('77.9');
  await box('temperature_c').press('Control+Enter');
  await eventually(async () => (await service.get(`/api/feedings?tank_id=${ids.T3}&from=${day}&to=${day}`)).items.length === 1);
  const [fed] = (await service.get(`/api/feedings?tank_id=${ids.T3}&from=${day}&to=${day}`)).items;
  assert.equal(fed.amount_g, 623.68950875);
  await eventually(async () => (await service.get(`/api/water-tests?place_id=${ids.T3}&from=${day}&to=${day}&limit=100`)).items.some((w) => w.temperature_c === 25.5));
  await desk.open(`/farm/feedings/${fed.id}`);
  await field('amount_g').waitFor();
  assert.equal(await field('amount_g').inputValue(), '1.375');
});

test('a_harvest_is_weighed_in_pounds_on_the_pad', async () => {
  const hand = await browser.newTablet(service, { staff: ids.ines });
  await hand.open('/harvest');
  const press = (name, at = hand.page) => at.getByRole('button', { name, exact: typeof name === 'string' }).first().click();
  await hand.page.locator('.lot-key').first().waitFor();
  await press('Log a harvest');
  await press(/^T3 · Redfin/);
  const pad = hand.page.locator('dialog.pad');
  await pad.waitFor();
  await eventually(() => pad.evaluate((dialog) => document.activeElement === dialog));
  await hand.page.keyboard.type('10');
  await hand.page.keyboard.press('Enter');
  await hand.page.keyboard.type('5.125');
  assert.match(await pad.locator('[aria-current=true]').innerText(), /5\.125\s*lb/);
  await press(/^Harvest/, pad);
  await eventually(async () => (await newest('harvests'))?.weight_g === 2324.66089625);
  await desk.open(`/farm/harvests/${(await newest('harvests')).id}`);
  await field('weight_g').waitFor();
  assert.equal(await field('weight_g').inputValue(), '5.125');
  await hand.context.close();
});

test('solids_are_let_out_in_gallons_and_stand_so_in_the_day', async () => {
  const hand = await browser.newTablet(service, { staff: ids.ines });
  await hand.open('/at/S1');
  await hand.page.getByRole('button', { name: 'Solids', exact: false }).first().click();
  await hand.page.keyboard.type('12.5');
  await hand.page.getByRole('button', { name: /^12\.5\sgal out/ }).click();
  await eventually(async () => (await newest('solids'))?.volume_l === 47.3176473);
  await hand.page.locator('.at-log').getByText(/12\.5\sgal/).waitFor();
  await hand.context.close();
});

/* 1000 fish of 200 g in 6000 L: 33.3 kg/m3, 0.278 lb/gal; its limit of 60 is 0.5007. */
test('screens_say_density_and_beds_in_the_units_of_the_forms', async () => {
  await desk.open('/tanks');
  const row = page.locator('table.tanks tbody tr', { has: page.getByRole('link', { name: 'T2', exact: true }) });
  await row.waitFor();
  const [{ density_kg_m3: now }] = (await service.get('/api/reports/stock')).rows.filter((r) => r.tank === 'T2');
  assert.match((await row.locator('.density').innerText()).replace(/\s+/g, ' '), new RegExp(`${((now * 3.785411784) / 453.59237).toFixed(2)} of 0\\.50 ?lb/gal`));
  await desk.open('/beds');
  await page.locator('svg.ruler').waitFor();
  const ticks = await page.locator('svg.ruler text').allTextContents();
  assert.match(ticks[1], /^\d+ ft$/);
  const [from, to] = await page.locator('svg.ruler').evaluate((el) => [...el.querySelectorAll('text')].slice(0, 2).map((x) => Number(x.getAttribute('x'))));
  const water = await page.locator('svg.bed rect.water').first().evaluate((el) => Number(el.getAttribute('width')) + 1.5);
  const { length_m: length } = await service.get(`/api/beds/${ids.B1}`);
  assert.ok(Math.abs(water / (to - from) - length / 0.3048 / Number.parseInt(ticks[1], 10)) < 0.01, 'the ruler is to the scale of the beds');
});

test('what_waits_is_read_in_the_units_in_which_it_was_typed', async () => {
  const hand = await browser.newTablet(service, { staff: ids.ines });
  await hand.open('/at/T3');
  await hand.page.locator('.act-main').first().waitFor();
  await hand.context.setOffline(true);
  await hand.page.getByRole('button', { name: 'Water', exact: true }).click();
  await hand.page.keyboard.press('Enter');
  await hand.page.keyboard.type('79.3');
  await hand.page.getByRole('button', { name: 'Save 1 reading' }).click();
  await hand.page.getByText(/^1 entry kept here since/).click();
  await hand.page.locator('dialog[open]').getByText(/Temperature 79\.3\s°F/).waitFor();
  await hand.context.setOffline(false);
  await eventually(async () => (await newest('water-tests')).place_id === ids.T3);
  await hand.context.close();
});

test('a_wish_is_asked_in_pounds_and_means_the_same_on_every_farm', async () => {
  await desk.open('/balance');
  const form = page.locator('form.wish').first();
  await form.waitFor();
  assert.match(await form.innerText(), /lb of fish/);
  await form.locator('input').fill('100');
  await form.getByRole('button').click();
  await page.waitForURL(/size=45\.359237(&|$)/);
  await page.reload();
  await form.waitFor();
  assert.equal(await form.locator('input').inputValue(), '100');
  await desk.open('/beds/yield');
  await page.locator('p.section', { hasText: 'Per ft² of rafts' }).waitFor();
});

test('files_stay_metric', async () => {
  const csv = await (await fetch(`${service.base}/api/feedings.csv`)).text();
  const [head, ...rows] = csv.trim().split('\r\n');
  assert.match(head, /,amount_g,/);
  assert.ok(rows.some((line) => /,2267\.96185,/.test(line)));
});

test('it_reads_in_spanish_on_a_tablet_and_a_phone', async () => {
  for (const [size, theme] of [[TABLET, 'dark'], [PHONE, 'sun']]) {
    const other = await browser.newTablet(service, { staff: ids.maud, size: { ...size, viewport: { ...size.viewport, height: 4000 } }, language: 'es', theme });
    for (const address of ['/farm/weighings/new', `/farm/beds/${ids.B1}`, '/farm/feeding-plans/new', '/farm/loops/new']) {
      await other.open(address);
      await other.page.locator('form.record-form').waitFor();
      assert.deepEqual(await axeFindings(other.page), [], address);
      assert.deepEqual(await smallTargets(other.page), [], address);
      assert.doesNotMatch(await other.page.innerText('main'), /NaN|undefined|unit\./, address);
    }
    assert.match(await other.page.innerText('main'), /gal\/día/);
    assert.deepEqual(other.faults, []);
    await other.context.close();
  }
});

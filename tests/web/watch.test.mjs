/* Sizes, survival and unease of a tank's fish on its page and on Tanks; what a lot's figures rest on, on Beds: as the reports say it. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { axeFindings, daysAgo, DESK, PHONE, prepare, smallTargets, TABLET } from './support.mjs';

let service;
let browser;
let ids;
let desk;
let page;

/* T7: 100 days of a death now and then, then many; weighed fish by fish, of very different sizes.  T1: weighed in even nets, some missing.  T2: as one mass. */
const WEIGHTS = [90, 110, 130, 150, 170, 190, 210, 230, 250, 270, 290, 310, 330, 350, 370, 390];
const more = async (farm, its) => {
  const make = async (kind, fields) => (await farm.post(`/api/${kind}`, { ...fields, confirm: true })).id;
  its.T7 = await make('tanks', { code: 'T7', loop_id: its.loop, role: 'growout', volume_l: 9000, walk_order: 70 });
  its.lot = await make('fish-lots', { code: 'F11', species_id: its.species });
  await make('fish-moves', { fish_lot_id: its.lot, to_tank_id: its.T7, fish: 900, weight_g: 90000, reason: 'stocking', day: daysAgo(100) });
  for (let days = 98; days > 5; days -= 10) await make('fish-deaths', { tank_id: its.T7, fish_lot_id: its.lot, fish: 1, cause: 'unknown', day: daysAgo(days) });
  for (let days = 5; days >= 1; days -= 1) await make('fish-deaths', { tank_id: its.T7, fish_lot_id: its.lot, fish: 4, cause: 'unknown', day: daysAgo(days) });
  await make('weighings', { tank_id: its.T7, fish_lot_id: its.lot, weights_g: WEIGHTS, day: daysAgo(3) });
  await make('weighings', { tank_id: its.T1, fish_lot_id: its['lot-T1'], nets: [20, 4000, 20, 4200, 20, 4100], day: daysAgo(2) });
  await make('fish-counts', { tank_id: its.T1, fish_lot_id: its['lot-T1'], counted: 990, day: daysAgo(1) });
  await make('weighings', { tank_id: its.T2, fish_lot_id: its['lot-T2'], fish: 50, weight_g: 11000, day: daysAgo(2) });
};
prepare((given) => { ({ browser, ids, page, service, tablet: desk } = given); }, { once: true, holder: 'maud', tablet: { size: DESK }, seed: { more } });

const tall = (size) => (size === DESK ? size : { ...size, viewport: { ...size.viewport, height: 6000 } });
const text = async (locator) => (await locator.innerText()).replace(/\s+/g, ' ').trim();
const rowsOf = async (report, only) => (await service.get(`/api/reports/${report}?only=${only}&explain=1`)).rows;
const part = (name) => page.locator('.desk-part', { has: page.getByRole('heading', { name }) });
const short = (day) => new Intl.DateTimeFormat('en-GB', { timeZone: 'UTC', day: 'numeric', month: 'short' }).format(new Date(`${day}T12:00:00Z`));
const footings = (row) => row.locator('.footing').evaluateAll((all) => all.map((el) => el.className.replace('footing ', '')));

test('a_weighing_is_drawn_by_its_nets_or_its_fish', async () => {
  await desk.open('/tanks');
  const marks = (entry) => page.evaluate(async (one) => (await import('/js/charts/spread.js')).toSeries(one), entry);
  assert.deepEqual(await marks({ nets: [20, 4310, 18, 3902] }), { nets: [{ fish: 20, mean_g: 215.5 }, { fish: 18, mean_g: 3902 / 18 }], singles: [] });
  assert.deepEqual(await marks({ weights_g: [12, 14] }), { nets: [], singles: [12, 14] });
  assert.equal(await marks({ fish: 20, weight_g: 4310 }), null, 'one mass says nothing of the spread');
  assert.equal(await marks({ nets: [20, 4310] }), null);
});

test('fish_of_very_different_sizes_are_to_be_graded', async () => {
  const [row] = await rowsOf('sizes', 'T7');
  assert.equal(row.grade, 'grade');
  await desk.open('/tanks/T7');
  await part('Spread of sizes').locator('svg.spread').waitFor();
  assert.ok((await text(page.locator('.raised').nth(1))).endsWith(`F11: the fish differ by ${Math.round(row.cv_pct)} % (CV). Time to grade.`));
  assert.equal(await part('Spread of sizes').locator('svg.spread .single').count(), WEIGHTS.length);
  const said = part('Spread of sizes').locator('tbody tr').first();
  const shown = await text(said);
  for (const figure of [`${row.sample_fish} of ${row.fish}`, `${Math.round(row.mean_weight_g)}g ± ${row.error_pct.toFixed(1)} %`, `${Math.round(row.cv_pct)}%`, String(row.more_fish), 'grade']) assert.ok(shown.includes(figure), `${figure}: ${shown}`);
  assert.deepEqual(await footings(said), ['measured', 'measured', 'measured', 'estimated']);
  await said.getByRole('button', { name: 'And why' }).click();
  const why = part('Spread of sizes').locator('.why');
  assert.equal(await text(why.locator('code')), row.explain.formula);
  assert.match(await text(why), /16 fish were weighed .* fish weighed one by one/);
  assert.equal(await why.locator('.why-entries a').getAttribute('href'), row.explain.entries[0].address.replace('/api/', '/farm/'));
});

test('one_mass_says_nothing_of_sizes_and_even_nets_need_no_grading', async () => {
  await desk.open('/tanks/T2');
  const said = part('Spread of sizes').locator('tbody tr').first();
  assert.match(await text(said), /weighed as one mass; 20 % assumed.*weigh in nets to tell/);
  assert.ok((await footings(said)).includes('unknown'));
  assert.equal(await page.locator('svg.spread').count(), 0);
  await desk.open('/tanks/T1');
  await part('Spread of sizes').locator('svg.spread .net').first().waitFor();
  assert.equal(await part('Spread of sizes').locator('svg.spread .net').count(), 3);
  assert.match(await text(part('Spread of sizes').locator('tbody tr').first()), /even, no grading/);
  assert.equal(await page.locator('.raised').count(), 0);
});

test('unease_names_the_day_it_began_on_the_page_and_on_tanks', async () => {
  const rows = await rowsOf('unease', 'T7');
  const deaths = rows.find((r) => r.sign === 'deaths');
  assert.equal(deaths.state, 'unease');
  await desk.open('/tanks/T7');
  await part('Signs of unease').waitFor();
  assert.ok((await text(page.locator('.raised').first())).endsWith(`More fish die here than usual, since ${short(deaths.began_on)}.`));
  const said = part('Signs of unease').locator('tbody tr');
  assert.equal(await said.count(), rows.length);
  const shown = await text(said.first());
  for (const figure of [`${deaths.recent.toFixed(2)}a day`, `${deaths.usual.toFixed(2)}a day`, `${Math.round(100 * deaths.level)}%`, `since ${short(deaths.began_on)}`]) assert.ok(shown.includes(figure), `${figure}: ${shown}`);
  assert.deepEqual(await footings(said.first()), ['measured', 'estimated']);
  assert.match(await text(said.nth(2)), /no probe here read oxygen around the meals/);
  await said.first().getByRole('button', { name: 'And why' }).click();
  assert.equal(await text(part('Signs of unease').locator('.why code')), deaths.explain.formula);
  await desk.open('/tanks');
  const row = (code) => page.locator('table.tanks tbody tr', { has: page.getByRole('link', { name: code, exact: true }) });
  await row('T7').waitFor();
  assert.deepEqual((await row('T7').locator('.under .mark').allInnerTexts()).map((s) => s.replace(/\s+/g, ' ').trim()), ['△ grade', `△ more deaths since ${short(deaths.began_on)}`]);
  assert.equal(await row('T1').locator('.under .mark').count(), 0);
});

test('survival_counts_the_dead_and_keeps_the_unexplained_apart', async () => {
  const [row] = await rowsOf('survival', 'F00');
  assert.equal(row.unexplained_fish, -10);
  await desk.open('/tanks/T1');
  const said = part('Survival').locator('tbody tr').first();
  await said.waitFor();
  assert.match(await text(said), new RegExp(`^F00 Redfin 100\\.0% not under ${row.survival_low_pct.toFixed(1)} % ▼ −10 1,000 0 990`));
  assert.deepEqual(await footings(said), ['estimated'], 'what is missing may have died');
  await said.getByRole('button', { name: 'And why' }).click();
  assert.match(await text(part('Survival').locator('.why')), /^Of 1,000 fish that came, 0 died or were culled\. 10 more are missing/);
  await desk.open('/tanks/T7');
  const other = part('Survival').locator('tbody tr').first();
  const [whole] = await rowsOf('survival', 'F11');
  assert.equal(whole.unexplained_fish, 0);
  assert.ok((await text(other)).startsWith(`F11 Redfin ${whole.survival_pct.toFixed(1)}% 0 900 ${whole.dead}`));
  assert.deepEqual(await footings(other), ['measured']);
});

test('a_lot_on_beds_says_why_when_it_is_tapped', async () => {
  const asked = [];
  page.on('request', (request) => asked.push(`${request.url()} ${request.postData() ?? ''}`));
  await desk.open('/beds');
  const lot = part('Seedlings waiting').locator('tbody tr', { hasText: 'C1' }).or(part(/^Ready/).locator('tbody tr', { hasText: 'C1' })).first();
  await lot.waitFor();
  assert.ok(!asked.some((one) => /reports.beds[^}]*explain/.test(one)), 'only for what is tapped');
  await lot.getByRole('button', { name: 'And why' }).click();
  const [row] = (await service.get('/api/reports/beds?only=C1&explain=1')).rows;
  const why = page.locator('.why');
  await why.locator('code').waitFor();
  assert.equal(await text(why.locator('code')), row.explain.formula);
  assert.ok((await text(why)).includes(`${row.plants} plants stand in B1`));
  const entry = why.locator('.why-entries a').first();
  assert.match(await text(entry), /^Sowings · 1 · Cubes 200$/);
  await entry.click();
  await page.locator('table.rows').waitFor();
  assert.deepEqual(await page.locator('table.rows tbody th a').evaluateAll((all) => all.map((el) => el.getAttribute('href'))), [`/farm/crop-lots/${ids.sowing}`], 'the entry under it, and no other');
});

test('it_reads_in_both_languages_at_all_sizes_and_themes', async () => {
  for (const [size, language, theme] of [[TABLET, 'es', 'dark'], [PHONE, 'en', 'sun'], [DESK, 'es', 'light']]) {
    const other = await browser.newTablet(service, { staff: ids.maud, size: tall(size), language, theme });
    for (const address of ['/tanks', '/tanks/T7', '/tanks/T1', '/beds']) {
      await other.open(address);
      await other.page.locator('table.figures').first().waitFor();
      for (const button of await other.page.locator('.watch .tool, .why-button').all()) {
        await button.click();
        await other.page.locator('.why code').first().waitFor();
      }
      assert.deepEqual(await axeFindings(other.page), [], `${address} ${theme}`);
      if (size !== DESK) assert.deepEqual(await smallTargets(other.page), [], address);
      assert.ok(await other.page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), address);
      assert.doesNotMatch(await other.page.innerText('main'), /NaN|undefined|null|watch\.|Infinity/, address);
    }
    assert.deepEqual(other.faults, []);
    await other.context.close();
  }
});

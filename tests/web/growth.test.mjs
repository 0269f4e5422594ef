/* Growth on Tanks and on a tank's page: what report growth says, in words and as a picture, over the period chosen. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { axeFindings, daysAgo, DESK, eventually, PHONE, prepare, smallTargets, TABLET } from './support.mjs';

let service;
let browser;
let ids;
let desk;
let page;

/* T1: five weighings over 200 days with warm water and feed; T2: stocked 20 days ago, never weighed; T3: a species without market weight. */
const more = async (farm, its) => {
  const make = async (kind, fields) => (await farm.post(`/api/${kind}`, { ...fields, confirm: true })).id;
  its.T7 = await make('tanks', { code: 'T7', loop_id: its.loop, role: 'growout', volume_l: 9000, walk_order: 70 });
  its.old = await make('fish-lots', { code: 'F10', species_id: its.species });
  its.lot = await make('fish-lots', { code: 'F11', species_id: its.species });
  await make('fish-moves', { fish_lot_id: its.old, to_tank_id: its.T7, fish: 400, weight_g: 80000, reason: 'stocking', day: daysAgo(220) });
  await make('weighings', { tank_id: its.T7, fish_lot_id: its.old, fish: 40, weight_g: 14000, day: daysAgo(170) });
  await make('harvests', { fish_lot_id: its.old, tank_id: its.T7, pieces: 400, weight_g: 150000, empties: true, day: daysAgo(150) });
  await make('fish-moves', { fish_lot_id: its.lot, to_tank_id: its.T7, fish: 500, weight_g: 25000, reason: 'stocking', day: daysAgo(120) });
  for (const [days, each] of [[90, 95], [60, 160], [30, 245], [4, 330]]) await make('weighings', { tank_id: its.T7, fish_lot_id: its.lot, fish: 50, weight_g: 50 * each, day: daysAgo(days) });
  for (let days = 119; days >= 0; days -= 1) await make('feedings', { tank_id: its.T7, feed_id: its.feed, amount_g: 1800, planned_g: 1900, day: daysAgo(days) });
  for (let days = 120; days >= 0; days -= 2) await make('water-tests', { place_id: its.T7, temperature_c: 26.5, day: daysAgo(days) });
};
prepare((given) => { ({ browser, ids, page, service, tablet: desk } = given); }, { once: true, holder: 'maud', tablet: { size: DESK }, seed: { more } });

/* A page as long as it is: else what is half under the way between screens counts as too small. */
const tall = (size) => (size === DESK ? size : { ...size, viewport: { ...size.viewport, height: 5000 } });
const text = async (locator) => (await locator.innerText()).replace(/\s+/g, ' ').trim();
const dayText = (day, options) => new Intl.DateTimeFormat('en-GB', { timeZone: 'UTC', ...options }).format(new Date(`${day}T12:00:00Z`));
const short = (day) => dayText(day, { day: 'numeric', month: 'short' });
const full = (day) => dayText(day, { day: 'numeric', month: 'short', year: 'numeric' });
const daysTo = (day) => Math.round((Date.parse(day) - Date.parse(daysAgo(0))) / 864e5);
const growthOf = async (code) => (await service.get(`/api/reports/growth?only=${code}&explain=1`)).rows.find((r) => r.tank === code);

test('tanks_says_days_to_market_weight_as_the_report_does', async () => {
  await desk.open('/tanks');
  await page.locator('table.tanks').waitFor();
  const row = await growthOf('T7');
  assert.ok(row.market_on && row.market_low < row.market_on && row.market_on < row.market_high);
  const cell = page.locator('table.tanks tbody tr', { has: page.getByRole('link', { name: 'T7', exact: true }) }).locator('.grown');
  assert.equal(await text(cell), `in ${daysTo(row.market_on)} days ${short(row.market_low)} to ${short(row.market_high)}`);
  assert.equal(await cell.locator('svg.spark polyline.guess').count(), 1);
  const none = await growthOf('T2');
  const other = await text(page.locator('table.tanks tbody tr', { has: page.getByRole('link', { name: 'T2', exact: true }) }).locator('.grown'));
  assert.ok(none.market_on ? other.startsWith(`in ${daysTo(none.market_on)} days`) : other.length > 5, other);
});

test('a_tank_says_when_how_sure_and_what_it_rests_on', async () => {
  await desk.open('/tanks/T7');
  await page.locator('.prospect').waitFor();
  const row = await growthOf('T7');
  const said = await text(page.locator('.prospect p'));
  assert.ok(said.startsWith(`F11 reaches 480 g about ${full(row.market_on)}, in ${daysTo(row.market_on)} days; 95 % range ${full(row.market_low)} to ${full(row.market_high)}.`), said);
  assert.ok(row.own_stretches >= 3);
  assert.ok(said.includes(`from ${row.own_stretches} stretches between weighings of F11; the handbook has ${Math.round(row.handbook_share * 100)} % of the say`), said);
  await page.locator('.prospect').getByRole('button', { name: 'And why' }).click();
  assert.equal(await text(page.locator('.prospect .why code')), row.explain.formula);
  assert.equal(await page.locator('.prospect .why-figures > span').count(), Object.keys(row.explain.inputs).length);
});

test('the_band_stands_where_the_report_says_to_scale', async () => {
  await desk.open('/tanks/T7');
  await page.locator('svg.growth .band').waitFor();
  const end = daysAgo(-300);
  const row = (await service.get(`/api/reports/growth?only=T7&to=${end}`)).rows[0];
  const drawn = await page.locator('svg.growth').evaluate((el) => {
    const points = (sel) => el.querySelector(sel).getAttribute('points').split(' ').map((p) => p.split(',').map(Number));
    return { band: points('.band'), course: points('.guess'), dots: el.querySelectorAll('circle.dot').length, limit: Number(el.querySelector('line.limit').getAttribute('y1')), market: Number(el.querySelector('.market circle').getAttribute('cx')), axis: Number(el.querySelector('line.axis:last-of-type, line.axis').getAttribute('y1')) };
  });
  const n = drawn.band.length / 2;
  const zero = 360 - 56;
  const gramsAt = (y) => ((zero - y) / (zero - drawn.limit)) * 480; // two known heights: the axis and market weight
  const clipped = gramsAt(Math.min(...drawn.band.map(([, y]) => y)));
  assert.equal(drawn.course.length, row.projected_g.slice(0, n).filter((g) => g <= clipped + 0.5).length, 'the course ends where it leaves the picture');
  for (const i of [0, 7, n - 1]) {
    if (i < drawn.course.length) assert.ok(Math.abs(gramsAt(drawn.course[i][1]) - row.projected_g[i]) < 3, `expected on day ${i}`);
    assert.ok(Math.abs(gramsAt(drawn.band[i][1]) - Math.min(row.high_g[i], clipped)) < 3, `high on day ${i}`);
    assert.ok(Math.abs(gramsAt(drawn.band[2 * n - 1 - i][1]) - Math.min(row.low_g[i], clipped)) < 3, `low on day ${i}`);
  }
  const at = row.projected_g.findIndex((g) => g >= 480);
  assert.ok(Math.abs(drawn.course[at][0] - drawn.market) < 0.2, 'the ring of market weight stands over its day');
  assert.equal(drawn.dots, row.weighings, 'each weighing of the fish that stand here, and no other');
});

test('a_period_is_chosen_kept_in_the_address_and_holds_for_all_pictures', async () => {
  await desk.open('/tanks/T7');
  await page.locator('svg.growth').waitFor();
  const dots = () => page.locator('svg.growth circle.dot').count();
  const here = await dots();
  await page.getByRole('button', { name: 'All', exact: true }).click();
  await eventually(async () => await dots() > here);
  assert.equal(new URL(page.url()).search, '?period=all');
  await page.getByRole('heading', { name: 'Feed by week' }).waitFor();
  await page.getByRole('button', { name: '90 days' }).click();
  await page.getByRole('heading', { name: 'Feed by day' }).waitFor();
  assert.equal(await page.locator('svg.bars rect.bar').count(), 90);
  await page.reload();
  await page.locator('svg.bars').waitFor();
  assert.equal(await page.locator('svg.bars rect.bar').count(), 90, 'the address keeps it');
  assert.match(await text(page.locator('.earlier')), /earlier rows? (is|are) not in this period/);
  await page.locator('.desk-part', { hasText: 'Growth' }).getByRole('button', { name: 'Table' }).first().click();
  const { rows: [row] } = await service.get(`/api/reports/growth?only=T7`);
  const ahead = page.getByRole('region', { name: 'F11: Ahead, week by week' });
  assert.ok((await text(ahead.locator('tbody tr').nth(1))).startsWith(`${full(daysAgo(-8))} ${Math.round(row.projected_g[7])}g`), 'a week on');
});

test('it_reads_in_both_languages_at_all_sizes_and_themes', async () => {
  for (const [size, language, theme] of [[TABLET, 'es', 'dark'], [PHONE, 'en', 'sun'], [DESK, 'es', 'light']]) {
    const other = await browser.newTablet(service, { staff: ids.maud, size: tall(size), language, theme });
    for (const address of ['/tanks', '/tanks/T7']) {
      await other.open(address);
      await other.page.locator('.grown, svg.growth').first().waitFor();
      assert.deepEqual(await axeFindings(other.page), [], `${address} ${theme}`);
      if (size !== DESK) assert.deepEqual(await smallTargets(other.page), [], address);
      assert.ok(await other.page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), address);
      assert.doesNotMatch(await other.page.innerText('main'), /NaN|undefined|null|growth\.|Infinity/, address);
      if (language === 'es') assert.doesNotMatch(await other.page.innerText('main'), /\b(days|market|handbook|reaches|range)\b/);
    }
    assert.deepEqual(other.faults, []);
    await other.context.close();
  }
});

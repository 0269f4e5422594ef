/* Probes: the table on Water and on a tank's page, and a probe's readings over a span as the service gives them. */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { after, before, test } from 'node:test';
import { axeFindings, DESK, eventually, PHONE, seedFarm, smallTargets, startBrowser, startService, TABLET } from './support.mjs';

const STEP_S = 300;
let service;
let browser;
let ids;
let desk;
let page;

/* Forty days of a reading each five minutes, with a gap of 30 hours three days back; the newest lies under its limit. */
before(async () => {
  service = await startService();
  ids = await seedFarm(service);
  await service.post('/api/probes', { code: 'DO-T2', place_id: ids.T2, quantity: 'do_mg_l', unit: 'mg/L', low: 4.5, high: 9 });
  const last = Math.floor(Date.now() / 1000 / STEP_S) * STEP_S;
  const rows = [];
  for (let i = 40 * 288; i >= 0; i -= 1) {
    if (i > 864 && i < 864 + 360) continue;
    rows.push(`DO-T2,${new Date((last - i * STEP_S) * 1000).toISOString().slice(0, 19)}Z,${i === 0 ? 4.1 : (6 + Math.sin(i / 40) + ((i % 3) - 1) * 0.5).toFixed(2)}`);
  }
  const kept = await fetch(`${service.base}/api/readings`, { method: 'POST', headers: { 'Content-Type': 'text/csv', 'X-Weirbook': '1' }, body: `probe,at,value\n${rows.join('\n')}\n` });
  assert.equal((await kept.json()).kept, rows.length);
  browser = await startBrowser();
  desk = await browser.newTablet(service, { staff: ids.maud, size: DESK });
  page = desk.page;
});
after(async () => {
  await browser?.stop();
  await service?.stop();
});

const text = async (locator) => (await locator.innerText()).replace(/\s+/g, ' ').trim();
/* A page as long as it is: else what is half under the way between screens counts as too small. */
const tall = (size) => (size === DESK ? size : { ...size, viewport: { ...size.viewport, height: 5000 } });

test('water_and_the_tank_lead_to_the_probe', async () => {
  await desk.open('/tanks/T2');
  const row = page.locator('table.probes tr');
  await row.waitFor();
  assert.match(await text(row), /DO-T2 .*Oxygen .*4\.1 ?mg\/L ▼ low .*4\.5 to 9\.0/);
  await desk.open('/tanks/T1');
  await page.locator('.tank-page').waitFor();
  assert.equal(await page.locator('table.probes').count(), 0, 'another tank has none');
  await desk.open('/water');
  await page.locator('table.probes').getByRole('link', { name: 'DO-T2' }).click();
  await page.locator('.series canvas').waitFor();
  assert.equal(new URL(page.url()).pathname, '/water/DO-T2');
  assert.deepEqual(desk.faults, [], 'nothing that the strict policy refuses');
});

test('a_span_asks_for_no_more_than_the_width_shows_and_its_table_has_the_gap', async () => {
  for (const [name, span, days] of [['A day', 'day', 1], ['A month', 'month', 31], ['Ten years', 'decade', 3653]]) {
    const asked = page.waitForResponse((r) => r.url().includes('/api/readings?') && r.url().includes('from='));
    await page.getByRole('button', { name, exact: true }).click();
    const response = await asked;
    const { from, to, points } = Object.fromEntries(new URL(response.url()).searchParams);
    assert.equal(Math.round((Date.parse(to) - Date.parse(from)) / 864e5) + 1, days);
    const { series } = await response.json();
    assert.ok(Number(points) <= 1440 && series.at.length > 0 && series.at.length <= 2 * Number(points), `${series.at.length} of ${points}`);
    await eventually(async () => new URL(page.url()).search === `?span=${span}`);
  }
  await page.getByRole('button', { name: 'A week', exact: true }).click();
  await page.getByText(/The line is the mean of a quarter of an hour|The line is the mean of each hour/).waitFor();
  await page.getByRole('button', { name: 'Table', exact: true }).click();
  const shown = await page.locator('table.readings tbody tr').allInnerTexts();
  assert.ok(shown.length > 100);
  assert.match(shown.find((line) => line.includes('no reading')) ?? '', /no reading/, 'the gap is a row of its own');
});

test('the_band_the_gap_and_the_limits_are_drawn', async () => {
  await desk.open('/water/DO-T2');
  await page.locator('.series canvas').waitFor();
  await page.waitForTimeout(200);
  const seen = await page.locator('.series canvas').evaluate((canvas) => {
    const ctx = canvas.getContext('2d');
    const { data, width, height } = ctx.getImageData(0, 0, canvas.width, canvas.height);
    const css = getComputedStyle(document.documentElement);
    const rgb = (name) => css.getPropertyValue(`--${name}`).trim().slice(1).match(/../g).map((h) => parseInt(h, 16));
    const columns = (name) => {
      const [r, g, b] = rgb(name);
      const found = new Set();
      for (let i = 0; i < data.length; i += 4) if (Math.abs(data[i] - r) + Math.abs(data[i + 1] - g) + Math.abs(data[i + 2] - b) < 6 && data[i + 3] > 250) found.add((i / 4) % width);
      return [...found].sort((a, z) => a - z);
    };
    const band = columns('water-wash');
    return { width, height, band: band.length, hole: Math.max(...band.slice(1).map((x, i) => x - band[i])), limits: columns('amber-wash').length };
  });
  assert.ok(seen.limits > seen.width * 0.8, `what lies outside the limits is shaded over the whole width: ${JSON.stringify(seen)}`);
  assert.ok(seen.band > seen.width * 0.4, JSON.stringify(seen));
  const dayWide = (seen.width - 110) / 6.6;
  assert.ok(seen.hole > dayWide * 0.9 && seen.hole < dayWide * 1.7, `the gap of 30 hours stays a gap: ${JSON.stringify(seen)}`);
});

test('the_csv_holds_each_reading_of_the_span', async () => {
  await desk.open('/water/DO-T2?span=day');
  await page.locator('.series canvas').waitFor();
  const coming = page.waitForEvent('download');
  await page.getByRole('link', { name: 'CSV', exact: true }).click();
  const lines = readFileSync(await (await coming).path(), 'utf8').trim().split(/\r?\n/);
  assert.match(lines[0], /probe,at,value/);
  assert.match(lines.at(-1), /^DO-T2,.*,4\.1$/);
});

test('it_reads_in_both_languages_at_all_sizes_and_themes', async () => {
  for (const [size, language, theme] of [[TABLET, 'es', 'dark'], [PHONE, 'en', 'sun'], [DESK, 'es', 'light']]) {
    const other = await browser.newTablet(service, { staff: ids.maud, size: tall(size), language, theme });
    for (const [address, there] of [['/water', 'table.probes'], ['/water/DO-T2?span=month', '.series canvas']]) {
      await other.open(address);
      await other.page.locator(there).waitFor();
      assert.deepEqual(await axeFindings(other.page), [], `${address} ${theme}`);
      if (size !== DESK) assert.deepEqual(await smallTargets(other.page), [], address);
      assert.ok(await other.page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), address);
      assert.doesNotMatch(await other.page.innerText('main'), /NaN|undefined|probes\./, address);
    }
    assert.deepEqual(other.faults, []);
    await other.context.close();
  }
});

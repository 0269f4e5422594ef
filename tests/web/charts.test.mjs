/* The pure halves of the pictures, run in the page that serves them: what is not known stays a gap, and nothing is smoothed. */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { startBrowser, startService } from './support.mjs';

let service;
let browser;
let page;
before(async () => {
  service = await startService();
  browser = await startBrowser();
  ({ page } = await browser.newTablet(service));
  await page.goto(`${service.base}/more`);
});
after(async () => {
  await browser.stop();
  await service.stop();
});
/* toSeries of a chart with these arguments, as it answers in the browser. */
const series = (chart, ...args) => page.evaluate(async ([name, given]) => (await import(`/js/charts/${name}.js`)).toSeries(...given), [chart, args]);

test('feed_by_day_leaves_a_day_without_an_entry_open', async () => {
  const feedings = [{ day: '2026-11-02', amount_g: 400, planned_g: 420 }, { day: '2026-11-02', amount_g: 100 }, { day: '2026-11-04', planned_g: 300 }];
  assert.deepEqual(await series('day-bars', feedings, '2026-11-01', '2026-11-04', false), [
    { day: '2026-11-01', value: null, planned: null }, { day: '2026-11-02', value: 500, planned: 420 },
    { day: '2026-11-03', value: null, planned: null }, { day: '2026-11-04', value: null, planned: 300 },
  ]);
});

test('feed_by_week_goes_by_its_monday_and_leaves_an_empty_week_open', async () => {
  const feedings = [{ day: '2026-11-01', amount_g: 10 }, { day: '2026-11-02', amount_g: 20 }, { day: '2026-11-22', amount_g: 40 }]; // a Sunday, a Monday, a Sunday
  assert.deepEqual(await series('day-bars', feedings, '2026-11-01', '2026-11-23', true), [
    { day: '2026-10-26', value: 10, planned: null }, { day: '2026-11-02', value: 20, planned: null }, { day: '2026-11-09', value: null, planned: null },
    { day: '2026-11-16', value: 40, planned: null }, { day: '2026-11-23', value: null, planned: null },
  ]);
});

test('a_line_breaks_where_nothing_is_known', async () => {
  const points = [1, null, 3, 0].map((value, i) => ({ day: `2026-11-0${i + 1}`, value, low: i < 2 ? null : 0.5, high: i < 2 ? null : 4, measured: i === 3 ? 6 : null }));
  const drawn = await series('line-band', points, { low: 2, high: 5 });
  assert.deepEqual(drawn.lines.map((run) => run.map((p) => p.value)), [[1], [3, 0]]);
  assert.deepEqual(drawn.bands.map((run) => run.length), [2]);
  assert.deepEqual(drawn.measured.map((p) => p.measured), [6]);
  assert.deepEqual([drawn.from, drawn.to, drawn.max], ['2026-11-01', '2026-11-04', 6]);
});

test('readings_of_a_probe_become_columns_with_gaps', async () => {
  assert.deepEqual(await series('series', { at: ['2026-11-01T00:00:00Z', '2026-11-01T00:05:00Z'], mean: [5, null], low: [4, null], high: [6, null] }), [[1793491200, 1793491500], [4, null], [6, null], [5, null]]);
  assert.deepEqual((await series('series', { at: ['2026-11-01T00:00:00Z'], mean: [5] })).slice(1), [[5], [5], [5]]);
});

test('a_spark_goes_from_the_weighings_over_today_to_some_weeks_ahead', async () => {
  const row = { weighed_days: ['2026-01-01', '2026-11-01'], weighed_g: [50, 200], mean_weight_g: 240, projected_g: Array.from({ length: 15 }, (_, i) => 241 + i) };
  assert.deepEqual((await series('spark', row, '2026-11-11')).map((p) => [p.day, p.g, p.ahead]), [[-10, 200, false], [0, 240, false], [7, 247, true], [14, 254, true]]);
  assert.deepEqual(await series('spark', { mean_weight_g: null }, '2026-11-11'), []);
});

test('a_flow_is_to_one_scale_and_its_words_do_not_meet', async () => {
  const { left, right, height } = await series('flow', { ins: [{ value: 100 }], outs: [{ value: 97 }, { value: 1 }, { value: 1 }, { value: 1 }] });
  assert.ok(Math.abs(left[0].y1 - left[0].y0 - height) < 1e-9 && Math.abs(right.at(-1).y1 - left[0].y1) < 1e-9);
  for (const [i, part] of right.entries()) if (i) assert.ok(part.label - right[i - 1].label >= 22, `${i}`);
});

test('no_name_over_a_bed_meets_another', async () => {
  const drawn = await page.evaluate(async () => {
    const { toSeries } = await import('/js/charts/bed.js');
    const rows = [[0, 1], [1, 1.5], [1.5, 2], [2, 9]].map(([from_m, to_m]) => ({ from_m, to_m }));
    return toSeries(rows, { scale: 50, width: 450, most: 4, lengthOf: () => 70 });
  });
  assert.deepEqual(drawn.stretches[1], { from: 50, to: 75, length: 70 });
  const there = drawn.labels.filter(Boolean); // a stretch between two others may have no room for its name
  assert.ok(drawn.rows > 1 && there.length > 2, JSON.stringify(drawn));
  for (const [i, a] of there.entries()) for (const b of there.slice(i + 1)) assert.ok(a.row !== b.row || a.x + 70 <= b.x || b.x + 70 <= a.x, JSON.stringify([a, b]));
});

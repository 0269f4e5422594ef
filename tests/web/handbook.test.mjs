/* What a new farm begins with, against the published rows that it says it is from: fixtures/published/fish-and-beds.csv. */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { HANDBOOK } from '../../web/js/handbook.js';

const source = process.env.WEIRBOOK_SOURCE ? `file://${process.env.WEIRBOOK_SOURCE}/` : new URL('../../', import.meta.url);
const lines = readFileSync(new URL('fixtures/published/fish-and-beds.csv', source), 'utf8').split('\r\n');
/* The value is the fourth cell; quantity and inputs before it may stand in quotes. */
const published = (id) => Number(lines.find((line) => line.startsWith(`${id},`)).match(/^[^,]*,(?:"(?:[^"]|"")*"|[^,]*),(?:"(?:[^"]|"")*"|[^,]*),([^,]*)/)[1]);
const limit = (quantity) => HANDBOOK.tilapia.limits.find((row) => row.quantity === quantity);
const step = (grams) => HANDBOOK.tilapia.steps.find((row) => row.weight_from_g === grams);

/* FB265, FB266: Rakocy (1989), SRAC 282, a stage from 5 to 20 g begins at 10 % of body weight a day and ends at 7 %. */
test('rations_of_small_tilapia_are_as_published', () => {
  assert.equal(step(5).pct_body_weight_day, published('FB265'));
  assert.equal(step(20).pct_body_weight_day, published('FB266'));
});

/* FB194: tilapia stop feeding below 17 degC; FB063, FB357: oxygen of 5 mg/L; FB312: 0.05 mg/L of un-ionized ammonia may harm. */
test('limits_of_tilapia_are_as_published', () => {
  assert.equal(limit('temperature_c').low_stop, published('FB194'));
  assert.equal(limit('do_mg_l').low, published('FB063'));
  assert.equal(limit('do_mg_l').low, published('FB357'));
  assert.equal(limit('nh3_n_mg_l').high, published('FB312'));
});

/* FB196, FB355, FB356: the best temperature lies within the published ranges, and the stop above what kills, FB195. */
test('the_best_temperature_of_tilapia_lies_in_the_published_range', () => {
  const best = HANDBOOK.tilapia.species.temperature_optimum_c;
  assert.ok(best >= published('FB355') && best <= published('FB356') && best <= published('FB196'));
  assert.ok(limit('temperature_c').low_stop > published('FB195'));
});

/* FB242, FB243: tilapia begin to die at 2 mg/L of un-ionized ammonia and 5 mg/L of nitrite, as nitrogen: the stops lie below. */
test('feeding_stops_long_before_fish_die', () => {
  assert.ok(limit('nh3_n_mg_l').high_stop < published('FB242'));
  assert.ok(limit('nitrite_n_mg_l').high_stop < published('FB243'));
});

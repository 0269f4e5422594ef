/* What is due on a farm's day: the pure half of web/js/day.js, water.js's limits apart. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { choreNow, feedingNow, lateness, minutesOf, nextPlace, standing } from '../../web/js/day.js';
import { waterOf } from '../../web/js/waters.js';

const row = (slot, due, more = {}) => ({ tank: 'T1', slot, due, amount_g: 1000, factor: 1, reason: null, ...more });
const day = [row(1, '06:00'), row(2, '12:00'), row(3, '18:00')];
const at = (clock) => minutesOf(clock, 4);

test('a_day_that_begins_at_four_ends_after_midnight', () => {
  assert.equal(minutesOf('04:00', 4), 0);
  assert.equal(minutesOf('03:59', 4), 1439);
});

test('a_feeding_is_due_half_an_hour_before_and_late_after_three_quarters', () => {
  assert.equal(lateness(at('12:00'), at('11:29')), 'later');
  assert.equal(lateness(at('12:00'), at('11:30')), 'due');
  assert.equal(lateness(at('12:00'), at('12:45')), 'due');
  assert.equal(lateness(at('12:00'), at('12:46')), 'late');
});

test('a_tank_stands_at_the_last_feeding_whose_time_has_come', () => {
  const now = feedingNow(day, new Map(), at('12:10'), 4);
  assert.equal(now.current.slot, 2);
  assert.equal(now.state, 'due');
  assert.deepEqual(now.missed.map((s) => s.slot), [1]);
  assert.equal(now.next.slot, 3);
});

test('a_feeding_that_was_given_is_done_until_the_next', () => {
  const fed = new Map([[1, {}], [2, {}]]);
  assert.equal(feedingNow(day, fed, at('13:00'), 4).state, 'done');
  assert.equal(feedingNow(day, fed, at('17:30'), 4).state, 'due');
});

test('what_is_held_is_never_late', () => {
  assert.equal(feedingNow([row(1, '06:00', { factor: 0, reason: 'held' })], new Map(), at('20:00'), 4).state, 'held');
});

test('before_the_first_feeding_nothing_is_due', () => {
  const now = feedingNow(day, new Map(), at('04:30'), 4);
  assert.equal(now.state, 'later');
  assert.equal(now.current.slot, 1);
});

test('a_chore_is_due_when_its_days_are_over', () => {
  const chore = { id: 1, every_days: 3 };
  const now = { minutes: 300, beginsHour: 4 };
  const done = [{ chore_id: 1, day: '2026-11-23', at: '2026-11-23T09:00:00Z' }];
  assert.equal(choreNow(chore, done, '2026-11-25', now), null);
  assert.equal(choreNow(chore, done, '2026-11-26', now).state, 'due');
  assert.equal(choreNow(chore, done, '2026-11-23', now).state, 'done');
});

test('a_chore_of_a_weekday_is_due_on_that_day_only', () => {
  const chore = { id: 1, weekdays: ['wed'] };
  assert.equal(choreNow(chore, [], '2026-11-25', { minutes: 300, beginsHour: 4 }).state, 'due'); // a Wednesday
  assert.equal(choreNow(chore, [], '2026-11-26', { minutes: 300, beginsHour: 4 }), null);
});

test('a_mean_is_unknown_when_a_lot_has_no_mass', () => {
  const stock = standing([{ tank: 'T1', fish: 10, biomass_g: 1000, basis: 'weighed' }, { tank: 'T1', fish: 5, biomass_g: null, basis: null }], 'T1');
  assert.equal(stock.fish, 15);
  assert.equal(stock.mean_weight_g, null);
  assert.equal(stock.biomass_g, null);
  assert.equal(stock.weighed, false);
});

test('next_leads_to_what_has_something_to_do', () => {
  const stops = [{ code: 'T1', state: 'done' }, { code: 'T2', state: 'done' }, { code: 'T3', state: 'due' }];
  assert.deepEqual(nextPlace(stops, 'T1'), { code: 'T3', busy: true });
  assert.deepEqual(nextPlace(stops, 'T3'), null);
  assert.deepEqual(nextPlace([{ code: 'T1', state: 'late' }, { code: 'T2', state: 'done' }], 'T2'), { code: 'T1', busy: true });
});

/* A row of reports/waters. */
const told = (more) => ({
  loop: 'A', do_mg_l: 6.1, do_place: 'T2', do_at: '2026-11-25T11:00:00Z', do_state: 'ok', temperature_c: 26.4, temperature_at: '2026-11-25T11:00:00Z',
  nh3_n_mg_l: 0.01, nh3_place: 'A-SUMP', nh3_bound: null, nh3_at: '2026-11-25T09:00:00Z', nh3_state: 'ok', out_count: 0, out_place: null, out_quantity: null,
  out_state: null, feed_g_m2_day: 82, band: 'within', due_on: '2026-11-26', base_state: 'ok', ...more,
});
const noon = new Date('2026-11-25T12:00:00Z');

test('the_line_of_a_water_says_oxygen_ammonia_feed_and_base', () => {
  const line = waterOf(told(), noon);
  assert.deepEqual(line.figures.map((f) => [f.quantity, f.value, f.stale, f.out]), [['do_mg_l', 6.1, false, null], ['nh3_n_mg_l', 0.01, false, null]]);
  assert.deepEqual([line.out, line.more, line.feed, line.base], [null, 0, { value: 82, band: 'within' }, { state: 'ok', day: '2026-11-26' }]);
});

test('what_is_out_is_said_once_at_its_figure_or_by_itself', () => {
  const low = waterOf(told({ do_mg_l: 3.9, do_state: 'low', out_count: 1, out_place: 'T2', out_quantity: 'do_mg_l', out_state: 'low' }), noon);
  assert.deepEqual([low.figures[0].out.place, low.out, low.more], ['T2', null, 0]);
  const other = waterOf(told({ do_state: 'low', out_count: 4, out_place: 'T3', out_quantity: 'nitrite_n_mg_l', out_state: 'stop_high' }), noon);
  assert.deepEqual([other.figures[0].out.stop, other.out.place, other.out.stop, other.more], [false, 'T3', true, 2]);
});

test('a_reading_of_yesterday_says_no_longer_that_something_is_out', () => {
  const [oxygen] = waterOf(told({ do_at: '2026-11-24T20:00:00Z', do_state: 'stop_low' }), noon).figures;
  assert.deepEqual([oxygen.stale, oxygen.out], [true, null]);
});

test('what_is_not_known_is_left_out_of_the_line', () => {
  const line = waterOf(told({ do_mg_l: null, nh3_n_mg_l: null, feed_g_m2_day: null, band: null, due_on: null, base_state: 'unknown' }), noon);
  assert.deepEqual([line.figures.map((f) => f.quantity), line.feed, line.base], [['temperature_c'], null, null]);
  assert.deepEqual(waterOf(told({ due_on: null, base_state: 'stalls' }), noon).base, { state: 'stalls', day: null });
});

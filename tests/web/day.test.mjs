/* What is due on a farm's day: the pure half of web/js/day.js, water.js's limits apart. */
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { choreNow, feedingNow, lateness, minutesOf, nextPlace, standing } from '../../web/js/day.js';
import { watersOf } from '../../web/js/waters.js';

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

test('the_line_of_a_water_shows_its_lowest_oxygen_and_what_is_out', () => {
  const now = new Date('2026-11-25T12:00:00Z');
  const read = (place, quantity, value, hour, state) => ({ place, loop: 'A', quantity, value, at: `2026-11-25T${hour}:00:00Z`, state });
  const [line] = watersOf([
    read('T1', 'do_mg_l', 6.4, '11', 'ok'), read('T2', 'do_mg_l', 3.9, '10', 'low'), read('T1', 'ph', 6.8, '09', 'ok'),
    { ...read('T3', 'do_mg_l', 1.0, '01', 'stop_low'), at: '2026-11-24T12:00:00Z' },
  ], () => undefined, now);
  assert.deepEqual(line.figures.map((f) => [f.quantity, f.value]), [['do_mg_l', 3.9], ['ph', 6.8]]);
  assert.deepEqual(line.out.map((o) => o.place), ['T2']); // a reading of yesterday is not known any more
});

/* The state machine of alarms: what raises, what clears, and that nothing trembles. */
#include "unit_tests.h"

#include <math.h>
#include <stdlib.h>

#include "domain/alarm.h"
#include "support.h"

/* Oxygen of tilapia in the demo farm: stop 3, limit 5. */
static const struct alarm_limits oxygen = { 3, 5, NAN, NAN };
static const struct alarm_limits ammonia = { NAN, NAN, 2, 4 };
static const struct alarm_limits warmth = { 17, 24, 31, 35 };
static const struct alarm_limits none = { NAN, NAN, NAN, NAN };

START_TEST(limits_are_passed_by_what_lies_beyond_them)
{
	static const struct {
		double value;
		enum alarm_level level;
	} cases[] = {
		{ 5.0, ALARM_NONE },     { 4.99, ALARM_LOW },   { 3.01, ALARM_LOW },
		{ 3.0, ALARM_STOP_LOW }, { 0, ALARM_STOP_LOW },
	};

	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++)
		ck_assert_int_eq(alarm_step(ALARM_NONE, cases[i].value, ALARM_EXACT, &oxygen),
				 cases[i].level);
	ck_assert_int_eq(alarm_step(ALARM_NONE, 2.0, ALARM_EXACT, &ammonia), ALARM_NONE);
	ck_assert_int_eq(alarm_step(ALARM_NONE, 2.01, ALARM_EXACT, &ammonia), ALARM_HIGH);
	ck_assert_int_eq(alarm_step(ALARM_NONE, 4.0, ALARM_EXACT, &ammonia), ALARM_STOP_HIGH);
	ck_assert_int_eq(alarm_step(ALARM_NONE, 1.0, ALARM_EXACT, &none), ALARM_NONE);
}
END_TEST

/* A tenth of the way from stop to limit: 0.2 mg/L for 3 and 5. */
START_TEST(an_alarm_clears_inside_by_the_margin_only)
{
	ck_assert_double_eq_tol(alarm_margin(&oxygen, false), 0.2, 1e-12);
	ck_assert(isnan(alarm_margin(&oxygen, true)));
	ck_assert_int_eq(alarm_step(ALARM_LOW, 5.0, ALARM_EXACT, &oxygen), ALARM_LOW);
	ck_assert_int_eq(alarm_step(ALARM_LOW, 5.19, ALARM_EXACT, &oxygen), ALARM_LOW);
	ck_assert_int_eq(alarm_step(ALARM_LOW, 5.2, ALARM_EXACT, &oxygen), ALARM_NONE);
	/* a stop lasts until the value is inside the limit */
	ck_assert_int_eq(alarm_step(ALARM_STOP_LOW, 4.5, ALARM_EXACT, &oxygen), ALARM_STOP_LOW);
	ck_assert_int_eq(alarm_step(ALARM_STOP_LOW, 5.2, ALARM_EXACT, &oxygen), ALARM_NONE);
	/* one that only has a limit: a fiftieth of it */
	const struct alarm_limits one = { NAN, 40, NAN, NAN };
	ck_assert_double_eq_tol(alarm_margin(&one, false), 0.8, 1e-12);
	ck_assert_int_eq(alarm_step(ALARM_LOW, 40.5, ALARM_EXACT, &one), ALARM_LOW);
	ck_assert_int_eq(alarm_step(ALARM_LOW, 40.8, ALARM_EXACT, &one), ALARM_NONE);
}
END_TEST

START_TEST(a_worse_value_raises_it_further_at_once)
{
	ck_assert_int_eq(alarm_step(ALARM_LOW, 2.9, ALARM_EXACT, &oxygen), ALARM_STOP_LOW);
	ck_assert_int_eq(alarm_step(ALARM_STOP_LOW, 36, ALARM_EXACT, &warmth), ALARM_STOP_HIGH);
	ck_assert_int_eq(alarm_step(ALARM_HIGH, 20, ALARM_EXACT, &warmth), ALARM_LOW);
}
END_TEST

START_TEST(a_kits_bound_counts_as_far_as_it_is_sure)
{
	bool unsure;

	/* below 0.25 is surely below 2; below 5 could be either side of it */
	ck_assert_int_eq(alarm_judge(0.25, ALARM_BELOW, &ammonia, &unsure), ALARM_NONE);
	ck_assert(!unsure);
	ck_assert_int_eq(alarm_judge(5, ALARM_BELOW, &ammonia, &unsure), ALARM_NONE);
	ck_assert(unsure);
	ck_assert_int_eq(alarm_judge(3, ALARM_ABOVE, &ammonia, &unsure), ALARM_HIGH);
	ck_assert_int_eq(alarm_judge(4, ALARM_ABOVE, &ammonia, &unsure), ALARM_STOP_HIGH);
	ck_assert_int_eq(alarm_judge(1, ALARM_ABOVE, &ammonia, &unsure), ALARM_NONE);
	ck_assert(unsure);
	ck_assert_int_eq(alarm_judge(2, ALARM_BELOW, &oxygen, &unsure), ALARM_STOP_LOW);
	/* where it is not sure it neither raises nor clears */
	ck_assert_int_eq(alarm_step(ALARM_NONE, 5, ALARM_BELOW, &ammonia), ALARM_NONE);
	ck_assert_int_eq(alarm_step(ALARM_HIGH, 5, ALARM_BELOW, &ammonia), ALARM_HIGH);
	ck_assert_int_eq(alarm_step(ALARM_HIGH, 0.25, ALARM_BELOW, &ammonia), ALARM_NONE);
}
END_TEST

START_TEST(without_limits_any_more_it_is_over)
{
	ck_assert_int_eq(alarm_step(ALARM_LOW, 1, ALARM_EXACT, &none), ALARM_NONE);
	ck_assert_int_eq(alarm_step(ALARM_LOW, 1, ALARM_EXACT, &ammonia), ALARM_NONE);
	ck_assert_int_eq(alarm_step(ALARM_LOW, NAN, ALARM_EXACT, &oxygen), ALARM_LOW);
}
END_TEST

static double random_near(struct chance *c, double middle, double spread)
{
	return middle + spread * ((double)chance_between(c, -1000, 1000) / 1000.0);
}

/* Whatever a value does within the margin of its limit, it is one alarm at most. */
START_TEST(a_value_that_trembles_about_its_limit_is_one_alarm)
{
	struct chance c = { 20261125 + (uint64_t)_i };
	const struct alarm_limits *sets[] = { &oxygen, &ammonia, &warmth };
	const struct alarm_limits *l = sets[_i % 3];
	const bool upper = l == &ammonia || (l == &warmth && _i % 2);
	const double limit = upper ? l->high : l->low;
	const double margin = alarm_margin(l, upper);
	struct alarm_event events[200];
	struct alarm_episode out[201];

	for (size_t i = 0; i < 200; i++)
		events[i] = (struct alarm_event){ (int64_t)i, random_near(&c, limit, 0.99 * margin),
						  ALARM_EXACT, l };
	check_that(alarm_play(ALARM_NONE, 0, NAN, events, 200, out) <= 1, "seed %d", _i);
}
END_TEST

/* Stepping the same reading twice changes nothing, and what is played in two parts is what is played in one. */
START_TEST(playing_goes_on_where_it_stopped)
{
	struct chance c = { 777 + (uint64_t)_i };
	struct alarm_event events[60];
	struct alarm_episode whole[61], first[61], rest[61];
	const size_t cut = (size_t)chance_between(&c, 1, 59);

	for (size_t i = 0; i < 60; i++) {
		const enum alarm_bound bound = (enum alarm_bound)(chance_between(&c, 0, 11) % 3);
		const int64_t at = i ? events[i - 1].at + chance_between(&c, 1, 9) : 5;

		events[i] = (struct alarm_event){ at, random_near(&c, 27, 12), bound, &warmth };
		const enum alarm_level was = (enum alarm_level)chance_between(&c, 0, 4);
		const enum alarm_level once = alarm_step(was, events[i].value, bound, &warmth);
		check_that(alarm_step(once, events[i].value, bound, &warmth) == once, "seed %d",
			   _i);
	}
	const size_t n = alarm_play(ALARM_NONE, 0, NAN, events, 60, whole);
	const size_t n1 = alarm_play(ALARM_NONE, 0, NAN, events, cut, first);
	const bool lasts = n1 && first[n1 - 1].cleared_at == ALARM_LASTS;
	const size_t n2 = alarm_play(
		lasts ? first[n1 - 1].level : ALARM_NONE, lasts ? first[n1 - 1].raised_at : 0,
		lasts ? first[n1 - 1].value : NAN, events + cut, 60 - cut, rest);

	check_that(n == n1 - lasts + n2, "seed %d: %zu, %zu and %zu", _i, n, n1, n2);
	for (size_t i = 0; i < n2; i++) {
		const struct alarm_episode *w = &whole[n1 - lasts + i];
		check_that(w->level == rest[i].level && w->raised_at == rest[i].raised_at &&
				   w->cleared_at == rest[i].cleared_at,
			   "seed %d", _i);
	}
	/* they follow one another and do not overlap */
	for (size_t i = 1; i < n; i++)
		check_that(whole[i - 1].cleared_at <= whole[i].raised_at, "seed %d", _i);
}
END_TEST

START_TEST(a_gap_is_raised_when_the_next_reading_was_due)
{
	const int64_t times[] = { 100, 150, 300, 310 };
	struct alarm_gap out[4];

	ck_assert_uint_eq(alarm_gaps(times, 4, 60, 370, out), 1);
	ck_assert_int_eq(out[0].raised_at, 210);
	ck_assert_int_eq(out[0].cleared_at, 300);
	ck_assert_uint_eq(alarm_gaps(times, 4, 60, 371, out), 2);
	ck_assert_int_eq(out[1].raised_at, 370);
	ck_assert(out[1].cleared_at == ALARM_LASTS);
	ck_assert_uint_eq(alarm_gaps(times, 0, 60, 371, out), 0);
}
END_TEST

Suite *alarm_suite(void)
{
	Suite *s = suite_create("alarm");
	TCase *t = tcase_create("machine");

	tcase_add_test(t, limits_are_passed_by_what_lies_beyond_them);
	tcase_add_test(t, an_alarm_clears_inside_by_the_margin_only);
	tcase_add_test(t, a_worse_value_raises_it_further_at_once);
	tcase_add_test(t, a_kits_bound_counts_as_far_as_it_is_sure);
	tcase_add_test(t, without_limits_any_more_it_is_over);
	tcase_add_loop_test(t, a_value_that_trembles_about_its_limit_is_one_alarm, 0, 60);
	tcase_add_loop_test(t, playing_goes_on_where_it_stopped, 0, 300);
	tcase_add_test(t, a_gap_is_raised_when_the_next_reading_was_due);
	suite_add_tcase(s, t);
	return s;
}

/* Growth of the fish ledger between weighings and after the last: temperatures, learning, errors, feed. */
#include "book_tests.h"
#include "support/fish_farm.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "book/ledger.h"

START_TEST(growth_between_weighings_arrives_at_the_second)
{
	stock("FA", "X", "1000", "100000", "2026-03-01T08:00:00Z");
	weigh("FA", "X", "50", "10000", "2026-03-31T08:00:00Z");
	stock_at("2026-03-31T07:59:59Z");
	ck_assert_double_eq_tol(mean_in("X", "FA"), 200.0, 0.01);
	ck_assert_str_eq(report_text(&got, row_of("X", "FA"), "basis"), "between");
	/* without temperatures the specific rate: half-way it is the geometric mean */
	stock_at("2026-03-16T08:00:00Z");
	ck_assert_double_eq_tol(mean_in("X", "FA"), sqrt(100.0 * 200.0), 0.01);
}
END_TEST

START_TEST(growth_follows_degree_days_when_they_are_known)
{
	/* 15 days at 30 (capped at 28), then 15 at 14 */
	char day[32];

	stock("FA", "X", "1000", "100000", "2026-03-01T00:00:00Z");
	weigh("FA", "X", "50", "10000", "2026-03-31T00:00:00Z");
	for (int d = 1; d <= 31; d++) {
		snprintf(day, sizeof(day), "2026-03-%02dT06:00:00Z", d);
		mini_keep(&own_farm,
			  mini_row(&own_farm, "water-tests", "place_id", "X", "temperature_c",
				   d <= 15 ? "30" : "14", "at", day, NULL));
	}
	stock_at("2026-03-16T00:00:00Z");
	/* the farm's day begins at 03:00 UTC (04:00 in Madrid): the 15th lasts three hours into the 16th */
	const double first = 15.0 * 28.0, all = 15.125 * 28.0 + 14.875 * 14.0;
	const double c = cbrt(100.0) + (cbrt(200.0) - cbrt(100.0)) * first / all;
	ck_assert_double_eq_tol(mean_in("X", "FA"), c * c * c, 0.01);
}
END_TEST

/* Prior 1 (sd not given: 0.15); two whole weighings three days apart that say 4.6: drawn half-way. */
START_TEST(growth_after_the_last_weighing_is_drawn_toward_the_prior)
{
	const double measured = 1000.0 * (cbrt(120.0) - cbrt(100.0)) / (28.0 * 3.0);
	const double k = (1.0 + measured) / 2.0;

	stock("FA", "X", "1000", "100000", "2026-03-01T08:00:00Z");
	mini_keep(&own_farm, mini_row(&own_farm, "water-tests", "place_id", "X", "temperature_c",
				      "28", "at", "2026-03-01T08:00:00Z", NULL));
	mini_keep(&own_farm, mini_row(&own_farm, "water-tests", "place_id", "X", "temperature_c",
				      "28", "at", "2026-03-05T08:00:00Z", NULL));
	weigh("FA", "X", "1000", "120000", "2026-03-04T08:00:00Z");
	stock_at("2026-03-14T08:00:00Z");
	const double c = cbrt(120.0) + k / 1000.0 * 28.0 * 10.0;
	ck_assert_double_eq_tol(mean_in("X", "FA"), c * c * c, 0.01);
}
END_TEST

START_TEST(a_weighed_grading_leaves_no_error)
{
	stock("FA", "X", "1000", "100000", "2026-03-01T08:00:00Z");
	move("FA", "X", "Y", "400", "44000", "2026-03-01T09:00:00Z");
	stock_at("2026-03-01T09:00:00Z");
	ck_assert_double_eq_tol(se_in("Y", "FA"), 0.0, 0.1);
	ck_assert_double_eq_tol(se_in("X", "FA"), 0.0, 0.1);
}
END_TEST

/* 400 of 1,000 fish are picked by eye: 15 % of their mean is not known, so 10 % of that of the 600. */
START_TEST(an_unweighed_grading_leaves_its_error_on_both_sides)
{
	stock("FA", "X", "1000", "100000", "2026-03-01T08:00:00Z");
	move("FA", "X", "Y", "400", "", "2026-03-01T09:00:00Z");
	stock_at("2026-03-01T09:00:00Z");
	ck_assert_double_eq_tol(se_in("Y", "FA"), 15.0, 0.1);
	ck_assert_double_eq_tol(se_in("X", "FA"), 10.0, 0.1);
	move("FA", "Y", "X", "400", "", "2026-03-01T10:00:00Z");
	stock_at("2026-03-01T10:00:00Z");
	ck_assert(se_in("X", "FA") < 15.0);
}
END_TEST

START_TEST(temperatures_follow_a_tank_into_another_loop)
{
	struct record *x = mini_get(
		&own_farm, mini_keep(&own_farm, mini_row(&own_farm, "tanks", "code", "Z", "loop_id",
							 "L1", "volume_l", "9000", NULL)));
	struct record *l2 = mini_keep(&own_farm, mini_row(&own_farm, "loops", "code", "L2",
							  "water_volume_l", "30000", NULL));
	struct record *values = record_new(x->kind, &own_farm.arena), *kept;
	bool *given = arena_array(&own_farm.arena, kind_field_count(x->kind), sizeof(*given));

	stock("FA", "Z", "1000", "100000", "2026-03-01T03:00:00Z");
	for (int d = 1; d <= 21; d++) {
		char at[40];
		snprintf(at, sizeof(at), "2026-03-%02dT08:00:00Z", d);
		warm("L1", "20", at);
		warm("L2", "26", at);
	}
	dead("FA", "Z", "1", "", "2026-03-20T03:00:00Z");
	ck_assert(!ledger_rebuild(own_farm.book, &own_farm.err));
	record_set_int(values, "loop_id", l2->id);
	given[kind_field_index(x->kind, "loop_id")] = true;
	err_clear(&own_farm.err);
	ck_assert(!book_patch(own_farm.book, x->kind, x->id, values, given, x->version,
			      day_of("2026-03-11"), &own_farm.hand, &own_farm.arena, &kept,
			      &own_farm.err));
	/* prior 1: ten days at 20, ten at 26 degC */
	const double c = cbrt(100.0) + (20.0 * 10.0 + 26.0 * 10.0) / 1000.0;
	stock_at("2026-03-21T03:00:00Z");
	ck_assert_double_eq_tol(mean_in("Z", "FA"), c * c * c, 0.01);
	/* a reading in the tank counts for the loop that it was in then */
	stock("FB", "X", "100", "10000", "2026-03-12T03:00:00Z");
	warm("Z", "2", "2026-03-13T08:00:00Z");
	stock_at("2026-03-14T03:00:00Z");
	const double x2 = cbrt(100.0) + 20.0 * 2.0 / 1000.0;
	ck_assert_double_eq_tol(mean_in("X", "FB"), x2 * x2 * x2, 0.01);
}
END_TEST

static void feed_daily(const char *tank, const char *amount_g, int first, int last)
{
	for (int d = first; d <= last; d++) {
		char at[40];
		snprintf(at, sizeof(at), "2026-03-%02dT12:00:00Z", d);
		feed(tank, amount_g, at);
	}
}

/* 1,000 fish of 100 g at 28 degC would gain 1.8 kg a day; a kilogram of feed makes at most one. */
START_TEST(growth_after_the_last_weighing_is_held_to_the_feed)
{
	stock("FA", "X", "1000", "100000", "2026-03-01T03:00:00Z");
	feed_daily("X", "1000", 1, 10);
	stock_at("2026-03-11T03:00:00Z");
	ck_assert_double_eq_tol(mean_in("X", "FA"), 110.0, 1e-6);
	/* fed enough, it grows as the prior says */
	stock("FB", "Y", "1000", "100000", "2026-03-01T03:00:00Z");
	feed_daily("Y", "3000", 1, 10);
	const double c = cbrt(100.0) + 28.0 * 10.0 / 1000.0;
	stock_at("2026-03-11T03:00:00Z");
	ck_assert_double_eq_tol(mean_in("Y", "FB"), c * c * c, 1e-6);
	ck_assert_double_eq_tol(mean_in("X", "FA"), 110.0, 1e-6);
}
END_TEST

START_TEST(lots_in_one_tank_are_held_to_the_feed_together)
{
	stock("FA", "X", "1000", "100000", "2026-03-01T03:00:00Z");
	stock("FB", "X", "500", "100000", "2026-03-01T03:00:00Z");
	feed_daily("X", "1000", 1, 10);
	stock_at("2026-03-11T03:00:00Z");
	const double gain = 1000.0 * mean_in("X", "FA") + 500.0 * mean_in("X", "FB") - 200000.0;
	ck_assert_double_eq_tol(gain, 10000.0, 1.0);
}
END_TEST

START_TEST(days_without_a_feeding_widen_the_band)
{
	stock("FA", "X", "1000", "100000", "2026-03-01T03:00:00Z");
	stock("FB", "Y", "1000", "100000", "2026-03-01T03:00:00Z");
	feed_daily("X", "3000", 1, 10);
	feed_daily("Y", "3000", 1, 5);
	stock_at("2026-03-11T03:00:00Z");
	ck_assert_double_eq_tol(mean_in("X", "FA"), mean_in("Y", "FB"), 1e-9);
	ck_assert(se_in("Y", "FB") > 1.2 * se_in("X", "FA"));
}
END_TEST

/* Hour by hour, without a new entry: no more than an hour's growth each. */
START_TEST(a_projection_never_jumps_when_time_passes)
{
	double before = 100.0, widest = 0.0;

	stock("FA", "X", "1000", "100000", "2026-03-01T03:00:00Z");
	weigh("FA", "X", "30", "3100", "2026-03-03T09:00:00Z");
	feed_daily("X", "1000", 1, 12);
	dead("FA", "X", "10", "", "2026-03-06T09:00:00Z");
	for (int h = 0; h < 24 * 12; h++) {
		struct report_query q =
			report_query_at(instant_of("2026-03-04T00:00:00Z") + h * 3600);
		report_run(own_farm.book, "stock", &q, &own_farm.arena, &got);
		const double now = mean_in("X", "FA"), se = se_in("X", "FA");
		if (h > 0) {
			ck_assert_msg(fabs(now - before) < 0.4, "hour %d: %g after %g", h, now,
				      before);
			ck_assert_msg(fabs(se - widest) < 0.2, "hour %d: se %g after %g", h, se,
				      widest);
		}
		before = now;
		widest = se;
	}
}
END_TEST

Suite *fish_growth_suite(void)
{
	Suite *s = suite_create("fish growth");
	TCase *c = tcase_create("growth");

	tcase_add_checked_fixture(c, fish_farm_open, fish_farm_close);
	tcase_add_test(c, growth_between_weighings_arrives_at_the_second);
	tcase_add_test(c, growth_follows_degree_days_when_they_are_known);
	tcase_add_test(c, growth_after_the_last_weighing_is_drawn_toward_the_prior);
	tcase_add_test(c, a_weighed_grading_leaves_no_error);
	tcase_add_test(c, an_unweighed_grading_leaves_its_error_on_both_sides);
	tcase_add_test(c, growth_after_the_last_weighing_is_held_to_the_feed);
	tcase_add_test(c, lots_in_one_tank_are_held_to_the_feed_together);
	tcase_add_test(c, days_without_a_feeding_widen_the_band);
	tcase_add_test(c, a_projection_never_jumps_when_time_passes);
	tcase_add_test(c, temperatures_follow_a_tank_into_another_loop);
	suite_add_tcase(s, c);
	return s;
}

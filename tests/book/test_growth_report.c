/* Report growth, and the rules it stands on: learning from handbook to own record, and the score. */
#include "book_tests.h"
#include "support/fish_farm.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "domain/learn.h"
#include "domain/score.h"

START_TEST(handbook_counts_as_one_figure_measured_without_error)
{
	struct learning l;

	learn_begin(&l, 1.0, 0.1);
	ck_assert_double_eq_tol(learn_value(&l), 1.0, 1e-12);
	ck_assert_double_eq_tol(learn_next_se(&l), 0.1 * sqrt(2.0), 1e-12);
	learn_add(&l, 2.0, 0.0);
	ck_assert_double_eq_tol(learn_value(&l), 1.5, 1e-12);
	learn_add(&l, 3.0, 0.0);
	ck_assert_double_eq_tol(learn_value(&l), 2.0, 1e-12);
	ck_assert_double_eq_tol(learn_handbook_share(&l), 1.0 / 3.0, 1e-12);
}
END_TEST

START_TEST(a_figure_measured_badly_hardly_counts)
{
	struct learning l;

	learn_begin(&l, 1.0, 0.1);
	learn_add(&l, 5.0, 0.99); /* variance 1 against 0.01 */
	ck_assert_double_eq_tol(learn_value(&l), 1.0 + 4.0 / 101.0, 1e-9);
	learn_add(&l, NAN, 0.0);
	ck_assert_uint_eq(l.own, 1);
}
END_TEST

START_TEST(nothing_learned_is_nan)
{
	struct learning l;

	learn_begin(&l, NAN, 0.1);
	ck_assert(isnan(learn_value(&l)) && isnan(learn_next_se(&l)));
	learn_add(&l, 2.0, 0.0);
	ck_assert_double_eq_tol(learn_value(&l), 2.0, 1e-12);
	ck_assert_double_eq_tol(learn_handbook_share(&l), 0.0, 1e-12);
}
END_TEST

START_TEST(projections_that_miss_widen_the_ranges)
{
	struct score s = { 0 };

	ck_assert_double_eq_tol(score_factor(&s), 1.0, 1e-12);
	for (int i = 0; i < 30; i++)
		score_add(&s, 2.0, 1.0);
	ck_assert_uint_eq(s.inside, 0);
	ck_assert_double_eq_tol(score_factor(&s), sqrt(130.0 / 40.0), 1e-12);
	score_add(&s, 100.0, 1.0); /* a slip */
	ck_assert_double_eq_tol(score_factor(&s), sqrt(139.0 / 41.0), 1e-12);
	score_add(&s, NAN, 1.0);
	score_add(&s, 1.0, 0.0);
	ck_assert_uint_eq(s.n, 31);
	s = (struct score){ 0 };
	for (int i = 0; i < 30; i++)
		score_add(&s, 0.1, 1.0);
	ck_assert_double_eq_tol(score_factor(&s), 1.0, 1e-12);
}
END_TEST

static void growth_at(const char *at)
{
	struct report_query q = report_query_at(instant_of(at));

	report_run(own_farm.book, "growth", &q, &own_farm.arena, &got);
}

static size_t fm(void)
{
	return report_row(&got, "fish_lot", "FM");
}

static double nth(const char *list, int64_t i)
{
	char *end = NULL;
	double v = NAN;

	for (const char *at = list; i >= 0; i--, at = end)
		v = strtod(at, &end);
	return v;
}

static void market_at_150_g(void)
{
	mini_keep(&own_farm, mini_row(&own_farm, "species", "name", "Market fish", "tgc_prior", "1",
				      "tgc_prior_sd", "0.1", "temperature_optimum_c", "28",
				      "market_weight_g", "150", NULL));
	mini_keep(&own_farm, mini_row(&own_farm, "fish-lots", "code", "FM", "species_id",
				      "Market fish", NULL));
}

/* 100 g at 28 degC with k 1: 150 g when 28 d / 1000 = 150^(1/3) - 100^(1/3), after 24.00 days. */
START_TEST(market_day_is_where_the_projection_crosses)
{
	market_at_150_g();
	stock("FM", "X", "1000", "100000", "2026-03-01T03:00:00Z");
	growth_at("2026-03-01T03:00:00Z");
	const double days = (cbrt(150.0) - cbrt(100.0)) / 0.028;
	ck_assert_int_eq(report_int(&got, fm(), "market_on"),
			 day_of("2026-03-01") + (int64_t)ceil(days));
	ck_assert(report_int(&got, fm(), "market_low") < report_int(&got, fm(), "market_on"));
	ck_assert(report_int(&got, fm(), "market_high") > report_int(&got, fm(), "market_on"));
	ck_assert_str_eq(report_text(&got, fm(), "fit"), "thermal");
	ck_assert_double_eq_tol(report_real(&got, fm(), "handbook_share"), 1.0, 1e-12);
	ck_assert_int_eq(report_int(&got, fm(), "weighings"), 1);
	ck_assert_str_eq(report_text(&got, fm(), "weighed_g"), "100");
	ck_assert_int_eq(report_int(&got, fm(), "first_day"), day_of("2026-03-02"));
	const double c = cbrt(100.0) + 0.028;
	ck_assert_double_eq_tol(nth(report_text(&got, fm(), "projected_g"), 0), c * c * c, 0.001);
}
END_TEST

/* Nothing new is written down for two weeks: each day says the same of the days to come. */
START_TEST(a_projection_stands_until_something_new_is_known)
{
	market_at_150_g();
	stock("FM", "X", "1000", "100000", "2026-03-01T03:00:00Z");
	warm("X", "26", "2026-03-03T08:00:00Z");
	weigh("FM", "X", "50", "5300", "2026-03-05T03:00:00Z");
	growth_at("2026-03-06T03:00:00Z");
	const int64_t on = report_int(&got, fm(), "market_on"),
		      first = report_int(&got, fm(), "first_day");
	const char *before = report_text(&got, fm(), "projected_g");
	for (int d = 1; d < 14; d++) {
		struct report_query q =
			report_query_at(instant_of("2026-03-06T03:00:00Z") + d * 86400);
		report_run(own_farm.book, "growth", &q, &own_farm.arena, &got);
		ck_assert_int_eq(report_int(&got, fm(), "market_on"), on);
		const int64_t i = report_int(&got, fm(), "first_day") - first;
		ck_assert_double_eq_tol(nth(report_text(&got, fm(), "projected_g"), 0),
					nth(before, i), 0.001);
	}
}
END_TEST

/* The same weighing, written down at once or a month late. */
START_TEST(a_late_entry_gives_the_same_answer_as_an_early_one)
{
	market_at_150_g();
	stock("FM", "X", "1000", "100000", "2026-03-01T03:00:00Z");
	weigh("FM", "X", "50", "5600", "2026-03-15T03:00:00Z");
	weigh("FM", "X", "50", "6100", "2026-03-22T03:00:00Z");
	growth_at("2026-03-25T03:00:00Z");
	char *early = strdup(report_as_text(&got, &own_farm.arena)); /* outlives the farm */
	fish_farm_close();
	fish_farm_open();
	market_at_150_g();
	stock("FM", "X", "1000", "100000", "2026-03-01T03:00:00Z");
	weigh("FM", "X", "50", "6100", "2026-03-22T03:00:00Z");
	growth_at("2026-03-25T03:00:00Z");
	weigh("FM", "X", "50", "5600", "2026-03-15T03:00:00Z");
	growth_at("2026-03-25T03:00:00Z");
	ck_assert_str_eq(report_as_text(&got, &own_farm.arena), early);
	ck_assert_int_eq(report_int(&got, fm(), "scored"), 1);
	free(early);
}
END_TEST

START_TEST(what_cannot_be_projected_says_why)
{
	stock("FA", "X", "100", "", "2026-03-01T03:00:00Z"); /* no weight at all */
	stock("FB", "Y", "100", "10000", "2026-03-01T03:00:00Z");
	growth_at("2026-03-02T03:00:00Z");
	const size_t x = report_row(&got, "tank", "X"), y = report_row(&got, "tank", "Y");
	ck_assert_str_eq(report_text(&got, x, "reason"), "no_weight");
	ck_assert_int_eq(report_int(&got, x, "market_on"), NO_INT);
	ck_assert_str_eq(report_text(&got, y, "reason"), "no_market_weight");
	ck_assert(report_text(&got, y, "projected_g") != NULL);
}
END_TEST

Suite *growth_report_suite(void)
{
	Suite *s = suite_create("growth report");
	TCase *rules = tcase_create("rules"), *report = tcase_create("report");

	tcase_add_test(rules, handbook_counts_as_one_figure_measured_without_error);
	tcase_add_test(rules, a_figure_measured_badly_hardly_counts);
	tcase_add_test(rules, nothing_learned_is_nan);
	tcase_add_test(rules, projections_that_miss_widen_the_ranges);
	suite_add_tcase(s, rules);
	tcase_add_checked_fixture(report, fish_farm_open, fish_farm_close);
	tcase_add_test(report, market_day_is_where_the_projection_crosses);
	tcase_add_test(report, a_projection_stands_until_something_new_is_known);
	tcase_add_test(report, a_late_entry_gives_the_same_answer_as_an_early_one);
	tcase_add_test(report, what_cannot_be_projected_says_why);
	suite_add_tcase(s, report);
	return s;
}

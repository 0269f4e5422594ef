/* Sizes, survival and early unease: the rules as numbers, and the reports on them. */
#include "book_tests.h"
#include "support/fish_farm.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/zone.h"
#include "book/calculator.h"
#include "book/readings.h"
#include "domain/sizes.h"
#include "domain/unease.h"

/* FB391: Cochran 1977, Sampling Techniques: 62 fish for 5 % at a CV of 20 % (from memory). */
START_TEST(error_of_the_published_sample_is_five_percent)
{
	ck_assert(sizes_error(0.20, 62.0, NAN, 1.96) <= 0.05);
	ck_assert(sizes_error(0.20, 61.0, NAN, 1.96) > 0.05);
	ck_assert_double_eq_tol(sizes_error(0.20, 62.0, 62.0, 1.96), 0.0, 1e-12);
	ck_assert(isnan(sizes_error(-0.1, 62.0, NAN, 1.96)));
	ck_assert(isnan(sizes_error(0.2, 0.0, NAN, 1.96)));
}
END_TEST

START_TEST(spread_of_single_weights_is_the_usual_one)
{
	const double w[] = { 80, 100, 120, 90, 110 };
	struct sizes s = { 0 };

	ck_assert(isnan(sizes_mean_g(&s)) && isnan(sizes_cv(&s)));
	for (size_t i = 0; i < 5; i++)
		sizes_add(&s, 1.0, w[i]);
	ck_assert_double_eq_tol(sizes_mean_g(&s), 100.0, 1e-12);
	ck_assert_double_eq_tol(sizes_cv(&s), sqrt(1000.0 / 4.0) / 100.0, 1e-12);
	sizes_add(&s, 0.0, 5.0); /* an empty net is none */
	ck_assert_uint_eq(s.nets, 5);
}
END_TEST

/* Nets of n fish differ by the spread of single fish over the root of n: it comes back. */
START_TEST(spread_of_single_fish_comes_back_from_nets)
{
	struct sizes s = { 0 };
	uint64_t state = 7;

	for (int net = 0; net < 4000; net++) {
		const int fish = 8 + net % 5;
		double mass = 0.0;
		for (int i = 0; i < fish; i++) {
			double u = 0.0; /* sum of 12 uniforms: a normal deviate */
			for (int k = 0; k < 12; k++) {
				state = state * 6364136223846793005u + 1442695040888963407u;
				u += (double)(state >> 11) / 9007199254740992.0;
			}
			mass += 200.0 * (1.0 + 0.25 * (u - 6.0));
		}
		sizes_add(&s, fish, mass);
	}
	ck_assert_double_eq_tol(sizes_cv(&s), 0.25, 0.01);
	ck_assert_double_eq_tol(sizes_cv_drawn(&s, 0.20, 10.0), 0.25, 0.01);
}
END_TEST

static double uniform(uint64_t *state)
{
	*state = *state * 6364136223846793005u + 1442695040888963407u;
	return ((double)(*state >> 11) + 0.5) / 9007199254740992.0;
}

static double poisson(uint64_t *state, double mean)
{
	double p = uniform(state), n = 0.0;

	for (const double least = exp(-mean); p > least; n += 1.0)
		p *= uniform(state);
	return n;
}

/* 400 tanks that are well: less than once in 365 days on the average, for rare deaths and common ones. */
START_TEST(unease_is_raised_less_than_once_a_year_by_chance)
{
	static const double rates[] = { 0.05, 0.3, 2.0 };
	uint64_t state = 11;
	double days = 0.0;

	for (int tank = 0; tank < 400; tank++) {
		struct unease u = { 0 };
		for (size_t d = 0; !u.raised && d < 4000; d++, days += 1.0)
			unease_count(&u, d, poisson(&state, rates[_i]), rates[_i]);
	}
	ck_assert_msg(days / 400.0 > 365.0, "%g days at a rate of %g", days / 400.0, rates[_i]);
}
END_TEST

START_TEST(unease_names_the_day_on_which_it_began)
{
	struct unease u = { 0 };

	for (size_t d = 0; d < 40; d++)
		unease_count(&u, d, d % 4 == 0, 0.25);
	ck_assert(!u.raised);
	for (size_t d = 40; d < 44; d++) {
		ck_assert(!u.raised || d > 41);
		unease_count(&u, d, 3.0, 0.25);
	}
	ck_assert(u.raised && unease_level(&u) >= 1.0);
	ck_assert_uint_ge(u.began, 36);
	ck_assert_uint_le(u.began, 40);
	const double before = u.sum;
	unease_count(&u, 44, NAN, 0.25);
	unease_count(&u, 44, 1.0, 0.0);
	ck_assert_double_eq(u.sum, before);
}
END_TEST

START_TEST(a_value_above_its_past_raises_unease)
{
	struct unease u = { 0 };

	for (size_t d = 0; d < 30; d++)
		unease_value(&u, d, 1.0, 1.0, 0.2);
	ck_assert_double_eq(u.sum, 0.0);
	for (size_t d = 30; d < 36; d++)
		unease_value(&u, d, 1.4, 1.0, 0.2); /* two standard deviations: 1.5 a day */
	ck_assert(u.raised);
	ck_assert_uint_eq(u.began, 30);
}
END_TEST

static void report(const char *name, const char *at)
{
	struct report_query q = report_query_at(instant_of(at));

	report_run(own_farm.book, name, &q, &own_farm.arena, &got);
}

START_TEST(sizes_say_how_sure_a_weighing_was_and_when_to_grade)
{
	stock("FA", "X", "600", "60000", "2026-03-01T08:00:00Z");
	stock("FB", "Y", "600", "60000", "2026-03-01T08:00:00Z");
	weigh("FA", "X", "62", "6200", "2026-03-10T08:00:00Z");
	mini_keep(&own_farm,
		  mini_row(&own_farm, "weighings", "fish_lot_id", "FB", "tank_id", "Y", "weights_g",
			   "50 150 60 140 100", "at", "2026-03-10T08:00:00Z", NULL));
	report("sizes", "2026-03-11T08:00:00Z");
	const size_t x = report_row(&got, "tank", "X"), y = report_row(&got, "tank", "Y");
	ck_assert_str_eq(report_text(&got, x, "cv_from"), "assumed");
	ck_assert(report_text(&got, x, "grade") == NULL);
	ck_assert_double_eq_tol(report_real(&got, x, "error_pct"),
				100.0 * 1.96 * 0.2 / sqrt(62.0) * sqrt(1.0 - 62.0 / 600.0), 1e-6);
	ck_assert_int_eq(report_int(&got, x, "more_fish"), 0);
	ck_assert_str_eq(report_text(&got, y, "cv_from"), "weights");
	ck_assert_str_eq(report_text(&got, y, "grade"), "grade");
	ck_assert(report_int(&got, y, "more_fish") > 50);
}
END_TEST

START_TEST(survival_keeps_the_unexplained_apart)
{
	stock("FA", "X", "1000", "100000", "2026-03-01T08:00:00Z");
	move("FA", "X", "Y", "400", "40000", "2026-03-02T08:00:00Z");
	dead("FA", "X", "50", "", "2026-03-03T08:00:00Z");
	mini_keep(&own_farm, mini_row(&own_farm, "fish-counts", "fish_lot_id", "FA", "tank_id", "X",
				      "counted", "530", "at", "2026-03-04T08:00:00Z", NULL));
	report("survival", "2026-03-05T08:00:00Z");
	const size_t r = report_row(&got, "fish_lot", "FA");
	ck_assert_int_eq(report_int(&got, r, "arrived"), 1000);
	ck_assert_int_eq(report_int(&got, r, "alive"), 930);
	ck_assert_int_eq(report_int(&got, r, "dead"), 50);
	ck_assert_int_eq(report_int(&got, r, "unexplained_fish"), -20);
	ck_assert_double_eq_tol(report_real(&got, r, "survival_pct"), 95.0, 1e-9);
	ck_assert_double_eq_tol(report_real(&got, r, "survival_low_pct"), 93.0, 1e-9);
	ck_assert_int_eq(report_int(&got, r, "arrived") + report_int(&got, r, "joined") -
				 report_int(&got, r, "left") - report_int(&got, r, "harvested") -
				 report_int(&got, r, "sold") - report_int(&got, r, "dead") -
				 report_int(&got, r, "culled") - report_int(&got, r, "escaped") +
				 report_int(&got, r, "unexplained_fish"),
			 report_int(&got, r, "alive"));
}
END_TEST

/* A death a week for two months, then three a day from 1 May on. */
START_TEST(deaths_above_the_tanks_own_past_are_unease)
{
	char at[40];

	stock("FA", "X", "1000", "100000", "2026-02-01T08:00:00Z");
	for (int d = 1; d <= 77; d += 7) {
		time_write(at, instant_of("2026-02-01T12:00:00Z") + d * 86400);
		dead("FA", "X", "1", "", at);
	}
	report("unease", "2026-04-30T20:00:00Z");
	size_t r = report_row2(&got, "tank", "X", "sign", "deaths");
	ck_assert_str_eq(report_text(&got, r, "state"), "quiet");
	for (int d = 0; d < 4; d++) {
		time_write(at, instant_of("2026-05-01T12:00:00Z") + d * 86400);
		dead("FA", "X", "3", "", at);
	}
	report("unease", "2026-05-04T20:00:00Z");
	r = report_row2(&got, "tank", "X", "sign", "deaths");
	ck_assert_str_eq(report_text(&got, r, "state"), "unease");
	ck_assert_int_eq(report_int(&got, r, "began_on"), day_of("2026-05-01"));
	ck_assert_str_eq(
		report_text(&got, report_row2(&got, "tank", "X", "sign", "appetite"), "state"),
		"unknown");
}
END_TEST

static const char *unease_of(const char *sign, const char *column)
{
	return report_text(&got, report_row2(&got, "tank", "X", "sign", sign), column);
}

static int64_t unease_day(const char *sign)
{
	return report_int(&got, report_row2(&got, "tank", "X", "sign", sign), "began_on");
}

static const char *of_day(int64_t day, const char *clock)
{
	char text[TIME_TEXT_MAX];

	day_write(text, day_of("2026-02-01") + day);
	return arena_printf(&own_farm.arena, "%sT%sZ", text, clock);
}

static struct record *eat(int64_t day, const char *clock, const char *appetite)
{
	return mini_keep(&own_farm, mini_row(&own_farm, "feedings", "tank_id", "X", "feed_id",
					     "Test feed", "amount_g", "400", "appetite", appetite,
					     "at", of_day(day, clock), NULL));
}

/* Two keen meals a day but for one a fortnight; from day 80, 22 April, most are eaten slowly. */
START_TEST(meals_eaten_slower_than_ever_are_unease)
{
	int64_t day = 0;

	stock("FA", "X", "1000", "100000", "2026-02-01T08:00:00Z");
	for (; day < 80; day++) {
		eat(day, "09:00:00", day % 14 == 0 ? "slow" : "keen");
		eat(day, "15:00:00", "steady");
	}
	report("unease", of_day(79, "20:00:00"));
	ck_assert_str_eq(unease_of("appetite", "state"), "quiet");
	for (; day < 85; day++) {
		eat(day, "09:00:00", "slow");
		eat(day, "15:00:00", day % 2 ? "none" : "slow");
	}
	report("unease", of_day(84, "20:00:00"));
	ck_assert_str_eq(unease_of("appetite", "state"), "unease");
	ck_assert_int_eq(unease_day("appetite"), day_of("2026-02-01") + 80);
	ck_assert_str_eq(unease_of("deaths", "state"), "quiet");
	ck_assert_str_eq(unease_of("oxygen_sag", "state"), "unknown");
}
END_TEST

/* What the probe tells around the meal of 9 o'clock: 7 mg/L before, so much less in the hour after. */
static void sag(struct readings_in *in, int64_t day, double by)
{
	const struct {
		const char *clock;
		double value;
	} told[] = { { "08:20:00", 7.0 },
		     { "09:10:00", 7.0 - by / 2.0 },
		     { "10:15:00", 7.0 - by },
		     { "11:30:00", 7.0 - by / 3.0 },
		     { "13:00:00", 7.0 } };

	for (size_t i = 0; i < sizeof(told) / sizeof(told[0]); i++)
		ck_assert(!readings_take(in, "DO-X", instant_of(of_day(day, told[i].clock)),
					 told[i].value, &own_farm.err));
}

/* Oxygen sags by 0.9 to 1.1 mg/L after the meal; from day 80 on by 1.8. */
START_TEST(oxygen_that_sags_deeper_after_meals_is_unease)
{
	struct readings_in in;

	stock("FA", "X", "1000", "100000", "2026-02-01T08:00:00Z");
	mini_keep(&own_farm, mini_row(&own_farm, "probes", "code", "DO-X", "place_id", "X",
				      "quantity", "do_mg_l", "unit", "mg/L", NULL));
	for (int64_t day = 0; day < 84; day++)
		eat(day, "09:00:00", "");
	readings_begin(&in, own_farm.book, own_farm.hand.now);
	for (int64_t day = 0; day < 84; day++)
		sag(&in, day, day < 80 ? 0.9 + 0.1 * (double)(day % 3) : 1.8);
	ck_assert(!readings_end(&in, ERR_NONE, &own_farm.err));
	report("unease", of_day(79, "20:00:00"));
	ck_assert_str_eq(unease_of("oxygen_sag", "state"), "quiet");
	report("unease", of_day(83, "20:00:00"));
	ck_assert_str_eq(unease_of("oxygen_sag", "state"), "unease");
	ck_assert_int_eq(unease_day("oxygen_sag"), day_of("2026-02-01") + 80);
	ck_assert_double_eq_tol(
		report_real(&got, report_row2(&got, "tank", "X", "sign", "oxygen_sag"), "usual"),
		1.0, 0.01);
	ck_assert_str_eq(unease_of("appetite", "state"), "unknown");
	ck_assert_str_eq(unease_of("deaths", "state"), "quiet");
}
END_TEST

static const char *nets_typed, *weights_typed;

static const char *typed(const char *name, void *with)
{
	(void)with;
	if (strcmp(name, "nets") == 0)
		return nets_typed;
	if (strcmp(name, "weights_g") == 0)
		return weights_typed;
	return strcmp(name, "fish") == 0 ? "600" : NULL;
}

static enum err_code weigh_enough(const char *nets, const char *weights, struct calc_values *out)
{
	const struct calc_inputs from = { .get = typed };
	struct calc_values in;

	nets_typed = nets;
	weights_typed = weights;
	err_clear(&own_farm.err);
	return calculator_run(calculator_find("weigh-enough"), NULL, &from, &in, out,
			      &own_farm.arena, &own_farm.err);
}

START_TEST(each_net_tells_how_many_more_to_weigh)
{
	struct calc_values one, three;

	ck_assert(!weigh_enough("12 1500", NULL, &one));
	ck_assert_double_eq_tol(one.number[1], 125.0, 1e-9);
	ck_assert_double_eq_tol(one.number[2], 20.0, 1e-9);
	ck_assert(!weigh_enough("12 1500 14 1700 20 2550", NULL, &three));
	ck_assert(three.number[3] < one.number[3]);
	ck_assert(three.number[4] < one.number[4]);
	ck_assert_int_eq(weigh_enough("12", NULL, &one), ERR_INPUT);
	ck_assert_int_eq(weigh_enough("12 x", NULL, &one), ERR_INPUT);
	ck_assert_int_eq(weigh_enough("12 nan", NULL, &one), ERR_INPUT);
	ck_assert_int_eq(weigh_enough("", "", &one), ERR_INPUT);
	ck_assert_int_eq(weigh_enough("12 1500", "100 110", &one), ERR_INPUT);
	ck_assert_int_eq(weigh_enough(NULL, NULL, &one), ERR_INPUT);
}
END_TEST

Suite *fish_watch_suite(void)
{
	Suite *s = suite_create("fish watch");
	TCase *rules = tcase_create("rules"), *reports_ = tcase_create("reports");

	tcase_add_test(rules, error_of_the_published_sample_is_five_percent);
	tcase_add_test(rules, spread_of_single_weights_is_the_usual_one);
	tcase_add_test(rules, spread_of_single_fish_comes_back_from_nets);
	tcase_add_loop_test(rules, unease_is_raised_less_than_once_a_year_by_chance, 0, 3);
	tcase_add_test(rules, unease_names_the_day_on_which_it_began);
	tcase_add_test(rules, a_value_above_its_past_raises_unease);
	suite_add_tcase(s, rules);
	tcase_add_checked_fixture(reports_, fish_farm_open, fish_farm_close);
	tcase_add_test(reports_, sizes_say_how_sure_a_weighing_was_and_when_to_grade);
	tcase_add_test(reports_, survival_keeps_the_unexplained_apart);
	tcase_add_test(reports_, deaths_above_the_tanks_own_past_are_unease);
	tcase_add_test(reports_, meals_eaten_slower_than_ever_are_unease);
	tcase_add_test(reports_, oxygen_that_sags_deeper_after_meals_is_unease);
	tcase_add_test(reports_, each_net_tells_how_many_more_to_weigh);
	suite_add_tcase(s, reports_);
	return s;
}

/* Nitrate to come, and the line of each water. */
#include "balance_tests.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "domain/nitrate.h"
#include "support/mini_farm.h"
#include "support/report_cells.h"

static struct mini_farm f;
static struct report_result got;

/* 5 kg a day of 32 % (256 g N) and nitrate that rises 0.8 mg/L a day in 40 m3: 32 g N a day, an eighth of it. */
static void fill_farm(void)
{
	char at[] = "2026-03-00T08:00:00Z", mg_l[] = "00.0";

	for (int day = 1; day <= 19; day++) {
		at[8] = (char)('0' + day / 10);
		at[9] = (char)('0' + day % 10);
		mini_keep(&f, mini_row(&f, "feedings", "tank_id", "T1", "feed_id", "Grower 32",
				       "amount_g", "5000", "at", at, NULL));
		if (day % 6 != 1)
			continue;
		const int tenths = 200 + 8 * (day - 1);
		mg_l[0] = (char)('0' + tenths / 100);
		mg_l[1] = (char)('0' + tenths / 10 % 10);
		mg_l[3] = (char)('0' + tenths % 10);
		mini_keep(&f, mini_row(&f, "water-tests", "place_id", "L1", "at", at,
				       "nitrate_n_mg_l", mg_l, NULL));
	}
}

static void open_farm(void)
{
	mini_farm_open(&f);
	fill_farm();
}

static void close_farm(void)
{
	mini_farm_close(&f);
}

static struct report_query query(void)
{
	struct report_query q = report_query_at(f.hand.now);

	q.only = "L1";
	return q;
}

static void ask(const struct report_query *q)
{
	report_run(f.book, "nitrate", q, &f.arena, &got);
}

static double on(const char *day, const char *column)
{
	for (size_t i = 0; i < got.n_rows; i++)
		if (report_int(&got, i, "day") == day_of(day))
			return report_real(&got, i, column);
	ck_abort_msg("no row of %s", day);
}

START_TEST(a_share_found_from_a_change_gives_the_change_again)
{
	for (int seed = 1; seed <= 1000; seed++) {
		const struct nitrate_water w = { 10 + seed % 90, 0.01 * (seed % 7),
						 0.001 * (seed % 11) };
		struct nitrate_day days[12];
		const double share = 0.3 + 0.0005 * (seed % 500);
		double n = 150;

		for (int i = 0; i < 12; i++) {
			days[i] = (struct nitrate_day){ 100 + (seed * (i + 3)) % 400,
							(seed + i) % 50 };
			n = nitrate_step(n, &days[i], &w, share);
		}
		ck_assert_double_eq_tol(nitrate_share_of(150, n, days, 12, &w), share, 1e-9);
	}
}
END_TEST

START_TEST(a_step_never_falls_below_nothing_and_conserves_nitrogen)
{
	const struct nitrate_water w = { 40, 0.5, 0 };
	const struct nitrate_day bare = { 256, 0 }, full = { 0, 1000 };

	ck_assert_double_eq(nitrate_step(1, &full, &w, 0.5), 0);
	ck_assert_double_eq_tol((nitrate_step(20, &bare, &w, 0.5) - 20) * 40, 128, 1e-9);
	ck_assert(isnan(nitrate_share_of(1, 2, &full, 1, &w)));
}
END_TEST

/*
 * Three own intervals at 32 / 256 = 12.5 %, and the handbook's 57.5 % as one more.  By hand: a test of 24.8, 29.6, 34.4
 * mg/L is good to 5 %, so that over 6 x 256 g in 40 m3 (38.4 mg/L) an own share's variance is 0.04 + 2 (sd / 38.4)^2.
 */
START_TEST(the_share_is_learned_from_the_measured_past)
{
	const struct report_query q = query();

	ask(&q);
	double weight = 1 / 0.04, sum = 57.5 / 0.04;
	for (double mg_l = 24.8; mg_l < 35; mg_l += 4.8) {
		const double sd = 0.05 * mg_l / 38.4, w = 1 / (0.04 + 2 * sd * sd);
		weight += w;
		sum += w * 12.5;
	}
	ck_assert_double_eq_tol(on("2026-03-25", "share_pct"), sum / weight, 1e-6);
	ck_assert_double_eq_tol(on("2026-03-13", "measured_mg_l"), 29.6, 1e-9);
	ck_assert(isnan(on("2026-03-14", "measured_mg_l")));
	ck_assert_double_lt(on("2026-03-25", "low"), on("2026-03-25", "nitrate_n_mg_l"));
	ck_assert_double_gt(on("2026-03-25", "high"), on("2026-03-25", "nitrate_n_mg_l"));
}
END_TEST

/* Days pass, nothing comes in: what is foretold of a day stays what it was, range and all. */
START_TEST(nothing_jumps_when_days_pass_without_data)
{
	static const char *const figures[] = { "nitrate_n_mg_l", "low", "high", "share_pct",
					       "widened" };
	struct report_query q = query();
	double before[5];

	ask(&q);
	for (size_t i = 0; i < 5; i++)
		before[i] = on("2026-04-20", figures[i]);
	ck_assert_double_gt(before[2], before[0]);
	for (int day = 1; day <= 20; day++) {
		q.now += 86400;
		ask(&q);
		for (size_t i = 0; i < 5; i++)
			ck_assert_double_eq_tol(on("2026-04-20", figures[i]), before[i], 1e-9);
	}
}
END_TEST

/* A test and a feeding written down last, which were first. */
START_TEST(a_late_entry_gives_the_same_answer_as_an_early_one)
{
	const char *test[] = { "water-tests",          "place_id",       "L1",  "at",
			       "2026-02-23T08:00:00Z", "nitrate_n_mg_l", "16.5" },
		   *more[] = { "feedings", "tank_id",   "T1",
			       "feed_id",  "Grower 32", "amount_g",
			       "4000",     "at",        "2026-02-28T08:00:00Z" };
	const struct report_query q = query();
	double early[2];

	for (int late = 0; late < 2; late++) {
		mini_farm_close(&f);
		mini_farm_open(&f);
		for (int turn = 0; turn < 2; turn++) {
			if (turn != late) {
				mini_keep(&f, mini_row(&f, test[0], test[1], test[2], test[3],
						       test[4], test[5], test[6], NULL));
				mini_keep(&f,
					  mini_row(&f, more[0], more[1], more[2], more[3], more[4],
						   more[5], more[6], more[7], more[8], NULL));
			} else {
				fill_farm();
			}
		}
		ask(&q);
		if (late) {
			ck_assert_double_eq(on("2026-04-20", "nitrate_n_mg_l"), early[0]);
			ck_assert_double_eq(on("2026-04-20", "high"), early[1]);
		}
		early[0] = on("2026-04-20", "nitrate_n_mg_l");
		early[1] = on("2026-04-20", "high");
	}
}
END_TEST

START_TEST(a_harvest_lowers_it_and_halves_lie_between)
{
	struct report_query q = query();
	double nitrate[3];

	q.by = "fish_harvest";
	q.size = "20";
	q.step = "at_once";
	ask(&q);
	nitrate[0] = on("2026-04-30", "nitrate_n_mg_l");
	q.step = "halves";
	ask(&q);
	nitrate[1] = on("2026-04-30", "nitrate_n_mg_l");
	ck_assert_double_lt(on("2026-03-25", "feed_g"), 5000);
	q = query();
	ask(&q);
	nitrate[2] = on("2026-04-30", "nitrate_n_mg_l");
	ck_assert_double_lt(nitrate[0], nitrate[1]);
	ck_assert_double_lt(nitrate[1], nitrate[2]);
}
END_TEST

/* 600 fish of F1 stand weighed in T1; F2 in T2 never was.  Without a weight nobody can say what share of the feed goes with them. */
START_TEST(a_harvest_from_fish_of_unknown_mass_is_not_known)
{
	struct report_query q = query();

	mini_keep(&f, mini_row(&f, "fish-moves", "fish_lot_id", "F2", "to_tank_id", "T2", "fish",
			       "50", "reason", "stocking", "at", "2026-03-05T09:00:00Z", NULL));
	q.by = "fish_harvest";
	q.size = "20";
	q.day = day_of("2026-03-25");
	ask(&q);
	ck_assert_double_eq_tol(on("2026-03-24", "feed_g"), 5000,
				1e-6); /* before its day as it was */
	ck_assert(isnan(on("2026-03-25", "feed_g")));
	ck_assert(isnan(on("2026-03-26", "nitrate_n_mg_l")));
}
END_TEST

START_TEST(a_planting_adds_area_from_its_day)
{
	struct report_query q = query();

	q.by = "planting";
	q.size = "30";
	q.day = day_of("2026-03-30");
	ask(&q);
	ck_assert_double_eq_tol(on("2026-03-29", "planted_m2"), 0, 1e-9);
	ck_assert_double_eq_tol(on("2026-03-30", "planted_m2"), 30, 1e-9);
	ck_assert_double_eq_tol(on("2026-03-30", "feed_g_m2_day"), 5000.0 / 30, 1e-6);
}
END_TEST

START_TEST(the_line_of_a_water_says_the_worst_first)
{
	struct report_query q = report_query_at(f.hand.now);

	mini_keep(&f, mini_row(&f, "species-limits", "species_id", "Tilapia", "quantity", "do_mg_l",
			       "low_stop", "3", "low", "5", "source", "A handbook", NULL));
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T1", "at", "2026-03-20T09:00:00Z",
			       "do_mg_l", "4.4", "temperature_c", "28", "ph", "7.6", "tan_mg_l",
			       "1.5", NULL));
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T2", "at", "2026-03-20T09:05:00Z",
			       "do_mg_l", "6.2", NULL));
	report_run(f.book, "waters", &q, &f.arena, &got);
	ck_assert_uint_eq(got.n_rows, 1);
	ck_assert_double_eq_tol(report_real(&got, 0, "do_mg_l"), 4.4, 1e-9);
	ck_assert_str_eq(report_text(&got, 0, "do_place"), "T1");
	ck_assert_str_eq(report_text(&got, 0, "do_state"), "low");
	ck_assert_double_eq_tol(report_real(&got, 0, "nh3_n_mg_l"), 0.0406, 0.0001);
	ck_assert_int_eq(report_int(&got, 0, "out_count"), 1);
	ck_assert_str_eq(report_text(&got, 0, "out_place"), "T1");
	ck_assert_str_eq(report_text(&got, 0, "out_quantity"), "do_mg_l");
	/* an older, lower reading does not stand before a fresh one */
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T2", "at", "2026-03-18T09:05:00Z",
			       "do_mg_l", "2", NULL));
	report_run(f.book, "waters", &q, &f.arena, &got);
	ck_assert_double_eq_tol(report_real(&got, 0, "do_mg_l"), 4.4, 1e-9);
}
END_TEST

/* Un-ionised ammonia is never too old to be said: whichever place comes last on the walk, the worse one stands. */
START_TEST(of_two_places_tested_days_ago_the_worse_ammonia_stands)
{
	static const char *const places[] = { "T1", "T2" };
	struct report_query q = report_query_at(f.hand.now);

	for (int worse = 0; worse < 2; worse++) {
		mini_keep(&f, mini_row(&f, "water-tests", "place_id", places[worse], "at",
				       worse ? "2026-03-17T09:00:00Z" : "2026-03-16T09:00:00Z",
				       "tan_mg_l", "3", "ph", "8", "temperature_c", "28", NULL));
		mini_keep(&f, mini_row(&f, "water-tests", "place_id", places[!worse], "at",
				       worse ? "2026-03-17T09:00:00Z" : "2026-03-16T09:00:00Z",
				       "tan_mg_l", "0.5", "ph", "7", "temperature_c", "28", NULL));
		report_run(f.book, "waters", &q, &f.arena, &got);
		ck_assert_str_eq(report_text(&got, 0, "nh3_place"), places[worse]);
	}
}
END_TEST

/* docs/formulas/balance.md: a day to come is fed as the last seven on record, 28 days back at most. */
START_TEST(feed_of_28_days_ago_is_held_and_older_is_not)
{
	struct report_query q = report_query_at(instant_of("2026-03-20T12:00:00Z"));

	mini_keep(&f, mini_row(&f, "feedings", "tank_id", "T1", "feed_id", "Grower 32", "amount_g",
			       "3000", "at", "2026-02-20T08:00:00Z", NULL));
	ask(&q);
	ck_assert_double_eq_tol(on("2026-03-21", "feed_g"), 3000, 1e-6);
	q.now += DAY_SECONDS;
	ask(&q);
	ck_assert(isnan(on("2026-03-22", "feed_g")));
}
END_TEST

static void open_bare_farm(void)
{
	mini_farm_open(&f);
}

Suite *nitrate_suite(void)
{
	Suite *s = suite_create("nitrate to come");
	TCase *t = tcase_create("model");

	tcase_add_checked_fixture(t, open_farm, close_farm);
	tcase_add_test(t, a_share_found_from_a_change_gives_the_change_again);
	tcase_add_test(t, a_step_never_falls_below_nothing_and_conserves_nitrogen);
	tcase_add_test(t, the_share_is_learned_from_the_measured_past);
	tcase_add_test(t, nothing_jumps_when_days_pass_without_data);
	tcase_add_test(t, a_late_entry_gives_the_same_answer_as_an_early_one);
	tcase_add_test(t, a_harvest_lowers_it_and_halves_lie_between);
	tcase_add_test(t, a_harvest_from_fish_of_unknown_mass_is_not_known);
	tcase_add_test(t, a_planting_adds_area_from_its_day);
	tcase_add_test(t, the_line_of_a_water_says_the_worst_first);
	tcase_add_test(t, of_two_places_tested_days_ago_the_worse_ammonia_stands);
	suite_add_tcase(s, t);
	t = tcase_create("feed held");
	tcase_add_checked_fixture(t, open_bare_farm, close_farm);
	tcase_add_test(t, feed_of_28_days_ago_is_held_and_older_is_not);
	suite_add_tcase(s, t);
	return s;
}

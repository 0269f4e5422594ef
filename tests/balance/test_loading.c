/* Report loading against hand-made sums on a small farm. */
#include "balance_tests.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "support/mini_farm.h"
#include "support/report_cells.h"

static struct mini_farm f;
static struct report_result got;

/* Bed B9: rafts of 1.2 m by 0.6 m, 18 sites.  36 plants stand on two of them from 10 March: 1.44 m2. */
static void open_farm(void)
{
	mini_farm_open(&f);
	mini_keep(&f, mini_row(&f, "beds", "code", "B9", "loop_id", "L1", "role", "raft",
			       "length_m", "12", "width_m", "1.2", "raft_length_m", "1.2",
			       "raft_width_m", "0.6", "sites_per_raft", "18", NULL));
	mini_keep(&f, mini_row(&f, "crop-moves", "crop_lot_id", "C1", "from_bed_id", "N1",
			       "to_bed_id", "B9", "plants", "36", "day", "2026-03-10", NULL));
	mini_keep(&f, mini_row(&f, "units", "code", "M1", "loop_id", "L1", "role", "moving_bed",
			       "media_area_m2", "10", "nitrification_g_m2_day", "0.5", NULL));
}

static void close_farm(void)
{
	mini_farm_close(&f);
}

static void feed(const char *tank, const char *feed, const char *g, const char *uneaten_g,
		 const char *at)
{
	mini_keep(&f, mini_row(&f, "feedings", "tank_id", tank, "feed_id", feed, "amount_g", g,
			       "uneaten_g", uneaten_g, "at", at, NULL));
}

static void ask(const char *from, const char *to)
{
	struct report_query q = report_query_at(f.hand.now);

	q.from_day = day_of(from);
	q.to_day = day_of(to);
	q.explain = true;
	report_run(f.book, "loading", &q, &f.arena, &got);
}

static double cell(size_t row, const char *column)
{
	return report_real(&got, row, column);
}

/* 100 g of 32 % less 20 g, 60 g of 45 %: 140 g eaten, protein 25.6 + 27 = 52.6 g, TAN 4.8392 g. */
START_TEST(a_days_loads_are_the_sums_of_its_feeds)
{
	feed("T1", "Grower 32", "100", "20", "2026-03-18T08:00:00Z");
	feed("T2", "Starter 45", "60", "", "2026-03-18T09:00:00Z");
	ask("2026-03-18", "2026-03-18");
	ck_assert_uint_eq(got.n_rows, 1);
	ck_assert_double_eq_tol(cell(0, "feed_g"), 140, 1e-9);
	ck_assert_double_eq_tol(cell(0, "tan_g"), 52.6 * 0.092, 1e-9);
	ck_assert_double_eq_tol(cell(0, "oxygen_g"), 56, 1e-9);
	ck_assert_double_eq_tol(cell(0, "co2_g"), 77, 1e-9);
	ck_assert_double_eq_tol(cell(0, "solids_g"), 35, 1e-9);
	ck_assert_double_eq_tol(cell(0, "alkalinity_g"), 52.6 * 0.092 * 7.05, 1e-9);
	ck_assert_double_eq_tol(cell(0, "filter_load_pct"), 52.6 * 0.092 / 5 * 100, 1e-9);
	ck_assert_double_eq_tol(cell(0, "planted_m2"), 1.44, 1e-9);
	const struct explanation *e = report_explanation("loading", &got, 0);
	ck_assert_int_eq(e->entries[0].count, 2);
	ck_assert_double_eq_tol(e->entries[0].sum, 160, 1e-9);
}
END_TEST

/* Protein is dated: what the feed had on its day. */
START_TEST(protein_of_the_feed_is_as_of_the_day)
{
	const char *key = "0b6c1f0e-5d1a-4c55-9a53-0a6d6c3f0a11";

	mini_keep(&f,
		  mini_row(&f, "feeds", "name", "Richer", "protein_pct", "32", "key", key, NULL));
	mini_keep(&f, mini_row(&f, "set-up-changes", "of_kind", "feeds", "of_key", key, "field",
			       "protein_pct", "from_day", "2026-03-18", "value", "40", NULL));
	feed("T1", "Richer", "100", "", "2026-03-17T08:00:00Z");
	feed("T1", "Richer", "100", "", "2026-03-18T08:00:00Z");
	ask("2026-03-17", "2026-03-18");
	ck_assert_double_eq_tol(cell(0, "tan_g"), 32 * 0.092, 1e-9);
	ck_assert_double_eq_tol(cell(1, "tan_g"), 40 * 0.092, 1e-9);
}
END_TEST

START_TEST(a_tank_counts_for_the_loop_it_was_in)
{
	mini_keep(&f, mini_row(&f, "loops", "code", "L2", "water_volume_l", "9000", NULL));
	mini_keep(&f,
		  mini_row(&f, "tanks", "code", "T9", "loop_id", "L2", "volume_l", "900", NULL));
	feed("T1", "Grower 32", "100", "", "2026-03-18T08:00:00Z");
	feed("T9", "Grower 32", "70", "", "2026-03-18T08:00:00Z");
	ask("2026-03-18", "2026-03-18");
	ck_assert_double_eq_tol(cell(report_row(&got, "loop", "L1"), "feed_g"), 100, 1e-9);
	ck_assert_double_eq_tol(cell(report_row(&got, "loop", "L2"), "feed_g"), 70, 1e-9);
	/* nothing planted: no ratio, not an endless one */
	ck_assert(isnan(cell(report_row(&got, "loop", "L2"), "feed_g_m2_day")));
}
END_TEST

/* Seven days of 72 g on 1.44 m2 are 50 g/m2 a day; one whose record is empty is left out, not taken as 0. */
START_TEST(the_weeks_mean_leaves_out_days_without_a_record)
{
	char at[] = "2026-03-11T08:00:00Z";

	for (int day = 11; day <= 17; day++) {
		at[8] = (char)('0' + day / 10);
		at[9] = (char)('0' + day % 10);
		if (day != 14)
			feed("T1", "Grower 32", "72", "", at);
	}
	ask("2026-03-17", "2026-03-17");
	ck_assert_double_eq_tol(cell(0, "feed_g_m2_day"), 50, 1e-9);
	ck_assert_uint_eq(got.notes[0].of && !strcmp(got.notes[0].code, "days_unrecorded"), 1);
	ck_assert_ptr_null(report_text(&got, 0, "band")); /* the farm set none */
}
END_TEST

/* Feed logged this morning moves today's loads, and no week's mean: the day is not over. */
START_TEST(the_week_of_today_ends_with_yesterday)
{
	feed("T1", "Grower 32", "144", "", "2026-03-19T08:00:00Z");
	feed("T1", "Grower 32", "10", "", "2026-03-20T08:00:00Z");
	ask("2026-03-19", "2026-03-20");
	ck_assert_double_eq_tol(cell(1, "feed_g"), 10, 1e-9);
	ck_assert_double_eq_tol(cell(1, "feed_g_m2_day"), cell(0, "feed_g_m2_day"), 1e-9);
}
END_TEST

START_TEST(a_day_without_a_record_is_not_known)
{
	ask("2026-03-18", "2026-03-18");
	ck_assert(isnan(cell(0, "feed_g")));
	ck_assert(isnan(cell(0, "tan_g")));
	ck_assert(isnan(cell(0, "feed_g_m2_day")));
}
END_TEST

/* A late entry gives the answer that an early one would have given. */
START_TEST(a_late_entry_gives_the_same_answer)
{
	feed("T1", "Grower 32", "100", "", "2026-03-16T08:00:00Z");
	feed("T1", "Grower 32", "200", "", "2026-03-15T08:00:00Z");
	ask("2026-03-12", "2026-03-18");
	char *late = strdup(report_as_text(&got, &f.arena));

	mini_farm_close(&f);
	open_farm();
	feed("T1", "Grower 32", "200", "", "2026-03-15T08:00:00Z");
	feed("T1", "Grower 32", "100", "", "2026-03-16T08:00:00Z");
	ask("2026-03-12", "2026-03-18");
	ck_assert_str_eq(report_as_text(&got, &f.arena), late);
	free(late);
}
END_TEST

Suite *loading_suite(void)
{
	Suite *s = suite_create("report loading");
	TCase *t = tcase_create("rows");

	tcase_add_checked_fixture(t, open_farm, close_farm);
	tcase_add_test(t, a_days_loads_are_the_sums_of_its_feeds);
	tcase_add_test(t, protein_of_the_feed_is_as_of_the_day);
	tcase_add_test(t, a_tank_counts_for_the_loop_it_was_in);
	tcase_add_test(t, the_weeks_mean_leaves_out_days_without_a_record);
	tcase_add_test(t, the_week_of_today_ends_with_yesterday);
	tcase_add_test(t, a_day_without_a_record_is_not_known);
	tcase_add_test(t, a_late_entry_gives_the_same_answer);
	suite_add_tcase(s, t);
	return s;
}

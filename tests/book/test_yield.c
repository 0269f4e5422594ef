/* Reports yield and losses, worked by hand; entries in any order are tests/property's, sums that close test_crop_property's. */
#include "book_tests.h"
#include "support/crop_farm.h"

#include <math.h>
#include <stdio.h>

#include "base/zone.h"

static void ask(const char *report, const char *by, const char *from, const char *to)
{
	struct report_query q = report_query_at(own_farm.hand.now);

	q.by = by;
	q.from_day = day_of(from);
	q.to_day = day_of(to);
	report_run(own_farm.book, report, &q, &own_farm.arena, &seen);
}

static void lose(const char *bed, const char *plants, const char *cause, const char *day)
{
	keep_row(mini_row(&own_farm, "crop-losses", "crop_lot_id", "C10", "bed_id", bed, "plants",
			  plants, "cause", cause, "day", day, NULL));
}

/* 200 cubes at 90 % are 180; 10 and 5 are lost; 165 heads of 150 g from 6 rafts of 1.25 m2, 28 days planted. */
static void one_lot(void)
{
	sow("C10", "200", "2026-02-01");
	lose("N1", "10", "damping_off", "2026-02-10");
	move_to_bed("C10", "170", "2026-02-15");
	lose("B2", "3", "pest", "2026-02-20");
	lose("B2", "2", "pest", "2026-02-21");
	cut("C10", "165", "24750", "2026-03-15");
}

static double real_of(const char *name, const char *column)
{
	return report_real(&seen, report_row(&seen, "name", name), column);
}

static int64_t whole_of(const char *name, const char *column)
{
	return report_int(&seen, report_row(&seen, "name", name), column);
}

START_TEST(a_lot_gives_by_the_rafts_and_days_that_it_stood)
{
	one_lot();
	ask("yield", "variety", "2026-02-01", "2026-03-31");
	ck_assert_uint_eq(seen.n_rows, 1);
	ck_assert_double_eq_tol(real_of("Red oak", "pieces_m2_week"), 165.0 / (28 * 7.5) * 7,
				1e-9); /* 5.5 */
	ck_assert_double_eq_tol(real_of("Red oak", "weight_g_m2_week"), 825.0, 1e-9);
	ck_assert_double_eq_tol(real_of("Red oak", "planted_m2"), 210.0 / 59, 1e-9);
	ck_assert_int_eq(whole_of("Red oak", "lost_nursery"), 10);
	ck_assert_int_eq(whole_of("Red oak", "lost_raft"), 5);
	ck_assert_int_eq(whole_of("Red oak", "unexplained"), 0);
	ck_assert_int_eq(whole_of("Red oak", "lots"), 1);
	ck_assert_int_eq(whole_of("Red oak", "came_up"), 180);
	ck_assert_double_eq_tol(real_of("Red oak", "harvested_pct"), 82.5, 1e-9);
}
END_TEST

START_TEST(a_lot_that_still_stands_has_not_ended)
{
	one_lot();
	ask("yield", "crop", "2026-02-01", "2026-03-14");
	ck_assert_int_eq(whole_of("Lettuce", "lots"), 0);
	ck_assert_int_eq(whole_of("Lettuce", "sown_cubes"), NO_INT);
	ck_assert(isnan(real_of("Lettuce", "harvested_pct")));
	ck_assert_double_eq_tol(real_of("Lettuce", "planted_m2"), 210.0 / 42, 1e-9);
}
END_TEST

START_TEST(by_bed_each_has_its_own_and_no_lots)
{
	one_lot();
	ask("yield", "bed", "2026-02-01", "2026-03-31");
	ck_assert_int_eq(whole_of("N1", "lost_nursery"), 10);
	ck_assert(isnan(real_of("N1", "pieces_m2_week")));
	ck_assert_int_eq(whole_of("B2", "lost_raft"), 5);
	ck_assert_int_eq(whole_of("B2", "pieces"), 165);
	ck_assert_int_eq(whole_of("B2", "lots"), NO_INT);
	ck_assert_double_eq_tol(real_of("B2", "pieces_m2_week"), 5.5, 1e-9);
}
END_TEST

START_TEST(losses_are_by_stage_and_cause_most_first)
{
	one_lot();
	ask("losses", NULL, "2026-02-01", "2026-03-31");
	ck_assert_uint_eq(seen.n_rows, 2);
	ck_assert_str_eq(report_text(&seen, 0, "stage"), "nursery");
	ck_assert_str_eq(report_text(&seen, 0, "cause"), "damping_off");
	ck_assert_double_eq_tol(report_real(&seen, 0, "share_pct"), 100.0 * 10 / 15, 1e-9);
	ck_assert_int_eq(report_int(&seen, 1, "entries"), 2);
	ck_assert_int_eq(report_int(&seen, 1, "plants"), 5);
}
END_TEST

/*
 * FB031 of fish-and-beds.csv: Rakocy, Bailey, Shultz and Thoman (2004), basil in batches, 25.0 kg/m2 a year.  A bed of
 * 25 m2 of rafts that stands full for 364 days and gives 52 cuts of 12 kg, less than half a percent off, comes to it.
 */
START_TEST(published_basil_comes_to_its_kilograms_a_square_metre)
{
	char day[16];

	keep_row(mini_row(&own_farm, "crop-lots", "code", "C20", "variety_id", "Large leaf",
			  "bed_id", "N1", "cubes", "600", "day", "2025-01-01", NULL));
	keep_row(mini_row(&own_farm, "crop-moves", "crop_lot_id", "C20", "from_bed_id", "N1",
			  "to_bed_id", "B2", "plants", "600", "day", "2025-01-02", NULL));
	for (int week = 1; week <= 52; week++) {
		struct civil c;

		day_to_civil(day_of("2025-01-01") + 7 * week, &c);
		snprintf(day, sizeof(day), "%04d-%02d-%02d", c.year, c.month, c.day);
		keep_row(mini_row(&own_farm, "harvests", "crop_lot_id", "C20", "bed_id", "B2",
				  "weight_g", "12000", "day", day, NULL));
	}
	ask("yield", "crop", "2025-01-02", "2025-12-31");
	ck_assert_double_eq_tol(real_of("Basil", "planted_m2"), 25.0, 1e-9);
	ck_assert_double_eq_tol(real_of("Basil", "weight_g_m2_week") / 7 * 365.25 / 1000, 25.0,
				0.1);
	ck_assert(isnan(real_of("Basil", "pieces_m2_week")));
}
END_TEST

Suite *yield_suite(void)
{
	Suite *s = suite_create("yield");
	TCase *t = tcase_create("yield");

	tcase_add_checked_fixture(t, crop_farm_open, crop_farm_close);
	tcase_add_test(t, a_lot_gives_by_the_rafts_and_days_that_it_stood);
	tcase_add_test(t, a_lot_that_still_stands_has_not_ended);
	tcase_add_test(t, by_bed_each_has_its_own_and_no_lots);
	tcase_add_test(t, losses_are_by_stage_and_cause_most_first);
	tcase_add_test(t, published_basil_comes_to_its_kilograms_a_square_metre);
	suite_add_tcase(s, t);
	return s;
}

/* What report water makes of tests and readings: computed quantities, kits' bounds, ions, limits and ages. */
#include "book_tests.h"

#include <math.h>
#include <string.h>

#include "book/water.h"
#include "support/mini_farm.h"
#include "support/report_cells.h"

static struct mini_farm f;
static struct report_result got;

static void limit(const char *species, const char *quantity, const char *low_stop, const char *low,
		  const char *high, const char *high_stop, const char *source)
{
	mini_keep(&f, mini_row(&f, "species-limits", "species_id", species, "quantity", quantity,
			       "low_stop", low_stop, "low", low, "high", high, "high_stop",
			       high_stop, "source", source, NULL));
}

static void open_farm(void)
{
	mini_farm_open(&f);
	limit("Tilapia", "do_mg_l", "3", "5", "", "", "A handbook");
	limit("Tilapia", "tan_mg_l", "", "", "2", "4", "A handbook");
	limit("Tilapia", "nh3_n_mg_l", "", "", "0.05", "0.4", "Another handbook");
	limit("Tilapia", "nitrite_n_mg_l", "", "", "1", "3", "A handbook");
	limit("Tilapia", "saturation_pct", "40", "60", "", "", "A handbook");
	mini_keep(&f, mini_row(&f, "units", "code", "S1", "loop_id", "L1", "role", "sump", NULL));
}

static void close_farm(void)
{
	mini_farm_close(&f);
}

static void ask(const char *at)
{
	struct report_query q = report_query_at(instant_of(at));

	report_run(f.book, "water", &q, &f.arena, &got);
}

static size_t row(const char *place, const char *quantity)
{
	return report_row2(&got, "place", place, "quantity", quantity);
}

static double value(const char *place, const char *quantity)
{
	return report_real(&got, row(place, quantity), "value");
}

static const char *state(const char *place, const char *quantity)
{
	return report_text(&got, row(place, quantity), "state");
}

/* 1.5 mg/L TAN at 28 degC and pH 7.6 is 0.0406 mg/L NH3-N: worked by hand from Emerson and others (1975). */
START_TEST(ammonia_of_one_test_is_shown_though_nobody_typed_it)
{
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T1", "at", "2026-03-19T09:00:00Z",
			       "tan_mg_l", "1.5", "ph", "7.6", "temperature_c", "28", NULL));
	ask("2026-03-19T10:00:00Z");
	ck_assert_double_eq_tol(value("T1", "nh3_n_mg_l"), 0.0406, 0.0001);
	ck_assert_int_eq(report_int(&got, row("T1", "nh3_n_mg_l"), "computed"), 1);
	ck_assert_int_eq(report_int(&got, row("T1", "nh3_n_mg_l"), "age_min"), 60);
	ck_assert_str_eq(report_text(&got, row("T1", "nh3_n_mg_l"), "limit_source"),
			 "Tilapia: Another handbook");
	ck_assert_int_eq(report_int(&got, row("T1", "tan_mg_l"), "computed"), 0);
}
END_TEST

START_TEST(ammonia_takes_the_loops_temperature_where_the_sump_has_none)
{
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T1", "at", "2026-03-19T06:00:00Z",
			       "temperature_c", "27.5", NULL));
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T2", "at", "2026-03-19T06:10:00Z",
			       "temperature_c", "28.5", NULL));
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "S1", "at", "2026-03-19T09:00:00Z",
			       "tan_mg_l", "1.5", "ph", "7.6", NULL));
	ask("2026-03-19T10:00:00Z");
	ck_assert_double_eq_tol(value("S1", "nh3_n_mg_l"), 0.0406, 0.0001);
}
END_TEST

START_TEST(a_temperature_too_old_gives_no_ammonia)
{
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T1", "at", "2026-03-18T20:59:59Z",
			       "temperature_c", "28", NULL));
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T1", "at", "2026-03-19T09:00:00Z",
			       "tan_mg_l", "1.5", "ph", "7.6", NULL));
	ask("2026-03-19T10:00:00Z");
	ck_assert_uint_eq(report_count(&got, "quantity", "nh3_n_mg_l"), 0);
	/* one that comes within the hour pairs with it */
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T1", "at", "2026-03-19T10:00:00Z",
			       "temperature_c", "28", NULL));
	ask("2026-03-19T10:00:00Z");
	ck_assert_double_eq_tol(value("T1", "nh3_n_mg_l"), 0.0406, 0.0001);
}
END_TEST

/* docs/rules.md: values below a kit's range stay so, never 0. */
START_TEST(below_the_kit_stays_below_through_the_judging)
{
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T1", "at", "2026-03-19T09:00:00Z",
			       "tan_mg_l", "0.25", "ph", "7.6", "temperature_c", "28", "below",
			       "tan_mg_l", NULL));
	ask("2026-03-19T10:00:00Z");
	ck_assert_double_eq(value("T1", "tan_mg_l"), 0.25);
	ck_assert_str_eq(report_text(&got, row("T1", "tan_mg_l"), "bound"), "below");
	ck_assert_str_eq(state("T1", "tan_mg_l"), "ok");
	ck_assert_double_eq_tol(value("T1", "nh3_n_mg_l"), 0.25 * 0.02710, 0.0001);
	ck_assert_str_eq(report_text(&got, row("T1", "nh3_n_mg_l"), "bound"), "below");
	ck_assert_str_eq(state("T1", "nh3_n_mg_l"), "ok");
}
END_TEST

/* A kit that ends at 5 says nothing of a limit of 2 when it shows "below 5". */
START_TEST(a_bound_that_could_be_either_is_unknown)
{
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T1", "at", "2026-03-19T09:00:00Z",
			       "tan_mg_l", "5", "nitrite_n_mg_l", "1.5", "below", "tan_mg_l",
			       "above", "nitrite_n_mg_l", NULL));
	ask("2026-03-19T10:00:00Z");
	ck_assert_str_eq(state("T1", "tan_mg_l"), "unknown");
	ck_assert_str_eq(state("T1", "nitrite_n_mg_l"), "high");
}
END_TEST

/* Nitrite as ion 3.3 mg/L is 3.3 x 14.007 / 46.005 = 1.0047 mg/L as nitrogen (IUPAC weights 2021). */
START_TEST(an_ion_is_converted_and_both_are_kept)
{
	struct record *test = mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T1", "at",
						     "2026-03-19T09:00:00Z", "nitrite_n_mg_l",
						     "3.3", "as_ion", "nitrite_n_mg_l", NULL));

	ask("2026-03-19T10:00:00Z");
	ck_assert_double_eq_tol(value("T1", "nitrite_n_mg_l"), 1.0047, 0.0001);
	ck_assert_double_eq(report_real(&got, row("T1", "nitrite_n_mg_l"), "as_read"), 3.3);
	ck_assert_str_eq(state("T1", "nitrite_n_mg_l"), "high");
	ck_assert_double_eq(record_real(test, "nitrite_n_mg_l"), 3.3);
}
END_TEST

/* 7.5 mg/L at 24 degC and sea level: 100 x 7.5 / 8.4182 = 89.1 %; at 1000 m the water holds 7.44 (USGS 2011.03). */
START_TEST(saturation_is_computed_with_the_farms_altitude)
{
	struct record *farm, *kept;

	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T1", "at", "2026-03-19T09:00:00Z",
			       "do_mg_l", "7.5", "temperature_c", "24", NULL));
	ask("2026-03-19T10:00:00Z");
	ck_assert_double_eq_tol(value("T1", "saturation_pct"), 89.1, 0.05);
	ck_assert(!store_get(f.store, kind_find("farm"), 1, &f.arena, &farm, &f.err));
	mini_patch(&f, farm, "altitude_m", "1000", &kept);
	ask("2026-03-19T10:00:00Z");
	ck_assert_double_eq_tol(value("T1", "saturation_pct"), 89.1 / 0.8837, 0.1);
}
END_TEST

/* A tank's limits are of its own fish; an empty tank has none, a sump those of all its water. */
START_TEST(limits_are_of_the_fish_that_stand_there)
{
	static const char *const places[] = { "T1", "T2", "S1" };

	for (int i = 0; i < 3; i++)
		mini_keep(&f, mini_row(&f, "water-tests", "place_id", places[i], "at",
				       "2026-03-19T09:00:00Z", "do_mg_l", "4.2", NULL));
	ask("2026-03-19T10:00:00Z");
	ck_assert_str_eq(state("T1", "do_mg_l"), "low");
	ck_assert_str_eq(state("T2", "do_mg_l"), "ok");
	ck_assert_str_eq(state("S1", "do_mg_l"), "low");
	ck_assert_ptr_null(report_text(&got, row("T2", "do_mg_l"), "limit_source"));
}
END_TEST

START_TEST(the_strictest_of_two_species_holds_and_both_are_named)
{
	mini_keep(&f, mini_row(&f, "species", "name", "Trout", NULL));
	limit("Trout", "do_mg_l", "4", "6", "", "", "A third handbook");
	mini_keep(&f, mini_row(&f, "fish-lots", "code", "F9", "species_id", "Trout", NULL));
	mini_keep(&f, mini_row(&f, "fish-moves", "fish_lot_id", "F9", "to_tank_id", "T1", "fish",
			       "10", "reason", "stocking", "at", "2026-03-02T09:00:00Z", NULL));
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T1", "at", "2026-03-19T09:00:00Z",
			       "do_mg_l", "5.5", NULL));
	ask("2026-03-19T10:00:00Z");
	ck_assert_double_eq(report_real(&got, row("T1", "do_mg_l"), "low"), 6);
	ck_assert_double_eq(report_real(&got, row("T1", "do_mg_l"), "low_stop"), 4);
	ck_assert_str_eq(report_text(&got, row("T1", "do_mg_l"), "limit_source"),
			 "Tilapia: A handbook; Trout: A third handbook");
	ck_assert_str_eq(state("T1", "do_mg_l"), "low");
}
END_TEST

START_TEST(a_reading_is_old_after_its_stated_age)
{
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T1", "at", "2026-03-18T06:00:00Z",
			       "do_mg_l", "6", NULL));
	ask("2026-03-19T08:00:00Z");
	ck_assert_int_eq(report_int(&got, row("T1", "do_mg_l"), "is_old"), 0);
	ck_assert_int_eq(report_int(&got, row("T1", "do_mg_l"), "old_after_min"), 26 * 60);
	ask("2026-03-19T08:00:01Z");
	ck_assert_int_eq(report_int(&got, row("T1", "do_mg_l"), "is_old"), 1);
}
END_TEST

/* Below pH 6 the formula has no range, but the share can only be smaller: a bound, not a guess. */
START_TEST(acid_water_bounds_the_ammonia)
{
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T1", "at", "2026-03-19T09:00:00Z",
			       "tan_mg_l", "1", "ph", "5.5", "temperature_c", "25", NULL));
	ask("2026-03-19T10:00:00Z");
	ck_assert_str_eq(report_text(&got, row("T1", "nh3_n_mg_l"), "bound"), "below");
	ck_assert_double_lt(value("T1", "nh3_n_mg_l"), 0.0006);
}
END_TEST

static void ask_history(const char *only, const char *at, int64_t days)
{
	struct report_query q = report_query_at(instant_of(at));

	q.only = only;
	q.to_day = book_day(f.book, q.now);
	q.from_day = q.to_day - days + 1;
	report_run(f.book, "water-history", &q, &f.arena, &got);
}

/* Twice the hand-worked 0.0406 of above, at the same pH and temperature, is 0.0812: over the limit of 0.05. */
START_TEST(every_test_is_kept_with_its_ammonia_and_state)
{
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T1", "at", "2026-03-10T09:00:00Z",
			       "tan_mg_l", "3", "ph", "7.6", "temperature_c", "28", NULL));
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T1", "at", "2026-03-19T09:00:00Z",
			       "tan_mg_l", "1.5", "ph", "7.6", "temperature_c", "28", NULL));
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T2", "at", "2026-03-19T09:00:00Z",
			       "do_mg_l", "6", NULL));
	ask_history("t1", "2026-03-19T10:00:00Z", 30);
	ck_assert_uint_eq(report_count(&got, "place", "T2"), 0);
	ck_assert_uint_eq(report_count(&got, "quantity", "nh3_n_mg_l"), 2);
	const size_t first = row("T1", "nh3_n_mg_l"), tan = row("T1", "tan_mg_l");
	ck_assert_double_eq_tol(report_real(&got, first, "value"), 0.0812, 0.0002);
	ck_assert_str_eq(report_text(&got, first, "state"), "high");
	ck_assert_double_eq(report_real(&got, tan, "value"), 3);
	ck_assert_str_eq(report_text(&got, tan, "state"), "high");
	/* a day on which only the second was read */
	ask_history("T1", "2026-03-19T10:00:00Z", 9);
	ck_assert_uint_eq(report_count(&got, "quantity", "nh3_n_mg_l"), 1);
	ck_assert_double_eq_tol(value("T1", "nh3_n_mg_l"), 0.0406, 0.0001);
	ck_assert_str_eq(state("T1", "nh3_n_mg_l"), "ok");
}
END_TEST

START_TEST(all_places_at_once_are_given_for_a_month_and_it_says_so)
{
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T1", "at", "2026-01-19T09:00:00Z",
			       "do_mg_l", "6", NULL));
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T2", "at", "2026-03-18T09:00:00Z",
			       "do_mg_l", "7", NULL));
	ask_history(NULL, "2026-03-19T10:00:00Z", 100);
	ck_assert_uint_eq(got.n_rows, 1);
	ck_assert_uint_eq(got.n_notes, 1);
	ck_assert_str_eq(got.notes[0].code, "water_history_cut");
	ask_history("T1", "2026-03-19T10:00:00Z", 100);
	ck_assert_uint_eq(got.n_rows, 1);
	ck_assert_uint_eq(got.n_notes, 0);
}
END_TEST

START_TEST(each_row_says_why)
{
	struct report_query q = report_query_at(instant_of("2026-03-19T10:00:00Z"));
	const struct report *report = report_find("water");

	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T1", "at", "2026-03-19T09:00:00Z",
			       "tan_mg_l", "1.5", "ph", "7.6", "temperature_c", "28", NULL));
	q.explain = true;
	report_run(f.book, "water", &q, &f.arena, &got);
	const char *at =
		got.rows + row("T1", "nh3_n_mg_l") * report->row_size + report->explain_offset;
	const struct explanation *e = *(const struct explanation *const *)(const void *)at;

	ck_assert_ptr_nonnull(strstr(e->source, "Emerson"));
	ck_assert_uint_eq(e->n_inputs, 3);
	ck_assert_str_eq(e->inputs[0].name, "tan_mg_l");
	ck_assert_double_eq(e->inputs[0].value, 1.5);
	ck_assert_uint_eq(e->n_entries, 1);
}
END_TEST

static void nitrate_test(const char *key, const char *mg_l, const char *at)
{
	mini_keep(&f, mini_row(&f, "water-tests", "key", key, "place_id", "S1", "nitrate_n_mg_l",
			       mg_l, "at", at, NULL));
}

/* Two tests of one instant stand in the ledger's order, by key, whichever came first. */
START_TEST(of_two_tests_at_one_instant_the_later_key_is_newest)
{
	nitrate_test("20000000-0000-4000-8000-000000000001", "20", "2026-03-10T08:00:00Z");
	nitrate_test("10000000-0000-4000-8000-000000000001", "10", "2026-03-10T08:00:00Z");
	ask("2026-03-10T12:00:00Z");
	ck_assert_double_eq(value("S1", "nitrate_n_mg_l"), 20.0);
	nitrate_test("10000000-0000-4000-8000-000000000002", "30", "2026-03-11T08:00:00Z");
	nitrate_test("20000000-0000-4000-8000-000000000002", "40", "2026-03-11T08:00:00Z");
	ask("2026-03-11T12:00:00Z");
	ck_assert_double_eq(value("S1", "nitrate_n_mg_l"), 40.0);
}
END_TEST

Suite *water_suite(void)
{
	Suite *s = suite_create("water");
	TCase *t = tcase_create("report");

	tcase_add_checked_fixture(t, open_farm, close_farm);
	tcase_add_test(t, ammonia_of_one_test_is_shown_though_nobody_typed_it);
	tcase_add_test(t, ammonia_takes_the_loops_temperature_where_the_sump_has_none);
	tcase_add_test(t, a_temperature_too_old_gives_no_ammonia);
	tcase_add_test(t, below_the_kit_stays_below_through_the_judging);
	tcase_add_test(t, a_bound_that_could_be_either_is_unknown);
	tcase_add_test(t, an_ion_is_converted_and_both_are_kept);
	tcase_add_test(t, saturation_is_computed_with_the_farms_altitude);
	tcase_add_test(t, limits_are_of_the_fish_that_stand_there);
	tcase_add_test(t, the_strictest_of_two_species_holds_and_both_are_named);
	tcase_add_test(t, a_reading_is_old_after_its_stated_age);
	tcase_add_test(t, acid_water_bounds_the_ammonia);
	tcase_add_test(t, every_test_is_kept_with_its_ammonia_and_state);
	tcase_add_test(t, all_places_at_once_are_given_for_a_month_and_it_says_so);
	tcase_add_test(t, each_row_says_why);
	tcase_add_test(t, of_two_tests_at_one_instant_the_later_key_is_newest);
	suite_add_tcase(s, t);
	return s;
}

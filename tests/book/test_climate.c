/* Report climate: what was noted, and light held against FAO-56 through the calculators' own functions. */
#include "book_tests.h"

#include <math.h>

#include "model/kinds.h"
#include "support/mini_farm.h"
#include "support/report_cells.h"

static struct mini_farm f;
static struct report_result got;

/* 20 degrees south, 3 September: FAO-56 example 8 has Ra 32.2 MJ/m2/day and 11.7 h. */
static void open_farm(void)
{
	struct record *farm;

	mini_farm_open(&f);
	f.hand.now = instant_of("2026-09-04T12:00:00Z");
	farm = record_new(&farm_kind, &f.arena);
	farm->id = 1;
	ck_assert(!mini_patch(&f, farm, "latitude_deg", "-20", NULL));
	mini_keep(&f, mini_row(&f, "zones", "code", "GLASS", "glazing_transmission", "0.6",
			       "lamp_ppfd", "200", "lamp_on", "22:00", "lamp_off", "04:00",
			       "temperature_low_c", "17", "temperature_high_c", "28", NULL));
	mini_keep(&f, mini_row(&f, "climate-notes", "zone_id", "GLASS", "temperature_c", "25",
			       "humidity_pct", "60", "at", "2026-09-03T08:00:00Z", NULL));
	mini_keep(&f, mini_row(&f, "climate-notes", "zone_id", "GLASS", "temperature_c", "30", "at",
			       "2026-09-03T12:00:00Z", NULL));
}

static void close_farm(void)
{
	mini_farm_close(&f);
}

static void ask(void)
{
	struct report_query q = report_query_at(f.hand.now);

	q.from_day = q.to_day = day_of("2026-09-03");
	report_run(f.book, "climate", &q, &f.arena, &got);
	ck_assert_uint_eq(got.n_rows, 1);
}

START_TEST(air_is_what_was_noted)
{
	ask();
	ck_assert_int_eq(report_int(&got, 0, "notes"), 2);
	ck_assert_double_eq(report_real(&got, 0, "temperature_low_c"), 25);
	ck_assert_double_eq(report_real(&got, 0, "temperature_high_c"), 30);
	ck_assert_double_eq(report_real(&got, 0, "temperature_c"), 27.5);
	ck_assert_double_eq(report_real(&got, 0, "humidity_pct"), 60);
	/* FAO-56: 25 degrees and 60 % leave 1.267 kPa. */
	ck_assert_double_eq_tol(report_real(&got, 0, "deficit_kpa"), 1.267, 0.001);
	ck_assert_str_eq(report_text(&got, 0, "state"), "high");
}
END_TEST

START_TEST(light_is_bounded_by_the_sky_and_lamps_by_their_clock)
{
	ask();
	ck_assert_double_eq_tol(report_real(&got, 0, "day_length_h"), 11.67, 0.01);
	ck_assert_double_eq_tol(report_real(&got, 0, "sun_high_mol_m2"), 0.75 * 32.19 * 0.6 * 2.114,
				0.02);
	ck_assert_double_eq_tol(report_real(&got, 0, "sun_low_mol_m2"), 0.25 * 32.19 * 0.6 * 2.114,
				0.02);
	ck_assert_double_eq_tol(report_real(&got, 0, "lamp_mol_m2"), 200 * 6 * 3600 / 1e6, 1e-9);
	ck_assert(isnan(report_real(&got, 0, "target_mol_m2")));
	ck_assert(isnan(report_real(&got, 0, "lamp_hours_low")));
}
END_TEST

/* A lot stands in a bed of the zone; 17 mol less 10.2 of a closed sky takes 9.4 h of 0.72 mol. */
START_TEST(lamp_hours_fill_what_the_crop_still_wants)
{
	mini_keep(&f, mini_row(&f, "varieties", "name", "Test head", "crop_id", "Lettuce",
			       "dli_mol_m2_day", "17", NULL));
	mini_keep(&f, mini_row(&f, "beds", "code", "N9", "loop_id", "L1", "zone_id", "GLASS",
			       "role", "nursery", "length_m", "4", "width_m", "1.2", NULL));
	mini_keep(&f, mini_row(&f, "crop-lots", "code", "C9", "variety_id", "Test head", "bed_id",
			       "N9", "cubes", "100", "day", "2026-09-01", NULL));
	ask();
	ck_assert_double_eq(report_real(&got, 0, "target_mol_m2"), 17);
	ck_assert_double_eq(report_real(&got, 0, "lamp_hours_low"), 0);
	ck_assert_double_eq_tol(report_real(&got, 0, "lamp_hours_high"), (17 - 10.208) / 0.72,
				0.05);
}
END_TEST

START_TEST(without_notes_the_air_is_not_known)
{
	struct report_query q = report_query_at(f.hand.now);

	q.from_day = q.to_day = day_of("2026-09-02");
	report_run(f.book, "climate", &q, &f.arena, &got);
	ck_assert_int_eq(report_int(&got, 0, "notes"), 0);
	ck_assert(isnan(report_real(&got, 0, "temperature_c")));
	ck_assert(isnan(report_real(&got, 0, "deficit_kpa")));
	ck_assert_str_eq(report_text(&got, 0, "state"), "unknown");
}
END_TEST

Suite *climate_suite(void)
{
	Suite *s = suite_create("climate");
	TCase *t = tcase_create("climate");

	tcase_add_checked_fixture(t, open_farm, close_farm);
	tcase_add_test(t, air_is_what_was_noted);
	tcase_add_test(t, light_is_bounded_by_the_sky_and_lamps_by_their_clock);
	tcase_add_test(t, lamp_hours_fill_what_the_crop_still_wants);
	tcase_add_test(t, without_notes_the_air_is_not_known);
	suite_add_tcase(s, t);
	return s;
}

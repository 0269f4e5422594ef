/* Reports harvest and packed over the record. */
#include "book_tests.h"
#include "support/crop_farm.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- harvest --------------------------------------------------------------------------------------- */

static void cut_three(void)
{
	sow("C10", "300", "2026-02-01");
	sow("C11", "300", "2026-02-02");
	move_to_bed("C10", "270", "2026-02-15");
	move_to_bed("C11", "270", "2026-02-16");
	cut("C10", "90", "13500.4", "2026-03-08"); /* a Sunday */
	cut("C10", "10", "1500.3", "2026-03-09");  /* a Monday */
	keep_row(mini_row(&own_farm, "harvests", "crop_lot_id", "C11", "bed_id", "B2", "pieces",
			  "20", "culled_pieces", "2", "culled_g", "120.5", "grade", "small", "day",
			  "2026-03-10", NULL)); /* not weighed */
}

START_TEST(weeks_go_by_their_monday)
{
	cut_three();
	harvests("week", NULL);
	ck_assert_uint_eq(seen.n_rows, 2);
	ck_assert_int_eq(report_int(&seen, 0, "period"), day_of("2026-03-02"));
	ck_assert_int_eq(report_int(&seen, 1, "period"), day_of("2026-03-09"));
	ck_assert_int_eq(report_int(&seen, 1, "harvests"), 2);
	ck_assert_int_eq(report_int(&seen, 1, "pieces"), 30);
	ck_assert_double_eq(report_real(&seen, 1, "weight_g"), 1500.3);        /* measured only */
	ck_assert_double_eq(report_real(&seen, 1, "estimated_g"), 20 * 150.0); /* beside it */
	ck_assert_int_eq(report_int(&seen, 1, "culled_pieces"), 2);
	ck_assert_double_eq(report_real(&seen, 1, "culled_g"), 120.5);
}
END_TEST

START_TEST(keys_stand_in_the_order_asked)
{
	cut_three();
	harvests("lot,month,grade", NULL);
	ck_assert_uint_eq(seen.n_rows, 2);
	ck_assert_str_eq(seen.columns[0].name, "period");
	ck_assert_str_eq(seen.columns[1].name, "lot");
	ck_assert_str_eq(seen.columns[2].name, "grade");
	ck_assert_str_eq(seen.columns[3].name, "harvests");
	ck_assert_int_eq(report_int(&seen, 0, "period"), day_of("2026-03-01"));
	ck_assert_str_eq(report_text(&seen, 0, "lot"), "C10");
	ck_assert_ptr_null(report_text(&seen, 0, "grade"));
	ck_assert_str_eq(report_text(&seen, 1, "grade"), "small");
}
END_TEST

START_TEST(each_key_names_what_was_harvested)
{
	cut_three();
	harvests("crop,variety,bed,species,tank", NULL);
	ck_assert_uint_eq(seen.n_rows, 1);
	ck_assert_int_eq(report_int(&seen, 0, "period"),
			 day_of("2026-03-08")); /* the whole range */
	ck_assert_str_eq(report_text(&seen, 0, "crop"), "Lettuce");
	ck_assert_str_eq(report_text(&seen, 0, "variety"), "Red oak");
	ck_assert_str_eq(report_text(&seen, 0, "bed"), "B2");
	ck_assert_ptr_null(report_text(&seen, 0, "species"));
	ck_assert_ptr_null(report_text(&seen, 0, "tank"));
}
END_TEST

START_TEST(fish_are_harvested_too)
{
	cut_three();
	keep_row(mini_row(&own_farm, "harvests", "fish_lot_id", "F1", "tank_id", "T1", "pieces",
			  "50", "weight_g", "40000", "day", "2026-03-10", NULL));
	harvests("species,crop", NULL);
	ck_assert_uint_eq(seen.n_rows, 2);
	ck_assert_str_eq(report_text(&seen, 0, "species"), "Tilapia");
	ck_assert_ptr_null(report_text(&seen, 0, "crop"));
	ck_assert_double_eq(report_real(&seen, 0, "weight_g"), 40000);
	harvests("lot", "T1");
	ck_assert_uint_eq(seen.n_rows, 1);
	ck_assert_str_eq(report_text(&seen, 0, "lot"), "F1");
}
END_TEST

START_TEST(only_keeps_the_rows_of_a_code_or_name)
{
	cut_three();
	harvests("day", "C11");
	ck_assert_uint_eq(seen.n_rows, 1);
	harvests("day", "red OAK");
	ck_assert_uint_eq(seen.n_rows, 3);
	harvests("day", "B1");
	ck_assert_uint_eq(seen.n_rows, 0);
	harvests("day", "no such thing");
	ck_assert_uint_eq(seen.n_rows, 0);
}
END_TEST

START_TEST(struck_harvest_is_not_counted)
{
	struct record *h;

	cut_three();
	h = cut("C11", "100", "15000", "2026-03-12");
	ck_assert(!mini_strike(&own_farm, h, NULL));
	harvests("month", NULL);
	ck_assert_int_eq(report_int(&seen, 0, "pieces"), 120);
}
END_TEST

START_TEST(weight_that_nobody_can_tell_is_null_and_noted)
{
	sow("C10", "300", "2026-02-01");
	keep_row(mini_row(&own_farm, "harvests", "crop_lot_id", "C1", "bed_id", "N1", "pieces",
			  "20", "day", "2026-03-10", NULL)); /* the variety has no head weight */
	harvests("week", NULL);
	ck_assert(isnan(report_real(&seen, 0, "weight_g")));
	ck_assert(isnan(report_real(&seen, 0, "estimated_g")));
	ck_assert_str_eq(seen.notes[0].code, "weight_unknown");
}
END_TEST

START_TEST(two_periods_are_refused)
{
	struct report_query q = report_query_at(own_farm.hand.now);
	const struct report *report = report_find("harvest");

	seen = (struct report_result){ .arena = &own_farm.arena };
	q.by = "week,day";
	err_clear(&own_farm.err);
	ck_assert_int_eq(report->run(own_farm.book, &q, &seen, &own_farm.err), ERR_INPUT);
	ck_assert(err_has(&own_farm.err, "one_period"));
	q.by = "week,colour";
	err_clear(&own_farm.err);
	ck_assert_int_eq(report->run(own_farm.book, &q, &seen, &own_farm.err), ERR_INPUT);
}
END_TEST

/* A thousand weights with three decimals: the total is exact to the milligram, grouped any way. */
START_TEST(totals_are_exact)
{
	unsigned seed = 20260310;
	int64_t total_mg = 0, sum_mg = 0;

	sow("C10", "300", "2026-02-01");
	for (int i = 0; i < 1000; i++) {
		int64_t mg = rand_r(&seed) % 30000000;
		char weight[32], day[32];

		total_mg += mg;
		snprintf(weight, sizeof(weight), "%d.%03d", (int)(mg / 1000), (int)(mg % 1000));
		snprintf(day, sizeof(day), "2026-0%d-%02d", 1 + i % 3, 1 + i % 19);
		cut("C10", "0", weight, day);
	}
	harvests("day", NULL);
	for (size_t i = 0; i < seen.n_rows; i++)
		sum_mg += llround(report_real(&seen, i, "weight_g") * 1000);
	ck_assert_int_eq(sum_mg, total_mg);
	harvests("crop", NULL);
	ck_assert_int_eq(llround(report_real(&seen, 0, "weight_g") * 1000), total_mg);
}
END_TEST

/* --- packed ---------------------------------------------------------------------------------------- */

static void pack(const char *code, const char *product, const char *packs, const char *harvest_code,
		 const char *pieces, const char *day)
{
	keep_row(mini_row(&own_farm, "packings", "code", code, "product_id", product, "packs",
			  packs, "day", day, NULL));
	keep_row(mini_row(&own_farm, "packing-lines", "packing_id", code, "harvest_id",
			  harvest_code, "pieces", pieces, NULL));
}

static void packed(const char *by, const char *only)
{
	struct report_query q = report_query_at(own_farm.hand.now);

	q.by = by;
	q.only = only;
	report_run(own_farm.book, "packed", &q, &own_farm.arena, &seen);
}

START_TEST(packings_are_totalled_by_product_and_period)
{
	struct record *struck;

	keep_row(mini_row(&own_farm, "products", "code", "PR1", "name", "Lettuce box", "crop_id",
			  "Lettuce", NULL));
	keep_row(mini_row(&own_farm, "products", "code", "PR2", "name", "Red oak heads",
			  "variety_id", "Red oak", NULL));
	sow("C10", "300", "2026-02-01");
	move_to_bed("C10", "270", "2026-02-15");
	keep_row(mini_row(&own_farm, "harvests", "code", "H1", "crop_lot_id", "C10", "bed_id", "B2",
			  "pieces", "200", "day", "2026-03-08", NULL));
	pack("K1", "PR1", "10", "H1", "60", "2026-03-08");
	pack("K2", "PR1", "5", "H1", "30", "2026-03-09");
	pack("K3", "PR2", "7", "H1", "7", "2026-03-09");
	struck = keep_row(mini_row(&own_farm, "packings", "code", "K4", "product_id", "PR2",
				   "packs", "99", "day", "2026-03-09", NULL));
	ck_assert(!mini_strike(&own_farm, struck, NULL));

	packed(NULL, NULL);
	ck_assert_uint_eq(seen.n_rows, 2);
	ck_assert_str_eq(report_text(&seen, 0, "product"), "PR1");
	ck_assert_int_eq(report_int(&seen, 0, "packings"), 2);
	ck_assert_int_eq(report_int(&seen, 0, "packs"), 15);
	ck_assert_int_eq(report_int(&seen, 0, "pieces"), 90);
	ck_assert(isnan(report_real(&seen, 0, "weight_g"))); /* no line has a weight */
	packed("week,product", "PR1");
	ck_assert_uint_eq(seen.n_rows, 2);
	ck_assert_int_eq(report_int(&seen, 1, "period"), day_of("2026-03-09"));
	ck_assert_int_eq(report_int(&seen, 1, "packs"), 5);
}
END_TEST

/* --- in store, held -------------------------------------------------------------------------------- */

static void in_store(const char *day)
{
	struct report_query q = report_query_at(own_farm.hand.now);

	if (day)
		q.day = day_of(day);
	report_run(own_farm.book, "in-store", &q, &own_farm.arena, &seen);
}

static void stock_the_cold_room(void)
{
	keep_row(mini_row(&own_farm, "products", "code", "PR1", "name", "Lettuce box", "crop_id",
			  "Lettuce", NULL));
	keep_row(mini_row(&own_farm, "partners", "name", "Corner Kitchen", "role", "customer",
			  NULL));
	sow("C10", "300", "2026-02-01");
	move_to_bed("C10", "270", "2026-02-15");
	keep_row(mini_row(&own_farm, "harvests", "code", "H1", "crop_lot_id", "C10", "bed_id", "B2",
			  "pieces", "100", "weight_g", "15000", "day", "2026-03-06", NULL));
	pack("K1", "PR1", "10", "H1", "60", "2026-03-08");
}

START_TEST(the_cold_room_holds_what_is_not_gone)
{
	stock_the_cold_room();
	keep_row(mini_row(&own_farm, "shipments", "code", "D1", "partner_id", "Corner Kitchen",
			  "shipped_at", "2026-03-09T08:00:00Z", "day", "2026-03-09", NULL));
	keep_row(mini_row(&own_farm, "shipment-lines", "shipment_id", "D1", "packing_id", "K1",
			  "packs", "3", NULL));
	keep_row(mini_row(&own_farm, "discards", "packing_id", "K1", "quantity", "2", "day",
			  "2026-03-09", NULL));
	in_store("2026-03-08");
	ck_assert_uint_eq(seen.n_rows, 2);
	ck_assert_str_eq(report_text(&seen, 0, "code"), "K1");
	ck_assert_int_eq(report_int(&seen, 0, "packs"), 10);
	ck_assert_int_eq(report_int(&seen, 0, "pieces"), 60);
	ck_assert_int_eq(report_int(&seen, 0, "age_days"), 0);
	ck_assert_str_eq(report_text(&seen, 1, "code"), "H1");
	ck_assert_ptr_null(report_text(&seen, 1, "product"));
	ck_assert_int_eq(report_int(&seen, 1, "pieces"), 40);
	ck_assert_double_eq_tol(report_real(&seen, 1, "weight_g"), 15000 * 0.4, 1e-6);
	ck_assert_int_eq(report_int(&seen, 1, "age_days"), 2);
	in_store("2026-03-09");
	ck_assert_int_eq(report_int(&seen, 0, "packs"), 5);
	ck_assert_int_eq(report_int(&seen, 0, "pieces"), 30);
	ck_assert_int_eq(report_int(&seen, 0, "age_days"), 1);
	ck_assert_ptr_null(report_text(&seen, 0, "why"));
}
END_TEST

START_TEST(what_is_packed_or_gone_whole_is_not_in_store)
{
	stock_the_cold_room();
	pack("K2", "PR1", "7", "H1", "40", "2026-03-09");
	keep_row(mini_row(&own_farm, "discards", "packing_id", "K1", "quantity", "10", "day",
			  "2026-03-09", NULL));
	in_store("2026-03-09");
	ck_assert_uint_eq(seen.n_rows, 1);
	ck_assert_str_eq(report_text(&seen, 0, "code"), "K2");
}
END_TEST

START_TEST(what_was_weighed_into_packs_leaves_its_share)
{
	stock_the_cold_room();
	keep_row(mini_row(&own_farm, "harvests", "code", "H2", "crop_lot_id", "C10", "bed_id", "B2",
			  "pieces", "50", "weight_g", "8000", "day", "2026-03-09", NULL));
	keep_row(mini_row(&own_farm, "packings", "code", "K3", "product_id", "PR1", "packs", "2",
			  "day", "2026-03-09", NULL));
	keep_row(mini_row(&own_farm, "packing-lines", "packing_id", "K3", "harvest_id", "H2",
			  "weight_g", "6000", NULL));
	in_store("2026-03-09");
	ck_assert_uint_eq(seen.n_rows, 4);
	ck_assert_str_eq(report_text(&seen, 3, "code"), "H2");
	ck_assert_double_eq_tol(report_real(&seen, 3, "weight_g"), 2000, 1e-6);
	ck_assert_int_eq(report_int(&seen, 3, "pieces"), 13); /* a quarter of 50 */
}
END_TEST

static void hold(const char *code)
{
	keep_row(mini_row(&own_farm, "holds", "of_code", code, "why", "smell", "day", "2026-03-09",
			  NULL));
}

START_TEST(a_hold_reaches_all_that_was_made_of_the_lot)
{
	stock_the_cold_room();
	hold("C10");
	in_store("2026-03-09");
	for (size_t i = 0; i < 2; i++) {
		ck_assert_str_eq(report_text(&seen, i, "held_code"), "C10");
		ck_assert_str_eq(report_text(&seen, i, "why"), "smell");
	}
}
END_TEST

static void held(void)
{
	struct report_query q = report_query_at(own_farm.hand.now);

	report_run(own_farm.book, "held", &q, &own_farm.arena, &seen);
}

START_TEST(held_names_lots_and_places_and_until_when)
{
	size_t beds = 0;

	held();
	ck_assert_uint_eq(seen.n_rows, 0);
	stock_the_cold_room();
	hold("C10");
	keep_row(mini_row(&own_farm, "treatments", "tank_id", "T1", "medicine", "Bath salt",
			  "first_day", "2026-03-08", "last_day", "2026-03-09", "withdrawal_days",
			  "30", "day", "2026-03-09", NULL));
	held();
	ck_assert_uint_ge(seen.n_rows, 3); /* the hold, the tank, the beds of its water */
	for (size_t i = 0; i < seen.n_rows; i++) {
		const char *place = report_text(&seen, i, "place");

		if (!place) {
			ck_assert_str_eq(report_text(&seen, i, "lot"), "C10");
			ck_assert_ptr_null(report_text(&seen, i, "medicine"));
			continue;
		}
		ck_assert_str_eq(report_text(&seen, i, "medicine"), "Bath salt");
		ck_assert_int_eq(report_int(&seen, i, "free_on"), day_of("2026-04-08"));
		beds += strcmp(place, "B2") == 0;
	}
	ck_assert_uint_eq(beds, 1);
}
END_TEST

Suite *harvest_reports_suite(void)
{
	Suite *s = suite_create("harvest reports");
	TCase *t = tcase_create("reports");

	tcase_add_checked_fixture(t, crop_farm_open, crop_farm_close);
	tcase_add_test(t, weeks_go_by_their_monday);
	tcase_add_test(t, keys_stand_in_the_order_asked);
	tcase_add_test(t, each_key_names_what_was_harvested);
	tcase_add_test(t, fish_are_harvested_too);
	tcase_add_test(t, only_keeps_the_rows_of_a_code_or_name);
	tcase_add_test(t, struck_harvest_is_not_counted);
	tcase_add_test(t, weight_that_nobody_can_tell_is_null_and_noted);
	tcase_add_test(t, two_periods_are_refused);
	tcase_add_test(t, totals_are_exact);
	tcase_add_test(t, packings_are_totalled_by_product_and_period);
	tcase_add_test(t, the_cold_room_holds_what_is_not_gone);
	tcase_add_test(t, what_is_packed_or_gone_whole_is_not_in_store);
	tcase_add_test(t, what_was_weighed_into_packs_leaves_its_share);
	tcase_add_test(t, a_hold_reaches_all_that_was_made_of_the_lot);
	tcase_add_test(t, held_names_lots_and_places_and_until_when);
	suite_add_tcase(s, t);
	return s;
}

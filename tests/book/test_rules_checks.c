/* What is judged at the end of an import, and checks that hold however an entry arrives. */
#include "book_tests.h"
#include "support/rule_farm.h"

#include <string.h>

#include "book/import.h"
#include "book/rules.h"

/* --- import: judged when all is there -------------------------------------------------------------- */

START_TEST(an_import_is_looked_over_at_its_end)
{
	struct record *early, *wrong;
	bool looks_odd;

	/* the death stands before its arrival in the files */
	early = arriving(ARRIVES_IMPORTED,
			 mini_row(&own_farm, "fish-deaths", "tank_id", "T2", "fish_lot_id", "F2",
				  "fish", "1", "at", "2026-03-10T08:00:00Z", NULL));
	wrong = arriving(ARRIVES_IMPORTED,
			 mini_row(&own_farm, "fish-deaths", "tank_id", "T2", "fish_lot_id", "F1",
				  "fish", "1", "at", "2026-03-10T08:00:00Z", NULL));
	arriving(ARRIVES_IMPORTED,
		 mini_row(&own_farm, "fish-moves", "fish_lot_id", "F2", "to_tank_id", "T2", "fish",
			  "100", "reason", "stocking", "at", "2026-03-02T09:00:00Z", NULL));
	ck_assert(!record_has(wrong, "look"));
	ck_assert(rules_need_all_rows(early));
	err_clear(&own_farm.err);
	ck_assert(!book_look_over(own_farm.book, early, &own_farm.hand, &own_farm.arena, &looks_odd,
				  &own_farm.err));
	ck_assert(!looks_odd);
	ck_assert(!book_look_over(own_farm.book, wrong, &own_farm.hand, &own_farm.arena, &looks_odd,
				  &own_farm.err));
	ck_assert(looks_odd);
	ck_assert(looks(mini_get(&own_farm, wrong), "wrong_place"));
	ck_assert_int_eq(mini_get(&own_farm, wrong)->version, 1);
}
END_TEST

START_TEST(files_are_looked_over_whatever_their_order)
{
	/* T2 holds F2 from the 2nd, by the last row; F1 never stood there */
	static const char deaths[] = "tank,fish_lot,fish,at\r\n"
				     "T2,F2,1,2026-03-10T08:00:00Z\r\n"
				     "T2,F1,1,2026-03-10T08:00:00Z\r\n"
				     "T2,F2,1,2026-03-01T08:00:00Z\r\n";
	static const char moves[] = "fish_lot,to_tank,fish,reason,at\r\n"
				    "F2,T2,100,stocking,2026-03-02T09:00:00Z\r\n";
	const struct import_file files[] = { { "fish-deaths.csv", deaths, sizeof(deaths) - 1,
					       NULL },
					     { "fish-moves.csv", moves, sizeof(moves) - 1, NULL } };
	const struct import_options options = { .separator = ',',
						.decimal = '.',
						.now = own_farm.hand.now };
	struct import_result result;

	err_clear(&own_farm.err);
	ck_assert(!book_import(own_farm.book, files, 2, &options, &own_farm.arena, &result,
			       &own_farm.err));
	ck_assert_int_eq(result.looks, 2); /* the wrong tank, and the death before the arrival */
	ck_assert(!book_import(own_farm.book, files, 2, &options, &own_farm.arena, &result,
			       &own_farm.err));
	ck_assert_int_eq(result.counts[kind_index(kind_find("fish-deaths"))].same, 3);
	ck_assert_int_eq(result.looks, 0); /* nothing is new */
}
END_TEST

/* What a row refers to is there before it, in whatever order the files and their rows stand. */
START_TEST(what_a_row_refers_to_is_enough_to_judge_it)
{
	static const char tests[] = "place,temperature_c,at\r\n"
				    "OLD,24,2026-03-10T08:00:00Z\r\n"
				    "OLD,24,2026-02-10T08:00:00Z\r\n"
				    "T2,24,2026-03-10T08:00:00Z\r\n";
	static const char places[] = "code,parent,retired_on\r\n"
				     "OLD,HALL,2026-03-01\r\n"
				     "HALL,,\r\n";
	const struct import_file files[] = { { "water-tests.csv", tests, sizeof(tests) - 1, NULL },
					     { "places.csv", places, sizeof(places) - 1, NULL } };
	const struct import_options options = { .separator = ',',
						.decimal = '.',
						.now = own_farm.hand.now };
	struct import_result result;

	err_clear(&own_farm.err);
	ck_assert(!book_import(own_farm.book, files, 2, &options, &own_farm.arena, &result,
			       &own_farm.err));
	ck_assert_int_eq(result.looks, 1); /* retired by then */
}
END_TEST

/* --- checks that always hold ----------------------------------------------------------------------- */

#define WEIGHING "weighings", "at", "2026-03-10T08:00:00Z", "tank_id", "T1", "fish_lot_id", "F1"
#define MOVE     "fish-moves", "at", "2026-03-10T08:00:00Z", "fish_lot_id", "F1", "fish", "5"
#define TEST     "water-tests", "at", "2026-03-10T08:00:00Z", "place_id", "T1"
#define HARVEST  "harvests", "at", "2026-03-10T08:00:00Z"

static const struct {
	const char *text[20]; /* kind, then field and text in turn */
	const char *field, *code;
} bad[] = {
	{ { WEIGHING, "nets", "20 4310 18" }, "nets", "nets_pairs" },
	{ { WEIGHING, "nets", "20.5 4310" }, "nets", "nets_pairs" },
	{ { WEIGHING, "nets", "20 0" }, "nets", "nets_pairs" },
	{ { WEIGHING, "weight_g", "4310" }, "fish", "required" },
	{ { WEIGHING, "weights_g", "90 85", "fish", "2" }, "fish", "not_with" },
	{ { WEIGHING, "weights_g", "90 85", "nets", "2 170" }, "weight_g", "one_of" },
	{ { WEIGHING, "weights_g", "90 85", "lengths_mm", "170" }, "lengths_mm", "lengths_count" },
	{ { WEIGHING, "weight_g", "90", "fish", "1", "lengths_mm", "170 172" },
	  "lengths_mm",
	  "lengths_count" },
	{ { MOVE, "reason", "transfer", "from_tank_id", "T1", "to_tank_id", "T1" },
	  "to_tank_id",
	  "same_tank" },
	{ { MOVE, "reason", "transfer" }, "from_tank_id", "one_of" },
	{ { MOVE, "reason", "merge", "from_tank_id", "T1", "to_tank_id", "T2" },
	  "into_lot_id",
	  "required" },
	{ { MOVE, "reason", "merge", "from_tank_id", "T1", "to_tank_id", "T2", "into_lot_id",
	    "F1" },
	  "into_lot_id",
	  "same_lot" },
	{ { MOVE, "reason", "transfer", "from_tank_id", "T1", "to_tank_id", "T2", "into_lot_id",
	    "F2" },
	  "into_lot_id",
	  "not_with" },
	{ { MOVE, "reason", "sold_live", "from_tank_id", "T1", "to_tank_id", "T2" },
	  "to_tank_id",
	  "not_with" },
	{ { TEST, "tan_mg_l", "0.5", "below", "nitrite_n_mg_l" }, "below", "names_no_value" },
	{ { TEST, "tan_mg_l", "0.5", "as_ion", "nitrate_n_mg_l" }, "as_ion", "names_no_value" },
	{ { TEST, "tan_mg_l", "0.5", "below", "tan_mg_l", "above", "tan_mg_l" },
	  "above",
	  "below_and_above" },
	{ { TEST, "method", "strip" }, "", "nothing_measured" },
	{ { HARVEST, "fish_lot_id", "F1", "bed_id", "N1", "pieces", "5" }, "tank_id", "required" },
	{ { HARVEST, "crop_lot_id", "C1", "tank_id", "T1", "pieces", "5" }, "bed_id", "required" },
	{ { HARVEST, "crop_lot_id", "C1", "bed_id", "N1", "weight_g", "900" },
	  "plants",
	  "required" },
	{ { "treatments", "day", "2026-03-10", "tank_id", "T1", "medicine", "Bath salt",
	    "first_day", "2026-03-10", "last_day", "2026-03-09", "withdrawal_days", "0" },
	  "last_day",
	  "out_of_order" },
	{ { "holds", "day", "2026-03-10", "of_code", "T1", "why", "smell" },
	  "of_code",
	  "unknown_reference" },
	{ { "photos", "day", "2026-03-10", "of_kind", "tanks", "of_key",
	    "0190a5c0-0000-7000-8000-00000000ffff" },
	  "of_key",
	  "unknown_reference" },
	{ { "species-limits", "species_id", "Tilapia", "quantity", "ph", "low_stop", "6.5", "low",
	    "6" },
	  "low",
	  "out_of_order" },
	{ { "species-limits", "species_id", "Tilapia", "quantity", "ph", "low", "7", "high_stop",
	    "6" },
	  "high_stop",
	  "out_of_order" },
	{ { "species-limits", "species_id", "Tilapia", "quantity", "ph", "low_stop", "7", "high",
	    "6" },
	  "high",
	  "out_of_order" },
	{ { "feeding-plans", "tank_id", "T1", "from_day", "2026-03-10", "feed_id", "Grower 32",
	    "times", "07:00 12:00", "shares", "1" },
	  "shares",
	  "shares_count" },
};

static struct record *from_texts(const char *const *text)
{
	struct record *r = record_new(kind_find(text[0]), &own_farm.arena);

	for (size_t i = 1; text[i]; i += 2) {
		size_t field = kind_field_index(r->kind, text[i]);

		ck_assert_msg(field != SIZE_MAX, "%s", text[i]);
		ck_assert(!field_read(kind_field(r->kind, field), text[i + 1], '.', &own_farm.arena,
				      &r->values[field], &own_farm.err));
	}
	return r;
}

START_TEST(what_cannot_be_is_refused_however_it_arrives)
{
	for (int arrival = ARRIVES_ON_SCREEN; arrival <= ARRIVES_IMPORTED; arrival++) {
		own_farm.hand.arrival = (enum arrival)arrival;
		own_farm.hand.confirm = true;
		ck_refused(from_texts(bad[_i].text), bad[_i].code);
		ck_assert_str_eq(own_farm.err.items[0].field, bad[_i].field);
	}
}
END_TEST

static const char *const good[][20] = {
	{ WEIGHING, "nets", "20 1810.5 18 1602", NULL },
	{ WEIGHING, "weights_g", "90 85.5", "lengths_mm", "170 168", NULL },
	{ WEIGHING, "weight_g", "1800", "fish", "20", NULL },
	{ MOVE, "reason", "sold_live", "from_tank_id", "T1", NULL },
	{ MOVE, "reason", "merge", "from_tank_id", "T1", "to_tank_id", "T1", "into_lot_id", "F2",
	  NULL },
	{ TEST, "tan_mg_l", "0.25", "nitrite_n_mg_l", "3.3", "below", "tan_mg_l", "as_ion",
	  "nitrite_n_mg_l", NULL },
	{ HARVEST, "crop_lot_id", "C1", "bed_id", "N1", "weight_g", "900", "plants", "6", NULL },
	{ HARVEST, "crop_lot_id", "C1", "bed_id", "N1", "weight_g", "900", "empties", "1", NULL },
	{ HARVEST, "fish_lot_id", "F1", "tank_id", "T1", "weight_g", "900", NULL },
	{ "holds", "day", "2026-03-10", "of_code", "f1", "why", "smell", NULL },
};

START_TEST(what_can_be_is_kept)
{
	mini_keep(&own_farm, from_texts(good[_i]));
}
END_TEST

START_TEST(a_place_does_not_stand_inside_itself)
{
	struct record *hall, *corner;

	hall = mini_keep(&own_farm, mini_row(&own_farm, "places", "code", "HALL", NULL));
	corner = mini_keep(&own_farm, mini_row(&own_farm, "places", "code", "CORNER", "parent_id",
					       "HALL", NULL));
	(void)corner;
	ck_assert_int_eq(mini_patch(&own_farm, hall, "parent_id", "CORNER", NULL), ERR_INPUT);
	ck_assert(err_has(&own_farm.err, "inside_itself"));
}
END_TEST

START_TEST(a_tank_is_changed_as_a_tank)
{
	struct record *t1 =
		mini_keep(&own_farm, mini_row(&own_farm, "tanks", "code", "T1", "loop_id", "L1",
					      "volume_l", "5000", NULL));
	struct record as_place = { .kind = kind_find("places"), .id = t1->id };

	ck_assert_int_eq(mini_patch(&own_farm, &as_place, "name", "First", NULL), ERR_INPUT);
	ck_assert(err_has(&own_farm.err, "wrong_kind"));
	ck_assert_int_eq(mini_strike(&own_farm, &as_place, NULL), ERR_INPUT);
}
END_TEST

START_TEST(a_crop_that_is_cut_again_needs_no_plants)
{
	mini_keep(&own_farm,
		  mini_row(&own_farm, "crop-lots", "code", "C2", "variety_id", "Large leaf",
			   "bed_id", "N1", "cubes", "100", "day", "2026-03-01", NULL));
	mini_keep(&own_farm, mini_row(&own_farm, "harvests", "crop_lot_id", "C2", "bed_id", "N1",
				      "weight_g", "900", "at", "2026-03-15T08:00:00Z", NULL));
}
END_TEST

START_TEST(an_unknown_zone_is_refused)
{
	struct record row = { .kind = kind_find("farm"), .id = 1 };

	ck_assert_int_eq(mini_patch(&own_farm, &row, "time_zone", "Mars/Olympus", NULL), ERR_INPUT);
	ck_assert_str_eq(own_farm.err.items[0].field, "time_zone");
}
END_TEST

Suite *check_rules_suite(void)
{
	Suite *s = suite_create("checks");
	TCase *t = tcase_create("rules");

	tcase_add_checked_fixture(t, rule_farm_open, rule_farm_close);
	tcase_add_test(t, an_import_is_looked_over_at_its_end);
	tcase_add_test(t, files_are_looked_over_whatever_their_order);
	tcase_add_test(t, what_a_row_refers_to_is_enough_to_judge_it);
	tcase_add_loop_test(t, what_cannot_be_is_refused_however_it_arrives, 0,
			    sizeof(bad) / sizeof(bad[0]));
	tcase_add_loop_test(t, what_can_be_is_kept, 0, sizeof(good) / sizeof(good[0]));
	tcase_add_test(t, a_place_does_not_stand_inside_itself);
	tcase_add_test(t, a_tank_is_changed_as_a_tank);
	tcase_add_test(t, a_crop_that_is_cut_again_needs_no_plants);
	tcase_add_test(t, an_unknown_zone_is_refused);
	suite_add_tcase(s, t);
	return s;
}

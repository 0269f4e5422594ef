/* Rule 1: no more leaves than is there, and slips of tank, bed or time. */
#include "book_tests.h"
#include "support/rule_farm.h"

#include <string.h>

/* --- rule 1: stock --------------------------------------------------------------------------------- */

static struct record *a_death(const char *fish, const char *at)
{
	return mini_row(&own_farm, "fish-deaths", "tank_id", "T1", "fish_lot_id", "F1", "fish",
			fish, "at", at, NULL);
}

START_TEST(more_than_there_is_asked_with_count_and_day)
{
	ck_asked(a_death("601", "2026-03-10T08:00:00Z"), "more_than_there");
	ck_assert_str_eq(arg("lot"), "F1");
	ck_assert_str_eq(arg("place"), "T1");
	ck_assert_str_eq(arg("day"), "2026-03-10");
	ck_assert_str_eq(arg("there"), "600");
	ck_assert_str_eq(arg("asked"), "601");
}
END_TEST

START_TEST(more_than_there_is_kept_when_confirmed_queued_or_imported)
{
	confirmed(a_death("601", "2026-03-10T08:00:00Z"));
	ck_assert(looks(arriving(ARRIVES_QUEUED, a_death("700", "2026-03-10T09:00:00Z")),
			"more_than_there"));
	arriving(ARRIVES_IMPORTED, a_death("800", "2026-03-10T10:00:00Z"));
}
END_TEST

START_TEST(exactly_all_is_not_asked)
{
	mini_keep(&own_farm, a_death("600", "2026-03-10T08:00:00Z"));
}
END_TEST

START_TEST(a_late_entry_that_breaks_a_later_one_is_asked)
{
	mini_keep(&own_farm, a_death("500", "2026-03-12T08:00:00Z"));
	ck_asked(a_death("200", "2026-03-05T08:00:00Z"), "more_than_there");
	ck_assert_str_eq(arg("day"), "2026-03-12");
	ck_assert_str_eq(arg("there"), "400");
	ck_assert_str_eq(arg("asked"), "500");
}
END_TEST

START_TEST(an_old_gap_is_not_asked_about_again)
{
	confirmed(a_death("601", "2026-03-10T08:00:00Z"));
	mini_keep(&own_farm, mini_row(&own_farm, "fish-counts", "tank_id", "T1", "fish_lot_id",
				      "F1", "counted", "50", "at", "2026-03-11T08:00:00Z", NULL));
	mini_keep(&own_farm, a_death("2", "2026-03-12T08:00:00Z"));
}
END_TEST

START_TEST(a_correction_that_takes_more_than_there_is_asked)
{
	struct record *row = mini_keep(&own_farm, a_death("3", "2026-03-10T08:00:00Z"));

	ck_assert_int_eq(mini_patch(&own_farm, row, "fish", "700", NULL), ERR_CONFLICT);
	ck_assert(err_has(&own_farm.err, "more_than_there"));
	ck_assert_int_eq(mini_get(&own_farm, row)->version, 1);
	own_farm.hand.confirm = true;
	ck_assert(!mini_patch(&own_farm, row, "fish", "700", NULL));
}
END_TEST

START_TEST(a_strike_of_the_arrival_is_asked)
{
	struct record *stocking, *death;

	stocking = mini_keep(&own_farm, mini_row(&own_farm, "fish-moves", "fish_lot_id", "F2",
						 "to_tank_id", "T2", "fish", "100", "reason",
						 "stocking", "at", "2026-03-02T09:00:00Z", NULL));
	death = mini_keep(&own_farm,
			  mini_row(&own_farm, "fish-deaths", "tank_id", "T2", "fish_lot_id", "F2",
				   "fish", "4", "at", "2026-03-10T08:00:00Z", NULL));
	ck_assert_int_eq(mini_strike(&own_farm, stocking, NULL), ERR_CONFLICT);
	ck_assert(err_has(&own_farm.err, "more_than_there"));
	ck_assert_str_eq(arg("asked"), "4");
	own_farm.hand.confirm = true;
	ck_assert(!mini_strike(&own_farm, stocking, NULL));
	ck_assert(!record_has(mini_get(&own_farm, death), "struck_at"));
	own_farm.hand.confirm = false;
	ck_assert(!mini_restore(&own_farm, stocking, NULL));
}
END_TEST

START_TEST(a_restore_that_takes_more_than_there_is_asked)
{
	struct record *row = mini_keep(&own_farm, a_death("400", "2026-03-10T08:00:00Z"));

	ck_assert(!mini_strike(&own_farm, row, NULL));
	mini_keep(&own_farm, a_death("300", "2026-03-11T08:00:00Z"));
	ck_assert_int_eq(mini_restore(&own_farm, row, NULL), ERR_CONFLICT);
	own_farm.hand.confirm = true;
	ck_assert(!mini_restore(&own_farm, row, NULL));
}
END_TEST

START_TEST(more_plants_than_there_is_asked)
{
	ck_asked(mini_row(&own_farm, "crop-moves", "crop_lot_id", "C1", "from_bed_id", "N1",
			  "to_bed_id", "B1", "plants", "201", "at", "2026-03-15T08:00:00Z", NULL),
		 "more_than_there");
	ck_assert_str_eq(arg("place"), "N1");
	ck_assert_str_eq(arg("there"), "200");
}
END_TEST

START_TEST(deaths_without_a_lot_count_for_the_lots_of_the_tank)
{
	mini_keep(&own_farm, mini_row(&own_farm, "fish-deaths", "tank_id", "T1", "fish", "100",
				      "at", "2026-03-10T08:00:00Z", NULL));
	ck_asked(mini_row(&own_farm, "harvests", "fish_lot_id", "F1", "tank_id", "T1", "pieces",
			  "501", "at", "2026-03-11T08:00:00Z", NULL),
		 "more_than_there");
	ck_assert_str_eq(arg("there"), "500");
	ck_asked(mini_row(&own_farm, "fish-deaths", "tank_id", "T1", "fish", "501", "at",
			  "2026-03-11T08:00:00Z", NULL),
		 "more_than_there");
	ck_assert_str_eq(arg("lot"), "");
}
END_TEST

START_TEST(a_death_by_day_before_an_emptying_of_that_day_is_not_asked)
{
	mini_keep(&own_farm,
		  mini_row(&own_farm, "harvests", "fish_lot_id", "F1", "tank_id", "T1", "pieces",
			   "590", "empties", "1", "at", "2026-03-11T08:00:00Z", NULL));
	mini_keep(&own_farm, mini_row(&own_farm, "fish-deaths", "tank_id", "T1", "fish_lot_id",
				      "F1", "fish", "4", "day", "2026-03-11", NULL));
	ck_asked(mini_row(&own_farm, "fish-deaths", "tank_id", "T1", "fish_lot_id", "F1", "fish",
			  "4", "day", "2026-03-12", NULL),
		 "more_than_there");
}
END_TEST

START_TEST(a_merge_moves_fish_into_the_other_lot)
{
	mini_keep(&own_farm, mini_row(&own_farm, "fish-moves", "fish_lot_id", "F1", "from_tank_id",
				      "T1", "to_tank_id", "T1", "into_lot_id", "F2", "fish", "600",
				      "reason", "merge", "at", "2026-03-10T08:00:00Z", NULL));
	mini_keep(&own_farm, mini_row(&own_farm, "fish-deaths", "tank_id", "T1", "fish_lot_id",
				      "F2", "fish", "600", "at", "2026-03-11T08:00:00Z", NULL));
	ck_asked(a_death("1", "2026-03-11T08:00:00Z"), "more_than_there");
}
END_TEST

START_TEST(fewer_cubes_than_were_moved_are_asked)
{
	struct record *sowing =
		mini_keep(&own_farm, mini_row(&own_farm, "crop-lots", "code", "C5", "variety_id",
					      "Green butterhead", "bed_id", "N1", "cubes", "100",
					      "day", "2026-03-02", NULL));

	mini_keep(&own_farm,
		  mini_row(&own_farm, "crop-moves", "crop_lot_id", "C5", "from_bed_id", "N1",
			   "to_bed_id", "B1", "plants", "90", "at", "2026-03-15T08:00:00Z", NULL));
	ck_assert_int_eq(mini_patch(&own_farm, sowing, "cubes", "80", NULL), ERR_CONFLICT);
	ck_assert(err_has(&own_farm.err, "more_than_there"));
}
END_TEST

/* --- rule 1: slips --------------------------------------------------------------------------------- */

static void ck_slip(const struct record *r, const char *code)
{
	ck_refused(r, code);
	own_farm.hand.confirm = true; /* a slip is no question */
	ck_refused(r, code);
	own_farm.hand.confirm = false;

	struct record *queued = arriving(ARRIVES_QUEUED, r);

	ck_assert_msg(record_has(queued, "look") && strstr(record_text(queued, "look"), code),
		      "look is %s", record_text(queued, "look"));
}

START_TEST(a_wrong_tank_for_the_lot_is_a_slip)
{
	ck_slip(mini_row(&own_farm, "fish-deaths", "tank_id", "T2", "fish_lot_id", "F1", "fish",
			 "1", "at", "2026-03-10T08:00:00Z", NULL),
		"wrong_place");
}
END_TEST

START_TEST(a_wrong_bed_for_the_lot_is_a_slip)
{
	ck_slip(mini_row(&own_farm, "crop-losses", "crop_lot_id", "C1", "bed_id", "B1", "plants",
			 "1", "at", "2026-03-10T08:00:00Z", NULL),
		"wrong_place");
}
END_TEST

START_TEST(a_tank_that_the_lot_was_moved_to_is_right)
{
	mini_keep(&own_farm, mini_row(&own_farm, "fish-moves", "fish_lot_id", "F1", "from_tank_id",
				      "T1", "to_tank_id", "T2", "fish", "100", "reason",
				      "splitting", "at", "2026-03-05T08:00:00Z", NULL));
	mini_keep(&own_farm,
		  mini_row(&own_farm, "weighings", "tank_id", "T2", "fish_lot_id", "F1", "fish",
			   "20", "weight_g", "1800", "at", "2026-03-06T08:00:00Z", NULL));
}
END_TEST

START_TEST(a_departure_before_the_arrival_is_a_slip)
{
	ck_slip(a_death("1", "2026-02-27T08:00:00Z"), "before_arrival");
}
END_TEST

START_TEST(a_retired_place_is_a_slip)
{
	struct record *t2 =
		mini_keep(&own_farm, mini_row(&own_farm, "tanks", "code", "T2", "loop_id", "L1",
					      "volume_l", "5000", NULL));

	ck_assert(!mini_patch(&own_farm, t2, "retired_on", "2026-03-09", NULL));
	ck_slip(mini_row(&own_farm, "water-tests", "place_id", "T2", "ph", "7", "at",
			 "2026-03-10T08:00:00Z", NULL),
		"retired_place");
	mini_keep(&own_farm, mini_row(&own_farm, "water-tests", "place_id", "T2", "ph", "7", "at",
				      "2026-03-09T08:00:00Z", NULL));
}
END_TEST

START_TEST(a_reference_to_what_is_struck_is_a_slip)
{
	struct record *feed = mini_keep(&own_farm, mini_row(&own_farm, "feeds", "name", "Old feed",
							    "protein_pct", "30", NULL));
	char key[UUID_TEXT_MAX];

	uuid_write(key, &feed->key);
	ck_assert(!mini_strike(&own_farm, feed, NULL));
	ck_slip(mini_row(&own_farm, "feedings", "tank_id", "T1", "feed_id", key, "amount_g", "100",
			 "at", "2026-03-10T08:00:00Z", NULL),
		"refers_to_struck");
}
END_TEST

START_TEST(a_delivery_of_another_feed_is_a_slip)
{
	mini_keep(&own_farm,
		  mini_row(&own_farm, "feed-lots", "code", "FL1", "feed_id", "Starter 45",
			   "received_on", "2026-03-01", "amount_g", "100000", NULL));
	ck_slip(mini_row(&own_farm, "feedings", "tank_id", "T1", "feed_id", "Grower 32",
			 "feed_lot_id", "FL1", "amount_g", "100", "at", "2026-03-10T08:00:00Z",
			 NULL),
		"wrong_lot");
}
END_TEST

START_TEST(a_mark_goes_when_the_entry_is_corrected)
{
	struct record *row = arriving(ARRIVES_QUEUED,
				      mini_row(&own_farm, "fish-deaths", "tank_id", "T2",
					       "fish_lot_id", "F1", "fish", "1", "at",
					       "2026-03-10T08:00:00Z", NULL)),
		      *kept;

	ck_assert(record_has(row, "look"));
	ck_assert(!mini_patch(&own_farm, row, "note", "which tank?", &kept));
	ck_assert(record_has(kept, "look"));
	ck_assert(!mini_patch(&own_farm, row, "tank_id", "T1", &kept));
	ck_assert(!record_has(kept, "look"));
}
END_TEST

Suite *stock_rules_suite(void)
{
	Suite *s = suite_create("rules of stock");
	TCase *t = tcase_create("rules");

	tcase_add_checked_fixture(t, rule_farm_open, rule_farm_close);
	tcase_add_test(t, more_than_there_is_asked_with_count_and_day);
	tcase_add_test(t, more_than_there_is_kept_when_confirmed_queued_or_imported);
	tcase_add_test(t, exactly_all_is_not_asked);
	tcase_add_test(t, a_late_entry_that_breaks_a_later_one_is_asked);
	tcase_add_test(t, an_old_gap_is_not_asked_about_again);
	tcase_add_test(t, a_correction_that_takes_more_than_there_is_asked);
	tcase_add_test(t, a_strike_of_the_arrival_is_asked);
	tcase_add_test(t, a_restore_that_takes_more_than_there_is_asked);
	tcase_add_test(t, more_plants_than_there_is_asked);
	tcase_add_test(t, deaths_without_a_lot_count_for_the_lots_of_the_tank);
	tcase_add_test(t, a_death_by_day_before_an_emptying_of_that_day_is_not_asked);
	tcase_add_test(t, a_merge_moves_fish_into_the_other_lot);
	tcase_add_test(t, fewer_cubes_than_were_moved_are_asked);
	tcase_add_test(t, a_wrong_tank_for_the_lot_is_a_slip);
	tcase_add_test(t, a_wrong_bed_for_the_lot_is_a_slip);
	tcase_add_test(t, a_tank_that_the_lot_was_moved_to_is_right);
	tcase_add_test(t, a_departure_before_the_arrival_is_a_slip);
	tcase_add_test(t, a_retired_place_is_a_slip);
	tcase_add_test(t, a_reference_to_what_is_struck_is_a_slip);
	tcase_add_test(t, a_delivery_of_another_feed_is_a_slip);
	tcase_add_test(t, a_mark_goes_when_the_entry_is_corrected);
	suite_add_tcase(s, t);
	return s;
}

/* The rules of the trade: what each refuses, asks, keeps with confirm, keeps from a queue, and lets pass.
 * The numbers in the rules are the record's own; nothing here is a fact of the trade to be proved. */
#include "book/import.h"
#include "book/rules.h"
#include "book_tests.h"
#include "support/mini_farm.h"

#include <string.h>

static struct mini_farm f;

static void open_farm(void)
{
	mini_farm_open(&f);
}

static void close_farm(void)
{
	mini_farm_close(&f);
}

static void ck_refused(const struct record *r, const char *code)
{
	ck_assert_int_eq(mini_create(&f, r, NULL), ERR_INPUT);
	ck_assert_msg(err_has(&f.err, code), "not %s but %s", code, f.err.items[0].code);
}

static void ck_asked(const struct record *r, const char *code)
{
	ck_assert_int_eq(mini_create(&f, r, NULL), ERR_CONFLICT);
	ck_assert_msg(err_has(&f.err, code), "not %s but %s", code, f.err.items[0].code);
}

static const char *arg(const char *name)
{
	for (size_t i = 0; i < f.err.items[0].n_args; i++)
		if (strcmp(f.err.items[0].args[i].name, name) == 0)
			return f.err.items[0].args[i].text;
	return "(no such argument)";
}

static struct record *confirmed(const struct record *r)
{
	f.hand.confirm = true;

	struct record *kept = mini_keep(&f, r);

	f.hand.confirm = false;
	return kept;
}

static struct record *arriving(enum arrival arrival, const struct record *r)
{
	f.hand.arrival = arrival;

	struct record *kept = mini_keep(&f, r);

	f.hand.arrival = ARRIVES_ON_SCREEN;
	return kept;
}

static bool looks(const struct record *r, const char *code)
{
	return record_has(r, "look") && strcmp(record_text(r, "look"), code) == 0;
}

/* --- rule 1: stock --------------------------------------------------------------------------------- */

static struct record *a_death(const char *fish, const char *at)
{
	return mini_row(&f, "fish-deaths", "tank_id", "T1", "fish_lot_id", "F1", "fish", fish, "at",
			at, NULL);
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
	mini_keep(&f, a_death("600", "2026-03-10T08:00:00Z"));
}
END_TEST

START_TEST(a_late_entry_that_breaks_a_later_one_is_asked)
{
	mini_keep(&f, a_death("500", "2026-03-12T08:00:00Z"));
	ck_asked(a_death("200", "2026-03-05T08:00:00Z"), "more_than_there");
	ck_assert_str_eq(arg("day"), "2026-03-12");
	ck_assert_str_eq(arg("there"), "400");
	ck_assert_str_eq(arg("asked"), "500");
}
END_TEST

START_TEST(an_old_gap_is_not_asked_about_again)
{
	confirmed(a_death("601", "2026-03-10T08:00:00Z"));
	mini_keep(&f, mini_row(&f, "fish-counts", "tank_id", "T1", "fish_lot_id", "F1", "counted",
			       "50", "at", "2026-03-11T08:00:00Z", NULL));
	mini_keep(&f, a_death("2", "2026-03-12T08:00:00Z"));
}
END_TEST

START_TEST(a_correction_that_takes_more_than_there_is_asked)
{
	struct record *row = mini_keep(&f, a_death("3", "2026-03-10T08:00:00Z"));

	ck_assert_int_eq(mini_patch(&f, row, "fish", "700", NULL), ERR_CONFLICT);
	ck_assert(err_has(&f.err, "more_than_there"));
	ck_assert_int_eq(mini_get(&f, row)->version, 1);
	f.hand.confirm = true;
	ck_assert(!mini_patch(&f, row, "fish", "700", NULL));
}
END_TEST

START_TEST(a_strike_of_the_arrival_is_asked)
{
	struct record *stocking, *death;

	stocking = mini_keep(&f, mini_row(&f, "fish-moves", "fish_lot_id", "F2", "to_tank_id", "T2",
					  "fish", "100", "reason", "stocking", "at",
					  "2026-03-02T09:00:00Z", NULL));
	death = mini_keep(&f, mini_row(&f, "fish-deaths", "tank_id", "T2", "fish_lot_id", "F2",
				       "fish", "4", "at", "2026-03-10T08:00:00Z", NULL));
	ck_assert_int_eq(mini_strike(&f, stocking, NULL), ERR_CONFLICT);
	ck_assert(err_has(&f.err, "more_than_there"));
	ck_assert_str_eq(arg("asked"), "4");
	f.hand.confirm = true;
	ck_assert(!mini_strike(&f, stocking, NULL));
	ck_assert(!record_has(mini_get(&f, death), "struck_at"));
	f.hand.confirm = false;
	ck_assert(!mini_restore(&f, stocking, NULL));
}
END_TEST

START_TEST(a_restore_that_takes_more_than_there_is_asked)
{
	struct record *row = mini_keep(&f, a_death("400", "2026-03-10T08:00:00Z"));

	ck_assert(!mini_strike(&f, row, NULL));
	mini_keep(&f, a_death("300", "2026-03-11T08:00:00Z"));
	ck_assert_int_eq(mini_restore(&f, row, NULL), ERR_CONFLICT);
	f.hand.confirm = true;
	ck_assert(!mini_restore(&f, row, NULL));
}
END_TEST

START_TEST(more_plants_than_there_is_asked)
{
	ck_asked(mini_row(&f, "crop-moves", "crop_lot_id", "C1", "from_bed_id", "N1", "to_bed_id",
			  "B1", "plants", "201", "at", "2026-03-15T08:00:00Z", NULL),
		 "more_than_there");
	ck_assert_str_eq(arg("place"), "N1");
	ck_assert_str_eq(arg("there"), "200");
}
END_TEST

START_TEST(deaths_without_a_lot_count_for_the_lots_of_the_tank)
{
	mini_keep(&f, mini_row(&f, "fish-deaths", "tank_id", "T1", "fish", "100", "at",
			       "2026-03-10T08:00:00Z", NULL));
	ck_asked(mini_row(&f, "harvests", "fish_lot_id", "F1", "tank_id", "T1", "pieces", "501",
			  "at", "2026-03-11T08:00:00Z", NULL),
		 "more_than_there");
	ck_assert_str_eq(arg("there"), "500");
	ck_asked(mini_row(&f, "fish-deaths", "tank_id", "T1", "fish", "501", "at",
			  "2026-03-11T08:00:00Z", NULL),
		 "more_than_there");
	ck_assert_str_eq(arg("lot"), "");
}
END_TEST

START_TEST(a_death_by_day_before_an_emptying_of_that_day_is_not_asked)
{
	mini_keep(&f, mini_row(&f, "harvests", "fish_lot_id", "F1", "tank_id", "T1", "pieces",
			       "590", "empties", "1", "at", "2026-03-11T08:00:00Z", NULL));
	mini_keep(&f, mini_row(&f, "fish-deaths", "tank_id", "T1", "fish_lot_id", "F1", "fish", "4",
			       "day", "2026-03-11", NULL));
	ck_asked(mini_row(&f, "fish-deaths", "tank_id", "T1", "fish_lot_id", "F1", "fish", "4",
			  "day", "2026-03-12", NULL),
		 "more_than_there");
}
END_TEST

START_TEST(a_merge_moves_fish_into_the_other_lot)
{
	mini_keep(&f, mini_row(&f, "fish-moves", "fish_lot_id", "F1", "from_tank_id", "T1",
			       "to_tank_id", "T1", "into_lot_id", "F2", "fish", "600", "reason",
			       "merge", "at", "2026-03-10T08:00:00Z", NULL));
	mini_keep(&f, mini_row(&f, "fish-deaths", "tank_id", "T1", "fish_lot_id", "F2", "fish",
			       "600", "at", "2026-03-11T08:00:00Z", NULL));
	ck_asked(a_death("1", "2026-03-11T08:00:00Z"), "more_than_there");
}
END_TEST

START_TEST(fewer_cubes_than_were_moved_are_asked)
{
	struct record *sowing = mini_keep(&f, mini_row(&f, "crop-lots", "code", "C5", "variety_id",
						       "Green butterhead", "bed_id", "N1", "cubes",
						       "100", "day", "2026-03-02", NULL));

	mini_keep(&f,
		  mini_row(&f, "crop-moves", "crop_lot_id", "C5", "from_bed_id", "N1", "to_bed_id",
			   "B1", "plants", "90", "at", "2026-03-15T08:00:00Z", NULL));
	ck_assert_int_eq(mini_patch(&f, sowing, "cubes", "80", NULL), ERR_CONFLICT);
	ck_assert(err_has(&f.err, "more_than_there"));
}
END_TEST

/* --- rule 1: slips --------------------------------------------------------------------------------- */

static void ck_slip(const struct record *r, const char *code)
{
	ck_refused(r, code);
	f.hand.confirm = true; /* a slip is no question */
	ck_refused(r, code);
	f.hand.confirm = false;

	struct record *queued = arriving(ARRIVES_QUEUED, r);

	ck_assert_msg(record_has(queued, "look") && strstr(record_text(queued, "look"), code),
		      "look is %s", record_text(queued, "look"));
}

START_TEST(a_wrong_tank_for_the_lot_is_a_slip)
{
	ck_slip(mini_row(&f, "fish-deaths", "tank_id", "T2", "fish_lot_id", "F1", "fish", "1", "at",
			 "2026-03-10T08:00:00Z", NULL),
		"wrong_place");
}
END_TEST

START_TEST(a_wrong_bed_for_the_lot_is_a_slip)
{
	ck_slip(mini_row(&f, "crop-losses", "crop_lot_id", "C1", "bed_id", "B1", "plants", "1",
			 "at", "2026-03-10T08:00:00Z", NULL),
		"wrong_place");
}
END_TEST

START_TEST(a_tank_that_the_lot_was_moved_to_is_right)
{
	mini_keep(&f, mini_row(&f, "fish-moves", "fish_lot_id", "F1", "from_tank_id", "T1",
			       "to_tank_id", "T2", "fish", "100", "reason", "splitting", "at",
			       "2026-03-05T08:00:00Z", NULL));
	mini_keep(&f, mini_row(&f, "weighings", "tank_id", "T2", "fish_lot_id", "F1", "fish", "20",
			       "weight_g", "1800", "at", "2026-03-06T08:00:00Z", NULL));
}
END_TEST

START_TEST(a_departure_before_the_arrival_is_a_slip)
{
	ck_slip(a_death("1", "2026-02-27T08:00:00Z"), "before_arrival");
}
END_TEST

START_TEST(a_retired_place_is_a_slip)
{
	struct record *t2 = mini_keep(
		&f, mini_row(&f, "tanks", "code", "T2", "loop_id", "L1", "volume_l", "5000", NULL));

	ck_assert(!mini_patch(&f, t2, "retired_on", "2026-03-09", NULL));
	ck_slip(mini_row(&f, "water-tests", "place_id", "T2", "ph", "7", "at",
			 "2026-03-10T08:00:00Z", NULL),
		"retired_place");
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T2", "ph", "7", "at",
			       "2026-03-09T08:00:00Z", NULL));
}
END_TEST

START_TEST(a_reference_to_what_is_struck_is_a_slip)
{
	struct record *feed =
		mini_keep(&f, mini_row(&f, "feeds", "name", "Old feed", "protein_pct", "30", NULL));
	char key[UUID_TEXT_MAX];

	uuid_write(key, &feed->key);
	ck_assert(!mini_strike(&f, feed, NULL));
	ck_slip(mini_row(&f, "feedings", "tank_id", "T1", "feed_id", key, "amount_g", "100", "at",
			 "2026-03-10T08:00:00Z", NULL),
		"refers_to_struck");
}
END_TEST

START_TEST(a_delivery_of_another_feed_is_a_slip)
{
	mini_keep(&f, mini_row(&f, "feed-lots", "code", "FL1", "feed_id", "Starter 45",
			       "received_on", "2026-03-01", "amount_g", "100000", NULL));
	ck_slip(mini_row(&f, "feedings", "tank_id", "T1", "feed_id", "Grower 32", "feed_lot_id",
			 "FL1", "amount_g", "100", "at", "2026-03-10T08:00:00Z", NULL),
		"wrong_lot");
}
END_TEST

START_TEST(a_mark_goes_when_the_entry_is_corrected)
{
	struct record *row = arriving(ARRIVES_QUEUED, mini_row(&f, "fish-deaths", "tank_id", "T2",
							       "fish_lot_id", "F1", "fish", "1",
							       "at", "2026-03-10T08:00:00Z", NULL)),
		      *kept;

	ck_assert(record_has(row, "look"));
	ck_assert(!mini_patch(&f, row, "note", "which tank?", &kept));
	ck_assert(record_has(kept, "look"));
	ck_assert(!mini_patch(&f, row, "tank_id", "T1", &kept));
	ck_assert(!record_has(kept, "look"));
}
END_TEST

/* --- rule 6: plausibility -------------------------------------------------------------------------- */

static struct record *a_dose(const char *material, const char *at)
{
	return mini_row(&f, "doses", "loop_id", "L1", "material_id", material, "amount_g", "500",
			"at", at, NULL);
}

START_TEST(a_second_dose_of_the_same_purpose_is_asked)
{
	mini_keep(&f, a_dose("Potash base", "2026-03-10T08:00:00Z"));
	ck_asked(a_dose("Lime", "2026-03-10T19:59:59Z"), "second_dose");
	ck_assert_str_eq(arg("material"), "Potash base");
	ck_asked(a_dose("Lime", "2026-03-09T20:00:01Z"), "second_dose"); /* entered late */
	mini_keep(&f, a_dose("Iron chelate", "2026-03-10T09:00:00Z"));
	mini_keep(&f, a_dose("Lime", "2026-03-10T20:00:00Z"));
	ck_assert(!record_has(confirmed(a_dose("Lime", "2026-03-10T10:00:00Z")), "look"));
	ck_assert(looks(arriving(ARRIVES_QUEUED, a_dose("Lime", "2026-03-10T11:00:00Z")),
			"second_dose"));
	ck_assert(!record_has(arriving(ARRIVES_IMPORTED, a_dose("Lime", "2026-03-10T12:00:00Z")),
			      "look"));
}
END_TEST

START_TEST(a_dose_that_was_struck_does_not_count)
{
	struct record *first = mini_keep(&f, a_dose("Lime", "2026-03-10T08:00:00Z"));

	ck_assert(!mini_strike(&f, first, NULL));
	mini_keep(&f, a_dose("Lime", "2026-03-10T09:00:00Z"));
}
END_TEST

START_TEST(a_correction_of_a_dose_does_not_meet_itself)
{
	struct record *first = mini_keep(&f, a_dose("Lime", "2026-03-10T08:00:00Z"));

	ck_assert(!mini_patch(&f, first, "amount_g", "600", NULL));
}
END_TEST

START_TEST(a_time_older_than_400_days_is_asked)
{
	/* now is 2026-03-20 12:00; 400 days before is 2025-02-13 12:00 */
	struct record *old = mini_row(&f, "water-tests", "place_id", "T1", "ph", "7", "at",
				      "2025-02-13T11:59:59Z", NULL);

	ck_asked(old, "too_old");
	confirmed(old);
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T1", "ph", "7", "at",
			       "2025-02-13T12:00:00Z", NULL));
	ck_assert(!record_has(
		arriving(ARRIVES_IMPORTED, mini_row(&f, "water-tests", "place_id", "T1", "ph",
						    "7.1", "at", "2016-02-13T12:00:00Z", NULL)),
		"look"));
}
END_TEST

START_TEST(a_feeding_above_twice_what_was_planned_is_asked)
{
	ck_asked(mini_row(&f, "feedings", "tank_id", "T1", "feed_id", "Grower 32", "amount_g",
			  "601", "planned_g", "300", "at", "2026-03-10T08:00:00Z", NULL),
		 "unlikely_feeding");
	mini_keep(&f, mini_row(&f, "feedings", "tank_id", "T1", "feed_id", "Grower 32", "amount_g",
			       "600", "planned_g", "300", "at", "2026-03-10T08:00:00Z", NULL));
}
END_TEST

static struct record *a_weighing(const char *grams, const char *at)
{
	return mini_row(&f, "weighings", "tank_id", "T1", "fish_lot_id", "F1", "fish", "20",
			"weight_g", grams, "at", at, NULL);
}

START_TEST(a_weighing_a_factor_of_three_off_is_asked)
{
	/* 600 fish of 47,520 g arrived: 79.2 g each; an hour later the same is expected */
	ck_asked(a_weighing("4790", "2026-03-01T10:00:00Z"), "unlikely_weight");
	ck_assert_str_eq(arg("mean_g"), "239.5");
	ck_asked(a_weighing("520", "2026-03-01T10:00:00Z"), "unlikely_weight");
	mini_keep(&f, a_weighing("4700", "2026-03-01T10:00:00Z"));
	ck_assert(!record_has(confirmed(a_weighing("15000", "2026-03-01T11:00:00Z")), "look"));
}
END_TEST

START_TEST(a_weighing_of_nets_is_held_against_expectation)
{
	ck_asked(mini_row(&f, "weighings", "tank_id", "T1", "fish_lot_id", "F1", "nets",
			  "20 1580 20 14000", "at", "2026-03-01T10:00:00Z", NULL),
		 "unlikely_weight");
	ck_asked(mini_row(&f, "weighings", "tank_id", "T1", "fish_lot_id", "F1", "weights_g",
			  "20 22 25", "at", "2026-03-01T10:00:00Z", NULL),
		 "unlikely_weight");
}
END_TEST

START_TEST(a_queued_weighing_that_is_unlikely_is_marked)
{
	ck_assert(looks(arriving(ARRIVES_QUEUED, a_weighing("4790", "2026-03-01T10:00:00Z")),
			"unlikely_weight"));
}
END_TEST

/* --- rule 7: slots --------------------------------------------------------------------------------- */

static struct record *a_feeding(const char *slot, const char *feed, const char *at)
{
	return mini_row(&f, "feedings", "tank_id", "T1", "feed_id", feed, "slot", slot, "amount_g",
			"300", "at", at, "staff_id", "Nadia", NULL);
}

START_TEST(a_slot_fed_twice_is_asked_with_who_and_when)
{
	mini_keep(&f, a_feeding("1", "Grower 32", "2026-03-10T07:00:00Z"));
	ck_asked(a_feeding("1", "Grower 32", "2026-03-10T07:20:00Z"), "slot_fed");
	ck_assert_str_eq(arg("who"), "Nadia");
	ck_assert_str_eq(arg("at"), "2026-03-10T07:00:00Z");
	ck_assert_str_eq(arg("amount_g"), "300");
}
END_TEST

START_TEST(a_slot_is_of_tank_day_slot_and_feed)
{
	mini_keep(&f, a_feeding("1", "Grower 32", "2026-03-10T07:00:00Z"));
	mini_keep(&f, a_feeding("2", "Grower 32", "2026-03-10T12:00:00Z"));
	mini_keep(&f, a_feeding("1", "Starter 45", "2026-03-10T07:10:00Z"));
	mini_keep(&f, a_feeding("1", "Grower 32", "2026-03-11T07:00:00Z"));
}
END_TEST

START_TEST(a_second_feeding_of_a_slot_is_kept_as_extra)
{
	struct record *queued, *first;

	first = mini_keep(&f, a_feeding("1", "Grower 32", "2026-03-10T07:00:00Z"));
	ck_assert(!record_has(confirmed(a_feeding("1", "Grower 32", "2026-03-10T07:20:00Z")),
			      "slot"));
	queued = arriving(ARRIVES_QUEUED, a_feeding("1", "Grower 32", "2026-03-10T07:21:00Z"));
	ck_assert(!record_has(queued, "slot"));
	ck_assert(!record_has(
		arriving(ARRIVES_IMPORTED, a_feeding("1", "Grower 32", "2026-03-10T07:22:00Z")),
		"slot"));
	ck_assert_int_eq(record_int(mini_get(&f, first), "slot", 0), 1);
}
END_TEST

START_TEST(an_extra_feeding_that_comes_again_is_a_repeat)
{
	struct record *r = a_feeding("1", "Grower 32", "2026-03-10T07:20:00Z");

	mini_keep(&f, a_feeding("1", "Grower 32", "2026-03-10T07:00:00Z"));
	ck_assert(uuid_read("0190a5c0-0000-7000-8000-000000000009", &r->key));
	arriving(ARRIVES_QUEUED, r);
	arriving(ARRIVES_QUEUED, r);
	ck_assert(f.repeat);
}
END_TEST

START_TEST(a_restored_feeding_is_extra_when_its_slot_was_fed)
{
	struct record *first = mini_keep(&f, a_feeding("1", "Grower 32", "2026-03-10T07:00:00Z"));
	struct record *second, *kept;

	ck_assert(!mini_strike(&f, first, NULL));
	second = mini_keep(&f, a_feeding("1", "Grower 32", "2026-03-10T07:20:00Z"));
	ck_assert_int_eq(record_int(second, "slot", 0), 1);
	ck_assert(!mini_restore(&f, first, &kept));
	ck_assert(!record_has(kept, "slot"));
}
END_TEST

/* --- rule 8: withdrawals and holds ----------------------------------------------------------------- */

static struct record *a_harvest(const char *code, const char *day)
{
	return mini_row(&f, "harvests", "code", code, "fish_lot_id", "F1", "tank_id", "T1",
			"pieces", "5", "weight_g", "2500", "day", day, NULL);
}

static void treat(const char *place, const char *code)
{
	mini_keep(&f, mini_row(&f, "treatments", place, code, "medicine", "Bath salt", "first_day",
			       "2026-03-02", "last_day", "2026-03-05", "withdrawal_days", "10",
			       "day", "2026-03-05", NULL));
}

static int count_holds(const char *of_code)
{
	struct list_query q = { .kind = kind_find("holds"),
				.from_day = INT64_MIN,
				.to_day = INT64_MAX };
	struct record_list *list;
	const struct record *row;
	int n = 0;

	ck_assert(!record_list_open(f.store, &q, &list, &f.err));
	while (!record_list_next(list, &row, &f.err))
		n += strcmp(record_text(row, "of_code"), of_code) == 0;
	record_list_close(list);
	return n;
}

START_TEST(a_harvest_under_withdrawal_is_asked_and_held)
{
	treat("tank_id", "T1");
	ck_asked(a_harvest("H1", "2026-03-14"), "withdrawal");
	ck_assert_str_eq(arg("day"), "2026-03-15"); /* last day + 10 */
	ck_assert_int_eq(count_holds("H1"), 0);
	confirmed(a_harvest("H1", "2026-03-14"));
	ck_assert_int_eq(count_holds("H1"), 1);
	ck_assert(
		looks(arriving(ARRIVES_QUEUED, a_harvest("H2", "2026-03-14")), "under_withdrawal"));
	ck_assert_int_eq(count_holds("H2"), 1);
	mini_keep(&f, a_harvest("H3", "2026-03-15"));
	mini_keep(&f, a_harvest("H4", "2026-03-01")); /* before it began */
	ck_assert_int_eq(count_holds("H3") + count_holds("H4"), 0);
}
END_TEST

START_TEST(plants_in_the_treated_water_are_asked_about)
{
	treat("tank_id", "T1");
	ck_asked(mini_row(&f, "harvests", "crop_lot_id", "C1", "bed_id", "N1", "pieces", "5", "day",
			  "2026-03-14", NULL),
		 "withdrawal");
}
END_TEST

START_TEST(a_harvest_of_a_lot_on_hold_is_asked)
{
	struct record *hold = mini_keep(&f, mini_row(&f, "holds", "of_code", "F1", "why", "smell",
						     "day", "2026-03-12", NULL));

	ck_asked(a_harvest("H1", "2026-03-14"), "on_hold");
	ck_assert_str_eq(arg("why"), "smell");
	ck_assert(!mini_patch(&f, hold, "released_at", "2026-03-13T12:00:00Z", NULL));
	mini_keep(&f, a_harvest("H1", "2026-03-14"));
	ck_assert_int_eq(count_holds("H1"), 0);
}
END_TEST

/* --- rule 7: alike --------------------------------------------------------------------------------- */

static struct record *fed_by(const char *who, const char *amount_g, const char *at)
{
	return mini_keep(&f, mini_row(&f, "feedings", "tank_id", "T1", "feed_id", "Grower 32",
				      "amount_g", amount_g, "at", at, "staff_id", who, NULL));
}

START_TEST(entries_alike_by_two_people_are_listed)
{
	struct record *first = fed_by("Nadia", "300", "2026-03-10T07:00:00Z");
	struct record *second = fed_by("Tomas", "300", "2026-03-10T07:15:00Z");
	struct alike *alike;
	size_t n;

	fed_by("Tomas", "310", "2026-03-10T07:05:00Z"); /* another amount */
	fed_by("Nadia", "300", "2026-03-10T07:30:01Z"); /* too late */
	fed_by("Nadia", "300", "2026-03-10T07:10:00Z"); /* alike to the second, by another */
	err_clear(&f.err);
	ck_assert(!book_alike(f.book, first->kind, day_of("2026-03-10"), day_of("2026-03-10"),
			      &f.arena, &alike, &n, &f.err));
	ck_assert_uint_eq(n, 2);
	ck_assert_int_eq(alike[0].id, first->id);
	ck_assert_int_eq(alike[0].later_id, second->id);
	ck_assert_int_eq(alike[1].later_id, second->id);
}
END_TEST

/* --- import: judged when all is there -------------------------------------------------------------- */

START_TEST(an_import_is_looked_over_at_its_end)
{
	struct record *early, *wrong;
	bool looks_odd;

	/* the death stands before its arrival in the files */
	early = arriving(ARRIVES_IMPORTED,
			 mini_row(&f, "fish-deaths", "tank_id", "T2", "fish_lot_id", "F2", "fish",
				  "1", "at", "2026-03-10T08:00:00Z", NULL));
	wrong = arriving(ARRIVES_IMPORTED,
			 mini_row(&f, "fish-deaths", "tank_id", "T2", "fish_lot_id", "F1", "fish",
				  "1", "at", "2026-03-10T08:00:00Z", NULL));
	arriving(ARRIVES_IMPORTED,
		 mini_row(&f, "fish-moves", "fish_lot_id", "F2", "to_tank_id", "T2", "fish", "100",
			  "reason", "stocking", "at", "2026-03-02T09:00:00Z", NULL));
	ck_assert(!record_has(wrong, "look"));
	ck_assert(rules_need_all_rows(early));
	err_clear(&f.err);
	ck_assert(!book_look_over(f.book, early, &f.hand, &f.arena, &looks_odd, &f.err));
	ck_assert(!looks_odd);
	ck_assert(!book_look_over(f.book, wrong, &f.hand, &f.arena, &looks_odd, &f.err));
	ck_assert(looks_odd);
	ck_assert(looks(mini_get(&f, wrong), "wrong_place"));
	ck_assert_int_eq(mini_get(&f, wrong)->version, 1);
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
						.now = f.hand.now };
	struct import_result result;

	err_clear(&f.err);
	ck_assert(!book_import(f.book, files, 2, &options, &f.arena, &result, &f.err));
	ck_assert_int_eq(result.looks, 2); /* the wrong tank, and the death before the arrival */
	ck_assert(!book_import(f.book, files, 2, &options, &f.arena, &result, &f.err));
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
						.now = f.hand.now };
	struct import_result result;

	err_clear(&f.err);
	ck_assert(!book_import(f.book, files, 2, &options, &f.arena, &result, &f.err));
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
	{ { "feeding-plans", "tank_id", "T1", "from_day", "2026-03-10", "feed_id", "Grower 32",
	    "times", "07:00 12:00", "shares", "1" },
	  "shares",
	  "shares_count" },
};

static struct record *from_texts(const char *const *text)
{
	struct record *r = record_new(kind_find(text[0]), &f.arena);

	for (size_t i = 1; text[i]; i += 2) {
		size_t field = kind_field_index(r->kind, text[i]);

		ck_assert_msg(field != SIZE_MAX, "%s", text[i]);
		ck_assert(!field_read(kind_field(r->kind, field), text[i + 1], '.', &f.arena,
				      &r->values[field], &f.err));
	}
	return r;
}

START_TEST(what_cannot_be_is_refused_however_it_arrives)
{
	for (int arrival = ARRIVES_ON_SCREEN; arrival <= ARRIVES_IMPORTED; arrival++) {
		f.hand.arrival = (enum arrival)arrival;
		f.hand.confirm = true;
		ck_refused(from_texts(bad[_i].text), bad[_i].code);
		ck_assert_str_eq(f.err.items[0].field, bad[_i].field);
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
	mini_keep(&f, from_texts(good[_i]));
}
END_TEST

START_TEST(a_place_does_not_stand_inside_itself)
{
	struct record *hall, *corner;

	hall = mini_keep(&f, mini_row(&f, "places", "code", "HALL", NULL));
	corner = mini_keep(&f, mini_row(&f, "places", "code", "CORNER", "parent_id", "HALL", NULL));
	(void)corner;
	ck_assert_int_eq(mini_patch(&f, hall, "parent_id", "CORNER", NULL), ERR_INPUT);
	ck_assert(err_has(&f.err, "inside_itself"));
}
END_TEST

START_TEST(a_tank_is_changed_as_a_tank)
{
	struct record *t1 = mini_keep(
		&f, mini_row(&f, "tanks", "code", "T1", "loop_id", "L1", "volume_l", "5000", NULL));
	struct record as_place = { .kind = kind_find("places"), .id = t1->id };

	ck_assert_int_eq(mini_patch(&f, &as_place, "name", "First", NULL), ERR_INPUT);
	ck_assert(err_has(&f.err, "wrong_kind"));
	ck_assert_int_eq(mini_strike(&f, &as_place, NULL), ERR_INPUT);
}
END_TEST

START_TEST(a_crop_that_is_cut_again_needs_no_plants)
{
	mini_keep(&f, mini_row(&f, "crop-lots", "code", "C2", "variety_id", "Large leaf", "bed_id",
			       "N1", "cubes", "100", "day", "2026-03-01", NULL));
	mini_keep(&f, mini_row(&f, "harvests", "crop_lot_id", "C2", "bed_id", "N1", "weight_g",
			       "900", "at", "2026-03-15T08:00:00Z", NULL));
}
END_TEST

START_TEST(an_unknown_zone_is_refused)
{
	struct record farm = { .kind = kind_find("farm"), .id = 1 };

	ck_assert_int_eq(mini_patch(&f, &farm, "time_zone", "Mars/Olympus", NULL), ERR_INPUT);
	ck_assert_str_eq(f.err.items[0].field, "time_zone");
}
END_TEST

Suite *rules_suite(void)
{
	Suite *s = suite_create("rules");
	TCase *t = tcase_create("rules");

	tcase_add_checked_fixture(t, open_farm, close_farm);
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
	tcase_add_test(t, a_second_dose_of_the_same_purpose_is_asked);
	tcase_add_test(t, a_dose_that_was_struck_does_not_count);
	tcase_add_test(t, a_correction_of_a_dose_does_not_meet_itself);
	tcase_add_test(t, a_time_older_than_400_days_is_asked);
	tcase_add_test(t, a_feeding_above_twice_what_was_planned_is_asked);
	tcase_add_test(t, a_weighing_a_factor_of_three_off_is_asked);
	tcase_add_test(t, a_weighing_of_nets_is_held_against_expectation);
	tcase_add_test(t, a_queued_weighing_that_is_unlikely_is_marked);
	tcase_add_test(t, a_slot_fed_twice_is_asked_with_who_and_when);
	tcase_add_test(t, a_slot_is_of_tank_day_slot_and_feed);
	tcase_add_test(t, a_second_feeding_of_a_slot_is_kept_as_extra);
	tcase_add_test(t, an_extra_feeding_that_comes_again_is_a_repeat);
	tcase_add_test(t, a_restored_feeding_is_extra_when_its_slot_was_fed);
	tcase_add_test(t, a_harvest_under_withdrawal_is_asked_and_held);
	tcase_add_test(t, plants_in_the_treated_water_are_asked_about);
	tcase_add_test(t, a_harvest_of_a_lot_on_hold_is_asked);
	tcase_add_test(t, entries_alike_by_two_people_are_listed);
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

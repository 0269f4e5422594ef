/* Plausibility, slots, withdrawals and holds, entries alike. */
#include "book_tests.h"
#include "support/rule_farm.h"

#include <string.h>

#include "book/rules.h"

/* --- rule 6: plausibility -------------------------------------------------------------------------- */

static struct record *a_dose(const char *material, const char *at)
{
	return mini_row(&own_farm, "doses", "loop_id", "L1", "material_id", material, "amount_g",
			"500", "at", at, NULL);
}

START_TEST(a_second_dose_of_the_same_purpose_is_asked)
{
	mini_keep(&own_farm, a_dose("Potash base", "2026-03-10T08:00:00Z"));
	ck_asked(a_dose("Lime", "2026-03-10T19:59:59Z"), "second_dose");
	ck_assert_str_eq(arg("material"), "Potash base");
	ck_asked(a_dose("Lime", "2026-03-09T20:00:01Z"), "second_dose"); /* entered late */
	mini_keep(&own_farm, a_dose("Iron chelate", "2026-03-10T09:00:00Z"));
	mini_keep(&own_farm, a_dose("Lime", "2026-03-10T20:00:00Z"));
	ck_assert(!record_has(confirmed(a_dose("Lime", "2026-03-10T10:00:00Z")), "look"));
	ck_assert(looks(arriving(ARRIVES_QUEUED, a_dose("Lime", "2026-03-10T11:00:00Z")),
			"second_dose"));
	ck_assert(!record_has(arriving(ARRIVES_IMPORTED, a_dose("Lime", "2026-03-10T12:00:00Z")),
			      "look"));
}
END_TEST

START_TEST(a_dose_that_was_struck_does_not_count)
{
	struct record *first = mini_keep(&own_farm, a_dose("Lime", "2026-03-10T08:00:00Z"));

	ck_assert(!mini_strike(&own_farm, first, NULL));
	mini_keep(&own_farm, a_dose("Lime", "2026-03-10T09:00:00Z"));
}
END_TEST

START_TEST(a_correction_of_a_dose_does_not_meet_itself)
{
	struct record *first = mini_keep(&own_farm, a_dose("Lime", "2026-03-10T08:00:00Z"));

	ck_assert(!mini_patch(&own_farm, first, "amount_g", "600", NULL));
}
END_TEST

START_TEST(a_time_older_than_400_days_is_asked)
{
	/* now is 2026-03-20 12:00; 400 days before is 2025-02-13 12:00 */
	struct record *old = mini_row(&own_farm, "water-tests", "place_id", "T1", "ph", "7", "at",
				      "2025-02-13T11:59:59Z", NULL);

	ck_asked(old, "too_old");
	confirmed(old);
	mini_keep(&own_farm, mini_row(&own_farm, "water-tests", "place_id", "T1", "ph", "7", "at",
				      "2025-02-13T12:00:00Z", NULL));
	ck_assert(!record_has(arriving(ARRIVES_IMPORTED,
				       mini_row(&own_farm, "water-tests", "place_id", "T1", "ph",
						"7.1", "at", "2016-02-13T12:00:00Z", NULL)),
			      "look"));
}
END_TEST

START_TEST(a_feeding_above_twice_what_was_planned_is_asked)
{
	ck_asked(mini_row(&own_farm, "feedings", "tank_id", "T1", "feed_id", "Grower 32",
			  "amount_g", "601", "planned_g", "300", "at", "2026-03-10T08:00:00Z",
			  NULL),
		 "unlikely_feeding");
	mini_keep(&own_farm, mini_row(&own_farm, "feedings", "tank_id", "T1", "feed_id",
				      "Grower 32", "amount_g", "600", "planned_g", "300", "at",
				      "2026-03-10T08:00:00Z", NULL));
}
END_TEST

static struct record *a_weighing(const char *grams, const char *at)
{
	return mini_row(&own_farm, "weighings", "tank_id", "T1", "fish_lot_id", "F1", "fish", "20",
			"weight_g", grams, "at", at, NULL);
}

START_TEST(a_weighing_a_factor_of_three_off_is_asked)
{
	/* 600 fish of 47,520 g arrived: 79.2 g each; an hour later the same is expected */
	ck_asked(a_weighing("4790", "2026-03-01T10:00:00Z"), "unlikely_weight");
	ck_assert_str_eq(arg("mean_g"), "239.5");
	ck_asked(a_weighing("520", "2026-03-01T10:00:00Z"), "unlikely_weight");
	mini_keep(&own_farm, a_weighing("4700", "2026-03-01T10:00:00Z"));
	ck_assert(!record_has(confirmed(a_weighing("15000", "2026-03-01T11:00:00Z")), "look"));
}
END_TEST

START_TEST(a_weighing_of_nets_is_held_against_expectation)
{
	ck_asked(mini_row(&own_farm, "weighings", "tank_id", "T1", "fish_lot_id", "F1", "nets",
			  "20 1580 20 14000", "at", "2026-03-01T10:00:00Z", NULL),
		 "unlikely_weight");
	ck_asked(mini_row(&own_farm, "weighings", "tank_id", "T1", "fish_lot_id", "F1", "weights_g",
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
	return mini_row(&own_farm, "feedings", "tank_id", "T1", "feed_id", feed, "slot", slot,
			"amount_g", "300", "at", at, "staff_id", "Nadia", NULL);
}

START_TEST(a_slot_fed_twice_is_asked_with_who_and_when)
{
	mini_keep(&own_farm, a_feeding("1", "Grower 32", "2026-03-10T07:00:00Z"));
	ck_asked(a_feeding("1", "Grower 32", "2026-03-10T07:20:00Z"), "slot_fed");
	ck_assert_str_eq(arg("who"), "Nadia");
	ck_assert_str_eq(arg("at"), "2026-03-10T07:00:00Z");
	ck_assert_str_eq(arg("amount_g"), "300");
}
END_TEST

START_TEST(a_slot_is_of_tank_day_slot_and_feed)
{
	mini_keep(&own_farm, a_feeding("1", "Grower 32", "2026-03-10T07:00:00Z"));
	mini_keep(&own_farm, a_feeding("2", "Grower 32", "2026-03-10T12:00:00Z"));
	mini_keep(&own_farm, a_feeding("1", "Starter 45", "2026-03-10T07:10:00Z"));
	mini_keep(&own_farm, a_feeding("1", "Grower 32", "2026-03-11T07:00:00Z"));
}
END_TEST

START_TEST(a_second_feeding_of_a_slot_is_kept_as_extra)
{
	struct record *queued, *first;

	first = mini_keep(&own_farm, a_feeding("1", "Grower 32", "2026-03-10T07:00:00Z"));
	ck_assert(!record_has(confirmed(a_feeding("1", "Grower 32", "2026-03-10T07:20:00Z")),
			      "slot"));
	queued = arriving(ARRIVES_QUEUED, a_feeding("1", "Grower 32", "2026-03-10T07:21:00Z"));
	ck_assert(!record_has(queued, "slot"));
	ck_assert(!record_has(
		arriving(ARRIVES_IMPORTED, a_feeding("1", "Grower 32", "2026-03-10T07:22:00Z")),
		"slot"));
	ck_assert_int_eq(record_int(mini_get(&own_farm, first), "slot", 0), 1);
}
END_TEST

START_TEST(an_extra_feeding_that_comes_again_is_a_repeat)
{
	struct record *r = a_feeding("1", "Grower 32", "2026-03-10T07:20:00Z");

	mini_keep(&own_farm, a_feeding("1", "Grower 32", "2026-03-10T07:00:00Z"));
	ck_assert(uuid_read("0190a5c0-0000-7000-8000-000000000009", &r->key));
	arriving(ARRIVES_QUEUED, r);
	arriving(ARRIVES_QUEUED, r);
	ck_assert(own_farm.repeat);
}
END_TEST

START_TEST(a_restored_feeding_is_extra_when_its_slot_was_fed)
{
	struct record *first =
		mini_keep(&own_farm, a_feeding("1", "Grower 32", "2026-03-10T07:00:00Z"));
	struct record *second, *kept;

	ck_assert(!mini_strike(&own_farm, first, NULL));
	second = mini_keep(&own_farm, a_feeding("1", "Grower 32", "2026-03-10T07:20:00Z"));
	ck_assert_int_eq(record_int(second, "slot", 0), 1);
	ck_assert(!mini_restore(&own_farm, first, &kept));
	ck_assert(!record_has(kept, "slot"));
}
END_TEST

/* --- rule 8: withdrawals and holds ----------------------------------------------------------------- */

static struct record *a_harvest(const char *code, const char *day)
{
	return mini_row(&own_farm, "harvests", "code", code, "fish_lot_id", "F1", "tank_id", "T1",
			"pieces", "5", "weight_g", "2500", "day", day, NULL);
}

static void treat(const char *place, const char *code)
{
	mini_keep(&own_farm, mini_row(&own_farm, "treatments", place, code, "medicine", "Bath salt",
				      "first_day", "2026-03-02", "last_day", "2026-03-05",
				      "withdrawal_days", "10", "day", "2026-03-05", NULL));
}

static int count_holds(const char *of_code)
{
	struct list_query q = { .kind = kind_find("holds"),
				.from_day = INT64_MIN,
				.to_day = INT64_MAX };
	struct record_list *list;
	const struct record *row;
	int n = 0;

	ck_assert(!record_list_open(own_farm.store, &q, &list, &own_farm.err));
	while (!record_list_next(list, &row, &own_farm.err))
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
	mini_keep(&own_farm, a_harvest("H3", "2026-03-15"));
	mini_keep(&own_farm, a_harvest("H4", "2026-03-01")); /* before it began */
	ck_assert_int_eq(count_holds("H3") + count_holds("H4"), 0);
}
END_TEST

START_TEST(plants_in_the_treated_water_are_asked_about)
{
	treat("tank_id", "T1");
	ck_asked(mini_row(&own_farm, "harvests", "crop_lot_id", "C1", "bed_id", "N1", "pieces", "5",
			  "day", "2026-03-14", NULL),
		 "withdrawal");
}
END_TEST

START_TEST(a_harvest_of_a_lot_on_hold_is_asked)
{
	struct record *hold =
		mini_keep(&own_farm, mini_row(&own_farm, "holds", "of_code", "F1", "why", "smell",
					      "day", "2026-03-12", NULL));

	ck_asked(a_harvest("H1", "2026-03-14"), "on_hold");
	ck_assert_str_eq(arg("why"), "smell");
	ck_assert(!mini_patch(&own_farm, hold, "released_at", "2026-03-13T12:00:00Z", NULL));
	mini_keep(&own_farm, a_harvest("H1", "2026-03-14"));
	ck_assert_int_eq(count_holds("H1"), 0);
}
END_TEST

START_TEST(what_is_held_is_neither_packed_nor_shipped)
{
	struct record *hold, *line;

	mini_keep(&own_farm, mini_row(&own_farm, "products", "code", "PR1", "name", "Whole fish",
				      "species_id", "Tilapia", NULL));
	mini_keep(&own_farm, mini_row(&own_farm, "partners", "name", "Corner Kitchen", "role",
				      "customer", NULL));
	mini_keep(&own_farm, a_harvest("H1", "2026-03-11"));
	mini_keep(&own_farm, mini_row(&own_farm, "packings", "code", "K1", "product_id", "PR1",
				      "packs", "1", "day", "2026-03-11", NULL));
	line = mini_keep(&own_farm, mini_row(&own_farm, "packing-lines", "packing_id", "K1",
					     "harvest_id", "H1", "weight_g", "1000", NULL));
	mini_keep(&own_farm,
		  mini_row(&own_farm, "shipments", "code", "D1", "partner_id", "Corner Kitchen",
			   "shipped_at", "2026-03-12T08:00:00Z", "day", "2026-03-12", NULL));
	hold = mini_keep(&own_farm, mini_row(&own_farm, "holds", "of_code", "F1", "why", "smell",
					     "day", "2026-03-12", NULL));
	ck_refused(mini_row(&own_farm, "packing-lines", "packing_id", "K1", "harvest_id", "H1",
			    "weight_g", "500", NULL),
		   "held");
	ck_assert_str_eq(arg("lot"), "F1");
	ck_refused(mini_row(&own_farm, "shipment-lines", "shipment_id", "D1", "packing_id", "K1",
			    "packs", "1", NULL),
		   "held");
	ck_assert(
		!mini_patch(&own_farm, line, "note", "weighed twice", NULL)); /* not packed anew */
	arriving(ARRIVES_IMPORTED, mini_row(&own_farm, "packing-lines", "packing_id", "K1",
					    "harvest_id", "H1", "weight_g", "400", NULL));
	ck_assert(!mini_patch(&own_farm, hold, "released_at", "2026-03-13T12:00:00Z", NULL));
	mini_keep(&own_farm, mini_row(&own_farm, "shipment-lines", "shipment_id", "D1",
				      "packing_id", "K1", "packs", "1", NULL));
}
END_TEST

/* --- rule 7: alike --------------------------------------------------------------------------------- */

static struct record *fed_by(const char *who, const char *amount_g, const char *at)
{
	return mini_keep(&own_farm,
			 mini_row(&own_farm, "feedings", "tank_id", "T1", "feed_id", "Grower 32",
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
	err_clear(&own_farm.err);
	ck_assert(!book_alike(own_farm.book, first->kind, day_of("2026-03-10"),
			      day_of("2026-03-10"), &own_farm.arena, &alike, &n, &own_farm.err));
	ck_assert_uint_eq(n, 2);
	ck_assert_int_eq(alike[0].id, first->id);
	ck_assert_int_eq(alike[0].later_id, second->id);
	ck_assert_int_eq(alike[1].later_id, second->id);
}
END_TEST

Suite *rules_suite(void)
{
	Suite *s = suite_create("rules");
	TCase *t = tcase_create("rules");

	tcase_add_checked_fixture(t, rule_farm_open, rule_farm_close);
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
	tcase_add_test(t, what_is_held_is_neither_packed_nor_shipped);
	tcase_add_test(t, entries_alike_by_two_people_are_listed);
	suite_add_tcase(s, t);
	return s;
}

/* Withdrawals follow the fish: moved, split, mixed and merged, entered late or early. */
#include "book_tests.h"
#include "support/rule_farm.h"

#include <string.h>

/* Tanks T3 and T4 stand in a water of their own.  F1, 600 fish, stands in T1; a treatment is of 2 to 5 March, and
 * free 10 days after its last. */
static void open_farm(void)
{
	rule_farm_open();
	mini_keep(&own_farm,
		  mini_row(&own_farm, "loops", "code", "L2", "water_volume_l", "9000", NULL));
	mini_keep(&own_farm, mini_row(&own_farm, "tanks", "code", "T3", "loop_id", "L2", "volume_l",
				      "5000", NULL));
	mini_keep(&own_farm, mini_row(&own_farm, "tanks", "code", "T4", "loop_id", "L2", "volume_l",
				      "5000", NULL));
	mini_keep(&own_farm, mini_row(&own_farm, "species", "name", "Trout", NULL));
	mini_keep(&own_farm,
		  mini_row(&own_farm, "fish-lots", "code", "F3", "species_id", "Trout", NULL));
}

static struct record *treat(const char *of, const char *code)
{
	return mini_row(&own_farm, "treatments", of, code, "medicine", "Bath salt", "first_day",
			"2026-03-02", "last_day", "2026-03-05", "withdrawal_days", "10", "day",
			"2026-03-05", NULL);
}

static struct record *move(const char *lot, const char *from, const char *to, const char *fish,
			   const char *at)
{
	return mini_row(&own_farm, "fish-moves", "fish_lot_id", lot, "from_tank_id", from,
			"to_tank_id", to, "fish", fish, "reason", "transfer", "at", at, NULL);
}

static struct record *stocked(const char *lot, const char *tank, const char *at)
{
	return mini_row(&own_farm, "fish-moves", "fish_lot_id", lot, "to_tank_id", tank, "fish",
			"200", "weight_g", "20000", "reason", "stocking", "at", at, NULL);
}

static struct record *harvest(const char *code, const char *lot, const char *tank, const char *day)
{
	return mini_row(&own_farm, "harvests", "code", code, "fish_lot_id", lot, "tank_id", tank,
			"pieces", "5", "weight_g", "2500", "day", day, NULL);
}

static struct record *sale(const char *lot, const char *tank, const char *at)
{
	return mini_row(&own_farm, "fish-moves", "fish_lot_id", lot, "from_tank_id", tank, "fish",
			"20", "reason", "sold_live", "at", at, NULL);
}

static void keep(struct record *r)
{
	mini_keep(&own_farm, r);
}

static void ck_runs(const char *lot, const char *tank, const char *day)
{
	ck_asked(harvest("X1", lot, tank, day), "withdrawal");
}

/* Kept without a question, and taken back. */
static void ck_free(const char *lot, const char *tank, const char *day)
{
	struct record *kept = mini_keep(&own_farm, mini_row(&own_farm, "harvests", "fish_lot_id",
							    lot, "tank_id", tank, "pieces", "5",
							    "weight_g", "2500", "day", day, NULL));

	ck_assert(!mini_strike(&own_farm, kept, NULL));
}

/* The why of the one hold on a code; NULL: none. */
static const char *held_why(const char *code)
{
	struct list_query q = { .kind = kind_find("holds"),
				.from_day = INT64_MIN,
				.to_day = INT64_MAX };
	struct record_list *list;
	const struct record *row;
	const char *why = NULL;

	ck_assert(!record_list_open(own_farm.store, &q, &list, &own_farm.err));
	while (!record_list_next(list, &row, &own_farm.err)) {
		if (strcmp(record_text(row, "of_code"), code) != 0)
			continue;
		ck_assert_msg(!why, "%s is held twice", code);
		why = arena_strdup(&own_farm.arena, record_text(row, "why"));
	}
	record_list_close(list);
	return why;
}

START_TEST(fish_moved_after_the_treatment_carry_it_along)
{
	keep(treat("tank_id", "T1"));
	keep(move("F1", "T1", "T3", "600", "2026-03-06T09:00:00Z"));
	ck_runs("F1", "T3", "2026-03-14");
	ck_assert_str_eq(arg("day"), "2026-03-15");
	ck_free("F1", "T3", "2026-03-15");
}
END_TEST

/* FB404: a last medicated day of 20 February 2024 and 12 days of withdrawal (florfenicol in catfish, 21 CFR
 * 516.1215): the first day to harvest is 3 March, the year being a leap one. */
START_TEST(the_first_free_day_is_as_published)
{
	own_farm.hand.now = instant_of("2024-03-20T12:00:00Z");
	keep(stocked("F2", "T3", "2024-01-10T09:00:00Z"));
	keep(mini_row(&own_farm, "treatments", "tank_id", "T3", "medicine", "Florfenicol",
		      "first_day", "2024-02-11", "last_day", "2024-02-20", "withdrawal_days", "12",
		      "day", "2024-02-20", NULL));
	ck_runs("F2", "T3", "2024-03-02");
	ck_assert_str_eq(arg("day"), "2024-03-03");
	ck_free("F2", "T3", "2024-03-03");
}
END_TEST

START_TEST(fish_that_left_before_the_treatment_are_free)
{
	keep(move("F1", "T1", "T3", "600", "2026-03-01T10:00:00Z"));
	keep(treat("tank_id", "T1"));
	ck_free("F1", "T3", "2026-03-10");
}
END_TEST

START_TEST(fish_that_came_after_the_treatment_are_free)
{
	keep(treat("tank_id", "T1"));
	keep(move("F1", "T1", "T3", "600", "2026-03-05T20:00:00Z"));
	keep(stocked("F2", "T1", "2026-03-06T09:00:00Z"));
	ck_free("F2", "T1", "2026-03-10");
	ck_runs("F1", "T3", "2026-03-10");
}
END_TEST

START_TEST(both_parts_of_a_split_lot_carry_the_treatment)
{
	keep(treat("fish_lot_id", "F1"));
	keep(move("F1", "T1", "T3", "300", "2026-03-06T09:00:00Z"));
	ck_runs("F1", "T1", "2026-03-14");
	ck_runs("F1", "T3", "2026-03-14");
}
END_TEST

START_TEST(the_part_that_left_before_the_treatment_of_its_tank_is_free)
{
	keep(move("F1", "T1", "T3", "300", "2026-03-01T10:00:00Z"));
	keep(treat("tank_id", "T1"));
	ck_runs("F1", "T1", "2026-03-14");
	ck_free("F1", "T3", "2026-03-14");
}
END_TEST

START_TEST(a_lot_of_the_species_that_swims_with_treated_fish_is_asked_about)
{
	keep(stocked("F2", "T3", "2026-03-01T10:00:00Z"));
	keep(stocked("F3", "T3", "2026-03-01T10:00:00Z"));
	keep(treat("tank_id", "T1"));
	ck_free("F2", "T3", "2026-03-05");
	keep(move("F1", "T1", "T3", "100", "2026-03-06T09:00:00Z"));
	ck_runs("F2", "T3", "2026-03-10");
	ck_free("F3", "T3", "2026-03-10"); /* another species: told apart by eye */
}
END_TEST

START_TEST(what_leaves_a_mixed_tank_may_be_of_the_treated_lot)
{
	keep(stocked("F2", "T3", "2026-03-01T10:00:00Z"));
	keep(treat("tank_id", "T1"));
	keep(move("F2", "T3", "T4", "50", "2026-03-05T09:00:00Z")); /* before they are mixed */
	keep(move("F1", "T1", "T3", "100", "2026-03-06T09:00:00Z"));
	ck_free("F2", "T4", "2026-03-10");
	keep(move("F2", "T3", "T4", "50", "2026-03-08T09:00:00Z"));
	ck_runs("F2", "T4", "2026-03-10");
}
END_TEST

START_TEST(a_merge_carries_the_treatment_into_the_other_lot)
{
	keep(stocked("F2", "T3", "2026-03-01T10:00:00Z"));
	keep(treat("fish_lot_id", "F1"));
	keep(mini_row(&own_farm, "fish-moves", "fish_lot_id", "F1", "from_tank_id", "T1",
		      "to_tank_id", "T3", "into_lot_id", "F2", "fish", "600", "reason", "merge",
		      "at", "2026-03-06T09:00:00Z", NULL));
	keep(move("F2", "T3", "T4", "800", "2026-03-07T09:00:00Z"));
	ck_runs("F2", "T4", "2026-03-14");
	ck_free("F2", "T4", "2026-03-15");
}
END_TEST

START_TEST(a_round_through_all_tanks_forgets_nothing)
{
	keep(treat("tank_id", "T1"));
	keep(move("F1", "T1", "T3", "600", "2026-03-06T09:00:00Z"));
	keep(move("F1", "T3", "T4", "600", "2026-03-07T09:00:00Z"));
	keep(move("F1", "T4", "T1", "600", "2026-03-08T09:00:00Z"));
	keep(move("F1", "T1", "T4", "600", "2026-03-09T09:00:00Z"));
	keep(move("F1", "T4", "T1", "600", "2026-03-09T09:00:00Z"));
	ck_runs("F1", "T1", "2026-03-14");
	ck_runs("F1", "T1", "2026-03-09");
}
END_TEST

START_TEST(a_loop_that_was_treated_counts_until_its_withdrawal_is_over)
{
	keep(treat("loop_id", "L1"));
	keep(stocked("F2", "T2", "2026-03-08T10:00:00Z"));
	keep(move("F1", "T1", "T3", "600", "2026-03-06T09:00:00Z"));
	ck_runs("F2", "T2", "2026-03-10"); /* it stands in the treated water */
	ck_runs("F1", "T3", "2026-03-10");
	ck_free("F1", "T3", "2026-03-15");
}
END_TEST

static void put_in_loop(const struct record *tank, const char *loop, const char *from_day)
{
	struct record *values = record_new(tank->kind, &own_farm.arena), *kept;
	bool *given = arena_array(&own_farm.arena, kind_field_count(tank->kind), sizeof(*given));

	record_set_text(values, "loop_id", loop);
	given[kind_field_index(tank->kind, "loop_id")] = true;
	err_clear(&own_farm.err);
	ck_assert(!book_resolve(own_farm.book, values, false, &own_farm.err));
	ck_assert(!book_patch(own_farm.book, tank->kind, tank->id, values, given, tank->version,
			      day_of(from_day), &own_farm.hand, &own_farm.arena, &kept,
			      &own_farm.err));
}

/* L2 is treated from 2 March; the tank's pipes led to it on 4 and 5 March only. */
START_TEST(a_tank_that_was_in_the_treated_loop_for_a_day_carries_the_treatment)
{
	struct record *tank =
		mini_keep(&own_farm, mini_row(&own_farm, "tanks", "code", "T5", "loop_id", "L1",
					      "volume_l", "5000", NULL));

	put_in_loop(tank, "L2", "2026-03-04");
	put_in_loop(tank, "L1", "2026-03-06");
	keep(stocked("F2", "T5", "2026-03-01T10:00:00Z"));
	keep(treat("loop_id", "L2"));
	ck_runs("F2", "T5", "2026-03-14");
	ck_free("F2", "T5", "2026-03-15");
}
END_TEST

START_TEST(a_treatment_that_comes_late_holds_what_was_harvested)
{
	keep(move("F1", "T1", "T3", "600", "2026-03-06T09:00:00Z"));
	keep(harvest("H1", "F1", "T3", "2026-03-14"));
	keep(harvest("H2", "F1", "T3", "2026-03-15"));
	ck_assert_ptr_null(held_why("H1"));
	keep(treat("tank_id", "T1"));
	ck_assert_str_eq(held_why("H1"),
			 "harvested under withdrawal of Bath salt, free on 2026-03-15");
	ck_assert_ptr_null(held_why("H2"));
}
END_TEST

START_TEST(a_move_that_comes_late_holds_what_was_harvested)
{
	keep(stocked("F2", "T3", "2026-03-01T10:00:00Z"));
	keep(treat("tank_id", "T1"));
	keep(harvest("H1", "F2", "T3", "2026-03-14"));
	keep(harvest("H2", "F2", "T3", "2026-03-05"));
	ck_assert_ptr_null(held_why("H1"));
	keep(move("F1", "T1", "T3", "100", "2026-03-06T09:00:00Z"));
	ck_assert_str_eq(held_why("H1"),
			 "harvested under withdrawal of Bath salt, free on 2026-03-15");
	ck_assert_ptr_null(held_why("H2"));
}
END_TEST

START_TEST(early_entries_hold_the_same_for_the_same_reason)
{
	keep(treat("tank_id", "T1"));
	keep(move("F1", "T1", "T3", "600", "2026-03-06T09:00:00Z"));
	ck_assert(looks(arriving(ARRIVES_QUEUED, harvest("H1", "F1", "T3", "2026-03-14")),
			"under_withdrawal"));
	ck_assert_str_eq(held_why("H1"),
			 "harvested under withdrawal of Bath salt, free on 2026-03-15");
}
END_TEST

START_TEST(a_corrected_last_day_holds_what_was_harvested)
{
	struct record *given = mini_keep(&own_farm, treat("tank_id", "T1"));

	keep(move("F1", "T1", "T3", "600", "2026-03-06T09:00:00Z"));
	keep(harvest("H1", "F1", "T3", "2026-03-15"));
	ck_assert(!mini_patch(&own_farm, given, "withdrawal_days", "12", NULL));
	ck_assert_str_eq(held_why("H1"),
			 "harvested under withdrawal of Bath salt, free on 2026-03-17");
}
END_TEST

START_TEST(a_hold_that_was_released_is_not_raised_again)
{
	struct list_query q = { .kind = kind_find("holds"),
				.from_day = INT64_MIN,
				.to_day = INT64_MAX };
	struct record_list *list;
	const struct record *row;
	struct record *hold;

	keep(harvest("H1", "F1", "T1", "2026-03-14"));
	keep(treat("tank_id", "T1"));
	ck_assert(!record_list_open(own_farm.store, &q, &list, &own_farm.err));
	ck_assert(!record_list_next(list, &row, &own_farm.err));
	hold = record_copy(row, &own_farm.arena);
	record_list_close(list);
	ck_assert(!mini_patch(&own_farm, hold, "released_at", "2026-03-15T12:00:00Z", NULL));
	keep(move("F1", "T1", "T3", "100", "2026-03-13T09:00:00Z"));
	ck_assert_ptr_nonnull(held_why("H1")); /* fails when there are two */
}
END_TEST

START_TEST(a_sale_of_live_fish_is_asked_and_a_move_is_not)
{
	keep(treat("tank_id", "T1"));
	keep(move("F1", "T1", "T3", "600", "2026-03-06T09:00:00Z"));
	ck_asked(sale("F1", "T3", "2026-03-14T09:00:00Z"), "withdrawal");
	ck_assert(looks(arriving(ARRIVES_QUEUED, sale("F1", "T3", "2026-03-14T09:00:00Z")),
			"under_withdrawal"));
	keep(sale("F1", "T3", "2026-03-15T09:00:00Z"));
}
END_TEST

START_TEST(plants_in_the_water_of_a_treated_lot_are_asked_about)
{
	keep(treat("fish_lot_id", "F1"));
	keep(move("F1", "T1", "T3", "600", "2026-03-06T09:00:00Z"));
	ck_asked(mini_row(&own_farm, "harvests", "crop_lot_id", "C1", "bed_id", "N1", "pieces", "5",
			  "day", "2026-03-14", NULL),
		 "withdrawal");
}
END_TEST

START_TEST(a_treated_lot_harvested_under_a_wrong_tank_is_asked_about)
{
	keep(treat("fish_lot_id", "F1"));
	arriving(ARRIVES_QUEUED, harvest("H1", "F1", "T4", "2026-03-14"));
	ck_assert_ptr_nonnull(held_why("H1"));
}
END_TEST

Suite *withdrawal_suite(void)
{
	Suite *s = suite_create("withdrawal");
	TCase *t = tcase_create("withdrawal");

	tcase_add_checked_fixture(t, open_farm, rule_farm_close);
	tcase_add_test(t, fish_moved_after_the_treatment_carry_it_along);
	tcase_add_test(t, the_first_free_day_is_as_published);
	tcase_add_test(t, fish_that_left_before_the_treatment_are_free);
	tcase_add_test(t, fish_that_came_after_the_treatment_are_free);
	tcase_add_test(t, both_parts_of_a_split_lot_carry_the_treatment);
	tcase_add_test(t, the_part_that_left_before_the_treatment_of_its_tank_is_free);
	tcase_add_test(t, a_lot_of_the_species_that_swims_with_treated_fish_is_asked_about);
	tcase_add_test(t, what_leaves_a_mixed_tank_may_be_of_the_treated_lot);
	tcase_add_test(t, a_merge_carries_the_treatment_into_the_other_lot);
	tcase_add_test(t, a_round_through_all_tanks_forgets_nothing);
	tcase_add_test(t, a_loop_that_was_treated_counts_until_its_withdrawal_is_over);
	tcase_add_test(t, a_tank_that_was_in_the_treated_loop_for_a_day_carries_the_treatment);
	tcase_add_test(t, a_treatment_that_comes_late_holds_what_was_harvested);
	tcase_add_test(t, a_move_that_comes_late_holds_what_was_harvested);
	tcase_add_test(t, early_entries_hold_the_same_for_the_same_reason);
	tcase_add_test(t, a_corrected_last_day_holds_what_was_harvested);
	tcase_add_test(t, a_hold_that_was_released_is_not_raised_again);
	tcase_add_test(t, a_sale_of_live_fish_is_asked_and_a_move_is_not);
	tcase_add_test(t, plants_in_the_water_of_a_treated_lot_are_asked_about);
	tcase_add_test(t, a_treated_lot_harvested_under_a_wrong_tank_is_asked_about);
	suite_add_tcase(s, t);
	return s;
}

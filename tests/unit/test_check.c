/* What one record must satisfy by itself: model/check. */
#include "unit_tests.h"

#include <math.h>
#include <string.h>

#include "base/zone.h"
#include "model/kinds.h"
#include "support.h"

static struct arena arena;
static struct err err;

static void set_up(void)
{
	arena_init(&arena);
	err_clear(&err);
}

static void tear_down(void)
{
	arena_release(&arena);
}

static struct record *good_feeding(void)
{
	struct record *r = record_new(&feedings_kind, &arena);

	record_set_int(r, "tank_id", 1);
	record_set_int(r, "feed_id", 1);
	record_set_real(r, "amount_g", 1200);
	return r;
}

static struct record *good_plan(void)
{
	struct record *r = record_new(&feeding_plans_kind, &arena);

	record_set_int(r, "tank_id", 1);
	record_set_int(r, "from_day", 20000);
	record_set_int(r, "feed_id", 1);
	record_set_text(r, "times", "06:30 12:00");
	return r;
}

START_TEST(a_whole_record_passes)
{
	check_ok(record_check(good_feeding(), &arena, &err), &err);
	check_ok(record_check(good_plan(), &arena, &err), &err);
}
END_TEST

START_TEST(all_faults_are_named_at_once)
{
	struct record *r = record_new(&feedings_kind, &arena);

	record_set_text(r, "tank_id", "T4"); /* not resolved yet: passes */
	record_set_real(r, "amount_g", -1);
	record_set_int(r, "slot", 49);
	record_set_text(r, "appetite", "kean");
	record_set_real(r, "hours", (double)NAN);
	ck_assert_int_eq(record_check(r, &arena, &err), ERR_INPUT);
	ck_assert_uint_eq(err.n_items, 5);
	ck_assert_str_eq(err_item_of(&err, "required")->field, "feed_id");
	ck_assert_str_eq(err_item_of(&err, "not_a_choice")->field, "appetite");
	ck_assert_str_eq(err_arg_of(err_item_of(&err, "not_a_choice"), "nearest"), "keen");
	ck_assert_str_eq(err_item_of(&err, "not_a_number")->field, "hours");
	ck_assert_str_eq(err_item_of(&err, "out_of_range")->field, "amount_g");
}
END_TEST

START_TEST(faults_join_those_found_before)
{
	struct record *r = good_feeding();

	record_set_real(r, "amount_g", -1);
	err_set(&err, ERR_CONFLICT, "", "before", "Was there before.");
	ck_assert_int_eq(record_check(r, &arena, &err), ERR_INPUT);
	ck_assert_int_eq(err.code, ERR_CONFLICT);
	ck_assert_uint_eq(err.n_items, 2);
	ck_assert_int_eq(record_check(good_feeding(), &arena, &err), ERR_NONE);
	ck_assert_uint_eq(err.n_items, 2);
}
END_TEST

START_TEST(limits_themselves_are_inside)
{
	const struct field *slot =
		kind_field(&feedings_kind, kind_field_index(&feedings_kind, "slot"));
	struct record *r = good_feeding();

	record_set_int(r, "slot", (int64_t)slot->lo);
	check_ok(record_check(r, &arena, &err), &err);
	record_set_int(r, "slot", (int64_t)slot->hi);
	check_ok(record_check(r, &arena, &err), &err);
	record_set_int(r, "slot", (int64_t)slot->lo - 1);
	check_refused(record_check(r, &arena, &err), &err, ERR_INPUT, "out_of_range");
	ck_assert_str_eq(err_arg_of(&err.items[0], "low"), "1");
	ck_assert_str_eq(err_arg_of(&err.items[0], "high"), "48");
	record_set_int(r, "slot", (int64_t)slot->hi + 1);
	check_refused(record_check(r, &arena, &err), &err, ERR_INPUT, "out_of_range");
}
END_TEST

/* Rules of the trade, 6: what is outside the physical range is refused. */
START_TEST(water_outside_the_physical_range_is_refused)
{
	static const struct {
		const char *field;
		double inside[2], outside[2];
	} limits[] = {
		{ "ph", { 0, 14 }, { -0.01, 14.01 } },
		{ "do_mg_l", { 0, 40 }, { -0.1, 40.1 } },
		{ "temperature_c", { -5, 50 }, { -5.1, 50.1 } },
	};

	for (size_t i = 0; i < sizeof(limits) / sizeof(limits[0]); i++) {
		struct record *r = record_new(&water_tests_kind, &arena);

		record_set_int(r, "place_id", 1);
		for (size_t j = 0; j < 2; j++) {
			record_set_real(r, limits[i].field, limits[i].inside[j]);
			check_ok(record_check(r, &arena, &err), &err);
			record_set_real(r, limits[i].field, limits[i].outside[j]);
			check_refused(record_check(r, &arena, &err), &err, ERR_INPUT,
				      "out_of_range");
		}
	}
}
END_TEST

START_TEST(of_a_choice_enough_and_not_too_many_are_given)
{
	struct record *r = record_new(&harvests_kind, &arena);

	record_set_int(r, "fish_lot_id", 1);
	record_set_int(r, "tank_id", 1);
	record_set_int(r, "pieces", 10);
	check_ok(record_check(r, &arena, &err), &err);
	record_set_real(r, "weight_g", 9000);
	check_ok(record_check(r, &arena, &err), &err); /* one or both */
	record_set_int(r, "bed_id", 1);
	check_refused(record_check(r, &arena, &err), &err, ERR_INPUT, "one_of");
	ck_assert_str_eq(err.items[0].field, "tank_id");
	ck_assert_str_eq(err_arg_of(&err.items[0], "fields"), "tank_id, bed_id");
	ck_assert_str_eq(err_arg_of(&err.items[0], "given"), "2");
	record_clear(r, "bed_id");
	record_clear(r, "tank_id");
	check_refused(record_check(r, &arena, &err), &err, ERR_INPUT, "one_of");
	ck_assert_str_eq(err_arg_of(&err.items[0], "given"), "0");
}
END_TEST

START_TEST(a_choice_may_be_left_out_where_it_may)
{
	struct record *r = good_plan();

	record_set_real(r, "fixed_g", 100);
	check_ok(record_check(r, &arena, &err), &err);
	record_set_real(r, "fixed_pct", 1);
	check_refused(record_check(r, &arena, &err), &err, ERR_INPUT, "one_of");
}
END_TEST

START_TEST(canonical_forms_take_the_place_of_texts)
{
	struct record *plan = good_plan();
	struct record *weighing = record_new(&weighings_kind, &arena);
	struct record *species = record_new(&species_kind, &arena);

	record_set_text(plan, "times", " 06:30   12:00 ");
	record_set_text(plan, "shares", "0.40  0.60");
	record_set_text(plan, "note", "");
	check_ok(record_check(plan, &arena, &err), &err);
	ck_assert_str_eq(record_text(plan, "times"), "06:30 12:00");
	ck_assert_str_eq(record_text(plan, "shares"), "0.4 0.6");
	ck_assert(!record_has(plan, "note"));
	record_set_int(weighing, "tank_id", 1);
	record_set_int(weighing, "fish_lot_id", 1);
	record_set_text(weighing, "nets", "20 4310.0  18 3902");
	check_ok(record_check(weighing, &arena, &err), &err);
	ck_assert_str_eq(record_text(weighing, "nets"), "20 4310 18 3902");
	record_set_text(species, "name", "  Silver   barbel ");
	check_ok(record_check(species, &arena, &err), &err);
	ck_assert_str_eq(record_text(species, "name"), "Silver barbel");
}
END_TEST

/* A plan's shares stand in the order of its times, so sorting the times would feed wrong amounts. */
START_TEST(times_out_of_order_are_refused)
{
	struct record *r = good_plan();

	record_set_text(r, "times", "12:00 06:30");
	check_refused(record_check(r, &arena, &err), &err, ERR_INPUT, "not_ascending");
}
END_TEST

START_TEST(each_number_of_a_list_keeps_the_range)
{
	struct record *r = record_new(&weighings_kind, &arena);

	record_set_int(r, "tank_id", 1);
	record_set_int(r, "fish_lot_id", 1);
	record_set_text(r, "weights_g", "210 0 198");
	check_refused(record_check(r, &arena, &err), &err, ERR_INPUT, "out_of_range");
	record_set_text(r, "weights_g", "210 198");
	check_ok(record_check(r, &arena, &err), &err);
}
END_TEST

START_TEST(an_empty_required_text_is_missing)
{
	struct record *r = record_new(&species_kind, &arena);

	record_set_text(r, "name", "   ");
	check_refused(record_check(r, &arena, &err), &err, ERR_INPUT, "required");
}
END_TEST

START_TEST(a_value_of_another_type_is_refused)
{
	struct record *r = good_feeding();

	record_set_int(r, "amount_g", 5);
	check_refused(record_check(r, &arena, &err), &err, ERR_INPUT, "wrong_type");
	r = good_feeding();
	record_set_real(r, "tank_id", 5);
	check_refused(record_check(r, &arena, &err), &err, ERR_INPUT, "wrong_type");
	r = good_feeding();
	record_set_real(r, "appetite", 5);
	check_refused(record_check(r, &arena, &err), &err, ERR_INPUT, "wrong_type");
}
END_TEST

START_TEST(a_flag_is_yes_or_no)
{
	struct record *r = record_new(&fish_moves_kind, &arena);

	record_set_int(r, "fish_lot_id", 1);
	record_set_int(r, "to_tank_id", 1);
	record_set_int(r, "fish", 100);
	record_set_text(r, "reason", "stocking");
	record_set_int(r, "empties", 1);
	check_ok(record_check(r, &arena, &err), &err);
	record_set_int(r, "empties", 2);
	check_refused(record_check(r, &arena, &err), &err, ERR_INPUT, "not_a_bool");
}
END_TEST

START_TEST(days_and_times_lie_in_the_years_that_can_be_read)
{
	struct record *r = good_feeding();

	record_set_int(r, "at", (day_from_civil(2199, 12, 31) + 1) * 86400 - 1);
	record_set_int(r, "day", day_from_civil(1900, 1, 1));
	check_ok(record_check(r, &arena, &err), &err);
	record_set_int(r, "at", (day_from_civil(2199, 12, 31) + 1) * 86400);
	check_refused(record_check(r, &arena, &err), &err, ERR_INPUT, "not_a_time");
	record_clear(r, "at");
	record_set_int(r, "day", day_from_civil(1900, 1, 1) - 1);
	check_refused(record_check(r, &arena, &err), &err, ERR_INPUT, "not_a_date");
}
END_TEST

/* Every kind, nothing given: each required field and each choice that needs one is named. */
START_TEST(an_empty_record_of_any_kind_lacks_what_is_required)
{
	for (size_t n = 0; kinds[n]; n++) {
		const struct kind *k = kinds[n];
		size_t want = 0;

		for (size_t i = 0; i < kind_field_count(k); i++)
			want += kind_field(k, i)->required;
		for (const struct choice_of *c = k->choices; c && c->fields[0]; c++)
			want += c->min > 0;
		err_clear(&err);
		record_check(record_new(k, &arena), &arena, &err);
		ck_assert_msg(err.n_items == want, "%s: %s", k->name, err_text(&err));
	}
}
END_TEST

Suite *check_suite(void)
{
	Suite *s = suite_create("check");
	TCase *tc = tcase_create("check");

	suite_add_tcase(s, tc);
	tcase_add_checked_fixture(tc, set_up, tear_down);
	tcase_add_test(tc, a_whole_record_passes);
	tcase_add_test(tc, all_faults_are_named_at_once);
	tcase_add_test(tc, faults_join_those_found_before);
	tcase_add_test(tc, limits_themselves_are_inside);
	tcase_add_test(tc, water_outside_the_physical_range_is_refused);
	tcase_add_test(tc, of_a_choice_enough_and_not_too_many_are_given);
	tcase_add_test(tc, a_choice_may_be_left_out_where_it_may);
	tcase_add_test(tc, canonical_forms_take_the_place_of_texts);
	tcase_add_test(tc, times_out_of_order_are_refused);
	tcase_add_test(tc, each_number_of_a_list_keeps_the_range);
	tcase_add_test(tc, an_empty_required_text_is_missing);
	tcase_add_test(tc, a_value_of_another_type_is_refused);
	tcase_add_test(tc, a_flag_is_yes_or_no);
	tcase_add_test(tc, days_and_times_lie_in_the_years_that_can_be_read);
	tcase_add_test(tc, an_empty_record_of_any_kind_lacks_what_is_required);
	return s;
}

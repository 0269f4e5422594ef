/* Entries coming in: kept once, corrected, struck out, restored; times and references. */
#include "book_tests.h"
#include "support/mini_farm.h"

#include <string.h>

#define KEY_1 "0190a5c0-0000-7000-8000-000000000001"
#define KEY_2 "0190a5c0-0000-7000-8000-000000000002"

static struct mini_farm f;

static void open_farm(void)
{
	mini_farm_open(&f);
}

static void close_farm(void)
{
	mini_farm_close(&f);
}

static struct record *a_death(const char *key, const char *fish)
{
	return mini_row(&f, "fish-deaths", "key", key, "tank_id", "T1", "fish_lot_id", "F1", "fish",
			fish, "at", "2026-03-10T08:00:00Z", NULL);
}

/* --- repeats --------------------------------------------------------------------------------------- */

START_TEST(the_same_key_and_content_is_kept_once)
{
	struct record *first = mini_keep(&f, a_death(KEY_1, "3"));
	struct record *again = mini_keep(&f, a_death(KEY_1, "3"));

	ck_assert(f.repeat);
	ck_assert_int_eq(again->id, first->id);
	ck_assert_int_eq(again->version, 1);
}
END_TEST

START_TEST(the_same_key_with_other_content_is_refused)
{
	mini_keep(&f, a_death(KEY_1, "3"));
	ck_assert_int_eq(mini_create(&f, a_death(KEY_1, "4"), NULL), ERR_INPUT);
	ck_assert(err_has(&f.err, "key_used"));
}
END_TEST

START_TEST(a_repeat_of_any_version_answers_with_the_entry_as_it_is)
{
	struct record *first = mini_keep(&f, a_death(KEY_1, "3")), *now;

	ck_assert(!mini_patch(&f, first, "fish", "4", NULL));
	ck_assert(!mini_patch(&f, first, "cause", "handling", NULL));
	ck_assert(!mini_patch(&f, first, "fish", "5", NULL));

	now = mini_keep(&f, a_death(KEY_1, "3")); /* as it was made */
	ck_assert(f.repeat);
	ck_assert_int_eq(record_int(now, "fish", 0), 5);
	now = mini_keep(&f, a_death(KEY_1, "4")); /* as it was in between */
	ck_assert(f.repeat);
	ck_assert_int_eq(now->version, 4);
	ck_assert_int_eq(mini_create(&f, a_death(KEY_1, "9"), NULL), ERR_INPUT);
}
END_TEST

START_TEST(confirm_queue_and_clock_offset_are_not_content)
{
	struct record *first;

	f.hand.tablet = "A";
	f.hand.has_clock_offset = true;
	f.hand.clock_offset_s = 90;
	first = mini_keep(&f, a_death(KEY_1, "3"));
	f.hand.clock_offset_s = 95;
	f.hand.confirm = true;
	f.hand.arrival = ARRIVES_QUEUED;
	ck_assert_int_eq(mini_keep(&f, a_death(KEY_1, "3"))->id, first->id);
	ck_assert(f.repeat);
}
END_TEST

START_TEST(a_refused_entry_does_not_use_up_its_key)
{
	ck_assert_int_eq(mini_create(&f, a_death(KEY_1, "-1"), NULL), ERR_INPUT);
	mini_keep(&f, a_death(KEY_1, "1"));
	ck_assert(!f.repeat);
}
END_TEST

START_TEST(a_key_of_another_kind_is_used)
{
	mini_keep(&f, a_death(KEY_1, "3"));
	ck_assert_int_eq(mini_create(&f,
				     mini_row(&f, "fish-counts", "key", KEY_1, "tank_id", "T1",
					      "fish_lot_id", "F1", "counted", "590", "at",
					      "2026-03-11T08:00:00Z", NULL),
				     NULL),
			 ERR_INPUT);
	ck_assert(err_has(&f.err, "key_used"));
}
END_TEST

START_TEST(set_up_without_a_key_is_known_by_its_code)
{
	struct record *same = mini_keep(
		&f, mini_row(&f, "tanks", "code", "t1", "loop_id", "L1", "volume_l", "5000", NULL));

	ck_assert(f.repeat);
	ck_assert_str_eq(record_text(same, "code"), "T1");
	ck_assert_int_eq(mini_create(&f,
				     mini_row(&f, "tanks", "code", "T1", "loop_id", "L1",
					      "volume_l", "6000", NULL),
				     NULL),
			 ERR_INPUT);
	ck_assert_str_eq(f.err.items[0].code, "differs");
	ck_assert_str_eq(f.err.items[0].args[0].text, "5000");
	ck_assert_str_eq(f.err.items[0].args[1].text, "6000");
}
END_TEST

START_TEST(a_code_is_unique_over_all_kinds)
{
	ck_assert_int_eq(
		mini_create(&f,
			    mini_row(&f, "fish-lots", "code", "t1", "species_id", "Tilapia", NULL),
			    NULL),
		ERR_CONFLICT);
	ck_assert(err_has(&f.err, "taken_code"));
}
END_TEST

/* --- references ------------------------------------------------------------------------------------ */

START_TEST(an_entry_made_offline_is_referred_to_by_its_key)
{
	struct record *lot = mini_keep(&f, mini_row(&f, "fish-lots", "key", KEY_1, "code", "F9",
						    "species_id", "Tilapia", NULL));
	struct record *move = mini_keep(
		&f, mini_row(&f, "fish-moves", "fish_lot_id", KEY_1, "to_tank_id", "T2", "fish",
			     "50", "reason", "stocking", "at", "2026-03-10T08:00:00Z", NULL));

	ck_assert_int_eq(record_int(move, "fish_lot_id", 0), lot->id);
}
END_TEST

START_TEST(a_reference_that_does_not_exist_is_always_refused)
{
	for (int arrival = ARRIVES_ON_SCREEN; arrival <= ARRIVES_IMPORTED; arrival++) {
		f.hand.arrival = (enum arrival)arrival;
		f.hand.confirm = true;
		ck_assert_int_eq(mini_create(&f,
					     mini_row(&f, "feedings", "tank_id", "T7", "feed_id",
						      "Grower 32", "amount_g", "100", "at",
						      "2026-03-10T08:00:00Z", NULL),
					     NULL),
				 ERR_INPUT);
		ck_assert(err_has(&f.err, "unknown_reference"));
		ck_assert_str_eq(f.err.items[0].field, "tank_id");
	}
}
END_TEST

START_TEST(a_reference_to_another_kind_is_refused)
{
	ck_assert_int_eq(
		mini_create(&f,
			    mini_row(&f, "feedings", "tank_id", "B1", "feed_id", "Grower 32",
				     "amount_g", "100", "at", "2026-03-10T08:00:00Z", NULL),
			    NULL),
		ERR_INPUT);
	ck_assert(err_has(&f.err, "wrong_kind"));
}
END_TEST

START_TEST(an_unknown_reference_names_the_nearest)
{
	ck_assert_int_eq(
		mini_create(&f,
			    mini_row(&f, "feedings", "tank_id", "T1", "feed_id", "Grower 23",
				     "amount_g", "100", "at", "2026-03-10T08:00:00Z", NULL),
			    NULL),
		ERR_INPUT);
	ck_assert_str_eq(f.err.items[0].args[2].name, "nearest");
	ck_assert_str_eq(f.err.items[0].args[2].text, "Grower 32");
}
END_TEST

START_TEST(a_value_outside_its_physical_range_is_always_refused)
{
	for (int arrival = ARRIVES_ON_SCREEN; arrival <= ARRIVES_IMPORTED; arrival++) {
		f.hand.arrival = (enum arrival)arrival;
		f.hand.confirm = true;
		ck_assert_int_eq(mini_create(&f,
					     mini_row(&f, "water-tests", "place_id", "T1", "ph",
						      "14.5", "at", "2026-03-10T08:00:00Z", NULL),
					     NULL),
				 ERR_INPUT);
		ck_assert(err_has(&f.err, "out_of_range"));
	}
}
END_TEST

/* --- corrections ----------------------------------------------------------------------------------- */

START_TEST(filling_an_empty_field_soon_by_the_same_person_completes)
{
	struct record *row = mini_keep(&f, a_death(KEY_1, "3")), *line;
	struct list_query q = { .kind = kind_find("changes"),
				.from_day = INT64_MIN,
				.to_day = INT64_MAX };
	struct record_list *list;
	const struct record *change;

	ck_assert(!mini_patch(&f, row, "cause", "handling", NULL));
	f.hand.now += 3600;
	ck_assert(!mini_patch(&f, row, "disposal", "compost", NULL));
	ck_assert(!mini_patch(&f, row, "fish", "4", NULL));

	ck_assert(!record_list_open(f.store, &q, &list, &f.err));
	ck_assert(!record_list_next(list, &change, &f.err));
	ck_assert_str_eq(record_text(change, "what"), "complete");
	ck_assert_str_eq(record_text(change, "before"), "{\"cause\":null}");
	ck_assert(!record_list_next(list, &change, &f.err));
	ck_assert_str_eq(record_text(change, "what"), "correct");
	ck_assert(!record_list_next(list, &change, &f.err));
	ck_assert_str_eq(record_text(change, "before"), "{\"fish\":3}");
	ck_assert_int_eq(record_int(change, "version_before", 0), 3);
	record_list_close(list);
	line = mini_get(&f, row);
	ck_assert_int_eq(line->version, 4);
}
END_TEST

START_TEST(a_correction_needs_the_version_it_corrects)
{
	struct record *row = mini_keep(&f, a_death(KEY_1, "3")), *kept = NULL;
	struct record *values = record_new(row->kind, &f.arena);
	bool *given = arena_array(&f.arena, kind_field_count(row->kind), sizeof(*given));

	record_set_int(values, "fish", 4);
	given[kind_field_index(row->kind, "fish")] = true;
	err_clear(&f.err);
	ck_assert_int_eq(book_patch(f.book, row->kind, row->id, values, given, 0, INT64_MIN,
				    &f.hand, &f.arena, &kept, &f.err),
			 ERR_NEEDS_MATCH);
	err_clear(&f.err);
	ck_assert_int_eq(book_patch(f.book, row->kind, row->id, values, given, 7, INT64_MIN,
				    &f.hand, &f.arena, &kept, &f.err),
			 ERR_STALE);
	ck_assert_int_eq(kept->version, 1);
}
END_TEST

START_TEST(filling_empty_fields_needs_no_version)
{
	struct record *row = mini_keep(&f, a_death(KEY_1, "3")), *kept = NULL;
	struct record *values = record_new(row->kind, &f.arena);
	bool *given = arena_array(&f.arena, kind_field_count(row->kind), sizeof(*given));

	record_set_text(values, "note", "one jumped");
	given[kind_field_index(row->kind, "note")] = true;
	err_clear(&f.err);
	ck_assert(!book_patch(f.book, row->kind, row->id, values, given, 0, INT64_MIN, &f.hand,
			      &f.arena, &kept, &f.err));
	ck_assert_str_eq(record_text(kept, "note"), "one jumped");
}
END_TEST

START_TEST(a_patch_that_changes_nothing_is_no_version)
{
	struct record *row = mini_keep(&f, a_death(KEY_1, "3")), *kept;

	ck_assert(!mini_patch(&f, row, "fish", "3", &kept));
	ck_assert_int_eq(kept->version, 1);
}
END_TEST

START_TEST(a_corrected_time_moves_the_day)
{
	struct record *row = mini_keep(&f, a_death(KEY_1, "3")), *kept;

	ck_assert(!mini_patch(&f, row, "at", "2026-03-12T08:00:00Z", &kept));
	ck_assert_int_eq(record_int(kept, "day", 0), day_of("2026-03-12"));
	ck_assert_int_eq(kept->instant, instant_of("2026-03-12T08:00:00Z"));
}
END_TEST

START_TEST(dated_set_up_leaves_the_base_value)
{
	struct record *tank = mini_keep(&f, mini_row(&f, "tanks", "code", "T5", "loop_id", "L1",
						     "volume_l", "5000", NULL)),
		      *kept;
	struct record *values = record_new(tank->kind, &f.arena);
	bool *given = arena_array(&f.arena, kind_field_count(tank->kind), sizeof(*given));
	struct list_query q = { .kind = kind_find("set-up-changes"),
				.from_day = INT64_MIN,
				.to_day = INT64_MAX };
	struct record_list *list;
	const struct record *change;

	record_set_real(values, "volume_l", 6500);
	given[kind_field_index(tank->kind, "volume_l")] = true;
	err_clear(&f.err);
	for (int twice = 0; twice < 2; twice++) /* from the same day again: corrected, not added */
		ck_assert(!book_patch(f.book, tank->kind, tank->id, values, given, tank->version,
				      day_of("2026-03-15"), &f.hand, &f.arena, &kept, &f.err));
	ck_assert_double_eq(record_real(mini_get(&f, tank), "volume_l"), 5000);
	ck_assert(!record_list_open(f.store, &q, &list, &f.err));
	ck_assert(!record_list_next(list, &change, &f.err));
	ck_assert_str_eq(record_text(change, "field"), "volume_l");
	ck_assert_str_eq(record_text(change, "value"), "6500");
	ck_assert_int_eq(record_int(change, "from_day", 0), day_of("2026-03-15"));
	ck_assert_int_eq(record_list_next(list, &change, &f.err), ERR_NOT_FOUND);
	record_list_close(list);
}
END_TEST

START_TEST(only_dated_set_up_takes_a_day)
{
	struct record *tank = mini_keep(&f, mini_row(&f, "tanks", "code", "T5", "loop_id", "L1",
						     "volume_l", "5000", NULL)),
		      *kept;
	struct record *values = record_new(tank->kind, &f.arena);
	bool *given = arena_array(&f.arena, kind_field_count(tank->kind), sizeof(*given));

	record_set_text(values, "name", "Far tank");
	given[kind_field_index(tank->kind, "name")] = true;
	err_clear(&f.err);
	ck_assert_int_eq(book_patch(f.book, tank->kind, tank->id, values, given, tank->version,
				    day_of("2026-03-15"), &f.hand, &f.arena, &kept, &f.err),
			 ERR_INPUT);
	ck_assert(err_has(&f.err, "not_dated"));
}
END_TEST

/* --- strikes --------------------------------------------------------------------------------------- */

START_TEST(a_strike_takes_along_its_lines_and_a_restore_brings_them_back)
{
	struct record *partner = mini_keep(
		&f, mini_row(&f, "partners", "name", "Corner greens", "role", "customer", NULL));
	struct record *product =
		mini_keep(&f, mini_row(&f, "products", "code", "P1", "name", "Lettuce head",
				       "crop_id", "Lettuce", NULL));
	struct record *order =
		mini_keep(&f, mini_row(&f, "orders", "code", "O1", "partner_id", "Corner greens",
				       "wanted_on", "2026-03-25", "day", "2026-03-19", NULL));
	struct record *line = mini_keep(&f, mini_row(&f, "order-lines", "order_id", "O1",
						     "product_id", "P1", "packs", "20", NULL));
	struct record *lone = mini_keep(&f, mini_row(&f, "order-lines", "order_id", "O1",
						     "product_id", "P1", "packs", "5", NULL));
	struct record *kept;

	(void)partner, (void)product;
	ck_assert(!mini_strike(&f, lone, NULL)); /* an act of its own */
	f.hand.why = "entered twice";
	ck_assert(!mini_strike(&f, order, &kept));
	ck_assert(record_has(kept, "struck_at"));
	ck_assert_str_eq(record_text(kept, "struck_why"), "entered twice");
	ck_assert(record_has(mini_get(&f, line), "struck_at"));

	ck_assert(!mini_strike(&f, order, &kept)); /* again: no change */
	ck_assert_int_eq(kept->version, 2);

	ck_assert(!mini_restore(&f, order, &kept));
	ck_assert(!record_has(kept, "struck_at"));
	ck_assert_int_eq(kept->version, 3);
	ck_assert(!record_has(mini_get(&f, line), "struck_at"));
	ck_assert(record_has(mini_get(&f, lone), "struck_at"));
}
END_TEST

START_TEST(set_up_that_is_referred_to_cannot_be_struck)
{
	struct record *feed = mini_keep(
		&f, mini_row(&f, "feeds", "name", "Finisher 28", "protein_pct", "28", NULL));
	struct record *feeding =
		mini_keep(&f, mini_row(&f, "feedings", "tank_id", "T1", "feed_id", "Finisher 28",
				       "amount_g", "100", "at", "2026-03-10T08:00:00Z", NULL));

	ck_assert_int_eq(mini_strike(&f, feed, NULL), ERR_CONFLICT);
	ck_assert(err_has(&f.err, "still_used"));
	ck_assert_str_eq(f.err.items[0].args[0].text, "feedings");
	ck_assert(!mini_strike(&f, feeding, NULL));
	ck_assert(!mini_strike(&f, feed, NULL));
}
END_TEST

START_TEST(an_incident_is_struck_without_what_names_it)
{
	struct record *incident =
		mini_keep(&f, mini_row(&f, "incidents", "what", "pump stood still", "began_at",
				       "2026-03-10T02:00:00Z", "at", "2026-03-10T06:00:00Z", NULL));
	char key[UUID_TEXT_MAX];

	uuid_write(key, &incident->key);

	struct record *death = mini_keep(
		&f, mini_row(&f, "fish-deaths", "tank_id", "T1", "fish_lot_id", "F1", "fish", "3",
			     "at", "2026-03-10T08:00:00Z", "incident_id", key, NULL));

	ck_assert(!mini_strike(&f, incident, NULL));
	ck_assert(!record_has(mini_get(&f, death), "struck_at"));
}
END_TEST

START_TEST(an_entry_struck_out_is_not_corrected)
{
	struct record *row = mini_keep(&f, a_death(KEY_1, "3"));

	ck_assert(!mini_strike(&f, row, NULL));
	ck_assert_int_eq(mini_patch(&f, row, "fish", "4", NULL), ERR_CONFLICT);
	ck_assert(err_has(&f.err, "is_struck"));
}
END_TEST

START_TEST(a_line_is_not_restored_under_a_head_that_is_struck)
{
	struct record *line, *order;

	mini_keep(&f, mini_row(&f, "partners", "name", "Corner greens", NULL));
	mini_keep(&f, mini_row(&f, "products", "code", "P1", "name", "Lettuce head", "crop_id",
			       "Lettuce", NULL));
	order = mini_keep(&f, mini_row(&f, "orders", "code", "O1", "partner_id", "Corner greens",
				       "wanted_on", "2026-03-25", "day", "2026-03-19", NULL));
	line = mini_keep(&f, mini_row(&f, "order-lines", "order_id", "O1", "product_id", "P1",
				      "packs", "20", NULL));
	ck_assert(!mini_strike(&f, line, NULL));
	ck_assert(!mini_strike(&f, order, NULL));
	ck_assert_int_eq(mini_restore(&f, line, NULL), ERR_CONFLICT);
	ck_assert(err_has(&f.err, "refers_to_struck"));
}
END_TEST

Suite *entries_suite(void)
{
	Suite *s = suite_create("entries");
	TCase *t = tcase_create("entries");

	tcase_add_checked_fixture(t, open_farm, close_farm);
	tcase_add_test(t, the_same_key_and_content_is_kept_once);
	tcase_add_test(t, the_same_key_with_other_content_is_refused);
	tcase_add_test(t, a_repeat_of_any_version_answers_with_the_entry_as_it_is);
	tcase_add_test(t, confirm_queue_and_clock_offset_are_not_content);
	tcase_add_test(t, a_refused_entry_does_not_use_up_its_key);
	tcase_add_test(t, a_key_of_another_kind_is_used);
	tcase_add_test(t, set_up_without_a_key_is_known_by_its_code);
	tcase_add_test(t, a_code_is_unique_over_all_kinds);
	tcase_add_test(t, an_entry_made_offline_is_referred_to_by_its_key);
	tcase_add_test(t, a_reference_that_does_not_exist_is_always_refused);
	tcase_add_test(t, a_reference_to_another_kind_is_refused);
	tcase_add_test(t, an_unknown_reference_names_the_nearest);
	tcase_add_test(t, a_value_outside_its_physical_range_is_always_refused);
	tcase_add_test(t, filling_an_empty_field_soon_by_the_same_person_completes);
	tcase_add_test(t, a_correction_needs_the_version_it_corrects);
	tcase_add_test(t, filling_empty_fields_needs_no_version);
	tcase_add_test(t, a_patch_that_changes_nothing_is_no_version);
	tcase_add_test(t, a_corrected_time_moves_the_day);
	tcase_add_test(t, dated_set_up_leaves_the_base_value);
	tcase_add_test(t, only_dated_set_up_takes_a_day);
	tcase_add_test(t, a_strike_takes_along_its_lines_and_a_restore_brings_them_back);
	tcase_add_test(t, set_up_that_is_referred_to_cannot_be_struck);
	tcase_add_test(t, an_incident_is_struck_without_what_names_it);
	tcase_add_test(t, an_entry_struck_out_is_not_corrected);
	tcase_add_test(t, a_line_is_not_restored_under_a_head_that_is_struck);
	suite_add_tcase(s, t);
	return s;
}

/* One row: made, read, repeated, corrected, struck out, restored. */
#include "api_tests.h"

#include <stdio.h>
#include <string.h>

#define KEY_A "0192f0c4-8c1e-7a52-9b57-3d2f6a1c0e11"
#define KEY_B "7b0c4a0e-0d3b-4c9e-9a55-0f6a3d1b2c4d"

static struct answer feed_tank(const char *more)
{
	return post("/api/feedings",
		    "{\"tank_id\":2,\"feed_id\":1,\"amount_g\":350,"
		    "\"at\":\"2026-03-31T07:00:00Z\"%s}",
		    more);
}

START_TEST(a_new_row_is_answered_whole)
{
	struct answer a = feed_tank("");

	ck_assert_int_eq(a.status, 201);
	ck_assert_str_eq(a.location, "/api/feedings/1");
	ck_assert_str_eq(a.etag, "\"1\"");
	ck_assert_str_eq(a.cache_control, "no-store");
	ck_assert_str_eq(a.content_type, "application/json");
	ck_assert_int_eq(int_at(&a, "id"), 1);
	ck_assert_int_eq(int_at(&a, "version"), 1);
	ck_assert_int_eq(int_at(&a, "tank_id"), 2);
	ck_assert_str_eq(text_at(&a, "at"), "2026-03-31T07:00:00Z");
	ck_assert_str_eq(text_at(&a, "day"), "2026-03-31");
	ck_assert_str_eq(text_at(&a, "received_at"), "2026-03-31T08:00:00Z");
	ck_assert_uint_eq(strlen(text_at(&a, "key")), 36);
}
END_TEST

START_TEST(a_row_is_found_by_id_and_by_key)
{
	struct answer a = feed_tank(",\"key\":\"" KEY_A "\"");
	struct answer by_id = get("/api/feedings/1");
	struct answer by_key = get("/api/feedings/" KEY_A);
	struct answer elsewhere = get("/api/weighings/" KEY_A);

	ck_assert_str_eq(by_id.body, a.body);
	ck_assert_str_eq(by_key.body, a.body);
	assert_problem(&elsewhere, 404, "no_such_row");
}
END_TEST

START_TEST(a_tank_is_a_place_too)
{
	struct answer tank = get("/api/tanks/2");
	char target[96];

	snprintf(target, sizeof(target), "/api/places/%s", text_at(&tank, "key"));

	struct answer place = get(target);

	ck_assert_int_eq(place.status, 200);
	ck_assert_str_eq(text_at(&place, "code"), "T1");
	ck_assert_str_eq(text_at(&place, "sort"), "tanks");
	ck_assert_ptr_null(json_object_get(tank.json, "sort"));
	ck_assert_double_eq(json_number_value(json_object_get(tank.json, "volume_l")), 7800);
}
END_TEST

START_TEST(a_reference_may_be_a_key)
{
	struct answer lot =
		post("/api/fish-lots", "{\"code\":\"F2\",\"species_id\":1,\"key\":\"" KEY_A "\"}");
	struct answer a = post("/api/fish-moves",
			       "{\"fish_lot_id\":\"" KEY_A "\",\"to_tank_id\":2,\"fish\":600,"
			       "\"reason\":\"stocking\",\"day\":\"2026-03-01\"}");

	ck_assert_int_eq(lot.status, 201);
	ck_assert_msg(a.status == 201, "%s", a.body);
	ck_assert_int_eq(int_at(&a, "fish_lot_id"), int_at(&lot, "id"));
	a = post("/api/fish-moves", "{\"fish_lot_id\":\"" KEY_B "\",\"to_tank_id\":2,\"fish\":600,"
				    "\"reason\":\"stocking\",\"day\":\"2026-03-01\"}");
	assert_problem(&a, 422, "unknown_reference");
}
END_TEST

START_TEST(a_repeat_is_201_and_changes_nothing)
{
	struct answer first = feed_tank(",\"key\":\"" KEY_A "\"");
	struct answer again = feed_tank(",\"key\":\"" KEY_A "\",\"confirm\":true");

	ck_assert_int_eq(again.status, 201);
	ck_assert_str_eq(again.body, first.body);
	ck_assert_str_eq(again.location, first.location);
	again = get("/api/feedings");
	ck_assert_uint_eq(count_at(&again, "items"), 1);
}
END_TEST

START_TEST(a_repeat_with_other_content_is_422)
{
	feed_tank(",\"key\":\"" KEY_A "\"");

	struct answer a = feed_tank(",\"key\":\"" KEY_A "\",\"note\":\"other\"");

	assert_problem(&a, 422, "key_used");
	a = post("/api/species", "{\"name\":\"Trout\",\"key\":\"" KEY_A "\"}");
	assert_problem(&a, 422, "key_used");
}
END_TEST

START_TEST(a_refused_entry_does_not_use_up_its_key)
{
	struct answer a = feed_tank(",\"key\":\"" KEY_A "\",\"slot\":99");

	ck_assert_int_eq(a.status, 422);
	a = feed_tank(",\"key\":\"" KEY_A "\"");
	ck_assert_int_eq(a.status, 201);
}
END_TEST

START_TEST(the_key_may_come_as_a_header)
{
	static const char body[] = "{\"name\":\"Trout\"}";
	struct answer a = ask("POST", "/api/species", body, "Idempotency-Key: \"" KEY_A "\"");

	ck_assert_int_eq(a.status, 201);
	ck_assert_str_eq(text_at(&a, "key"), KEY_A);
	a = ask("POST", "/api/species", body, "idempotency-key: " KEY_A);
	ck_assert_int_eq(a.status, 201);
	ck_assert_int_eq(int_at(&a, "id"), 2);
}
END_TEST

static const char *const bad_keys[] = { "Idempotency-Key: x",
					"Idempotency-Key: ", "Idempotency-Key: \"" KEY_A,
					"Idempotency-Key: \"" KEY_A "\", \"" KEY_B "\"",
					"Idempotency-Key: " KEY_A "\nIdempotency-Key: " KEY_A };

START_TEST(a_bad_key_header_is_400)
{
	struct answer a = ask("POST", "/api/species", "{\"name\":\"Trout\"}", bad_keys[_i]);

	assert_problem(&a, 400, "bad_key");
}
END_TEST

START_TEST(two_keys_must_be_equal)
{
	struct answer a = ask("POST", "/api/species", "{\"name\":\"Trout\",\"key\":\"" KEY_A "\"}",
			      "Idempotency-Key: \"" KEY_B "\"");

	assert_problem(&a, 400, "two_keys");
	a = ask("POST", "/api/species", "{\"name\":\"Trout\",\"key\":\"" KEY_A "\"}",
		"Idempotency-Key: \"" KEY_A "\"");
	ck_assert_int_eq(a.status, 201);
}
END_TEST

START_TEST(a_correction_needs_if_match)
{
	feed_tank("");

	struct answer a = ask("PATCH", "/api/feedings/1", "{\"amount_g\":360}", NULL);

	assert_problem(&a, 428, "needs_match");
	a = ask("PATCH", "/api/feedings/1", "{\"amount_g\":360}", "If-Match: \"1\"");
	ck_assert_int_eq(a.status, 200);
	ck_assert_int_eq(int_at(&a, "version"), 2);
	ck_assert_str_eq(a.etag, "\"2\"");
}
END_TEST

START_TEST(filling_an_empty_field_needs_none)
{
	feed_tank("");

	struct answer a = ask("PATCH", "/api/feedings/1", "{\"appetite\":\"keen\"}", NULL);

	ck_assert_msg(a.status == 200, "%s", a.body);
	ck_assert_str_eq(text_at(&a, "appetite"), "keen");
}
END_TEST

static const char *const stale[] = { "If-Match: \"2\"", "If-Match: W/\"2\"",       "If-Match: 1",
				     "If-Match: \"1",   "If-Match: \"x\"",         "If-Match: ",
				     "If-Match: \"0\"", "If-Match: \"2\", W/\"0\"" };

START_TEST(a_stale_correction_is_412_with_the_present_row)
{
	struct answer made = feed_tank("");
	struct answer a = ask("PATCH", "/api/feedings/1", "{\"amount_g\":360}", stale[_i]);
	json_t *current = json_object_get(a.json, "current");

	ck_assert_int_eq(a.status, 412);
	ck_assert_str_eq(a.content_type, "application/problem+json");
	ck_assert_msg(json_equal(current, made.json), "%s", a.body);
}
END_TEST

static const char *const fresh[] = { "If-Match: \"1\"", "If-Match: *", "If-Match: \"7\", \"1\"",
				     "if-match:  \"1\"",
				     "If-Match: W/\"1\"" }; /* as gzip answers carry it */

START_TEST(a_correction_that_matches_is_kept)
{
	feed_tank("");

	struct answer a = ask("PATCH", "/api/feedings/1", "{\"amount_g\":360}", fresh[_i]);

	ck_assert_msg(a.status == 200, "%s", a.body);
}
END_TEST

START_TEST(null_clears_a_field)
{
	feed_tank(",\"note\":\"windy\",\"appetite\":\"slow\"");

	struct answer a = ask("PATCH", "/api/feedings/1", "{\"note\":null,\"appetite\":\"\"}",
			      "If-Match: \"1\"");

	ck_assert_msg(a.status == 200, "%s", a.body);
	ck_assert_ptr_null(json_object_get(a.json, "note"));
	ck_assert_ptr_null(json_object_get(a.json, "appetite"));
	a = ask("PATCH", "/api/feedings/1", "{\"amount_g\":null}", "If-Match: \"2\"");
	assert_problem(&a, 422, "required");
}
END_TEST

START_TEST(a_dated_change_holds_from_its_day)
{
	struct answer a = ask("PATCH", "/api/tanks/2",
			      "{\"volume_l\":8000,\"from_day\":\"2026-03-15\",\"why\":\"raised\"}",
			      "If-Match: \"1\"");

	ck_assert_msg(a.status == 200, "%s", a.body);
	a = get("/api/set-up-changes");
	ck_assert_uint_eq(count_at(&a, "items"), 1);
	a = ask("PATCH", "/api/tanks/2", "{\"volume_l\":8000,\"from_day\":\"2026-02-30\"}",
		"If-Match: *");
	assert_problem(&a, 422, "not_a_date");
	a = ask("PATCH", "/api/tanks/2", "{\"walk_order\":1,\"from_day\":\"2026-03-15\"}",
		"If-Match: *");
	ck_assert_int_eq(a.status, 422); /* not dated */
}
END_TEST

START_TEST(a_field_named_why_is_the_field)
{
	post("/api/materials", "{\"name\":\"Lime\",\"purpose\":\"calcium\"}");

	struct answer a = post("/api/doses", "{\"loop_id\":1,\"material_id\":1,\"amount_g\":500,"
					     "\"at\":\"2026-03-31T07:00:00Z\",\"why\":\"pH 6.4\"}");

	ck_assert_msg(a.status == 201, "%s", a.body);
	a = ask("PATCH", "/api/doses/1", "{\"why\":\"pH 6.2\"}", "If-Match: \"1\"");
	ck_assert_str_eq(text_at(&a, "why"), "pH 6.2");
}
END_TEST

/* The reason that the history gives for the newest change. */
static const char *reason_of_last_change(void)
{
	struct answer a = get("/api/changes?order=-at&limit=1");
	const json_t *change = json_array_get(json_object_get(a.json, "items"), 0);
	const char *why = json_string_value(json_object_get(change, "why"));

	return why ? why : "";
}

START_TEST(change_why_is_the_reason_in_every_kind)
{
	struct answer a;

	post("/api/materials", "{\"name\":\"Lime\",\"purpose\":\"calcium\"}");
	post("/api/doses", "{\"loop_id\":1,\"material_id\":1,\"amount_g\":500,"
			   "\"at\":\"2026-03-31T07:00:00Z\",\"why\":\"pH 6.4\"}");
	a = ask("PATCH", "/api/doses/1", "{\"why\":\"pH 6.2\",\"change_why\":\"misread\"}",
		"If-Match: \"1\"");
	ck_assert_msg(a.status == 200, "%s", a.body);
	ck_assert_str_eq(text_at(&a, "why"), "pH 6.2");
	ck_assert_str_eq(reason_of_last_change(), "misread");
	feed_tank("");
	a = ask("PATCH", "/api/feedings/1", "{\"amount_g\":360,\"change_why\":\"scale was off\"}",
		"If-Match: \"1\"");
	ck_assert_msg(a.status == 200, "%s", a.body);
	ck_assert_str_eq(reason_of_last_change(), "scale was off");
	a = post("/api/materials",
		 "{\"name\":\"Potash\",\"purpose\":\"potassium\",\"change_why\":\"x\"}");
	ck_assert_int_eq(a.status, 422); /* a new row corrects nothing */
}
END_TEST

START_TEST(a_strike_keeps_the_row_and_says_why)
{
	feed_tank("");

	struct answer a = ask("POST", "/api/feedings/1/strike", NULL, NULL);

	ck_assert_msg(a.status == 200, "%s", a.body);
	ck_assert_str_eq(text_at(&a, "struck_at"), "2026-03-31T08:00:00Z");
	a = post("/api/feedings/1/strike", "{\"why\":\"again\"}");
	ck_assert_int_eq(a.status, 200); /* it is struck already */
	a = get("/api/feedings");
	ck_assert_uint_eq(count_at(&a, "items"), 0);
	a = get("/api/feedings?struck=1");
	ck_assert_uint_eq(count_at(&a, "items"), 1);
	a = post("/api/feedings/1/restore", "{\"why\":\"it was right\"}");
	ck_assert_int_eq(a.status, 200);
	a = get("/api/feedings");
	ck_assert_uint_eq(count_at(&a, "items"), 1);
}
END_TEST

START_TEST(a_strike_of_a_stale_row_is_412)
{
	feed_tank("");

	struct answer a = ask("POST", "/api/feedings/1/strike", "{}", "If-Match: \"3\"");

	ck_assert_int_eq(a.status, 412);
	ck_assert(json_is_object(json_object_get(a.json, "current")));
	a = post("/api/feedings/1/strike", "{\"amount_g\":5}");
	assert_problem(&a, 422, "unknown_field");
}
END_TEST

START_TEST(set_up_in_use_is_not_struck)
{
	struct answer a = post("/api/loops/1/strike", "{}");

	ck_assert_int_eq(a.status, 409);
	ck_assert_str_ne(problem_code(&a), "");
}
END_TEST

START_TEST(a_question_is_asked_once)
{
	static const char dead[] = "{\"tank_id\":2,\"fish_lot_id\":1,\"fish\":%d,"
				   "\"at\":\"2026-03-30T07:00:00Z\",\"key\":\"" KEY_A "\"%s}";
	struct answer a;

	post("/api/fish-moves", "{\"fish_lot_id\":1,\"to_tank_id\":2,\"fish\":10,"
				"\"reason\":\"stocking\",\"day\":\"2026-03-01\"}");
	a = post("/api/fish-deaths", dead, 12, "");
	assert_problem(&a, 409, "more_than_there");
	ck_assert_str_eq(problem_arg(&a, "there"), "10");
	ck_assert_str_eq(problem_arg(&a, "asked"), "12");
	a = post("/api/fish-deaths", dead, 12, ",\"confirm\":true");
	ck_assert_msg(a.status == 201, "%s", a.body);
	a = get("/api/fish-deaths");
	ck_assert_uint_eq(count_at(&a, "items"), 1);
}
END_TEST

START_TEST(a_tablets_clock_is_corrected)
{
	struct answer a = feed_tank(",\"clock_offset_s\":-600");

	ck_assert_msg(a.status == 201, "%s", a.body);
	ck_assert_str_eq(text_at(&a, "at"), "2026-03-31T06:50:00Z");
	ck_assert_str_eq(text_at(&a, "tablet_at"), "2026-03-31T07:00:00Z");
}
END_TEST

START_TEST(a_taken_code_is_409_with_what_has_it)
{
	struct answer a = post("/api/beds", "{\"code\":\"t1\",\"loop_id\":1,\"role\":\"raft\","
					    "\"length_m\":1,\"width_m\":1}");

	ck_assert_msg(a.status == 409 || a.status == 422, "%s", a.body);
	ck_assert_str_eq(problem_code(&a), "taken_code");
}
END_TEST

Suite *records_suite(void)
{
	Suite *s = suite_create("records");
	TCase *t = tcase_create("records");

	tcase_add_checked_fixture(t, api_setup, api_teardown);
	tcase_add_test(t, a_new_row_is_answered_whole);
	tcase_add_test(t, a_row_is_found_by_id_and_by_key);
	tcase_add_test(t, a_tank_is_a_place_too);
	tcase_add_test(t, a_reference_may_be_a_key);
	tcase_add_test(t, a_repeat_is_201_and_changes_nothing);
	tcase_add_test(t, a_repeat_with_other_content_is_422);
	tcase_add_test(t, a_refused_entry_does_not_use_up_its_key);
	tcase_add_test(t, the_key_may_come_as_a_header);
	tcase_add_loop_test(t, a_bad_key_header_is_400, 0, sizeof(bad_keys) / sizeof(bad_keys[0]));
	tcase_add_test(t, two_keys_must_be_equal);
	tcase_add_test(t, a_correction_needs_if_match);
	tcase_add_test(t, filling_an_empty_field_needs_none);
	tcase_add_loop_test(t, a_stale_correction_is_412_with_the_present_row, 0,
			    sizeof(stale) / sizeof(stale[0]));
	tcase_add_loop_test(t, a_correction_that_matches_is_kept, 0,
			    sizeof(fresh) / sizeof(fresh[0]));
	tcase_add_test(t, null_clears_a_field);
	tcase_add_test(t, a_dated_change_holds_from_its_day);
	tcase_add_test(t, a_field_named_why_is_the_field);
	tcase_add_test(t, change_why_is_the_reason_in_every_kind);
	tcase_add_test(t, a_strike_keeps_the_row_and_says_why);
	tcase_add_test(t, a_strike_of_a_stale_row_is_412);
	tcase_add_test(t, set_up_in_use_is_not_struck);
	tcase_add_test(t, a_question_is_asked_once);
	tcase_add_test(t, a_tablets_clock_is_corrected);
	tcase_add_test(t, a_taken_code_is_409_with_what_has_it);
	suite_add_tcase(s, t);
	return s;
}

/* JSON as it must not come in, and as it may.  Every case leaves the record as it was. */
#include "api_tests.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Bodies that cannot be read at all: 400 with this code. */
static const struct {
	const char *body, *code;
} unreadable[] = {
	{ "", "bad_json" },
	{ " ", "bad_json" },
	{ "{", "bad_json" },
	{ "{\"name\":\"x\"", "bad_json" },
	{ "{\"name\":\"x\"}}", "bad_json" },
	{ "{\"name\":\"x\"} {}", "bad_json" },
	{ "{\"name\":\"x\",}", "bad_json" },
	{ "{'name':'x'}", "bad_json" },
	{ "{name:\"x\"}", "bad_json" },
	{ "{\"name\":x}", "bad_json" },
	{ "{\"name\":\"x\ny\"}", "bad_json" },
	{ "{\"name\":\"\\x\"}", "bad_json" },
	{ "{\"name\":\"\\ud800\"}", "bad_json" },
	{ "// a comment\n{}", "bad_json" },
	{ "[]", "no_object" },
	{ "\"text\"", "bad_json" },
	{ "null", "bad_json" },
	{ "{\"name\":\"x\",\"name\":\"y\"}", "name_twice" },
	{ "{\"market_weight_g\":NaN}", "bad_json" },
	{ "{\"market_weight_g\":Infinity}", "bad_json" },
	{ "{\"market_weight_g\":-Infinity}", "bad_json" },
	{ "{\"market_weight_g\":nan}", "bad_json" },
	{ "{\"market_weight_g\":1e400}", "number_too_large" },
	{ "{\"market_weight_g\":-1e400}", "number_too_large" },
	{ "{\"purge_days\":9223372036854775808}", "number_too_large" },
	{ "{\"purge_days\":-9223372036854775809}", "number_too_large" },
	{ "{\"market_weight_g\":01}", "bad_json" },
	{ "{\"market_weight_g\":.5}", "bad_json" },
	{ "{\"market_weight_g\":5.}", "bad_json" },
	{ "{\"market_weight_g\":+5}", "bad_json" },
	{ "{\"market_weight_g\":0x10}", "bad_json" },
	{ "{\"name\":\"\\u0000\"}", "nul_in_text" },
	{ "{\"na\\u0000me\":\"x\"}", "nul_in_text" },
	{ "\xEF\xBB\xBF{\"name\":\"x\"}", "byte_order_mark" },
	{ "{\"name\":\"\xC3\x28\"}", "bad_utf8" },
	{ "{\"name\":\"\xED\xA0\x80\"}", "bad_utf8" },
	{ "{\"name\":\"\xC0\xAF\"}", "bad_utf8" },
	{ "{\"name\":\"\xF4\x90\x80\x80\"}", "bad_utf8" },
	{ "{\"name\":\"caf\xC3\"}", "bad_utf8" },
};

START_TEST(unreadable_json_is_400)
{
	struct answer a = ask("POST", "/api/species", unreadable[_i].body, NULL);

	assert_problem(&a, 400, unreadable[_i].code);
	a = get("/api/species");
	ck_assert_uint_eq(count_at(&a, "items"), 1);
}
END_TEST

START_TEST(a_raw_nul_byte_is_400)
{
	static const char body[] = "{\"name\":\"a\0b\"}";
	struct answer a = ask_bytes("POST", "/api/species", body, sizeof(body) - 1, NULL);

	ck_assert_int_eq(a.status, 400);
}
END_TEST

static char *nested(size_t depth, char open, char close)
{
	char *body = malloc(2 * depth + 32);
	size_t n = (size_t)sprintf(body, "{\"name\":");

	ck_assert_ptr_nonnull(body);
	memset(body + n, open, depth);
	memset(body + n + depth, close, depth);
	strcpy(body + n + 2 * depth, "}");
	return body;
}

START_TEST(deep_json_is_400_before_it_is_parsed)
{
	static const size_t depths[] = { 32, 100, 100000 };

	for (size_t i = 0; i < sizeof(depths) / sizeof(depths[0]); i++) {
		char *body = nested(depths[i], '[', ']');
		struct answer a = ask("POST", "/api/species", body, NULL);

		assert_problem(&a, 400, "too_deep");
		free(body);
	}

	char *body = nested(31, '[', ']');
	struct answer a = ask("POST", "/api/species", body, NULL);

	assert_problem(&a, 422, "not_text");
	free(body);
	a = post("/api/species",
		 "{\"name\":\"[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[\\\"[[[[[\"}");
	ck_assert_int_eq(a.status, 201); /* in a text they are not nesting */
}
END_TEST

/* Readable bodies that break the dictionary: 422 with this code on this field. */
static const struct {
	const char *kind, *body, *code, *field;
} broken[] = {
	{ "species", "{}", "required", "name" },
	{ "species", "{\"name\":null}", "required", "name" },
	{ "species", "{\"name\":\"\"}", "required", "name" },
	{ "species", "{\"name\":5}", "not_text", "name" },
	{ "species", "{\"name\":true}", "not_text", "name" },
	{ "species", "{\"name\":[\"x\"]}", "not_text", "name" },
	{ "species", "{\"name\":{\"x\":1}}", "not_text", "name" },
	{ "species", "{\"name\":\"x\",\"market_weight_g\":\"500\"}", "not_a_number",
	  "market_weight_g" },
	{ "species", "{\"name\":\"x\",\"market_weight_g\":true}", "not_a_number",
	  "market_weight_g" },
	{ "species", "{\"name\":\"x\",\"market_weight_g\":[500]}", "not_a_number",
	  "market_weight_g" },
	{ "species", "{\"name\":\"x\",\"market_weight_g\":1e308}", "out_of_range",
	  "market_weight_g" },
	{ "species", "{\"name\":\"x\",\"market_weight_g\":-1}", "out_of_range", "market_weight_g" },
	{ "species", "{\"name\":\"x\",\"purge_days\":1.5}", "not_whole", "purge_days" },
	{ "species", "{\"name\":\"x\",\"purge_days\":1e300}", "not_whole", "purge_days" },
	{ "species", "{\"name\":\"x\",\"purge_days\":9223372036854775807}", "not_whole",
	  "purge_days" },
	{ "species", "{\"name\":\"x\",\"purge_days\":\"3\"}", "not_a_number", "purge_days" },
	{ "species", "{\"name\":\"x\",\"retired_on\":\"2026-02-29\"}", "not_a_date", "retired_on" },
	{ "species", "{\"name\":\"x\",\"retired_on\":20260201}", "not_text", "retired_on" },
	{ "species", "{\"name\":\"x\",\"scientific_nam\":\"y\"}", "unknown_field",
	  "scientific_nam" },
	{ "species", "{\"name\":\"x\",\"id\":5}", "unknown_field", "id" },
	{ "species", "{\"name\":\"x\",\"version\":5}", "unknown_field", "version" },
	{ "species", "{\"name\":\"x\",\"why\":\"y\"}", "unknown_field", "why" },
	{ "species", "{\"name\":\"x\",\"name; DROP TABLE species\":1}", "unknown_field",
	  "name; DROP TABLE species" },
	{ "species", "{\"name\":\"x\",\"\":1}", "unknown_field", "" },
	{ "species", "{\"name\":\"x\",\"struck_at\":\"2026-01-01T00:00:00Z\"}", "server_set",
	  "struck_at" },
	{ "species", "{\"name\":\"x\",\"received_at\":null}", "server_set", "received_at" },
	{ "species", "{\"name\":\"x\",\"key\":\"x\"}", "bad_key", "key" },
	{ "species", "{\"name\":\"x\",\"key\":5}", "wrong_type", "key" },
	{ "species", "{\"name\":\"x\",\"key\":\"7b0c4a0e-0d3b-1c9e-9a55-0f6a3d1b2c4d\"}", "bad_key",
	  "key" },
	{ "species", "{\"name\":\"x\",\"confirm\":1}", "wrong_type", "confirm" },
	{ "species", "{\"name\":\"x\",\"queued\":\"true\"}", "wrong_type", "queued" },
	{ "species", "{\"name\":\"x\",\"clock_offset_s\":1.5}", "wrong_type", "clock_offset_s" },
	{ "species", "{\"name\":\"x\",\"clock_offset_s\":9223372036854775807}", "out_of_range",
	  "clock_offset_s" },
	{ "feedings", "{\"tank_id\":\"T1\",\"feed_id\":1,\"amount_g\":1}", "not_a_reference",
	  "tank_id" },
	{ "feedings", "{\"tank_id\":-2,\"feed_id\":1,\"amount_g\":1}", "not_a_reference",
	  "tank_id" },
	{ "feedings", "{\"tank_id\":2.5,\"feed_id\":1,\"amount_g\":1}", "not_a_reference",
	  "tank_id" },
	{ "feedings", "{\"tank_id\":999,\"feed_id\":1,\"amount_g\":1,\"day\":\"2026-03-31\"}",
	  "unknown_reference", "tank_id" },
	{ "feedings", "{\"tank_id\":4,\"feed_id\":1,\"amount_g\":1,\"day\":\"2026-03-31\"}",
	  "unknown_reference", "tank_id" }, /* a bed */
	{ "feedings", "{\"tank\":2,\"feed_id\":1,\"amount_g\":1}", "unknown_field", "tank" },
	{ "feedings", "{\"tank_id\":2,\"feed_id\":1,\"amount_g\":1,\"at\":\"2026-03-31 07:00\"}",
	  "not_a_time", "at" },
	{ "feedings",
	  "{\"tank_id\":2,\"feed_id\":1,\"amount_g\":1,\"day\":\"2026-03-31\","
	  "\"appetite\":\"hungry\"}",
	  "not_a_choice", "appetite" },
	{ "weighings", "{\"tank_id\":2,\"fish_lot_id\":1,\"nets\":\"20 4310\"}", "not_a_list",
	  "nets" },
	{ "weighings", "{\"tank_id\":2,\"fish_lot_id\":1,\"nets\":[\"20\"]}", "not_a_list",
	  "nets" },
	{ "weighings", "{\"tank_id\":2,\"fish_lot_id\":1,\"weights_g\":[[1]]}", "not_a_list",
	  "weights_g" },
	{ "water-tests", "{\"place_id\":2,\"ph\":7,\"below\":[\"ph tan_mg_l\"]}", "not_a_list",
	  "below" },
	{ "water-tests", "{\"place_id\":2,\"ph\":7,\"below\":\"ph\"}", "not_a_list", "below" },
	{ "water-tests", "{\"place_id\":2,\"ph\":7,\"below\":[\"PH\"]}", "not_a_choice", "below" },
	{ "water-tests", "{\"place_id\":2,\"ph\":14.1,\"day\":\"2026-03-31\"}", "out_of_range",
	  "ph" },
	{ "fish-moves",
	  "{\"fish_lot_id\":1,\"to_tank_id\":2,\"fish\":5,\"reason\":\"stocking\","
	  "\"day\":\"2026-03-01\",\"empties\":1}",
	  "wrong_type", "empties" },
};

START_TEST(broken_entries_are_422)
{
	char target[64];

	snprintf(target, sizeof(target), "/api/%s", broken[_i].kind);

	struct answer a = ask("POST", target, broken[_i].body, NULL);

	assert_problem(&a, 422, broken[_i].code);
	ck_assert_str_eq(problem_field(&a), broken[_i].field);
}
END_TEST

START_TEST(unknown_fields_name_the_nearest)
{
	struct answer a = post("/api/feedings", "{\"tank_id\":2,\"feed_id\":1,\"amont_g\":5}");

	assert_problem(&a, 422, "unknown_field");
	ck_assert_str_eq(problem_arg(&a, "nearest"), "amount_g");
	a = post("/api/feedings", "{\"tank_id\":2,\"feed_id\":1,\"amount_g\":5,\"confrim\":true}");
	ck_assert_str_eq(problem_arg(&a, "nearest"), "confirm");
}
END_TEST

START_TEST(all_faults_are_told_at_once)
{
	struct answer a = post("/api/feedings", "{\"tank_id\":\"T1\",\"feed_id\":true,"
						"\"amount_g\":\"5\",\"x\":1,\"at\":\"noon\"}");

	ck_assert_int_eq(a.status, 422);
	ck_assert_uint_eq(count_at(&a, "errors"), 5);
}
END_TEST

START_TEST(more_faults_than_fit_are_counted)
{
	char body[1024] = "{";

	for (int i = 0; i < 40; i++)
		sprintf(body + strlen(body), "%s\"zz%d\":1", i ? "," : "", i);
	strcat(body, "}");

	struct answer a = ask("POST", "/api/species", body, NULL);

	ck_assert_int_eq(a.status, 422);
	ck_assert_int_eq((int64_t)count_at(&a, "errors") + int_at(&a, "more_errors"), 40);
}
END_TEST

START_TEST(a_text_of_a_megabyte_is_refused)
{
	const size_t n = 1 << 20;
	char *body = malloc(n + 128);
	size_t at = (size_t)sprintf(body, "{\"entries\":[{\"kind\":\"species\",\"name\":\"");

	ck_assert_ptr_nonnull(body);
	memset(body + at, 'x', n);
	strcpy(body + at + n, "\"}]}");

	struct answer a = ask("POST", "/api/batch", body, NULL);

	ck_assert_int_eq(a.status, 200); /* fits a batch; the entry in it is refused */
	ck_assert_ptr_nonnull(strstr(a.body, "too_long"));
	ck_assert_uint_lt(a.length, 2000);
	a = ask("POST", "/api/species", body, NULL);
	assert_problem(&a, 413, "body_too_large");
	free(body);
}
END_TEST

START_TEST(a_message_never_cuts_a_character)
{
	char body[1024];

	for (size_t pad = 0; pad < 8; pad++) {
		size_t n = (size_t)sprintf(body, "{\"name\":\"x\",\"retired_on\":\"%.*s", (int)pad,
					   "aaaaaaaa");

		for (int i = 0; i < 80; i++)
			n += (size_t)sprintf(body + n, "\xF0\x9F\x90\x9F");
		strcpy(body + n, "\"}");

		/* ask_bytes reads the answer with a strict reader: half a character fails there */
		struct answer a = ask("POST", "/api/species", body, NULL);

		assert_problem(&a, 422, "not_a_date");
		body[12] = 'y'; /* the same as an unknown name */
	}
}
END_TEST

START_TEST(sql_in_names_and_values_is_only_text)
{
	struct answer a = post("/api/species", "{\"name\":\"x'); DROP TABLE species;--\"}");

	ck_assert_int_eq(a.status, 201);
	a = get("/api/species?name=x'); DROP TABLE species;--");
	ck_assert_uint_eq(count_at(&a, "items"), 1);
	a = get("/api/species?order=at; DROP TABLE species");
	ck_assert_int_eq(a.status, 400);
	a = get("/api/species");
	ck_assert_uint_eq(count_at(&a, "items"), 2);
}
END_TEST

START_TEST(values_come_back_as_they_went_in)
{
	struct answer a =
		post("/api/species", "{\"name\":\"Bl\\u00e5 \\ud83d\\udc1f \\\"x\\\"\\\\\","
				     "\"market_weight_g\":0.1,\"tgc_prior\":1.23456789012345678,"
				     "\"purge_days\":3.0,\"note\":\"a\\nb\\tc\"}");

	ck_assert_int_eq(a.status, 201);
	ck_assert_str_eq(text_at(&a, "name"), "Bl\xC3\xA5 \xF0\x9F\x90\x9F \"x\"\\");
	ck_assert_str_eq(text_at(&a, "note"), "a\nb\tc");
	ck_assert_ptr_nonnull(strstr(a.body, "\"market_weight_g\":0.1,"));
	ck_assert_ptr_nonnull(strstr(a.body, "\"tgc_prior\":1.23456789012346,"));
	ck_assert_ptr_nonnull(strstr(a.body, "\"purge_days\":3,"));
	ck_assert_ptr_null(strstr(a.body, "scientific_name")); /* not given: left out */
}
END_TEST

START_TEST(lists_come_back_as_lists)
{
	struct answer a = post("/api/weighings?", "{\"tank_id\":2,\"fish_lot_id\":1,"
						  "\"weights_g\":[20,4.50,3e1],\"confirm\":true,"
						  "\"queued\":true,\"day\":\"2026-03-30\"}");

	ck_assert_msg(a.status == 201, "%s", a.body);
	ck_assert_ptr_nonnull(strstr(a.body, "\"weights_g\":[20,4.5,30]"));
	a = post("/api/water-tests", "{\"place_id\":2,\"nitrite_n_mg_l\":0.05,"
				     "\"below\":[\"nitrite_n_mg_l\"],\"day\":\"2026-03-30\"}");
	ck_assert_msg(a.status == 201, "%s", a.body);
	ck_assert_ptr_nonnull(strstr(a.body, "\"below\":[\"nitrite_n_mg_l\"]"));
	a = post("/api/feeding-plans", "{\"tank_id\":2,\"from_day\":\"2026-03-01\",\"feed_id\":1,"
				       "\"times\":[\"07:00\",\"16:30\"]}");
	ck_assert_msg(a.status == 201, "%s", a.body);
	ck_assert_ptr_nonnull(strstr(a.body, "\"times\":[\"07:00\",\"16:30\"]"));
}
END_TEST

Suite *json_suite(void)
{
	Suite *s = suite_create("json");
	TCase *t = tcase_create("json");

	tcase_add_checked_fixture(t, api_setup, api_teardown);
	tcase_add_loop_test(t, unreadable_json_is_400, 0,
			    sizeof(unreadable) / sizeof(unreadable[0]));
	tcase_add_test(t, a_raw_nul_byte_is_400);
	tcase_add_test(t, deep_json_is_400_before_it_is_parsed);
	tcase_add_loop_test(t, broken_entries_are_422, 0, sizeof(broken) / sizeof(broken[0]));
	tcase_add_test(t, unknown_fields_name_the_nearest);
	tcase_add_test(t, all_faults_are_told_at_once);
	tcase_add_test(t, more_faults_than_fit_are_counted);
	tcase_add_test(t, a_text_of_a_megabyte_is_refused);
	tcase_add_test(t, a_message_never_cuts_a_character);
	tcase_add_test(t, sql_in_names_and_values_is_only_text);
	tcase_add_test(t, values_come_back_as_they_went_in);
	tcase_add_test(t, lists_come_back_as_lists);
	suite_add_tcase(s, t);
	return s;
}

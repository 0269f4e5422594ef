/* A tablet's queue in one request: each entry is kept or refused by itself. */
#include "api_tests.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define KEY_A "0192f0c4-8c1e-7a52-9b57-3d2f6a1c0e11"
#define KEY_B "7b0c4a0e-0d3b-4c9e-9a55-0f6a3d1b2c4d"

#define FEEDING(grams, more)                                                                       \
	"{\"kind\":\"feedings\",\"tank_id\":2,\"feed_id\":1,\"amount_g\":" grams                   \
	",\"at\":\"2026-03-31T07:00:00Z\",\"queued\":true" more "}"

static const json_t *answer_at(const struct answer *a, size_t i)
{
	const json_t *v = json_array_get(json_object_get(a->json, "answers"), i);

	ck_assert_msg(json_is_object(v), "no answer %zu in %s", i, a->body);
	return v;
}

static void assert_status(const struct answer *a, size_t i, int status, const char *code)
{
	const json_t *one = answer_at(a, i);
	const json_t *problem = json_object_get(one, "problem");
	const json_t *error = json_array_get(json_object_get(problem, "errors"), 0);

	ck_assert_msg(json_integer_value(json_object_get(one, "status")) == status, "%zu: %s", i,
		      a->body);
	if (!*code) {
		ck_assert(json_is_object(json_object_get(one, "entry")));
		ck_assert_ptr_null(problem);
		return;
	}
	ck_assert_ptr_null(json_object_get(one, "entry"));
	ck_assert_int_eq(json_integer_value(json_object_get(problem, "status")), status);
	ck_assert_str_eq(json_string_value(json_object_get(error, "code")), code);
}

START_TEST(one_bad_entry_never_blocks_the_rest)
{
	struct answer a = post(
		"/api/batch", "%s",
		"{\"entries\":[" FEEDING(
			"350",
			"") ","
			    "{\"kind\":\"feedings\",\"tank_id\":2},"
			    "{\"kind\":\"feding\",\"tank_id\":2},"
			    "{\"tank_id\":2},"
			    "5,"
			    "null,"
			    "{\"op\":\"erase\",\"kind\":\"feedings\",\"key\":\"" KEY_A "\"},"
			    "{\"kind\":\"changes\"},"
			    "{\"op\":\"strike\",\"kind\":\"feedings\"},"
			    "{\"op\":\"strike\",\"kind\":\"feedings\",\"key\":\"" KEY_B "\"},"
			    "{\"op\":5,\"kind\":\"feedings\"},"
			    "{\"kind\":\"feedings\",\"tank_id\":999,\"feed_id\":1,\"amount_g\":1,"
			    "\"day\":\"2026-03-31\"}," FEEDING("360", "") "]}");

	ck_assert_int_eq(a.status, 200);
	ck_assert_uint_eq(count_at(&a, "answers"), 13);
	assert_status(&a, 0, 201, "");
	assert_status(&a, 1, 422, "required");
	assert_status(&a, 2, 404, "no_such_kind");
	assert_status(&a, 3, 422, "required");
	assert_status(&a, 4, 422, "no_object");
	assert_status(&a, 5, 422, "no_object");
	assert_status(&a, 6, 422, "not_a_choice");
	assert_status(&a, 7, 405, "not_written_here");
	assert_status(&a, 8, 422, "required");
	assert_status(&a, 9, 404, "no_such_row");
	assert_status(&a, 10, 422, "wrong_type");
	assert_status(&a, 11, 422, "unknown_reference");
	assert_status(&a, 12, 201, "");
	a = get("/api/feedings");
	ck_assert_uint_eq(count_at(&a, "items"), 2);
}
END_TEST

START_TEST(a_queue_hangs_together_by_keys)
{
	struct answer a = post(
		"/api/batch", "%s",
		"{\"entries\":["
		"{\"kind\":\"fish-lots\",\"key\":\"" KEY_A "\",\"code\":\"F2\",\"species_id\":1},"
		"{\"kind\":\"fish-moves\",\"key\":\"" KEY_B "\",\"fish_lot_id\":\"" KEY_A "\","
		"\"to_tank_id\":2,\"fish\":600,\"reason\":\"stocking\",\"day\":\"2026-03-01\"},"
		"{\"op\":\"patch\",\"kind\":\"fish-moves\",\"key\":\"" KEY_B "\","
		"\"weight_g\":47520},"
		"{\"op\":\"patch\",\"kind\":\"fish-moves\",\"key\":\"" KEY_B "\",\"fish\":590},"
		"{\"op\":\"patch\",\"kind\":\"fish-moves\",\"key\":\"" KEY_B "\",\"version\":2,"
		"\"fish\":590},"
		"{\"op\":\"patch\",\"kind\":\"fish-moves\",\"key\":\"" KEY_B "\",\"version\":2,"
		"\"fish\":580},"
		"{\"op\":\"strike\",\"kind\":\"fish-moves\",\"key\":\"" KEY_B "\","
		"\"why\":\"wrong\"},"
		"{\"op\":\"restore\",\"kind\":\"fish-moves\",\"key\":\"" KEY_B "\"}]}");

	ck_assert_int_eq(a.status, 200);
	assert_status(&a, 0, 201, "");
	assert_status(&a, 1, 201, "");
	assert_status(&a, 2, 200, ""); /* fills an empty field: no version needed */
	assert_status(&a, 3, 428, "needs_match");
	assert_status(&a, 4, 200, "");
	ck_assert_int_eq(json_integer_value(json_object_get(answer_at(&a, 5), "status")), 412);
	ck_assert(json_is_object(
		json_object_get(json_object_get(answer_at(&a, 5), "problem"), "current")));
	assert_status(&a, 6, 200, "");
	assert_status(&a, 7, 200, "");
}
END_TEST

START_TEST(a_batch_sent_twice_adds_nothing)
{
	static const char body[] = "{\"entries\":[" FEEDING("350", ",\"key\":\"" KEY_A "\"") "]}";
	struct answer first = ask("POST", "/api/batch", body, NULL);
	struct answer again = ask("POST", "/api/batch", body, NULL);

	assert_status(&first, 0, 201, "");
	ck_assert_str_eq(again.body, first.body);
	again = get("/api/feedings");
	ck_assert_uint_eq(count_at(&again, "items"), 1);
}
END_TEST

START_TEST(queued_entries_are_never_asked)
{
	struct answer a = post("/api/batch", "{\"entries\":["
					     "{\"kind\":\"fish-deaths\",\"tank_id\":2,"
					     "\"fish_lot_id\":1,\"fish\":5,\"queued\":true,"
					     "\"at\":\"2026-03-30T07:00:00Z\"},"
					     "{\"kind\":\"fish-deaths\",\"tank_id\":2,"
					     "\"fish_lot_id\":1,\"fish\":5,"
					     "\"at\":\"2026-03-30T07:00:00Z\"}]}");

	ck_assert_int_eq(json_integer_value(json_object_get(answer_at(&a, 0), "status")), 201);
	ck_assert_int_ge(json_integer_value(json_object_get(answer_at(&a, 1), "status")), 409);
}
END_TEST

START_TEST(a_batch_has_a_limit)
{
	char *body = malloc(64 + 501 * 4);
	struct answer a;

	ck_assert_ptr_nonnull(body);
	strcpy(body, "{\"entries\":[0");
	for (int i = 0; i < 500; i++)
		strcat(body, ",0");
	strcat(body, "]}");
	a = ask("POST", "/api/batch", body, NULL);
	assert_problem(&a, 413, "too_many");
	free(body);
	a = post("/api/batch", "{}");
	assert_problem(&a, 422, "required");
	a = post("/api/batch", "{\"entries\":{}}");
	assert_problem(&a, 422, "required");
	a = post("/api/batch", "{\"entries\":[],\"entrys\":[]}");
	assert_problem(&a, 422, "unknown_field");
}
END_TEST

START_TEST(all_kept_in_one_version_of_the_record)
{
	const int64_t before = atomic_load(&bench.app.version);

	post("/api/batch", "%s", "{\"entries\":[" FEEDING("350", "") "," FEEDING("360", "") "]}");
	ck_assert_int_eq(atomic_load(&bench.app.version), before + 1);
}
END_TEST

Suite *batch_suite(void)
{
	Suite *s = suite_create("batch");
	TCase *t = tcase_create("batch");

	tcase_add_checked_fixture(t, api_setup, api_teardown);
	tcase_add_test(t, one_bad_entry_never_blocks_the_rest);
	tcase_add_test(t, a_queue_hangs_together_by_keys);
	tcase_add_test(t, a_batch_sent_twice_adds_nothing);
	tcase_add_test(t, queued_entries_are_never_asked);
	tcase_add_test(t, a_batch_has_a_limit);
	tcase_add_test(t, all_kept_in_one_version_of_the_record);
	suite_add_tcase(s, t);
	return s;
}

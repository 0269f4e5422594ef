/* Many reads in one request: each as if asked by itself. */
#include "api_tests.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const json_t *answer_at(const struct answer *a, size_t i)
{
	const json_t *v = json_array_get(json_object_get(a->json, "answers"), i);

	ck_assert_msg(json_is_object(v), "no answer %zu in %s", i, a->body);
	return v;
}

static int status_at(const struct answer *a, size_t i)
{
	return (int)json_integer_value(json_object_get(answer_at(a, i), "status"));
}

static const char *code_at(const struct answer *a, size_t i)
{
	const json_t *errors = json_object_get(json_object_get(answer_at(a, i), "body"), "errors");
	const char *code = json_string_value(json_object_get(json_array_get(errors, 0), "code"));

	return code ? code : "";
}

START_TEST(each_read_is_answered_as_if_asked_by_itself)
{
	static const char *const targets[] = { "/api/tanks?limit=1&fields=code", "/api/farm",
					       "/api/reports/stock", "/api/tanks/2",
					       "/api/record?kinds_only=1" };
	struct answer a =
		post("/api/several", "%s",
		     "{\"asks\":["
		     "{\"path\":\"/api/tanks\",\"query\":{\"limit\":\"1\",\"fields\":\"code\"}},"
		     "{\"path\":\"/api/farm\"},"
		     "{\"path\":\"/api/reports/stock\"},"
		     "{\"path\":\"/api/tanks/2\"},"
		     "{\"path\":\"/api/record\",\"query\":{\"kinds_only\":\"1\"}}]}");

	ck_assert_int_eq(a.status, 200);
	ck_assert_uint_eq(count_at(&a, "answers"), 5);
	for (size_t i = 0; i < 5; i++) {
		struct answer alone = get(targets[i]);

		ck_assert_int_eq(status_at(&a, i), 200);
		ck_assert_msg(json_equal(json_object_get(answer_at(&a, i), "body"), alone.json),
			      "%s: %s", targets[i], alone.body);
		ck_assert_str_eq(json_string_value(json_object_get(answer_at(&a, i), "etag")),
				 alone.etag);
	}
}
END_TEST

START_TEST(what_the_asker_has_costs_no_body)
{
	struct answer farm = get("/api/farm");
	const char *before = farm.etag;
	char body[512];
	char tag[128];
	size_t n = 0;

	for (const char *c = before; *c; c++) {
		if (*c == '"')
			tag[n++] = '\\';
		tag[n++] = *c;
	}
	tag[n] = '\0';
	snprintf(body, sizeof(body), "{\"asks\":[{\"path\":\"/api/farm\",\"etag\":\"%s\"}]}", tag);

	struct answer a = ask("POST", "/api/several", body, NULL);

	ck_assert_int_eq(status_at(&a, 0), 304);
	ck_assert_ptr_null(json_object_get(answer_at(&a, 0), "body"));
	ask("PATCH", "/api/farm", "{\"name\":\"Other\"}", "If-Match: *");
	a = ask("POST", "/api/several", body, NULL);
	ck_assert_int_eq(status_at(&a, 0), 200);
}
END_TEST

START_TEST(one_that_cannot_be_read_takes_nothing_from_the_others)
{
	struct answer a = post("/api/several", "%s",
			       "{\"asks\":["
			       "{\"path\":\"/api/tank\"},"
			       "{\"path\":\"/api/events\"},"
			       "{\"path\":\"/api/tanks.csv\"},"
			       "{\"path\":\"/api/qr.svg\",\"query\":{\"text\":\"T1\"}},"
			       "{\"path\":\"/js/main.js\"},"
			       "{\"path\":\"/api/several\"},"
			       "{\"query\":{}},"
			       "{\"path\":\"/api/tanks\",\"query\":{\"limit\":5}},"
			       "{\"path\":\"/api/tanks\",\"method\":\"DELETE\"},"
			       "7,"
			       "{\"path\":\"/api/tanks\"}]}");
	static const struct {
		int status;
		const char *code;
	} due[] = { { 404, "no_such_kind" },
		    { 422, "not_json" },
		    { 422, "not_json" },
		    { 422, "not_json" },
		    { 422, "not_json" },
		    { 405, "no_such_method" },
		    { 422, "required" },
		    { 422, "wrong_type" },
		    { 422, "unknown_field" },
		    { 422, "no_object" },
		    { 200, "" } };

	ck_assert_int_eq(a.status, 200);
	for (size_t i = 0; i < sizeof(due) / sizeof(due[0]); i++) {
		ck_assert_msg(status_at(&a, i) == due[i].status, "%zu: %s", i, a.body);
		ck_assert_str_eq(code_at(&a, i), due[i].code);
	}
}
END_TEST

START_TEST(reads_together_have_a_limit)
{
	char body[4096] = "{\"asks\":[";

	for (int i = 0; i < 65; i++)
		strcat(body, i ? ",{\"path\":\"/api/farm\"}" : "{\"path\":\"/api/farm\"}");
	strcat(body, "]}");

	struct answer a = ask("POST", "/api/several", body, NULL);

	assert_problem(&a, 413, "too_many");
	a = post("/api/several", "{}");
	assert_problem(&a, 422, "required");
	a = post("/api/several", "{\"asks\":[],\"ask\":[]}");
	assert_problem(&a, 422, "unknown_field");
	a = ask("POST", "/api/several", "{\"asks\":[]}", "-X-Weirbook");
	assert_problem(&a, 403, "needs_header");
}
END_TEST

Suite *several_suite(void)
{
	Suite *s = suite_create("several");
	TCase *t = tcase_create("several");

	tcase_add_checked_fixture(t, api_setup, api_teardown);
	tcase_add_test(t, each_read_is_answered_as_if_asked_by_itself);
	tcase_add_test(t, what_the_asker_has_costs_no_body);
	tcase_add_test(t, one_that_cannot_be_read_takes_nothing_from_the_others);
	tcase_add_test(t, reads_together_have_a_limit);
	suite_add_tcase(s, t);
	return s;
}

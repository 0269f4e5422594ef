/* A set of CSV files from the screen: kept whole, tried, or refused whole. */
#include "api_tests.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct answer import_files(const char *files, const char *more)
{
	return post("/api/import", "{\"files\":{%s}%s}", files, more);
}

#define TWO_FILES                                                                                  \
	"\"feedings.csv\":\"tank,feed,amount_g,day\\r\\nT1,Grower 4 mm,350,2026-03-30\\r\\n"       \
	"T2,Floating 3 mm,120.5,2026-03-30\\r\\n\","                                               \
	"\"feeds.csv\":\"name,protein_pct\\r\\nFloating 3 mm,40\\r\\n\""

static int64_t count_of(const struct answer *a, const char *kind, const char *what)
{
	const json_t *rows = json_object_get(a->json, "rows");

	return json_integer_value(json_object_get(json_object_get(rows, kind), what));
}

static size_t feedings(void)
{
	struct answer a = get("/api/feedings");

	return count_at(&a, "items");
}

START_TEST(files_are_kept_together_in_any_order)
{
	struct answer a = import_files(TWO_FILES, "");

	ck_assert_msg(a.status == 200, "%s", a.body);
	ck_assert(json_is_false(json_object_get(a.json, "dry_run")));
	ck_assert_int_eq(count_of(&a, "feedings", "new"), 2);
	ck_assert_int_eq(count_of(&a, "feeds", "new"), 1);
	ck_assert_uint_eq(count_at(&a, "errors"), 0);
	int_at(&a, "looks");
	ck_assert_uint_eq(feedings(), 2);
	ck_assert(!atomic_load(&bench.app.importing));
}
END_TEST

START_TEST(the_same_files_twice_add_nothing)
{
	import_files(TWO_FILES, "");

	struct answer a = import_files(TWO_FILES, "");

	ck_assert_int_eq(a.status, 200);
	ck_assert_int_eq(count_of(&a, "feedings", "new"), 0);
	ck_assert_int_eq(count_of(&a, "feedings", "same"), 2);
	ck_assert_uint_eq(feedings(), 2);
}
END_TEST

START_TEST(a_dry_run_leaves_nothing)
{
	const int64_t before = atomic_load(&bench.app.version);
	struct answer a = import_files(TWO_FILES, ",\"dry_run\":true");

	ck_assert_int_eq(a.status, 200);
	ck_assert(json_is_true(json_object_get(a.json, "dry_run")));
	ck_assert_int_eq(count_of(&a, "feedings", "new"), 2);
	ck_assert_uint_eq(feedings(), 0);
	ck_assert_int_eq(atomic_load(&bench.app.version), before);
}
END_TEST

START_TEST(one_bad_row_refuses_all_and_is_named)
{
	struct answer a = import_files(
		"\"feedings.csv\":\"tank,feed,amount_g,day\\nT1,Grower 4 mm,350,2026-03-30\\n"
		"T9,Grower 4 mm,350,2026-03-30\\nT1,Grower 4 mm,much,2026-02-30\\n\"",
		"");
	const json_t *errors = json_object_get(a.json, "errors");
	const json_t *first = json_array_get(errors, 0);

	ck_assert_int_eq(a.status, 422);
	ck_assert_str_eq(a.content_type, "application/problem+json");
	ck_assert_int_eq(int_at(&a, "status"), 422);
	ck_assert_uint_eq(json_array_size(errors), 3);
	ck_assert_str_eq(json_string_value(json_object_get(first, "file")), "feedings.csv");
	ck_assert(json_is_integer(json_object_get(first, "line")));
	ck_assert(json_is_string(json_object_get(first, "code")));
	ck_assert(json_is_object(json_object_get(first, "args")));
	ck_assert_uint_eq(feedings(), 0);
}
END_TEST

START_TEST(european_marks_are_taken_when_told)
{
	struct answer a = import_files("\"feedings.csv\":\"tank;feed;amount_g;day\\n"
				       "T1;Grower 4 mm;350,5;2026-03-30\\n\"",
				       ",\"separator\":\";\",\"decimal\":\",\"");

	ck_assert_msg(a.status == 200, "%s", a.body);
	a = get("/api/feedings?amount_g=350.5");
	ck_assert_uint_eq(count_at(&a, "items"), 1);
}
END_TEST

static const struct {
	const char *body, *code, *field;
} wrong[] = {
	{ "{}", "required", "files" },
	{ "{\"files\":[]}", "required", "files" },
	{ "{\"files\":{\"feedings.csv\":5}}", "wrong_type", "feedings.csv" },
	{ "{\"files\":{},\"dry-run\":true}", "unknown_field", "dry-run" },
	{ "{\"files\":{},\"dry_run\":1}", "wrong_type", "dry_run" },
	{ "{\"files\":{},\"separator\":\"|\"}", "not_a_choice", "separator" },
	{ "{\"files\":{},\"separator\":\"\"}", "not_a_choice", "separator" },
	{ "{\"files\":{},\"decimal\":\";\"}", "not_a_choice", "decimal" },
	{ "{\"files\":{},\"decimal\":\",\"}", "same_marks", "decimal" },
};

START_TEST(a_wrong_request_is_422)
{
	struct answer a = ask("POST", "/api/import", wrong[_i].body, NULL);

	assert_problem(&a, 422, wrong[_i].code);
	ck_assert_str_eq(problem_field(&a), wrong[_i].field);
}
END_TEST

START_TEST(what_was_exported_imports_as_the_same)
{
	import_files(TWO_FILES, "");

	struct answer csv = get("/api/feedings.csv");
	json_t *text = json_stringn(csv.body, csv.length);
	char *quoted = json_dumps(text, JSON_ENCODE_ANY);
	struct answer a = post("/api/import", "{\"files\":{\"feedings.csv\":%s}}", quoted);

	ck_assert_msg(a.status == 200, "%s", a.body);
	ck_assert_int_eq(count_of(&a, "feedings", "same"), 2);
	ck_assert_int_eq(count_of(&a, "feedings", "new"), 0);
	free(quoted);
	json_decref(text);
}
END_TEST

Suite *import_suite(void)
{
	Suite *s = suite_create("import");
	TCase *t = tcase_create("import");

	tcase_add_checked_fixture(t, api_setup, api_teardown);
	tcase_add_test(t, files_are_kept_together_in_any_order);
	tcase_add_test(t, the_same_files_twice_add_nothing);
	tcase_add_test(t, a_dry_run_leaves_nothing);
	tcase_add_test(t, one_bad_row_refuses_all_and_is_named);
	tcase_add_test(t, european_marks_are_taken_when_told);
	tcase_add_loop_test(t, a_wrong_request_is_422, 0, sizeof(wrong) / sizeof(wrong[0]));
	tcase_add_test(t, what_was_exported_imports_as_the_same);
	suite_add_tcase(s, t);
	return s;
}

/* The dictionary as data, the OpenAPI description and docs/API.md say what the tables say. */
#include "api_tests.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "api/describe.h"
#include "api/routes.h"
#include "book/report.h"

static const json_t *find_named(const json_t *list, const char *name)
{
	for (size_t i = 0; i < json_array_size(list); i++) {
		const json_t *one = json_array_get(list, i);

		if (!strcmp(json_string_value(json_object_get(one, "name")), name))
			return one;
	}
	return NULL;
}

START_TEST(the_record_has_every_field_of_every_kind)
{
	struct answer a = get("/api/record");

	for (size_t i = 0; i < kind_count(); i++) {
		const json_t *k = find_named(json_object_get(a.json, "kinds"), kinds[i]->name);
		const json_t *fields = json_object_get(k, "fields");

		ck_assert_uint_eq(json_array_size(fields), kind_field_count(kinds[i]));
		for (size_t f = 0; f < kind_field_count(kinds[i]); f++)
			ck_assert_ptr_nonnull(find_named(fields, kind_field(kinds[i], f)->name));
	}
}
END_TEST

START_TEST(the_record_says_how_a_field_is_filled)
{
	struct answer a = get("/api/record");
	const json_t *all = json_object_get(a.json, "kinds");
	const json_t *feedings = json_object_get(find_named(all, "feedings"), "fields");
	const json_t *tank = find_named(feedings, "tank_id");
	const json_t *grams = find_named(feedings, "amount_g");
	const json_t *appetite = find_named(feedings, "appetite");

	ck_assert_str_eq(json_string_value(json_object_get(tank, "kind")), "reference");
	ck_assert_str_eq(json_string_value(json_object_get(tank, "column")), "tank");
	ck_assert_str_eq(json_string_value(json_object_get(tank, "refers_to")), "tanks");
	ck_assert(json_is_true(json_object_get(tank, "required")));
	ck_assert_str_eq(json_string_value(json_object_get(grams, "unit")), "g");
	ck_assert_double_eq(json_number_value(json_object_get(grams, "low")), 0);
	ck_assert_double_eq(json_number_value(json_object_get(grams, "high")), 1e7);
	ck_assert_uint_eq(json_array_size(json_object_get(appetite, "words")), 4);
	ck_assert_ptr_null(json_object_get(appetite, "required"));
	ck_assert_ptr_null(json_object_get(appetite, "low"));
	ck_assert_str_eq(
		json_string_value(json_object_get(find_named(all, "order-lines"), "line_of")),
		"order_id");
	ck_assert(json_is_true(json_object_get(find_named(all, "tanks"), "place")));
	ck_assert_uint_eq(json_array_size(json_object_get(find_named(all, "weighings"), "choices")),
			  1);
}
END_TEST

START_TEST(the_record_has_every_report)
{
	struct answer a = get("/api/record");
	const json_t *all = json_object_get(a.json, "reports");
	size_t n = 0;

	for (; reports[n]; n++) {
		const json_t *r = find_named(all, reports[n]->name);

		ck_assert_uint_eq(json_array_size(json_object_get(r, "columns")),
				  reports[n]->n_columns);
		ck_assert_uint_eq(json_array_size(json_object_get(r, "questions")),
				  reports[n]->n_questions);
	}
	ck_assert_uint_eq(json_array_size(all), n);
}
END_TEST

START_TEST(openapi_has_every_kind_and_report)
{
	struct answer a = get("/api/openapi.json");
	const json_t *paths = json_object_get(a.json, "paths");
	const json_t *schemas = json_object_get(json_object_get(a.json, "components"), "schemas");
	char path[128];

	for (size_t i = 0; i < kind_count(); i++) {
		snprintf(path, sizeof(path), "/api/%s", kinds[i]->name);
		ck_assert_msg(json_is_object(json_object_get(paths, path)), "no %s", path);
		ck_assert(json_is_object(json_object_get(schemas, kinds[i]->name)));
	}
	for (size_t i = 0; reports[i]; i++) {
		snprintf(path, sizeof(path), "/api/reports/%s", reports[i]->name);
		ck_assert_msg(json_is_object(json_object_get(paths, path)), "no %s", path);
	}
	ck_assert_ptr_null(json_object_get(json_object_get(paths, "/api/changes"), "post"));
}
END_TEST

/* Every $ref leads somewhere, and every operationId stands once. */
static void walk(const json_t *v, const json_t *schemas, json_t *ids)
{
	const char *name;
	json_t *member;
	size_t i;

	if (json_is_array(v)) {
		json_array_foreach((json_t *)v, i, member)
		{
			walk(member, schemas, ids);
		}
	}
	json_object_foreach((json_t *)v, name, member)
	{
		if (!strcmp(name, "$ref"))
			ck_assert_ptr_nonnull(
				json_object_get(schemas, json_string_value(member) +
								 strlen("#/components/schemas/")));
		if (!strcmp(name, "operationId") && json_is_string(member)) {
			ck_assert_ptr_null(json_object_get(ids, json_string_value(member)));
			json_object_set_new(ids, json_string_value(member), json_true());
		}
		walk(member, schemas, ids);
	}
}

START_TEST(openapi_holds_together)
{
	struct answer a = get("/api/openapi.json");
	json_t *ids = json_object();

	walk(a.json, json_object_get(json_object_get(a.json, "components"), "schemas"), ids);
	ck_assert_uint_gt(json_object_size(ids), 100);
	json_decref(ids);
}
END_TEST

START_TEST(the_page_of_the_api_is_what_the_tables_say)
{
	const char *source = getenv("srcdir");
	struct strbuf made;
	char path[512], part[4096];
	struct strbuf kept;
	size_t n;

	snprintf(path, sizeof(path), "%s/docs/API.md", source ? source : ".");

	FILE *file = fopen(path, "rb");

	ck_assert_msg(file != NULL, "cannot open docs/API.md (set srcdir)");
	strbuf_init(&made);
	strbuf_init(&kept);
	while ((n = fread(part, 1, sizeof(part), file)) > 0)
		strbuf_add(&kept, part, n);
	fclose(file);
	api_describe(&made);
	ck_assert_msg(!strcmp(kept.text, made.text),
		      "docs/API.md is old: weirbook describe >docs/API.md");
	strbuf_release(&made);
	strbuf_release(&kept);
}
END_TEST

Suite *description_suite(void)
{
	Suite *s = suite_create("description");
	TCase *t = tcase_create("description");

	tcase_add_checked_fixture(t, api_setup, api_teardown);
	tcase_add_test(t, the_record_has_every_field_of_every_kind);
	tcase_add_test(t, the_record_says_how_a_field_is_filled);
	tcase_add_test(t, the_record_has_every_report);
	tcase_add_test(t, openapi_has_every_kind_and_report);
	tcase_add_test(t, openapi_holds_together);
	tcase_add_test(t, the_page_of_the_api_is_what_the_tables_say);
	suite_add_tcase(s, t);
	return s;
}

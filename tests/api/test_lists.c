/* Lists: filters, days, order, pages, fields, struck rows; and addresses that ask for what there is not. */
#include "api_tests.h"

#include <stdio.h>
#include <string.h>

/* Six feedings over three days, two tanks, in no order of arrival. */
static void feed_for_days(void)
{
	static const struct {
		int tank, day, hour, grams;
	} fed[] = { { 2, 29, 16, 1 }, { 3, 28, 7, 2 },  { 2, 28, 7, 3 },
		    { 2, 30, 7, 4 },  { 3, 30, 16, 5 }, { 2, 29, 7, 6 } };

	for (size_t i = 0; i < sizeof(fed) / sizeof(fed[0]); i++) {
		struct answer a = post("/api/feedings",
				       "{\"tank_id\":%d,\"feed_id\":1,\"amount_g\":%d,"
				       "\"at\":\"2026-03-%02dT%02d:00:00Z\"}",
				       fed[i].tank, fed[i].grams, fed[i].day, fed[i].hour);

		ck_assert_msg(a.status == 201, "%s", a.body);
	}
}

/* The grams of a page's rows as text: "3 2 6". */
static const char *grams_of(const struct answer *a)
{
	static char text[256];
	const json_t *items = json_object_get(a->json, "items");

	text[0] = '\0';
	for (size_t i = 0; i < json_array_size(items); i++) {
		const json_t *v = json_object_get(json_array_get(items, i), "amount_g");

		sprintf(text + strlen(text), "%s%g", i ? " " : "", json_number_value(v));
	}
	return text;
}

static const struct {
	const char *target, *grams;
} cases[] = {
	{ "/api/feedings", "2 3 6 1 4 5" },
	{ "/api/feedings?order=at", "2 3 6 1 4 5" },
	{ "/api/feedings?order=-at", "5 4 1 6 3 2" },
	{ "/api/feedings?tank_id=2", "3 6 1 4" },
	{ "/api/feedings?tank_id=2&order=-at", "4 1 6 3" },
	{ "/api/feedings?amount_g=5", "5" },
	{ "/api/feedings?amount_g=5.0", "5" },
	{ "/api/feedings?amount_g=7", "" },
	{ "/api/feedings?day=2026-03-29", "6 1" },
	{ "/api/feedings?at=2026-03-28T07:00:00Z", "2 3" },
	{ "/api/feedings?from=2026-03-29", "6 1 4 5" },
	{ "/api/feedings?to=2026-03-29", "2 3 6 1" },
	{ "/api/feedings?from=2026-03-29&to=2026-03-29", "6 1" },
	{ "/api/feedings?from=2026-03-29&to=2026-03-30&tank_id=3", "5" },
	{ "/api/feedings?from=2026-03-30&to=2026-03-29", "" },
	{ "/api/feedings?from=2026-03-29T07:00:00Z", "6 1 4 5" },
	{ "/api/feedings?from=2026-03-29T07:00:01Z", "1 4 5" },
	{ "/api/feedings?to=2026-03-30T07:00:00Z", "2 3 6 1 4" },
	{ "/api/feedings?to=2026-03-30T06:59:59Z", "2 3 6 1" },
	{ "/api/feedings?from=2026-03-29&to=2026-03-30T07:00:00Z", "6 1 4" },
	{ "/api/feedings?from=2026-03-29T12:00:00Z&to=2026-03-29T12:00:00Z", "" },
	{ "/api/feedings?tank_id=2,3", "2 3 6 1 4 5" },
	{ "/api/feedings?tank_id=3,3", "2 5" },
	{ "/api/feedings?tank_id.loop_id=1&order=-at", "5 4 1 6 3 2" },
	{ "/api/feedings?tank_id.code=t2", "2 5" },
	{ "/api/feedings?tank_id.loop_id.code=L1&tank_id=2", "3 6 1 4" },
	{ "/api/feedings?tank_id.loop_id.code=L2", "" },
	{ "/api/feedings?tank_id.volume_l=7800&amount_g=5", "5" },
	{ "/api/feedings?id=6,1,4", "6 1 4" },
	{ "/api/feedings?id=99", "" },
	{ "/api/feedings?without=slot,appetite", "2 3 6 1 4 5" },
	{ "/api/feedings?without=feed_id", "" },
	{ "/api/feedings?limit=2", "2 3" },
	{ "/api/feedings?limit=2&order=-at", "5 4" },
	{ "/api/feedings?limit=1000&struck=0", "2 3 6 1 4 5" },
	{ "/api/feedings?struck=1", "" },
};

START_TEST(a_list_answers_what_was_asked)
{
	feed_for_days();

	struct answer a = get(cases[_i].target);

	ck_assert_msg(a.status == 200, "%s: %s", cases[_i].target, a.body);
	ck_assert_str_eq(grams_of(&a), cases[_i].grams);
}
END_TEST

START_TEST(pages_join_without_gap_or_overlap)
{
	static const char *const orders[] = { "at", "-at" };
	static const char *const all[] = { "2 3 6 1 4 5", "5 4 1 6 3 2" };
	char target[128], seen[128];

	feed_for_days();
	for (int limit = 1; limit <= 6; limit++)
		for (size_t o = 0; o < 2; o++) {
			const char *next = NULL;

			seen[0] = '\0';
			do {
				snprintf(target, sizeof(target),
					 "/api/feedings?limit=%d&order=%s%s%s", limit, orders[o],
					 next ? "&after=" : "", next ? next : "");

				struct answer a = get(target);

				ck_assert_uint_le(count_at(&a, "items"), (size_t)limit);
				sprintf(seen + strlen(seen), "%s%s", *seen ? " " : "",
					grams_of(&a));
				next = json_string_value(json_object_get(a.json, "next"));
			} while (next);
			ck_assert_str_eq(seen, all[o]);
		}
}
END_TEST

START_TEST(next_is_left_out_at_the_end)
{
	feed_for_days();

	struct answer a = get("/api/feedings?limit=6");

	ck_assert_ptr_null(json_object_get(a.json, "next"));
	a = get("/api/feedings?limit=5");
	ck_assert_ptr_nonnull(json_object_get(a.json, "next"));
}
END_TEST

START_TEST(set_up_pages_too)
{
	struct answer a = get("/api/tanks?limit=1");

	ck_assert_uint_eq(count_at(&a, "items"), 1);

	char target[128];

	snprintf(target, sizeof(target), "/api/tanks?limit=1&after=%s", text_at(&a, "next"));
	a = get(target);
	ck_assert_uint_eq(count_at(&a, "items"), 1);
	ck_assert_ptr_nonnull(strstr(a.body, "\"T2\""));
	ck_assert_ptr_null(json_object_get(a.json, "next"));
}
END_TEST

START_TEST(places_lists_every_place)
{
	struct answer a = get("/api/places");

	ck_assert_uint_eq(count_at(&a, "items"), 4);
	a = get("/api/places?sort=tanks");
	ck_assert_uint_eq(count_at(&a, "items"), 2);
	a = get("/api/places?code=t2");
	ck_assert_uint_eq(count_at(&a, "items"), 1);
}
END_TEST

START_TEST(a_reference_filter_takes_a_key)
{
	struct answer tank = get("/api/tanks/3");
	char target[128];

	feed_for_days();
	snprintf(target, sizeof(target), "/api/feedings?tank_id=%s", text_at(&tank, "key"));

	struct answer a = get(target);

	ck_assert_str_eq(grams_of(&a), "2 5");
}
END_TEST

START_TEST(fields_choose_what_is_sent)
{
	feed_for_days();

	struct answer a = get("/api/feedings?fields=amount_g,at&limit=1");
	const json_t *item = json_array_get(json_object_get(a.json, "items"), 0);

	ck_assert_uint_eq(json_object_size(item), 5); /* id, key, version and the two */
	ck_assert_ptr_nonnull(json_object_get(item, "amount_g"));
	a = get("/api/feedings?fields=id,key&limit=1");
	item = json_array_get(json_object_get(a.json, "items"), 0);
	ck_assert_uint_eq(json_object_size(item), 3);
}
END_TEST

/* 400, with the code and what the nearest is. */
static const struct {
	const char *target, *code, *nearest;
} wrong[] = {
	{ "/api/feedings?tank=2", "unknown_parameter", "tank_id" },
	{ "/api/feedings?limits=2", "unknown_parameter", "limit" },
	{ "/api/feedings?tank_id=2&tank_id=3", "parameter_twice", "" },
	{ "/api/feedings?limit=2&limit=2", "parameter_twice", "" },
	{ "/api/feedings?limit=0", "out_of_range", "" },
	{ "/api/feedings?limit=1001", "out_of_range", "" },
	{ "/api/feedings?limit=-1", "out_of_range", "" },
	{ "/api/feedings?limit=x", "out_of_range", "" },
	{ "/api/feedings?limit=", "out_of_range", "" },
	{ "/api/feedings?from=2026-02-30", "not_a_date", "" },
	{ "/api/feedings?from=2026-02-30T07:00:00Z", "not_a_date", "" },
	{ "/api/feedings?tank_id=2,T9", "unknown_reference", "" },
	{ "/api/feedings?tank_id=,", "no_value", "" },
	{ "/api/feedings?tank_id.loop=1", "unknown_parameter", "" },
	{ "/api/feedings?tank_id.", "unknown_parameter", "tank_id" },
	{ "/api/feedings?amount_g.code=1", "unknown_parameter", "" },
	{ "/api/feedings?.code=1", "unknown_parameter", "" },
	{ "/api/feedings?id=two", "not_whole", "" },
	{ "/api/feedings?id=", "no_value", "" },
	{ "/api/feedings?without=", "no_value", "" },
	{ "/api/feedings?without=tank", "unknown_field", "" },
	{ "/api/feedings?to=today", "not_a_date", "" },
	{ "/api/feedings?order=amount_g", "not_a_choice", "" },
	{ "/api/feedings?order=", "not_a_choice", "" },
	{ "/api/feedings?struck=yes", "out_of_range", "" },
	{ "/api/feedings?after=x", "bad_cursor", "" },
	{ "/api/feedings?after=", "bad_cursor", "" },
	{ "/api/feedings?after=1_", "bad_cursor", "" },
	{ "/api/feedings?after=_1", "bad_cursor", "" },
	{ "/api/feedings?fields=amont_g", "unknown_field", "amount_g" },
	{ "/api/feedings?tank_id=", "no_value", "" },
	{ "/api/feedings?tank_id=T1", "unknown_reference", "" },
	{ "/api/feedings?tank_id=7b0c4a0e-0d3b-4c9e-9a55-0f6a3d1b2c4d", "unknown_reference", "" },
	{ "/api/feedings?amount_g=much", "not_a_number", "" },
	{ "/api/feedings?slot=1.5", "not_whole", "" },
	{ "/api/feedings?appetite=ken", "not_a_choice", "keen" },
	{ "/api/feedings?note=\xC3\x28", "bad_utf8", "" },
	{ "/api/feedings?\xFF=1", "bad_utf8", "" },
	{ "/api/tanks?from=2026-03-01", "unknown_parameter", "" }, /* set-up has no days */
	{ "/api/tanks/2?fields=code", "unknown_parameter", "" },
	{ "/api/record?x=1", "unknown_parameter", "" },
	{ "/healthz?x=1", "unknown_parameter", "" },
	{ "/api/feedings.csv?limit=5", "unknown_parameter", "" },
};

START_TEST(a_wrong_question_is_400)
{
	struct answer a = get(wrong[_i].target);

	assert_problem(&a, 400, wrong[_i].code);
	if (*wrong[_i].nearest)
		ck_assert_str_eq(problem_arg(&a, "nearest"), wrong[_i].nearest);
}
END_TEST

START_TEST(every_kind_can_be_listed)
{
	char target[96];

	for (size_t i = 0; i < kind_count(); i++) {
		snprintf(target, sizeof(target), "/api/%s", kinds[i]->name);

		struct answer a = get(target);

		/* ten years of a probe are no list: its address asks which probe */
		if (strcmp(kinds[i]->name, "readings") == 0)
			assert_problem(&a, 400, "required");
		else
			ck_assert_msg(a.status == 200, "%s: %s", target, a.body);
		strcat(target, ".csv");
		a = get(target);
		ck_assert_msg(a.status == 200, "%s: %s", target, a.body);
	}
}
END_TEST

Suite *lists_suite(void)
{
	Suite *s = suite_create("lists");
	TCase *t = tcase_create("lists");

	tcase_add_checked_fixture(t, api_setup, api_teardown);
	tcase_add_loop_test(t, a_list_answers_what_was_asked, 0, sizeof(cases) / sizeof(cases[0]));
	tcase_add_test(t, pages_join_without_gap_or_overlap);
	tcase_add_test(t, next_is_left_out_at_the_end);
	tcase_add_test(t, set_up_pages_too);
	tcase_add_test(t, places_lists_every_place);
	tcase_add_test(t, a_reference_filter_takes_a_key);
	tcase_add_test(t, fields_choose_what_is_sent);
	tcase_add_loop_test(t, a_wrong_question_is_400, 0, sizeof(wrong) / sizeof(wrong[0]));
	tcase_add_test(t, every_kind_can_be_listed);
	suite_add_tcase(s, t);
	return s;
}

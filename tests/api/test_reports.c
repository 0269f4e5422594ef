/* Reports by their own tables: questions, rows, notes, explain, CSV. */
#include "api_tests.h"

#include <stdio.h>
#include <string.h>

#include "book/report.h"

START_TEST(every_report_answers)
{
	char target[96];

	for (size_t i = 0; reports[i]; i++) {
		snprintf(target, sizeof(target), "/api/reports/%s", reports[i]->name);

		struct answer a = get(target);

		ck_assert_msg(a.status == 200, "%s: %s", target, a.body);
		count_at(&a, "rows");
		count_at(&a, "notes");
		text_at(&a, "as_of");
		ck_assert_str_eq(a.cache_control, "private, no-cache");
		strcat(target, ".csv");
		a = get(target);
		ck_assert_msg(a.status == 200, "%s: %s", target, a.body);
		ck_assert_str_eq(a.content_type, "text/csv; charset=utf-8; header=present");
		ck_assert_ptr_nonnull(strstr(a.file_name, reports[i]->name));
	}
}
END_TEST

START_TEST(every_question_has_a_place)
{
	/* a question that the API cannot read would be a report's word without effect */
	static const char *const places[] = { "from", "to",   "day",  "at",
					      "by",   "step", "only", "size" };
	enum { N_PLACES = sizeof(places) / sizeof(places[0]) };

	for (size_t i = 0; reports[i]; i++)
		for (size_t q = 0; q < reports[i]->n_questions; q++) {
			size_t p = 0;

			while (p < N_PLACES &&
			       strcmp(places[p], reports[i]->questions[q].name) != 0)
				p++;
			ck_assert_msg(p < N_PLACES, "%s: %s", reports[i]->name,
				      reports[i]->questions[q].name);
		}
}
END_TEST

START_TEST(every_word_of_every_question_is_taken)
{
	char target[160];

	for (size_t i = 0; reports[i]; i++)
		for (size_t q = 0; q < reports[i]->n_questions; q++) {
			const struct report_question *asked = &reports[i]->questions[q];

			for (const char *const *word = asked->words; word && *word; word++) {
				snprintf(target, sizeof(target), "/api/reports/%s?%s=%s",
					 reports[i]->name, asked->name, *word);

				struct answer a = get(target);

				ck_assert_msg(a.status == 200, "%s: %s", target, a.body);
			}
		}
}
END_TEST

static const struct {
	const char *target, *code;
} wrong[] = {
	{ "/api/reports/harvest?by=weeks", "not_a_choice" },
	{ "/api/reports/harvest?by=week,,bed", "not_a_choice" },
	{ "/api/reports/harvest?by=week,bed,", "not_a_choice" },
	{ "/api/reports/harvest?by=bed,bed", "not_a_choice" },
	{ "/api/reports/harvest?by=", "no_value" },
	{ "/api/reports/harvest?bye=week", "unknown_parameter" },
	{ "/api/reports/harvest?from=2026-02-30", "not_a_date" },
	{ "/api/reports/harvest?from=2026-02-20&to=2026-02-19", "from_after_to" },
	{ "/api/reports/harvest?from=2026-02-20&from=2026-02-20", "parameter_twice" },
	{ "/api/reports/harvest?explain=yes", "out_of_range" },
	{ "/api/reports/harvest?step=week", "unknown_parameter" },
	{ "/api/reports/beds?at=noon", "not_a_time" },
	{ "/api/reports/harvest.csv?by=weeks", "not_a_choice" },
};

START_TEST(a_wrong_question_is_400)
{
	struct answer a = get(wrong[_i].target);

	assert_problem(&a, 400, wrong[_i].code);
}
END_TEST

/* Three harvests of fish of lot F1 in T1, the last one not weighed. */
static void harvest_fish(void)
{
	static const char *const made[] = {
		"\"pieces\":100,\"weight_g\":81380.5,\"grade\":\"=A\",\"day\":\"2026-03-20\"",
		"\"pieces\":50,\"weight_g\":40000,\"grade\":\"B\",\"day\":\"2026-03-24\"",
		"\"pieces\":10,\"grade\":\"B\",\"day\":\"2026-03-24\"",
	};
	struct answer a =
		post("/api/fish-moves",
		     "{\"fish_lot_id\":1,\"to_tank_id\":2,\"fish\":600,"
		     "\"weight_g\":480000,\"reason\":\"stocking\",\"day\":\"2026-03-01\"}");

	ck_assert_msg(a.status == 201, "%s", a.body);
	for (size_t i = 0; i < sizeof(made) / sizeof(made[0]); i++) {
		a = post("/api/harvests", "{\"fish_lot_id\":1,\"tank_id\":2,\"confirm\":true,%s}",
			 made[i]);
		ck_assert_msg(a.status == 201, "%s", a.body);
	}
}

static const json_t *row_at(const struct answer *a, size_t i)
{
	return json_array_get(json_object_get(a->json, "rows"), i);
}

START_TEST(rows_come_by_the_columns_asked_for)
{
	harvest_fish();

	struct answer a = get("/api/reports/harvest?by=week,grade&from=2026-03-16&to=2026-03-29");
	const json_t *row = row_at(&a, 0);

	ck_assert_str_eq(text_at(&a, "from"), "2026-03-16");
	ck_assert_str_eq(text_at(&a, "to"), "2026-03-29");
	ck_assert_str_eq(text_at(&a, "as_of"), "2026-03-31T08:00:00Z");
	ck_assert_uint_eq(count_at(&a, "rows"), 2);
	ck_assert_str_eq(json_string_value(json_object_get(row, "period")), "2026-03-16");
	ck_assert_str_eq(json_string_value(json_object_get(row, "grade")), "=A");
	ck_assert_int_eq(json_integer_value(json_object_get(row, "pieces")), 100);
	ck_assert_double_eq(json_number_value(json_object_get(row, "weight_g")), 81380.5);
	ck_assert_ptr_null(json_object_get(row, "bed"));
	ck_assert_ptr_null(json_object_get(row, "explain"));
	ck_assert_ptr_nonnull(strstr(a.body, "81380.5"));
}
END_TEST

START_TEST(explain_tells_what_a_row_rests_on)
{
	harvest_fish();

	struct answer a = get("/api/reports/harvest?by=week&explain=1");
	const json_t *explain = json_object_get(row_at(&a, 0), "explain");
	const json_t *entries = json_array_get(json_object_get(explain, "entries"), 0);
	const char *address = json_string_value(json_object_get(entries, "address"));

	ck_assert_str_ne(json_string_value(json_object_get(explain, "formula")), "");
	ck_assert_str_ne(json_string_value(json_object_get(explain, "source")), "");
	ck_assert(json_is_object(json_object_get(explain, "inputs")));
	ck_assert_int_eq(json_integer_value(json_object_get(entries, "count")), 1);
	ck_assert_double_eq(json_number_value(json_object_get(entries, "sum")), 81380.5);

	struct answer list = get(address); /* it can be opened */

	ck_assert_msg(list.status == 200, "%s: %s", address, list.body);
	ck_assert_uint_eq(count_at(&list, "items"), 1);
}
END_TEST

START_TEST(csv_has_the_same_rows)
{
	harvest_fish();

	struct answer a =
		get("/api/reports/harvest.csv?by=week,grade&from=2026-03-16&to=2026-03-29");

	ck_assert_str_eq(a.file_name, "harvest_2026-03-16_2026-03-29.csv");
	ck_assert_msg(!strncmp(a.body, "period,grade,harvests,pieces,weight_g,estimated_g,", 50),
		      "%s", a.body);
	ck_assert_ptr_nonnull(strstr(a.body, "\r\n2026-03-16,'=A,1,100,81380.5,"));
	ck_assert_ptr_nonnull(strstr(a.body, "\r\n2026-03-23,B,2,60,40000,"));
}
END_TEST

START_TEST(a_report_is_304_until_the_record_changes)
{
	struct answer first = get("/api/reports/harvest");
	char header[160];

	snprintf(header, sizeof(header), "If-None-Match: %s", first.etag);
	ck_assert_int_eq(ask("GET", "/api/reports/harvest", NULL, header).status, 304);
	ck_assert_int_eq(ask("GET", "/api/reports/harvest.csv", NULL, header).status, 200);
	harvest_fish();
	ck_assert_int_eq(ask("GET", "/api/reports/harvest", NULL, header).status, 200);
}
END_TEST

START_TEST(only_reports_that_change_by_the_clock_change_each_minute)
{
	char target[96], header[160];

	for (size_t i = 0; reports[i]; i++) {
		snprintf(target, sizeof(target), "/api/reports/%s", reports[i]->name);

		struct answer first = get(target);

		snprintf(header, sizeof(header), "If-None-Match: %s", first.etag);
		bench.now += 60;
		ck_assert_int_eq(ask("GET", target, NULL, header).status,
				 reports[i]->changes_by_clock ? 200 : 304);
	}
}
END_TEST

Suite *reports_suite(void)
{
	Suite *s = suite_create("reports");
	TCase *t = tcase_create("reports");

	tcase_add_checked_fixture(t, api_setup, api_teardown);
	tcase_add_test(t, every_report_answers);
	tcase_add_test(t, every_question_has_a_place);
	tcase_add_test(t, every_word_of_every_question_is_taken);
	tcase_add_loop_test(t, a_wrong_question_is_400, 0, sizeof(wrong) / sizeof(wrong[0]));
	tcase_add_test(t, rows_come_by_the_columns_asked_for);
	tcase_add_test(t, explain_tells_what_a_row_rests_on);
	tcase_add_test(t, csv_has_the_same_rows);
	tcase_add_test(t, a_report_is_304_until_the_record_changes);
	tcase_add_test(t, only_reports_that_change_by_the_clock_change_each_minute);
	suite_add_tcase(s, t);
	return s;
}

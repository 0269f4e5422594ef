/* Reports by their own tables: questions, rows, notes, explain, CSV. */
#include "api_tests.h"

#include <stdio.h>
#include <string.h>

#include "book/report.h"

START_TEST(every_report_answers_and_says_what_was_not_known)
{
	char target[96];

	for (size_t i = 0; reports[i]; i++) {
		snprintf(target, sizeof(target), "/api/reports/%s", reports[i]->name);

		struct answer a = get(target);

		ck_assert_msg(a.status == 200, "%s: %s", target, a.body);
		count_at(&a, "rows");
		count_at(&a, "notes");
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
	static const char *const places[] = { "from", "to", "day", "at", "by", "step", "only" };

	for (size_t i = 0; reports[i]; i++)
		for (size_t q = 0; q < reports[i]->n_questions; q++) {
			size_t p = 0;

			while (p < 7 && strcmp(places[p], reports[i]->questions[q].name) != 0)
				p++;
			ck_assert_msg(p < 7, "%s: %s", reports[i]->name,
				      reports[i]->questions[q].name);
		}
}
END_TEST

Suite *reports_suite(void)
{
	Suite *s = suite_create("reports");
	TCase *t = tcase_create("reports");

	tcase_add_checked_fixture(t, api_setup, api_teardown);
	tcase_add_test(t, every_report_answers_and_says_what_was_not_known);
	tcase_add_test(t, every_question_has_a_place);
	suite_add_tcase(s, t);
	return s;
}

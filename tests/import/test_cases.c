/* Good and bad CSV: every folder of fixtures/import, see the README there. */
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/strbuf.h"
#include "farm_files.h"
#include "import_tests.h"
#include "model/kinds.h"
#include "store/record.h"
#include "support/support.h"

#define NOW "2026-11-25T08:00:00Z"

static struct dirent **good, **bad;
static int n_good, n_bad;

static int is_good(const struct dirent *entry)
{
	return strncmp(entry->d_name, "good-", 5) == 0;
}

static int is_bad(const struct dirent *entry)
{
	return strncmp(entry->d_name, "bad-", 4) == 0;
}

/* The arguments of a case, as the command takes them: "--separator ; --decimal ,". */
static void read_options(struct farm *f, const char *text)
{
	const char *separator = strstr(text, "--separator "), *decimal = strstr(text, "--decimal ");

	if (separator)
		f->options.separator = separator[12] == '\\' ? '\t' : separator[12];
	if (decimal)
		f->options.decimal = decimal[10];
}

static void open_case(struct farm *f, const char *name)
{
	farm_open(f, NOW);
	farm_must_import(f, "import/base");
	read_options(
		f, fixture_text(&f->arena, arena_printf(&f->arena, "import/%s/options.txt", name)));
}

/* "kind rows\n" of what was new, by the order of kinds' names in rows.txt. */
static void check_rows(struct farm *f, const char *rows, bool again)
{
	char kind[64];
	int n = 0, used = 0;

	ck_assert_int_gt((int)strlen(rows), 0);
	for (; sscanf(rows, "%63s %d\n%n", kind, &n, &used) == 2; rows += used) {
		const struct import_count *count = &f->result.counts[kind_index(kind_find(kind))];

		ck_assert_msg(count->added == (again ? 0 : n) && count->same == (again ? n : 0),
			      "%s: %lld new, %lld there", kind, (long long)count->added,
			      (long long)count->same);
	}
}

START_TEST(a_good_case_is_kept_and_its_second_import_adds_nothing)
{
	const char *name = good[_i]->d_name;
	struct farm f;

	open_case(&f, name);

	const char *input = arena_printf(&f.arena, "import/%s/input", name);
	const char *rows =
		fixture_text(&f.arena, arena_printf(&f.arena, "import/%s/rows.txt", name));

	farm_must_import(&f, input);
	check_rows(&f, rows, false);

	const int feedings = farm_rows(&f, "feedings");

	farm_must_import(&f, input);
	check_rows(&f, rows, true);
	ck_assert_int_eq(farm_rows(&f, "feedings"), feedings);
	farm_close(&f);
}
END_TEST

START_TEST(a_bad_case_names_its_errors_and_changes_nothing)
{
	const char *name = bad[_i]->d_name;
	struct farm f;

	open_case(&f, name);

	const enum err_code rc = farm_import(&f, arena_printf(&f.arena, "import/%s/input", name));
	const char *want =
		fixture_text(&f.arena, arena_printf(&f.arena, "import/%s/error.txt", name));

	ck_assert_msg(rc == ERR_INPUT, "%s: %d", name, (int)rc);
	ck_assert_msg(strcmp(farm_errors(&f), want) == 0, "%s: wanted\n%sgot\n%s", name, want,
		      farm_errors(&f));
	ck_assert_int_eq(farm_rows(&f, "feedings"), 0);
	ck_assert_int_eq(farm_rows(&f, "water-tests"), 0);
	ck_assert_int_eq(farm_rows(&f, "tanks"), 2);
	farm_close(&f);
}
END_TEST

START_TEST(one_bad_row_in_ten_thousand_is_named_and_none_is_kept)
{
	struct farm f;
	struct strbuf text;

	farm_open(&f, NOW);
	farm_must_import(&f, "import/base");
	strbuf_init(&text);
	strbuf_adds(&text, "at,tank,feed,amount_g\n");
	for (int i = 0; i < 10000; i++)
		strbuf_addf(&text, "2026-0%d-%02dT%02d:%02d:00Z,T1,Pellet 32,%s\n",
			    2 + i / 3333 % 4, 1 + i / 1440 % 28, i / 60 % 24, i % 60,
			    i == 7776 ? "-1" : "100");

	ck_assert_int_eq(farm_import_text(&f, "feedings.csv", text.text), ERR_INPUT);
	ck_assert_uint_eq(f.result.n_faults, 1);
	ck_assert_str_eq(farm_errors(&f), "feedings.csv 7778 amount_g out_of_range\n");
	ck_assert_int_eq(farm_rows(&f, "feedings"), 0);
	strbuf_release(&text);
	farm_close(&f);
}
END_TEST

START_TEST(two_equal_rows_are_two_entries)
{
	const char *text = "at,tank,feed,amount_g\n2026-03-02T08:00:00Z,T1,Pellet 32,400\n"
			   "2026-03-02T08:00:00Z,T1,Pellet 32,400\n";
	struct farm f;

	farm_open(&f, NOW);
	farm_must_import(&f, "import/base");
	check_ok(farm_import_text(&f, "feedings.csv", text), &f.err);
	ck_assert_int_eq(farm_rows(&f, "feedings"), 2);
	check_ok(farm_import_text(&f, "feedings.csv", text), &f.err);
	ck_assert_int_eq(farm_rows(&f, "feedings"), 2);
	farm_close(&f);
}
END_TEST

START_TEST(a_dry_run_answers_the_same_and_leaves_nothing)
{
	struct farm f;

	farm_open(&f, NOW);
	farm_must_import(&f, "import/base");
	f.options.dry_run = true;
	farm_must_import(&f, "import/good-plain/input");
	ck_assert_int_eq((int)f.result.counts[kind_index(kind_find("feedings"))].added, 2);
	ck_assert_int_eq(farm_rows(&f, "feedings"), 0);
	farm_close(&f);
}
END_TEST

/* So that export, import into an empty file and export again are equal from the first day on. */
START_TEST(a_farm_as_it_was_made_is_nothing_new)
{
	const char *text = "name,time_zone,version\nFarm,UTC,1\n";
	struct record *kept;
	struct farm f;

	farm_open(&f, NOW);
	check_ok(farm_import_text(&f, "farm.csv", text), &f.err);
	check_ok(store_get(f.store, &farm_kind, 1, &f.arena, &kept, &f.err), &f.err);
	ck_assert_int_eq(kept->version, 1);
	check_ok(farm_import_text(&f, "farm.csv", "name,time_zone,version\nOther,UTC,1\n"), &f.err);
	check_ok(store_get(f.store, &farm_kind, 1, &f.arena, &kept, &f.err), &f.err);
	ck_assert_str_eq(record_text(kept, "name"), "Other");
	farm_close(&f);
}
END_TEST

Suite *cases_suite(void)
{
	Suite *suite = suite_create("import: good and bad files");
	TCase *tc = tcase_create("cases");
	struct arena arena;

	arena_init(&arena);
	n_good = scandir(fixture_path(&arena, "import"), &good, is_good, alphasort);
	n_bad = scandir(fixture_path(&arena, "import"), &bad, is_bad, alphasort);
	arena_release(&arena);
	tcase_set_timeout(tc, 60);
	tcase_add_loop_test(tc, a_good_case_is_kept_and_its_second_import_adds_nothing, 0, n_good);
	tcase_add_loop_test(tc, a_bad_case_names_its_errors_and_changes_nothing, 0, n_bad);
	tcase_add_test(tc, one_bad_row_in_ten_thousand_is_named_and_none_is_kept);
	tcase_add_test(tc, two_equal_rows_are_two_entries);
	tcase_add_test(tc, a_farm_as_it_was_made_is_nothing_new);
	tcase_add_test(tc, a_dry_run_answers_the_same_and_leaves_nothing);
	suite_add_tcase(suite, tc);
	return suite;
}

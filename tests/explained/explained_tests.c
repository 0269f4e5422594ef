/* The farms whose reports are walked, and the main program: see explained_tests.h. */
#include "explained_tests.h"

#include <stdio.h>
#include <string.h>

#include "api/api_tests.h"
#include "base/zone.h"
#include "simulated/sim_farm.h"
#include "support/csv_farm.h"
#include "support/run_suites.h"

static struct csv_farm farm;

static size_t n_reports(void)
{
	size_t n = 0;

	while (reports[n])
		n++;
	return n;
}

static void demo_opened(void)
{
	int64_t now;

	ck_assert(time_read("2026-11-18T10:15:00Z", &now)); /* of its last day */
	csv_farm_open(&farm, "demo", now);
	bench_take(farm.store, farm.book, now);

	/* for report restated */
	const struct answer a =
		post("/api/closings", "{\"month\":\"2026-09-01\",\"day\":\"2026-10-02\"}");

	ck_assert_msg(a.status == 201, "%s", a.body);
	forget_answers();
}

static void random_opened(void)
{
	const struct sim_options o = { .seed = 31, .noisy = true, .days = 112, .k_spread = 0.08 };
	const struct import_options io = { .separator = ',', .decimal = '.', .now = 2000000000 };
	struct import_result result = { 0 };
	struct sim_farm sim;
	struct err err;

	err_clear(&err);
	csv_farm_new(&farm);
	sim_farm_run(&o, &farm.arena, &sim);
	ck_assert_int_eq(store_begin(farm.store, &err), ERR_NONE);
	ck_assert_int_eq(
		book_import(farm.book, sim.files, sim.n_files, &io, &farm.arena, &result, &err),
		ERR_NONE);
	ck_assert_int_eq(store_commit(farm.store, &err), ERR_NONE);
	while (book_settle(farm.book))
		;
	bench_take(farm.store, farm.book, sim.truth.last_instant + 86400);
}

/* The random farm has fish alone. */
static bool is_whole_farm(void)
{
	return json_array_size(entries_at("/api/beds")) > 0;
}

static void closed(void)
{
	api_teardown();
	arena_release(&farm.arena);
}

/* Alarms are raised by their job; the others' rows are told with their formula, or are entries themselves. */
static bool has_no_lists(const struct report *r)
{
	static const char *const names[] = { "alarms", "unease", "bed-flow", "ration", "air",
					     "waters", "held",   "in-store", NULL };

	for (const char *const *name = names; *name; name++)
		if (strcmp(r->name, *name) == 0)
			return true;
	return false;
}

START_TEST(each_figure_leads_to_exactly_the_entries_under_it)
{
	size_t faults = 0;

	ck_assert_msg(says_footing(reports[_i]), "what do figures of %s stand on?",
		      reports[_i]->name);

	const size_t opened = walk_report(reports[_i], &faults);

	ck_assert_msg(opened > 0 || has_no_lists(reports[_i]) || !is_whole_farm(),
		      "%s: no list was opened", reports[_i]->name);
	ck_assert_msg(faults == 0, "%s: %zu rows have lists that do not agree with them",
		      reports[_i]->name, faults);
}
END_TEST

static Suite *explained_suite(void)
{
	static const struct {
		const char *name;
		void (*open)(void);
	} farms[] = { { "the demo farm", demo_opened }, { "a random farm", random_opened } };
	Suite *s = suite_create("explained figures");

	for (size_t i = 0; i < sizeof(farms) / sizeof(farms[0]); i++) {
		TCase *t = tcase_create(farms[i].name);

		tcase_add_unchecked_fixture(t, farms[i].open, closed);
		tcase_set_timeout(t, 300);
		tcase_add_loop_test(t, each_figure_leads_to_exactly_the_entries_under_it, 0,
				    (int)n_reports());
		suite_add_tcase(s, t);
	}
	return s;
}

int main(void)
{
	static Suite *(*const suites[])(void) = { explained_suite, NULL };

	return run_suites(suites);
}

/* What the writer does between requests, on a real file and a clock of our own. */
#include "jobs_tests.h"

#include <stdio.h>

#include "jobs/upkeep.h"
#include "program.h"
#include "run_suites.h"
#include "store/record.h"

static char folder[256], file[300];
static struct store *store;
static struct book *book;
static struct upkeep upkeep;
static struct err err;

static void set_up(void)
{
	folder_new(folder);
	snprintf(file, sizeof(file), "%s/weirbook.db", folder);
	err_clear(&err);
	ck_assert_int_eq(store_open(file, STORE_WRITE, &store, &err), ERR_NONE);
	ck_assert_int_eq(book_open(store, &book, &err), ERR_NONE);
	upkeep_init(&upkeep, book, file);
}

static void tear_down(void)
{
	book_close(book);
	store_close(store);
	folder_remove(folder);
}

/* One group of writes: a species of its own, with a note of so many bytes. */
static void write_group(int number, size_t bytes)
{
	const struct kind *k = kind_find("species");
	const struct hand hand = { .arrival = ARRIVES_ON_SCREEN, .now = 1800000000 };
	struct record *r, *kept;
	struct arena arena;
	bool repeat;
	char *note;

	arena_init(&arena);
	r = record_new(k, &arena);
	record_set_text(r, "name", arena_printf(&arena, "Fish %d", number));
	note = arena_alloc(&arena, bytes + 1);
	for (size_t i = 0; i < bytes; i++)
		note[i] = 'n';
	record_set_text(r, "note", note);
	ck_assert_int_eq(store_begin(store, &err), ERR_NONE);
	ck_assert_msg(book_create(book, r, &hand, &arena, &kept, &repeat, &err) == ERR_NONE, "%s",
		      err.items[0].message);
	ck_assert_int_eq(store_commit(store, &err), ERR_NONE);
	arena_release(&arena);
}

/* While requests keep coming nobody is idle; the log must be cut back all the same. */
START_TEST(log_stays_short_without_a_quiet_moment)
{
	int longest = 0;

	for (int i = 0; i < 600; i++) {
		write_group(i, 20000);
		upkeep_step(&upkeep, false, 10);
		longest = store_log_pages(store) > longest ? store_log_pages(store) : longest;
	}
	/* 600 groups of 6 pages and more: without checkpoints over 3,600. */
	ck_assert_int_ge(longest, 512);
	ck_assert_int_le(longest, 2048);
}
END_TEST

START_TEST(quiet_moment_empties_the_log)
{
	write_group(1, 100);
	ck_assert(upkeep_step(&upkeep, false, 10)); /* there is something to settle */
	for (int i = 0; i < 50 && upkeep_step(&upkeep, true, 10); i++)
		;
	ck_assert(!upkeep.unsettled);
	ck_assert_int_gt(store_log_pages(store), 0);
	upkeep_step(&upkeep, true, 12);
	ck_assert_int_gt(store_log_pages(store), 0);
	upkeep_step(&upkeep, true, 20);
	ck_assert_int_eq(store_log_pages(store), 0);
	ck_assert(!upkeep.dirty);
}
END_TEST

START_TEST(idle_and_nothing_to_do_costs_no_commit)
{
	int64_t version;

	for (int i = 0; i < 50; i++)
		upkeep_step(&upkeep, true, 10 + i);
	version = store_version(store);
	for (int i = 0; i < 50; i++)
		ck_assert(!upkeep_step(&upkeep, true, 100 + i));
	ck_assert_int_eq(store_version(store), version);
	ck_assert_int_eq(store_log_pages(store), 0);
}
END_TEST

START_TEST(before_it_ends_all_is_in_the_file)
{
	write_group(1, 100);
	upkeep_step(&upkeep, false, 10);
	upkeep_finish(&upkeep);
	ck_assert_int_eq(store_log_pages(store), 0);
	ck_assert(!book_settle(book));
}
END_TEST

START_TEST(entries_stop_below_the_floor_and_come_back_above_it)
{
	ck_assert(!upkeep_disk_is_full(64, false));
	ck_assert(upkeep_disk_is_full(63, false));
	ck_assert(upkeep_disk_is_full(0, false));
	/* Not to and fro with each entry. */
	ck_assert(upkeep_disk_is_full(64, true));
	ck_assert(upkeep_disk_is_full(79, true));
	ck_assert(!upkeep_disk_is_full(80, true));
}
END_TEST

static Suite *jobs_suite(void)
{
	Suite *suite = suite_create("jobs");
	TCase *t = tcase_create("upkeep");

	tcase_set_timeout(t, 60);
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_test(t, log_stays_short_without_a_quiet_moment);
	tcase_add_test(t, quiet_moment_empties_the_log);
	tcase_add_test(t, idle_and_nothing_to_do_costs_no_commit);
	tcase_add_test(t, before_it_ends_all_is_in_the_file);
	tcase_add_test(t, entries_stop_below_the_floor_and_come_back_above_it);
	suite_add_tcase(suite, t);
	return suite;
}

int main(void)
{
	static Suite *(*const suites[])(void) = {
		jobs_suite,
		alarm_jobs_suite,
		NULL,
	};

	return run_suites(suites);
}

/* A disk that takes no more, and a transaction that SQLite has undone by itself. */
#include <signal.h>
#include <sqlite3.h>
#include <sys/resource.h>
#include <sys/stat.h>

#include "model/kinds.h"
#include "store/internal.h"
#include "store_tests.h"

static void run_sql(const char *sql)
{
	ck_assert_int_eq(sqlite3_exec(st->db, sql, NULL, NULL, NULL), SQLITE_OK);
}

static struct record *feeding(int64_t tank, int64_t feed, uint64_t key)
{
	struct record *r = record_new(&feedings_kind, &arena);

	record_set_int(r, "tank_id", tank);
	record_set_int(r, "feed_id", feed);
	record_set_real(r, "amount_g", 100);
	record_set_int(r, "day", 19700);
	r->key = sample_key(key);
	r->version = 1;
	return r;
}

START_TEST(a_full_file_is_said_and_reading_goes_on)
{
	enum err_code rc = ERR_NONE;
	int64_t tank, feed;

	ck_ok(store_begin(st, &err));
	tank = keep_tank("T1");
	feed = keep_feed("A");
	ck_ok(store_commit(st, &err));
	run_sql("PRAGMA max_page_count = 1"); /* no less than it has: the file cannot grow */
	ck_ok(store_begin(st, &err));
	for (uint64_t i = 0; i < 10000 && !rc; i++)
		rc = store_insert(st, feeding(tank, feed, 1000 + i), sample_fingerprint, &err);
	ck_refused(rc, ERR_UNAVAILABLE, "disk_full");
	store_rollback(st);
	ck_assert_int_eq(count_rows(all_of(&feedings_kind)), 0);
	run_sql("PRAGMA max_page_count = 1000000");
	ck_ok(store_begin(st, &err));
	ck_ok(store_insert(st, feeding(tank, feed, 20000), sample_fingerprint, &err));
	ck_ok(store_commit(st, &err));
}
END_TEST

/* What SQLite does on its own on some faults, done by hand here. */
START_TEST(nothing_is_written_after_sqlite_undid_the_transaction)
{
	int64_t before = store_version(st);
	struct record *r = record_new(&feeds_kind, &arena);

	record_set_text(r, "name", "B");
	record_set_real(r, "protein_pct", 38);
	r->key = sample_key(77);
	ck_ok(store_begin(st, &err));
	keep_feed("A");
	run_sql("ROLLBACK");
	ck_refused(store_insert(st, r, sample_fingerprint, &err), ERR_UNAVAILABLE, "undone");
	r->id = 1;
	ck_refused(store_update(st, r, &err), ERR_UNAVAILABLE, "undone");
	ck_refused(store_run_ints(st, Q_NOTE_RECEIVED_AT, &err, ":received_at", INT64_C(7), NULL),
		   ERR_UNAVAILABLE, "undone");
	ck_refused(store_savepoint(st, &err), ERR_UNAVAILABLE, "undone");
	ck_refused(store_commit(st, &err), ERR_UNAVAILABLE, "undone");
	ck_assert_int_eq(count_rows(all_of(&feeds_kind)), 0);
	ck_assert_int_eq(store_version(st), before);

	ck_ok(store_begin(st, &err)); /* the next transaction is as ever */
	keep_feed("C");
	ck_ok(store_commit(st, &err));
	ck_assert_int_eq(count_rows(all_of(&feeds_kind)), 1);
}
END_TEST

START_TEST(undoing_a_savepoint_of_a_lost_transaction_is_safe)
{
	ck_ok(store_begin(st, &err));
	ck_ok(store_savepoint(st, &err));
	keep_feed("A");
	run_sql("ROLLBACK");
	store_undo(st);
	ck_refused(store_savepoint(st, &err), ERR_UNAVAILABLE, "undone");
	store_rollback(st);
	ck_assert_int_eq(count_rows(all_of(&feeds_kind)), 0);
}
END_TEST

/* The log cannot grow: commits fail, what was committed before stays, and later it goes on. */
START_TEST(a_disk_that_takes_no_more_loses_nothing_committed)
{
	const char *path = path_to("a.db");
	struct rlimit old, low;
	struct stat log;
	int64_t kept = 0;
	enum err_code rc = ERR_NONE;

	store_close(st);
	ck_ok(store_open(path, STORE_WRITE, &st, &err));
	ck_ok(store_begin(st, &err));
	keep_feed("First");
	ck_ok(store_commit(st, &err));
	signal(SIGXFSZ, SIG_IGN);
	ck_assert_int_eq(stat(arena_printf(&arena, "%s-wal", path), &log), 0);
	ck_assert_int_eq(getrlimit(RLIMIT_FSIZE, &old), 0);
	low = old;
	low.rlim_cur = (rlim_t)log.st_size + 100000;
	ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &low), 0);
	for (int i = 0; i < 1000 && !rc; i++) {
		rc = store_begin(st, &err);
		if (!rc)
			keep_feed(arena_printf(&arena, "Feed %d", i));
		if (!rc)
			rc = store_commit(st, &err);
		kept += !rc;
	}
	ck_assert_int_eq(rc, ERR_UNAVAILABLE);
	ck_assert_msg(err_has(&err, "io_error") || err_has(&err, "disk_full"), "%s",
		      err.items[0].code);
	err_clear(&err);
	ck_assert_int_eq(count_rows(all_of(&feeds_kind)), kept + 1);
	ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &old), 0);
	ck_ok(store_begin(st, &err));
	keep_feed("Last");
	ck_ok(store_commit(st, &err));
	store_close(st);
	ck_ok(store_open(path, STORE_WRITE, &st, &err));
	/* the commit that failed may have come back: its result was not known (io_error) */
	int64_t now = count_rows(all_of(&feeds_kind));
	ck_assert(now == kept + 2 || now == kept + 3);
}
END_TEST

static void tear_down_all(void)
{
	tear_down();
	tear_down_folder();
}

Suite *fault_suite(void)
{
	Suite *s = suite_create("fault");
	TCase *c = tcase_create("faults");

	tcase_add_checked_fixture(c, set_up_idle, tear_down_all);
	tcase_add_test(c, a_full_file_is_said_and_reading_goes_on);
	tcase_add_test(c, nothing_is_written_after_sqlite_undid_the_transaction);
	tcase_add_test(c, undoing_a_savepoint_of_a_lost_transaction_is_safe);
	tcase_add_test(c, a_disk_that_takes_no_more_loses_nothing_committed);
	suite_add_tcase(s, c);
	return s;
}

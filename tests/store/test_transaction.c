/* Transactions, savepoints and the record's version. */
#include "model/kinds.h"
#include "store_tests.h"

static int64_t feeds(void)
{
	return count_rows(all_of(&feeds_kind));
}

START_TEST(the_version_grows_by_one_with_a_commit_that_changed_something)
{
	int64_t before = store_version(st);

	ck_ok(store_begin(st, &err));
	keep_feed("A");
	keep_feed("B");
	ck_ok(store_commit(st, &err));
	ck_assert_int_eq(store_version(st), before + 1);
}
END_TEST

START_TEST(the_version_stays_when_nothing_was_changed)
{
	int64_t before = store_version(st);

	ck_ok(store_begin(st, &err));
	feeds();
	ck_ok(store_commit(st, &err));
	ck_assert_int_eq(store_version(st), before);

	ck_ok(store_begin(st, &err));
	keep_feed("A");
	store_rollback(st);
	ck_assert_int_eq(store_version(st), before);
}
END_TEST

START_TEST(what_a_savepoint_undid_does_not_count)
{
	int64_t before = store_version(st);

	ck_ok(store_begin(st, &err));
	ck_ok(store_savepoint(st, &err));
	keep_feed("A");
	ck_ok(store_savepoint(st, &err));
	keep_feed("B");
	store_undo(st);
	keep_feed("C");
	store_undo(st);
	ck_assert_int_eq(feeds(), 0);
	ck_ok(store_commit(st, &err));
	ck_assert_int_eq(store_version(st), before);
}
END_TEST

START_TEST(savepoints_stand_in_each_other)
{
	int64_t before = store_version(st);

	ck_ok(store_begin(st, &err));
	for (int deep = 0; deep < 4; deep++) {
		ck_ok(store_savepoint(st, &err));
		keep_feed(arena_printf(&arena, "Feed %d", deep));
	}
	store_undo(st);
	ck_ok(store_release(st, &err));
	store_undo(st);
	ck_ok(store_release(st, &err));
	ck_assert_int_eq(feeds(), 1);
	ck_ok(store_commit(st, &err));
	ck_assert_int_eq(feeds(), 1);
	ck_assert_int_eq(store_version(st), before + 1);
}
END_TEST

START_TEST(a_refused_row_leaves_no_part_behind)
{
	struct record *r = record_new(&tanks_kind, &arena);
	struct key_row row;

	ck_ok(store_begin(st, &err));
	int64_t tank = keep_tank("T1");
	ck_ok(store_savepoint(st, &err));
	record_set_text(r, "code", "T1");
	record_set_int(r, "loop_id", tank - 1);
	record_set_real(r, "volume_l", 1);
	r->key = sample_key(77);
	r->version = 1;
	ck_refused(store_insert(st, r, sample_fingerprint, &err), ERR_CONFLICT, "taken_code");
	store_undo(st);
	ck_ok(store_commit(st, &err));
	ck_assert_int_eq(store_find_key(st, &r->key, &row, &err), ERR_NOT_FOUND);
	ck_assert_int_eq(count_rows(all_of(&tanks_kind)), 1);
}
END_TEST

START_TEST(a_reference_must_lead_somewhere)
{
	int64_t feed;
	struct record *r = record_new(&feedings_kind, &arena);

	ck_ok(store_begin(st, &err));
	feed = keep_feed("A");
	record_set_int(r, "tank_id", 4711);
	record_set_int(r, "feed_id", feed);
	record_set_real(r, "amount_g", 1);
	record_set_int(r, "day", 19700);
	r->key = sample_key(77);
	ck_refused(store_insert(st, r, sample_fingerprint, &err), ERR_CONFLICT,
		   "unknown_reference");
}
END_TEST

/* A reader keeps its snapshot while the writer commits, and sees the commit afterwards. */
START_TEST(a_reader_stands_still_in_its_transaction)
{
	struct store *writer = NULL, *reader = NULL;
	const char *path = path_to("a.db");
	int64_t before;

	store_close(st);
	ck_ok(store_open(path, STORE_WRITE, &writer, &err));
	ck_ok(store_open(path, STORE_READ, &reader, &err));
	st = reader;
	ck_ok(store_begin(reader, &err));
	before = store_version(reader);
	st = writer;
	ck_ok(store_begin(writer, &err));
	keep_feed("A");
	ck_ok(store_commit(writer, &err));
	store_checkpoint(writer);
	st = reader;
	ck_assert_int_eq(store_version(writer), before + 1);
	ck_assert_int_eq(store_version(reader), before);
	ck_assert_int_eq(feeds(), 0);
	ck_ok(store_commit(reader, &err));
	ck_assert_int_eq(store_version(reader), before + 1);
	ck_assert_int_eq(feeds(), 1);
	store_close(reader);
	st = writer;
}
END_TEST

START_TEST(a_second_writer_waits_its_turn_or_is_told)
{
	struct store *other = NULL;
	const char *path = path_to("a.db");

	store_close(st);
	ck_ok(store_open(path, STORE_WRITE, &st, &err));
	ck_ok(store_open(path, STORE_WRITE, &other, &err));
	ck_ok(store_begin(st, &err));
	ck_refused(store_begin(other, &err), ERR_UNAVAILABLE, "busy");
	ck_ok(store_commit(st, &err));
	ck_ok(store_begin(other, &err));
	store_rollback(other);
	store_close(other);
}
END_TEST

START_TEST(the_version_outlives_the_program)
{
	const char *path = path_to("a.db");
	int64_t version;

	store_close(st);
	ck_ok(store_open(path, STORE_WRITE, &st, &err));
	for (int i = 0; i < 3; i++) {
		ck_ok(store_begin(st, &err));
		keep_feed(arena_printf(&arena, "Feed %d", i));
		ck_ok(store_commit(st, &err));
	}
	version = store_version(st);
	store_close(st);
	ck_ok(store_open(path, STORE_WRITE, &st, &err));
	ck_assert_int_eq(store_version(st), version);
	ck_assert_int_eq(feeds(), 3);
}
END_TEST

static void tear_down_all(void)
{
	tear_down();
	tear_down_folder();
}

Suite *transaction_suite(void)
{
	Suite *s = suite_create("transaction");
	TCase *c = tcase_create("transactions");

	tcase_add_checked_fixture(c, set_up_idle, tear_down_all);
	tcase_set_timeout(c, 20);
	tcase_add_test(c, the_version_grows_by_one_with_a_commit_that_changed_something);
	tcase_add_test(c, the_version_stays_when_nothing_was_changed);
	tcase_add_test(c, what_a_savepoint_undid_does_not_count);
	tcase_add_test(c, savepoints_stand_in_each_other);
	tcase_add_test(c, a_refused_row_leaves_no_part_behind);
	tcase_add_test(c, a_reference_must_lead_somewhere);
	tcase_add_test(c, a_reader_stands_still_in_its_transaction);
	tcase_add_test(c, a_second_writer_waits_its_turn_or_is_told);
	tcase_add_test(c, the_version_outlives_the_program);
	suite_add_tcase(s, c);
	return s;
}

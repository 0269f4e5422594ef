/* What becomes of a file: new, older, newer, damaged, none of ours; copies. */
#include <dirent.h>
#include <fcntl.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "model/kinds.h"
#include "store_tests.h"

struct bytes {
	char *text;
	size_t length;
};

static struct bytes read_file(const char *path)
{
	struct bytes b = { 0 };
	FILE *f = fopen(path, "rb");

	ck_assert_msg(f != NULL, "%s", path);
	fseek(f, 0, SEEK_END);
	b.length = (size_t)ftell(f);
	rewind(f);
	b.text = arena_alloc(&arena, b.length + 1);
	ck_assert_uint_eq(fread(b.text, 1, b.length, f), b.length);
	fclose(f);
	return b;
}

static void write_file(const char *path, const void *text, size_t length)
{
	FILE *f = fopen(path, "wb");

	ck_assert_ptr_nonnull(f);
	ck_assert_uint_eq(fwrite(text, 1, length, f), length);
	ck_assert_int_eq(fclose(f), 0);
}

static void ck_untouched(const char *path, struct bytes before)
{
	struct bytes after = read_file(path);

	ck_assert_uint_eq(after.length, before.length);
	ck_assert_mem_eq(after.text, before.text, before.length);
}

/* The file at path is refused in both modes with this code, and stays as it is. */
static void ck_file_refused(const char *path, const char *code)
{
	struct bytes before = read_file(path);
	struct store *none = NULL;

	for (int mode = STORE_WRITE; mode <= STORE_READ; mode++) {
		ck_refused(store_open(path, (enum store_mode)mode, &none, &err), ERR_UNAVAILABLE,
			   code);
		ck_assert_ptr_null(none);
		ck_untouched(path, before);
	}
}

static void run_sql(const char *path, const char *sql)
{
	sqlite3 *db = NULL;
	char *text = NULL;

	ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
	int rc = sqlite3_exec(db, sql, NULL, NULL, &text);
	ck_assert_msg(rc == SQLITE_OK, "%s", text ? text : "");
	sqlite3_close(db);
}

/* A record with some rows, closed. */
static const char *a_record(const char *name)
{
	const char *path = path_to(name);

	ck_ok(store_open(path, STORE_WRITE, &st, &err));
	ck_ok(store_begin(st, &err));
	int64_t tank = keep_tank("T1"), feed = keep_feed("Sinking 3 mm");
	for (int i = 0; i < 200; i++)
		keep_feeding(tank, feed, 1700000000 + i, 10 + i);
	ck_ok(store_commit(st, &err));
	store_close(st);
	st = NULL;
	return path;
}

static void ck_whole(struct store *store)
{
	extern void note_finding(const char *text, void *with);
	int findings = 0;

	ck_ok(store_check(store, false, note_finding, &findings, &err));
	ck_assert_int_eq(findings, 0);
}

void note_finding(const char *text, void *with)
{
	ck_assert_uint_gt(strlen(text), 0);
	++*(int *)with;
}

static int64_t user_version(const char *path)
{
	sqlite3 *db = NULL;
	sqlite3_stmt *s = NULL;

	ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
	sqlite3_prepare_v2(db, "PRAGMA user_version", -1, &s, NULL);
	ck_assert_int_eq(sqlite3_step(s), SQLITE_ROW);
	int64_t v = sqlite3_column_int64(s, 0);
	sqlite3_finalize(s);
	sqlite3_close(db);
	return v;
}

START_TEST(a_new_file_is_made_whole_and_leaves_nothing_beside_it)
{
	const char *path = path_to("a.db");

	ck_ok(store_open(path, STORE_WRITE, &st, &err));
	ck_whole(st);
	store_close(st);
	st = NULL;
	ck_assert_int_eq(user_version(path), store_schema_version());
	ck_assert_int_ne(access(path_to("a.db.new"), F_OK), 0);
	ck_assert_int_ne(access(path_to("a.db-wal"), F_OK), 0);
}
END_TEST

START_TEST(what_a_start_cut_short_left_is_made_anew)
{
	const char *path = path_to("a.db");

	write_file(path_to("a.db.new"), "half", 4);
	ck_ok(store_open(path, STORE_WRITE, &st, &err));
	ck_whole(st);
}
END_TEST

START_TEST(a_reader_makes_no_file)
{
	const char *path = path_to("none.db");
	struct store *none = NULL;

	ck_refused(store_open(path, STORE_READ, &none, &err), ERR_UNAVAILABLE, "file_missing");
	ck_assert_int_ne(access(path, F_OK), 0);
}
END_TEST

START_TEST(a_folder_that_does_not_exist_is_said)
{
	struct store *none = NULL;

	ck_refused(store_open(path_to("no/such/a.db"), STORE_WRITE, &none, &err), ERR_UNAVAILABLE,
		   "file_unreadable");
}
END_TEST

/* A file as each earlier schema made it is brought to the newest, with what is in it. */
START_TEST(every_earlier_schema_is_brought_up_to_date)
{
	const char *path = path_to("old.db");
	struct record *farm = NULL;

	for (int i = 0; i <= _i; i++)
		run_sql(path, migrations[i].text);
	run_sql(path, arena_printf(&arena,
				   "PRAGMA application_id = 22338; PRAGMA user_version = %d;"
				   "UPDATE farm SET name = 'Sedge Bend' WHERE id = 1;",
				   migrations[_i].number));
	ck_ok(store_open(path, STORE_WRITE, &st, &err));
	ck_whole(st);
	ck_ok(store_get(st, &farm_kind, 1, &arena, &farm, &err));
	ck_assert_str_eq(record_text(farm, "name"), "Sedge Bend");
	store_close(st);
	st = NULL;
	ck_assert_int_eq(user_version(path), store_schema_version());
}
END_TEST

/* Files of released programs, one a schema, are kept in fixtures/old-db. */
START_TEST(every_file_of_a_released_program_opens)
{
	const char *source = getenv("srcdir");
	const char *folder = arena_printf(&arena, "%s/fixtures/old-db", source ? source : ".");
	DIR *d = opendir(folder);
	struct dirent *entry;

	while (d && (entry = readdir(d))) {
		if (!strstr(entry->d_name, ".db"))
			continue;
		struct bytes b = read_file(arena_printf(&arena, "%s/%s", folder, entry->d_name));
		const char *path = path_to(entry->d_name);
		write_file(path, b.text, b.length);
		ck_ok(store_open(path, STORE_WRITE, &st, &err));
		ck_whole(st);
		store_close(st);
		st = NULL;
	}
	if (d)
		closedir(d);
}
END_TEST

START_TEST(an_older_program_refuses_a_newer_file)
{
	const char *path = a_record("a.db");

	run_sql(path, arena_printf(&arena, "PRAGMA user_version = %d", store_schema_version() + 1));
	ck_file_refused(path, "file_newer");
}
END_TEST

START_TEST(a_reader_refuses_an_older_file)
{
	const char *path = path_to("old.db");
	struct store *none = NULL;

	if (store_schema_version() == 1) /* then nothing older is ours: see user_version 0 below */
		return;
	run_sql(path, migrations[0].text);
	run_sql(path, "PRAGMA application_id = 22338; PRAGMA user_version = 1");
	struct bytes before = read_file(path);
	ck_refused(store_open(path, STORE_READ, &none, &err), ERR_UNAVAILABLE, "file_older");
	ck_untouched(path, before);
}
END_TEST

START_TEST(a_file_of_another_program_is_refused)
{
	const char *path = path_to("other.db");

	run_sql(path, "CREATE TABLE feedings (id INTEGER PRIMARY KEY); PRAGMA user_version = 1");
	ck_file_refused(path, "file_unreadable");
}
END_TEST

START_TEST(a_file_that_is_no_database_is_refused)
{
	const char *path = path_to("letter.db");
	static const char text[] = "Dear all, this is a letter and no record.  It is long enough "
				   "to be taken for a header by a hasty reader, though it is none.";

	write_file(path, text, sizeof(text) - 1);
	ck_file_refused(path, "file_unreadable");
}
END_TEST

START_TEST(an_empty_file_is_refused_not_filled)
{
	const char *path = path_to("empty.db");

	write_file(path, "", 0);
	ck_file_refused(path, "file_damaged");
}
END_TEST

START_TEST(a_file_cut_short_is_refused)
{
	static const size_t keep_sixteenths[] = { 1, 4, 8, 15 };
	const char *path = a_record("a.db");
	struct bytes whole = read_file(path);

	write_file(path, whole.text, whole.length * keep_sixteenths[_i] / 16 / 4096 * 4096 + 100);
	ck_file_refused(path, "file_damaged");
}
END_TEST

START_TEST(a_file_with_its_first_page_overwritten_is_refused)
{
	const char *path = a_record("a.db");
	struct bytes b = read_file(path);

	memset(b.text + 100, 0xA5, 3000); /* behind the header: the schema */
	write_file(path, b.text, b.length);
	ck_file_refused(path, "file_damaged");
}
END_TEST

START_TEST(a_header_of_zeros_is_refused)
{
	const char *path = a_record("a.db");
	struct bytes b = read_file(path);

	memset(b.text, 0, 100);
	write_file(path, b.text, b.length);
	ck_file_refused(path, "file_unreadable");
}
END_TEST

/* Damage further in is for the check, which must see it. */
START_TEST(the_check_finds_damage_inside)
{
	const char *path = a_record("a.db");
	struct bytes b = read_file(path);
	int findings = 0;

	for (size_t page = 150; page + 1 < b.length / 4096; page++)
		memset(b.text + page * 4096 + 8, 0xFF, 64);
	write_file(path, b.text, b.length);
	enum err_code rc = store_open(path, STORE_READ, &st, &err);
	if (rc == ERR_NONE) {
		ck_ok(store_check(st, _i, note_finding, &findings, &err));
		ck_assert_int_gt(findings, 0);
	} else {
		ck_assert(err_has(&err, "file_damaged"));
	}
	ck_untouched(path, b);
}
END_TEST

START_TEST(the_check_finds_a_reference_that_leads_nowhere)
{
	const char *path = a_record("a.db");
	int findings = 0;

	run_sql(path, "PRAGMA foreign_keys = OFF; UPDATE feedings SET feed_id = 4711 WHERE id = 5");
	ck_ok(store_open(path, STORE_READ, &st, &err));
	ck_ok(store_check(st, true, note_finding, &findings, &err));
	ck_assert_int_eq(findings, 1);
}
END_TEST

START_TEST(a_reader_cannot_write)
{
	const char *path = a_record("a.db");
	struct record *r = record_new(&feeds_kind, &arena);

	ck_ok(store_open(path, STORE_READ, &st, &err));
	struct bytes before = read_file(path);
	record_set_text(r, "name", "A");
	record_set_real(r, "protein_pct", 1);
	r->key = sample_key(400);
	ck_ok(store_begin(st, &err));
	ck_refused(store_insert(st, r, sample_fingerprint, &err), ERR_UNAVAILABLE, "read_only");
	ck_ok(store_commit(st, &err));
	ck_untouched(path, before);
}
END_TEST

START_TEST(a_killed_program_loses_no_commit)
{
	const char *path = a_record("a.db");
	const char *left = path_to("left.db");
	struct bytes file, log;

	ck_ok(store_open(path, STORE_WRITE, &st, &err));
	ck_ok(store_begin(st, &err));
	keep_feed("Another");
	ck_ok(store_commit(st, &err));
	/* what stands on the disk at this moment, log included */
	file = read_file(path);
	log = read_file(path_to("a.db-wal"));
	store_close(st);
	st = NULL;
	write_file(left, file.text, file.length);
	write_file(path_to("left.db-wal"), log.text, log.length);
	ck_ok(store_open(left, STORE_WRITE, &st, &err));
	ck_assert_int_eq(count_rows(all_of(&feeds_kind)), 2);
	ck_whole(st);
}
END_TEST

/* What a refused file has in its log stays there: it belongs to the program that can read it. */
START_TEST(a_refused_file_keeps_its_log)
{
	const char *path = a_record("a.db");
	const char *left = path_to("left.db"), *left_log = path_to("left.db-wal");
	struct bytes file, log;
	sqlite3 *db = NULL;

	ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
	ck_assert_int_eq(sqlite3_exec(db, "PRAGMA user_version = 1000", NULL, NULL, NULL),
			 SQLITE_OK);
	file = read_file(path);
	log = read_file(path_to("a.db-wal"));
	ck_assert_uint_gt(log.length, 0);
	sqlite3_close(db);
	write_file(left, file.text, file.length);
	write_file(left_log, log.text, log.length);
	ck_file_refused(left, "file_newer");
	ck_untouched(left_log, log);
}
END_TEST

START_TEST(a_copy_is_whole_and_the_same)
{
	const char *path = a_record("a.db");
	const char *copy = path_to("copy.db");
	int64_t version;

	ck_ok(store_open(path, (enum store_mode)_i, &st, &err));
	version = store_version(st);
	ck_ok(store_copy(st, copy, &err));
	ck_assert_int_ne(access(path_to("copy.db.new"), F_OK), 0);
	store_close(st);
	ck_ok(store_open(copy, STORE_READ, &st, &err));
	ck_whole(st);
	ck_assert_int_eq(store_version(st), version);
	ck_assert_int_eq(count_rows(all_of(&feedings_kind)), 200);
}
END_TEST

START_TEST(a_reader_that_copied_is_still_a_reader)
{
	const char *path = a_record("a.db");
	struct record *r = record_new(&feeds_kind, &arena);

	ck_ok(store_open(path, STORE_READ, &st, &err));
	ck_ok(store_copy(st, path_to("copy.db"), &err));
	record_set_text(r, "name", "A");
	record_set_real(r, "protein_pct", 1);
	r->key = sample_key(400);
	ck_refused(store_insert(st, r, sample_fingerprint, &err), ERR_UNAVAILABLE, "read_only");
}
END_TEST

START_TEST(a_copy_replaces_no_file)
{
	const char *path = a_record("a.db");
	const char *taken = path_to("taken.db");

	write_file(taken, "mine", 4);
	ck_ok(store_open(path, STORE_READ, &st, &err));
	ck_refused(store_copy(st, taken, &err), ERR_CONFLICT, "file_exists");
	ck_untouched(taken, (struct bytes){ (char *)(uintptr_t) "mine", 4 });
	ck_refused(store_copy(st, path_to("no/such/copy.db"), &err), ERR_UNAVAILABLE,
		   "file_unreadable");
}
END_TEST

static void begin(void)
{
	err_clear(&err);
	arena_init(&arena);
}

static void end(void)
{
	tear_down_folder();
	tear_down();
}

Suite *file_suite(void)
{
	Suite *s = suite_create("file");
	TCase *c = tcase_create("files");

	tcase_add_checked_fixture(c, begin, end);
	tcase_set_timeout(c, 30);
	tcase_add_test(c, a_new_file_is_made_whole_and_leaves_nothing_beside_it);
	tcase_add_test(c, what_a_start_cut_short_left_is_made_anew);
	tcase_add_test(c, a_reader_makes_no_file);
	tcase_add_test(c, a_folder_that_does_not_exist_is_said);
	tcase_add_loop_test(c, every_earlier_schema_is_brought_up_to_date, 0, MIGRATIONS_MAX);
	tcase_add_test(c, every_file_of_a_released_program_opens);
	tcase_add_test(c, an_older_program_refuses_a_newer_file);
	tcase_add_test(c, a_reader_refuses_an_older_file);
	tcase_add_test(c, a_file_of_another_program_is_refused);
	tcase_add_test(c, a_file_that_is_no_database_is_refused);
	tcase_add_test(c, an_empty_file_is_refused_not_filled);
	tcase_add_loop_test(c, a_file_cut_short_is_refused, 0, 4);
	tcase_add_test(c, a_file_with_its_first_page_overwritten_is_refused);
	tcase_add_test(c, a_header_of_zeros_is_refused);
	tcase_add_loop_test(c, the_check_finds_damage_inside, 0, 2);
	tcase_add_test(c, the_check_finds_a_reference_that_leads_nowhere);
	tcase_add_test(c, a_reader_cannot_write);
	tcase_add_test(c, a_killed_program_loses_no_commit);
	tcase_add_test(c, a_refused_file_keeps_its_log);
	tcase_add_loop_test(c, a_copy_is_whole_and_the_same, STORE_WRITE, STORE_READ + 1);
	tcase_add_test(c, a_reader_that_copied_is_still_a_reader);
	tcase_add_test(c, a_copy_replaces_no_file);
	suite_add_tcase(s, c);
	return s;
}

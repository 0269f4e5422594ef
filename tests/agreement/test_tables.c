/*
 * The dictionary (server/model) and the tables that the migrations make agree: every field has its column
 * and every column its field, with the right type, NOT NULL where a value is required, and a foreign key
 * where the field is a reference.
 */
#include <sqlite3.h>
#include <string.h>

#include "agreement_tests.h"
#include "base/arena.h"
#include "model/kinds.h"
#include "store/store.h"

static sqlite3 *db;
static struct arena arena;

/* The tables as the migrations alone make them; once for all tests, which only read. */
static void set_up(void)
{
	arena_init(&arena);
	ck_assert_int_eq(sqlite3_open(":memory:", &db), SQLITE_OK);
	for (int i = 0; i < MIGRATIONS_MAX; i++) {
		char *text = NULL;
		int rc = sqlite3_exec(db, migrations[i].text, NULL, NULL, &text);

		ck_assert_msg(rc == SQLITE_OK, "%s: %s", migrations[i].name, text ? text : "");
	}
}

static void tear_down(void)
{
	sqlite3_close(db);
	arena_release(&arena);
}

static sqlite3_stmt *ask(const char *sql, const char *table)
{
	sqlite3_stmt *s = NULL;

	ck_assert_msg(sqlite3_prepare_v2(db, sql, -1, &s, NULL) == SQLITE_OK, "%s",
		      sqlite3_errmsg(db));
	sqlite3_bind_text(s, 1, table, -1, SQLITE_TRANSIENT);
	return s;
}

struct column {
	char type[16];
	bool not_null;
};

static bool find_column(const char *table, const char *name, struct column *out)
{
	sqlite3_stmt *s =
		ask("SELECT type, \"notnull\" FROM pragma_table_info(?1) WHERE name = ?2", table);
	bool found;

	sqlite3_bind_text(s, 2, name, -1, SQLITE_STATIC);
	found = sqlite3_step(s) == SQLITE_ROW;
	if (found) {
		sqlite3_snprintf(sizeof(out->type), out->type, "%s", sqlite3_column_text(s, 0));
		out->not_null = sqlite3_column_int(s, 1);
	}
	sqlite3_finalize(s);
	return found;
}

/* The table that column refers to, or NULL; *action is what it does on delete. */
static const char *foreign_table(const char *table, const char *column, const char **action)
{
	sqlite3_stmt *s =
		ask("SELECT \"table\", \"to\", on_delete FROM pragma_foreign_key_list(?1) "
		    "WHERE \"from\" = ?2",
		    table);
	const char *to = NULL;

	sqlite3_bind_text(s, 2, column, -1, SQLITE_STATIC);
	if (sqlite3_step(s) == SQLITE_ROW) {
		ck_assert_str_eq((const char *)sqlite3_column_text(s, 1), "id");
		to = arena_strdup(&arena, (const char *)sqlite3_column_text(s, 0));
		*action = arena_strdup(&arena, (const char *)sqlite3_column_text(s, 2));
	}
	sqlite3_finalize(s);
	return to;
}

/* Where a field's column is: kinds of place keep what all places have in places. */
static const char *table_of(const struct kind *k, size_t i)
{
	const bool own = i < k->n_fields && !k->fields[i].in_place;

	return k->is_place && !own ? places_kind.table : k->table;
}

static const char *type_of(const struct field *f)
{
	switch (field_value_type(f)) {
	case VALUE_INT:
		return "INTEGER";
	case VALUE_REAL:
		return "REAL";
	default:
		return "TEXT";
	}
}

START_TEST(every_field_has_its_column)
{
	const struct kind *k = kinds[_i];

	for (size_t i = 0; i < kind_field_count(k); i++) {
		const struct field *f = kind_field(k, i);
		struct column c;

		ck_assert_msg(find_column(table_of(k, i), f->name, &c), "%s has no column %s",
			      table_of(k, i), f->name);
		ck_assert_msg(strcmp(c.type, type_of(f)) == 0, "%s.%s is %s", k->table, f->name,
			      c.type);
		ck_assert_msg(!f->required || c.not_null, "%s.%s may be NULL", k->table, f->name);
	}
}
END_TEST

/* NOT NULL although the dictionary does not require it of a client: the service sets these. */
static bool always_set(const char *column)
{
	static const char *const names[] = { "id", "key", "version", "instant", "day", "sort" };

	for (size_t i = 0; i < sizeof(names) / sizeof(names[0]); i++)
		if (strcmp(names[i], column) == 0)
			return true;
	return false;
}

/* Columns of a row itself, which no field describes. */
static bool is_row_column(const char *column)
{
	return always_set(column) && strcmp(column, "day") != 0 && strcmp(column, "sort") != 0;
}

START_TEST(every_column_has_its_field)
{
	const struct kind *k = kinds[_i];
	sqlite3_stmt *s = ask("SELECT name, \"notnull\" FROM pragma_table_info(?1)", k->table);
	int columns = 0;

	while (sqlite3_step(s) == SQLITE_ROW) {
		const char *name = (const char *)sqlite3_column_text(s, 0);
		size_t i = kind_field_index(k, name);

		columns++;
		if (is_row_column(name))
			continue;
		ck_assert_msg(i != SIZE_MAX, "%s.%s is no field", k->table, name);
		ck_assert_msg(strcmp(table_of(k, i), k->table) == 0, "%s.%s stands twice", k->table,
			      name);
		if (sqlite3_column_int(s, 1))
			ck_assert_msg(kind_field(k, i)->required || always_set(name),
				      "%s.%s must be given, but is not required", k->table, name);
	}
	sqlite3_finalize(s);
	ck_assert_int_gt(columns, 0);
}
END_TEST

START_TEST(every_reference_is_a_foreign_key)
{
	const struct kind *k = kinds[_i];

	for (size_t i = 0; i < kind_field_count(k); i++) {
		const struct field *f = kind_field(k, i);
		const char *action = NULL;
		const char *to = foreign_table(table_of(k, i), f->name, &action);

		if (f->kind != KIND_REFERENCE) {
			ck_assert_msg(!to, "%s.%s is no reference", k->table, f->name);
			continue;
		}
		ck_assert_msg(to != NULL, "%s.%s has no foreign key", k->table, f->name);
		ck_assert_msg(kind_find(f->refers_to) != NULL, "%s.%s refers to %s", k->table,
			      f->name, f->refers_to);
		ck_assert_str_eq(to, kind_find(f->refers_to)->table);
		ck_assert_str_eq(action, "RESTRICT");
	}
}
END_TEST

START_TEST(a_place_shares_its_id_with_places)
{
	const struct kind *k = kinds[_i];
	const char *action = NULL;

	if (!k->is_place || k == &places_kind)
		return;
	const char *to = foreign_table(k->table, "id", &action);
	ck_assert_ptr_nonnull(to);
	ck_assert_str_eq(to, "places");
	ck_assert_str_eq(action, "RESTRICT");
}
END_TEST

START_TEST(a_row_has_what_every_row_has)
{
	const struct kind *k = kinds[_i];
	const char *table = k->is_place ? places_kind.table : k->table;
	struct column c;

	if (k == &readings_kind)
		return;
	ck_assert(find_column(table, "id", &c));
	ck_assert(find_column(table, "key", &c) && c.not_null);
	ck_assert_str_eq(c.type, "BLOB");
	ck_assert(find_column(table, "version", &c) && c.not_null);
	bool timed = k->class == CLASS_ENTRY && !k->is_line;
	ck_assert_int_eq(find_column(table, "instant", &c), timed);
	ck_assert(!timed || c.not_null);
	ck_assert(!timed || (find_column(table, "day", &c) && c.not_null));
}
END_TEST

START_TEST(names_are_held_by_an_index_and_codes_are_not)
{
	const struct kind *k = kinds[_i];
	bool has_name = false;
	sqlite3_stmt *s = ask("SELECT count(*) FROM pragma_index_list(?1) WHERE \"unique\" AND "
			      "origin = 'c'",
			      k->table);

	for (size_t i = 0; i < kind_field_count(k); i++)
		has_name = has_name || kind_field(k, i)->kind == KIND_NAME;
	ck_assert_int_eq(sqlite3_step(s), SQLITE_ROW);
	ck_assert_msg(sqlite3_column_int(s, 0) == has_name, "%s", k->table);
	sqlite3_finalize(s);
}
END_TEST

START_TEST(every_table_is_strict)
{
	sqlite3_stmt *s = ask("SELECT name FROM pragma_table_list WHERE schema = 'main' AND type = "
			      "'table' AND NOT strict AND name NOT LIKE 'sqlite_%'",
			      NULL);

	ck_assert_msg(sqlite3_step(s) == SQLITE_DONE, "%s", sqlite3_column_text(s, 0));
	sqlite3_finalize(s);
}
END_TEST

/* docs/rules.md: these would collide with members of a request or of the answer. */
START_TEST(no_field_has_a_reserved_name)
{
	static const char *const reserved[] = { "kind",   "id",     "key",     "from",
						"to",     "limit",  "after",   "order",
						"fields", "struck", "confirm", "queued" };
	const struct kind *k = kinds[_i];

	for (size_t i = 0; i < kind_field_count(k); i++)
		for (size_t j = 0; j < sizeof(reserved) / sizeof(reserved[0]); j++)
			ck_assert_str_ne(kind_field(k, i)->name, reserved[j]);
}
END_TEST

/* Within one kind a field stands once, own and common ones together. */
START_TEST(a_field_stands_once)
{
	const struct kind *k = kinds[_i];

	for (size_t i = 0; i < kind_field_count(k); i++)
		ck_assert_msg(kind_field_index(k, kind_field(k, i)->name) == i, "%s.%s", k->name,
			      kind_field(k, i)->name);
}
END_TEST

Suite *tables_suite(void)
{
	Suite *s = suite_create("tables");
	TCase *c = tcase_create("dictionary and tables");
	const int n = (int)kind_count();

	tcase_add_unchecked_fixture(c, set_up, tear_down);
	tcase_add_loop_test(c, every_field_has_its_column, 0, n);
	tcase_add_loop_test(c, every_column_has_its_field, 0, n);
	tcase_add_loop_test(c, every_reference_is_a_foreign_key, 0, n);
	tcase_add_loop_test(c, a_place_shares_its_id_with_places, 0, n);
	tcase_add_loop_test(c, a_row_has_what_every_row_has, 0, n);
	tcase_add_loop_test(c, names_are_held_by_an_index_and_codes_are_not, 0, n);
	tcase_add_test(c, every_table_is_strict);
	tcase_add_loop_test(c, no_field_has_a_reserved_name, 0, n);
	tcase_add_loop_test(c, a_field_stands_once, 0, n);
	suite_add_tcase(s, c);
	return s;
}

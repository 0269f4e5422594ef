/* Every named statement prepares, and none reads a whole table of entries where an index could serve. */
#include <ctype.h>
#include <sqlite3.h>
#include <string.h>

#include "model/kinds.h"
#include "store/internal.h"
#include "store_tests.h"

/* Statements that must read every entry, and why; NULL-ended. */
static const struct {
	const char *name, *why;
} whole_tables[] = {
	{ "treatments_of_fish", "treatments are few, some tens a year" },
	{ "withdrawal_of_plants", "treatments are few, some tens a year" },
	{ "codes_on_hold", "holds are few, some tens a year" },
	{ NULL, NULL },
};

START_TEST(every_named_statement_prepares)
{
	struct stmt *s = NULL;

	enum err_code rc = store_query(st, (enum query)_i, &s, &err);
	ck_assert_msg(rc == ERR_NONE, "%s: %s", query_names[_i], sqlite3_errmsg(st->db));
	stmt_done(s);
}
END_TEST

static bool is_word(char c)
{
	return isalnum((unsigned char)c) || c == '_';
}

/* The next word at *p, copied; false at the end. */
static bool next_word(const char **p, char out[64])
{
	size_t n = 0;

	while (**p && !is_word(**p))
		(*p)++;
	while (is_word(**p) && n < 63)
		out[n++] = *(*p)++;
	out[n] = '\0';
	return n > 0;
}

/* Does sql call this table by this name: the table's own, or an alias behind it? */
static bool is_called(const char *sql, const char *table, const char *name)
{
	char word[64], next[64];
	const char *p = sql;

	while (next_word(&p, word)) {
		if (strcmp(word, table) != 0)
			continue;
		if (strcmp(name, table) == 0)
			return true;
		const char *after = p;
		if (next_word(&after, next) && sqlite3_stricmp(next, "AS") == 0)
			next_word(&after, next);
		if (strcmp(next, name) == 0)
			return true;
	}
	return false;
}

static bool is_entry_table(const char *sql, const char *name)
{
	for (size_t i = 0; kinds[i]; i++)
		if ((kinds[i]->class == CLASS_ENTRY || kinds[i] == &readings_kind ||
		     kinds[i] == &changes_kind) &&
		    is_called(sql, kinds[i]->table, name))
			return true;
	return is_called(sql, "keys", name) || is_called(sql, "codes", name);
}

/* A line of a plan that reads a whole entry table: "SCAN name" without an index, or to make an index of its
 * own on the way. */
static bool is_whole_scan(const char *sql, const char *detail)
{
	char verb[64], name[64];
	const char *p = detail;

	if (!next_word(&p, verb) || !next_word(&p, name) || !is_entry_table(sql, name))
		return false;
	return strstr(detail, "AUTOMATIC") ||
	       (strcmp(verb, "SCAN") == 0 && !strstr(detail, " USING "));
}

static const char *whole_scan(const char *sql)
{
	sqlite3_stmt *s = NULL;
	const char *found = NULL;
	const char *explain = arena_printf(&arena, "EXPLAIN QUERY PLAN %s", sql);

	ck_assert_int_eq(sqlite3_prepare_v2(st->db, explain, -1, &s, NULL), SQLITE_OK);
	while (sqlite3_step(s) == SQLITE_ROW && !found) {
		const char *detail = (const char *)sqlite3_column_text(s, 3);
		if (is_whole_scan(sql, detail))
			found = arena_strdup(&arena, detail);
	}
	sqlite3_finalize(s);
	return found;
}

START_TEST(no_named_statement_reads_a_whole_table_of_entries)
{
	for (size_t i = 0; whole_tables[i].name; i++)
		if (strcmp(whole_tables[i].name, query_names[_i]) == 0)
			return;
	const char *found = whole_scan(query_texts[_i]);
	ck_assert_msg(found == NULL, "%s: %s", query_names[_i], found);
}
END_TEST

START_TEST(the_check_of_plans_sees_a_whole_scan)
{
	ck_assert_ptr_nonnull(whole_scan("SELECT * FROM feedings WHERE amount_g > 5"));
	ck_assert_ptr_nonnull(whole_scan("SELECT * FROM feedings AS f WHERE f.amount_g > 5"));
	ck_assert_ptr_nonnull(
		whole_scan("SELECT * FROM tanks t JOIN feedings f WHERE f.hours = 1"));
	ck_assert_ptr_null(whole_scan("SELECT * FROM feedings WHERE tank_id = 5"));
	ck_assert_ptr_null(whole_scan("SELECT * FROM feeds WHERE protein_pct > 5"));
}
END_TEST

/* A search that goes by a place alone: every entry of ten years in that tank or bed. */
static bool goes_by_place(const char *detail)
{
	const char *index = strstr(detail, " INDEX ");

	return index && strncmp(detail, "SEARCH", 6) == 0 &&
	       (strstr(index, "tank (") || strstr(index, "bed (")) && !strstr(index, " AND ");
}

/* A lot has some tens of entries, a tank or bed tens of thousands. */
START_TEST(a_statement_about_a_lot_goes_by_the_lot)
{
	sqlite3_stmt *s = NULL;
	const char *explain = arena_printf(&arena, "EXPLAIN QUERY PLAN %s", query_texts[_i]);

	ck_assert_int_eq(sqlite3_prepare_v2(st->db, explain, -1, &s, NULL), SQLITE_OK);
	while (sqlite3_bind_parameter_index(s, ":lot") && sqlite3_step(s) == SQLITE_ROW) {
		const char *detail = (const char *)sqlite3_column_text(s, 3);

		ck_assert_msg(!goes_by_place(detail), "%s: %s", query_names[_i], detail);
	}
	sqlite3_finalize(s);
}
END_TEST

/* The questions of the reports, as they are asked again and again. */
static const struct {
	const char *sql, *index;
} asked[] = {
	{ "SELECT day, sum(amount_g), sum(uneaten_g) FROM feedings WHERE struck_at IS NULL AND "
	  "tank_id = 1 AND day BETWEEN 2 AND 3 GROUP BY day",
	  "COVERING INDEX feedings_by_tank " },
	{ "SELECT * FROM feedings WHERE tank_id = 1 ORDER BY instant DESC, id DESC LIMIT 100",
	  "INDEX feedings_by_tank_time " },
	{ "SELECT * FROM fish_moves WHERE fish_lot_id = 1", "INDEX fish_moves_by_lot " },
	{ "SELECT * FROM fish_deaths WHERE fish_lot_id = 1", "INDEX fish_deaths_by_lot " },
	{ "SELECT * FROM fish_deaths WHERE tank_id = 1 AND instant > 5 ORDER BY instant",
	  "INDEX fish_deaths_by_tank " },
	{ "SELECT * FROM weighings WHERE fish_lot_id = 1", "INDEX weighings_by_lot " },
	{ "SELECT * FROM fish_counts WHERE fish_lot_id = 1", "INDEX fish_counts_by_lot " },
	{ "SELECT * FROM harvests WHERE fish_lot_id = 1", "INDEX harvests_by_fish_lot " },
	{ "SELECT * FROM harvests WHERE crop_lot_id = 1", "INDEX harvests_by_crop_lot " },
	{ "SELECT * FROM harvests WHERE day BETWEEN 2 AND 3", "INDEX harvests_by_day " },
	{ "SELECT * FROM crop_moves WHERE crop_lot_id = 1", "INDEX crop_moves_by_lot " },
	{ "SELECT * FROM crop_moves WHERE to_bed_id = 1", "INDEX crop_moves_by_to_bed " },
	{ "SELECT * FROM crop_losses WHERE bed_id = 1", "INDEX crop_losses_by_bed " },
	{ "SELECT * FROM water_tests WHERE place_id = 1 AND day > 5", "INDEX water_tests_by_day " },
	{ "SELECT temperature_c FROM water_tests WHERE place_id = 1 ORDER BY instant DESC LIMIT "
	  "1",
	  "INDEX water_tests_by_instant_of_place " },
	{ "SELECT value FROM readings WHERE probe_id = 1 ORDER BY at DESC LIMIT 1", "PRIMARY KEY" },
};

START_TEST(what_reports_ask_is_answered_by_an_index)
{
	const char *explain = arena_printf(&arena, "EXPLAIN QUERY PLAN %s", asked[_i].sql);
	sqlite3_stmt *s = NULL;
	bool served = false, sorted = false;

	ck_assert_int_eq(sqlite3_prepare_v2(st->db, explain, -1, &s, NULL), SQLITE_OK);
	while (sqlite3_step(s) == SQLITE_ROW) {
		const char *detail = (const char *)sqlite3_column_text(s, 3);

		served = served || strstr(detail, asked[_i].index);
		sorted = sorted || strstr(detail, "TEMP B-TREE");
	}
	sqlite3_finalize(s);
	ck_assert_msg(served && !sorted, "%s", asked[_i].sql);
}
END_TEST

/* A list in its own order, whole or by days, walks the index of the order and sorts nothing. */
START_TEST(a_list_of_entries_is_not_sorted)
{
	const struct kind *k = kinds[_i];

	if (k->class != CLASS_ENTRY || k->is_line)
		return;
	for (int days = 0; days < 2; days++) {
		struct list_query q = all_of(k);
		bool by_instant = false;

		q.limit = 100;
		if (days)
			q.from_day = 19000;
		count_rows(q);
		sqlite3_stmt *s = NULL;
		for (int i = 0; i < LIST_CACHE_MAX; i++) { /* the text that was composed last */
			if (st->lists[i].last_used != st->list_clock || !st->lists[i].sql)
				continue;
			const char *explain =
				arena_printf(&arena, "EXPLAIN QUERY PLAN %s", st->lists[i].sql);
			ck_assert_int_eq(sqlite3_prepare_v2(st->db, explain, -1, &s, NULL),
					 SQLITE_OK);
		}
		while (sqlite3_step(s) == SQLITE_ROW) {
			const char *detail = (const char *)sqlite3_column_text(s, 3);

			ck_assert_msg(!strstr(detail, "TEMP B-TREE"), "%s: %s", k->name, detail);
			by_instant = by_instant || strstr(detail, "_by_instant");
		}
		sqlite3_finalize(s);
		ck_assert_msg(by_instant, "%s", k->name);
	}
}
END_TEST

Suite *query_suite(void)
{
	Suite *s = suite_create("query");
	TCase *c = tcase_create("queries");

	tcase_add_unchecked_fixture(c, set_up_idle, tear_down); /* once: these tests only read */
	tcase_add_loop_test(c, every_named_statement_prepares, 0, QUERY__MAX);
	tcase_add_loop_test(c, no_named_statement_reads_a_whole_table_of_entries, 0, QUERY__MAX);
	tcase_add_loop_test(c, a_statement_about_a_lot_goes_by_the_lot, 0, QUERY__MAX);
	tcase_add_test(c, the_check_of_plans_sees_a_whole_scan);
	tcase_add_loop_test(c, what_reports_ask_is_answered_by_an_index, 0,
			    (int)(sizeof(asked) / sizeof(asked[0])));
	tcase_add_loop_test(c, a_list_of_entries_is_not_sorted, 0, (int)kind_count());
	suite_add_tcase(s, c);
	return s;
}

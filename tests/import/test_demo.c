/* The demo farm, fixtures/demo: it is accepted, the ledger is content, and it looks like a farm. */
#include <math.h>
#include <sqlite3.h>
#include <stdlib.h>
#include <string.h>

#include "base/strbuf.h"
#include "base/zone.h"
#include "book/readings_series.h"
#include "farm_files.h"
#include "import_tests.h"
#include "model/kinds.h"
#include "store/internal.h"
#include "support/report_cells.h"
#include "support/support.h"

/* 10:15 of its last day, by the farm's own clock. */
#define NOW "2026-11-18T10:15:00Z"

static struct farm farm;

static void load(void)
{
	farm_open(&farm, NOW);
	farm.options.leave_out_future = true; /* its probes tell until the end of the last day */
	farm_must_import(&farm, "demo");
	check_ok(store_commit(farm.store, &farm.err), &farm.err);
	while (book_settle(farm.book))
		;
	check_ok(store_begin(farm.store, &farm.err), &farm.err);
}

static void drop(void)
{
	farm_close(&farm);
}

static void add_finding(const char *text, void *with)
{
	struct strbuf *out = with;

	strbuf_addf(out, "%s\n", text);
}

START_TEST(the_ledger_finds_nothing_wrong)
{
	struct strbuf found;

	strbuf_init(&found);
	check_ok(book_check(farm.book, add_finding, &found, &farm.err), &farm.err);
	ck_assert_msg(found.length == 0, "%s", found.text);
	ck_assert_int_le((int)farm.result.looks, 10);
	strbuf_release(&found);
}
END_TEST

START_TEST(the_same_files_again_add_nothing)
{
	farm_must_import(&farm, "demo");
	for (size_t i = 0; i < kind_count(); i++)
		ck_assert_msg(farm.result.counts[i].added == 0, "%s: %lld", kinds[i]->name,
			      (long long)farm.result.counts[i].added);
}
END_TEST

START_TEST(each_stocked_tank_has_fish_of_a_likely_weight)
{
	const struct report_query q = report_query_at(farm.options.now);
	struct report_result r = { 0 };

	report_run(farm.book, "stock", &q, &farm.arena, &r);
	ck_assert_uint_eq(r.n_rows, 9); /* eight tanks, and one lent to quarantine */
	for (size_t i = 0; i < r.n_rows; i++) {
		ck_assert_int_gt(report_int(&r, i, "fish"), 50);
		ck_assert_double_ge(report_real(&r, i, "mean_weight_g"), 3);
		ck_assert_double_le(report_real(&r, i, "mean_weight_g"), 900);
		ck_assert_double_le(report_real(&r, i, "density_kg_m3"), 60);
	}
}
END_TEST

START_TEST(feed_conversion_is_between_1_and_2)
{
	struct report_query q = report_query_at(farm.options.now);
	struct report_result r = { 0 };
	int known = 0;

	q.by = "fish_lot";
	report_run(farm.book, "feed-conversion", &q, &farm.arena, &r);
	for (size_t i = 0; i < r.n_rows; i++) {
		const double fcr = report_real(&r, i, "fcr_economic");

		if (isnan(fcr) || report_real(&r, i, "gain_g") < 20000)
			continue;
		known++;
		ck_assert_msg(fcr > 1.0 && fcr < 2.0, "%s: %g", report_text(&r, i, "fish_lot"),
			      fcr);
	}
	ck_assert_int_ge(known, 6);
}
END_TEST

START_TEST(beds_are_full_and_not_more_than_full)
{
	const struct report_query q = report_query_at(farm.options.now);
	struct report_result r = { 0 };
	int rafts = 0;

	report_run(farm.book, "beds", &q, &farm.arena, &r);
	for (size_t i = 0; i < r.n_rows; i++) {
		if (report_text(&r, i, "bed")[0] != 'B')
			continue;
		rafts += (int)report_int(&r, i, "rafts");
		ck_assert_double_le(report_real(&r, i, "to_m"), 30.01);
	}
	ck_assert_int_ge(rafts, 180);
	ck_assert_int_le(rafts, 300);
}
END_TEST

/* A year and a half, 80 varieties: enough to learn from. */
START_TEST(it_is_as_large_as_it_says)
{
	static const struct {
		const struct kind *kind;
		int64_t least;
	} wanted[] = { { &varieties_kind, 80 },     { &feedings_kind, 9000 },
		       { &crop_lots_kind, 1200 },   { &weighings_kind, 150 },
		       { &water_tests_kind, 5500 }, { &treatments_kind, 2 },
		       { &holds_kind, 2 } };

	for (size_t i = 0; i < sizeof(wanted) / sizeof(wanted[0]); i++)
		ck_assert_msg(farm.result.counts[kind_index(wanted[i].kind)].added >=
				      wanted[i].least,
			      "%s: %lld", wanted[i].kind->name,
			      (long long)farm.result.counts[kind_index(wanted[i].kind)].added);
}
END_TEST

/* What a probe told last at or before a local time of the farm (UTC in winter). */
static struct series_point told(const char *code, const char *at)
{
	struct series_point point = { 0 };
	struct probe p;
	int64_t instant;

	ck_assert(time_read(at, &instant));
	check_ok(probe_find(farm.book, code, &farm.arena, &p, &farm.err), &farm.err);
	check_ok(reading_newest(farm.book, p.id, instant, &point, &farm.err), &farm.err);
	return point;
}

START_TEST(one_of_four_probes_went_silent)
{
	static const struct {
		const char *code;
		int64_t silent_days;
	} wanted[] = { { "DO-T4", 0 }, { "DO-T7", 8 }, { "DO-T8", 0 }, { "TC-A", 0 } };

	ck_assert_int_ge((int)farm.result.counts[kind_index(&readings_kind)].added, 8000);
	for (size_t i = 0; i < sizeof(wanted) / sizeof(wanted[0]); i++) {
		const int64_t silent_s = farm.options.now - told(wanted[i].code, NOW).at;

		ck_assert_int_eq(silent_s / 86400, wanted[i].silent_days);
	}
}
END_TEST

/* T4 was fed at 07:44 and 15:52 of that Saturday; from 23:25 to 01:55 there was no air. */
START_TEST(oxygen_sags_after_meals_and_in_the_night_without_air)
{
	const double fasting = told("DO-T4", "2026-11-07T07:30:00Z").mean;
	const double fed = told("DO-T4", "2026-11-07T09:00:00Z").mean;
	const double worst = told("DO-T4", "2026-11-08T01:55:00Z").mean;

	ck_assert_double_gt(fasting, fed + 0.4);
	ck_assert_double_gt(fed, 5);
	ck_assert_double_lt(worst, 3);
	ck_assert_double_gt(told("DO-T4", "2026-11-08T04:00:00Z").mean, 6);
}
END_TEST

/* Days before its last one, and a minute of that day, UTC: in the early morning, or when the day is half done and a
 * packing or a shipment just made has its lines behind it and its next step ahead. */
static const struct {
	int days, minute;
} beginnings[] = {
	{ 7, 14 * 60 }, { 6, 11 * 60 + 30 }, { 5, 5 * 60 + 40 },  { 4, 18 * 60 },
	{ 3, 0 },       { 2, 12 * 60 + 10 }, { 1, 11 * 60 + 30 }, { 1, 5 * 60 + 40 },
};

START_TEST(it_can_be_begun_on_any_day)
{
	struct farm early;
	struct strbuf found;

	farm_open(&early, NOW);
	early.options.leave_out_future = true;
	early.options.now += beginnings[_i].minute * 60LL - (10 * 60 + 15) * 60LL -
			     beginnings[_i].days * 86400LL;
	farm_must_import(&early, "demo");
	strbuf_init(&found);
	check_ok(book_check(early.book, add_finding, &found, &early.err), &early.err);
	ck_assert_msg(found.length == 0, "%s", found.text);
	strbuf_release(&found);
	farm_close(&early);
}
END_TEST

/* What the entries alone say, kept so that reports need not compute it. */
static const char *const derived[] = { "fish_rows",       "fish_stretches",        "fish_cells",
				       "tank_day_feed",   "place_day_temperature", "crop_ends",
				       "readings_hourly", "readings_daily" };
enum { N_DERIVED = sizeof(derived) / sizeof(derived[0]) };

static void add_value(sqlite3_stmt *q, int column, struct strbuf *out)
{
	switch (sqlite3_column_type(q, column)) {
	case SQLITE_INTEGER:
		strbuf_addf(out, " %lld", (long long)sqlite3_column_int64(q, column));
		break;
	case SQLITE_FLOAT: /* every bit of it */
		strbuf_addf(out, " %a", sqlite3_column_double(q, column));
		break;
	case SQLITE_NULL:
		strbuf_adds(out, " -");
		break;
	default:
		strbuf_addf(out, " %s", (const char *)sqlite3_column_text(q, column));
		break;
	}
}

/* All rows of a derived table by their key, which is among its first three columns.  Owned. */
static char *whole_table(const char *table, size_t *rows)
{
	const char *sql = arena_printf(&farm.arena, "SELECT * FROM %s ORDER BY 1, 2, 3", table);
	struct strbuf out;
	sqlite3_stmt *q;

	*rows = 0;
	strbuf_init(&out);
	ck_assert_int_eq(sqlite3_prepare_v2(farm.store->db, sql, -1, &q, NULL), SQLITE_OK);
	while (sqlite3_step(q) == SQLITE_ROW) {
		for (int i = 0; i < sqlite3_column_count(q); i++)
			add_value(q, i, &out);
		strbuf_adds(&out, "\n");
		(*rows)++;
	}
	sqlite3_finalize(q);
	return strbuf_detach(&out, NULL);
}

static void empty_table(const char *table)
{
	const char *sql = arena_printf(&farm.arena, "DELETE FROM %s", table);

	ck_assert_int_eq(sqlite3_exec(farm.store->db, sql, NULL, NULL, NULL), SQLITE_OK);
}

/* They grew entry by entry, in batches and settlings; made at one go they are the same to the last bit. */
START_TEST(derived_tables_dropped_and_rebuilt_are_the_same_byte_for_byte)
{
	char *before[N_DERIVED], *after;
	size_t rows, rebuilt;

	for (size_t i = 0; i < N_DERIVED; i++) {
		before[i] = whole_table(derived[i], &rows);
		ck_assert_msg(rows > 10, "%s has %zu rows", derived[i], rows);
		empty_table(derived[i]);
	}
	check_ok(book_rebuild(farm.book, &farm.err), &farm.err);
	check_ok(store_commit(farm.store, &farm.err), &farm.err);
	while (book_settle(farm.book))
		;
	check_ok(store_begin(farm.store, &farm.err), &farm.err);
	for (size_t i = 0; i < N_DERIVED; i++) {
		after = whole_table(derived[i], &rebuilt);
		ck_assert_msg(strcmp(before[i], after) == 0, "%s is rebuilt otherwise", derived[i]);
		free(before[i]);
		free(after);
	}
}
END_TEST

/* The check finds what is amiss in any of them. */
START_TEST(a_derived_table_that_lost_a_row_is_found)
{
	static const struct {
		const char *table, *key;
	} checked[] = { { "tank_day_feed", "tank_id" },
			{ "fish_rows", "lot_id" },
			{ "crop_ends", "crop_lot_id" },
			{ "readings_hourly", "probe_id" } };
	struct strbuf found;
	/* by the first column, which is part of each key */
	const char *sql = arena_printf(
		&farm.arena, "DELETE FROM %s WHERE %s = (SELECT min(%s) FROM %s)",
		checked[_i].table, checked[_i].key, checked[_i].key, checked[_i].table);

	strbuf_init(&found);
	ck_assert_int_eq(sqlite3_exec(farm.store->db, sql, NULL, NULL, NULL), SQLITE_OK);
	check_ok(book_check(farm.book, add_finding, &found, &farm.err), &farm.err);
	ck_assert_msg(found.length > 0, "%s", checked[_i].table);
	strbuf_release(&found);
}
END_TEST

Suite *demo_suite(void)
{
	Suite *suite = suite_create("import: the demo farm");
	TCase *tc = tcase_create("demo");

	tcase_add_unchecked_fixture(tc, load, drop);
	tcase_set_timeout(tc, 120);
	tcase_add_test(tc, the_ledger_finds_nothing_wrong);
	tcase_add_test(tc, it_is_as_large_as_it_says);
	tcase_add_test(tc, the_same_files_again_add_nothing);
	tcase_add_test(tc, each_stocked_tank_has_fish_of_a_likely_weight);
	tcase_add_test(tc, feed_conversion_is_between_1_and_2);
	tcase_add_test(tc, one_of_four_probes_went_silent);
	tcase_add_test(tc, oxygen_sags_after_meals_and_in_the_night_without_air);
	tcase_add_test(tc, derived_tables_dropped_and_rebuilt_are_the_same_byte_for_byte);
	tcase_add_loop_test(tc, a_derived_table_that_lost_a_row_is_found, 0, 4);
	tcase_add_test(tc, beds_are_full_and_not_more_than_full);
	suite_add_tcase(suite, tc);
	tc = tcase_create("demo on any day");
	tcase_set_timeout(tc, 120);
	tcase_add_loop_test(tc, it_can_be_begun_on_any_day, 0,
			    (int)(sizeof(beginnings) / sizeof(beginnings[0])));
	suite_add_tcase(suite, tc);
	return suite;
}

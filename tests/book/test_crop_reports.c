/* Report beds over the record, and the ledger of plants under it: book/crop_ledger. */
#include "book_tests.h"
#include "support/crop_farm.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "book/crop_ends.h"
#include "book/crop_ledger.h"

/* --- beds ------------------------------------------------------------------------------------------ */

START_TEST(sowing_stands_in_the_nursery_without_a_place)
{
	sow("C10", "300", "2026-02-01");
	beds_on("2026-02-03");
	ck_assert_str_eq(report_text(&seen, lot_row("C10"), "bed"), "N1");
	ck_assert_str_eq(report_text(&seen, lot_row("C10"), "variety"), "Red oak");
	ck_assert_int_eq(lot_whole("C10", "plants"), 270);
	ck_assert(isnan(lot_real("C10", "from_m")));
	ck_assert_int_eq(lot_whole("C10", "rafts"), NO_INT);
	ck_assert_int_eq(lot_whole("C10", "moved_on"), NO_INT);
	ck_assert_int_eq(lot_whole("C10", "age_days"), 2);
	ck_assert_int_eq(lot_whole("C10", "ready_on"), day_of("2026-02-01") + 4 + 10 + 28);
	ck_assert_int_eq(lot_whole("C10", "ready_until"), day_of("2026-02-01") + 42 + 5);
}
END_TEST

START_TEST(rafts_stand_packed_against_the_foot)
{
	sow("C10", "300", "2026-02-01");
	sow("C11", "300", "2026-02-08");
	move_to_bed("C10", "240", "2026-02-15");
	move_to_bed("C11", "120", "2026-02-22");
	beds_on("2026-02-22");
	ck_assert_int_eq(
		report_int(&seen, report_row2(&seen, "bed", "B2", "crop_lot", "C10"), "rafts"), 8);

	size_t oldest = report_row2(&seen, "bed", "B2", "crop_lot", "C10");
	size_t next = report_row2(&seen, "bed", "B2", "crop_lot", "C11");

	ck_assert_double_eq_tol(report_real(&seen, oldest, "to_m"), 10, 1e-9);
	ck_assert_double_eq_tol(report_real(&seen, oldest, "from_m"), 6, 1e-9);
	ck_assert_double_eq_tol(report_real(&seen, next, "from_m"), 4, 1e-9);
	ck_assert_uint_lt(next, oldest); /* rows go from the planting end to the foot */
	ck_assert_int_eq(report_int(&seen, oldest, "moved_on"), day_of("2026-02-15"));
	ck_assert_int_eq(report_int(&seen, oldest, "ready_on"), day_of("2026-02-15") + 28);
}
END_TEST

START_TEST(any_day_and_instant_of_the_past_can_be_asked)
{
	struct report_query q = report_query_at(own_farm.hand.now);

	sow("C10", "300", "2026-02-01");
	keep_row(mini_row(&own_farm, "crop-moves", "crop_lot_id", "C10", "from_bed_id", "N1",
			  "to_bed_id", "B2", "plants", "270", "at", "2026-02-15T10:00:00Z", NULL));
	beds_on("2026-02-14");
	ck_assert_str_eq(report_text(&seen, lot_row("C10"), "bed"), "N1");
	beds_on("2026-02-15");
	ck_assert_str_eq(report_text(&seen, lot_row("C10"), "bed"), "B2");
	q.at = instant_of("2026-02-15T09:59:59Z");
	report_run(own_farm.book, "beds", &q, &own_farm.arena, &seen);
	ck_assert_str_eq(report_text(&seen, lot_row("C10"), "bed"), "N1");
	beds_on("2026-01-31");
	ck_assert_uint_eq(report_count(&seen, "crop_lot", "C10"), 0);
}
END_TEST

START_TEST(lot_past_its_ready_days_counts_as_harvested_in_the_future)
{
	sow("C10", "300", "2026-02-01");
	move_to_bed("C10", "270", "2026-02-15");
	beds_on("2026-03-20"); /* ready 15 to 20 March; today still there */
	ck_assert_uint_eq(report_count(&seen, "crop_lot", "C10"), 1);
	beds_on("2026-03-21");
	ck_assert_uint_eq(report_count(&seen, "crop_lot", "C10"), 0);
	ck_assert_uint_eq(seen.n_notes, 1);
	ck_assert_str_eq(seen.notes[0].code, "due_out");
	ck_assert_str_eq(seen.notes[0].of, "C10");
}
END_TEST

START_TEST(rafts_beyond_the_bed_are_shown_and_noted)
{
	sow("C10", "1000", "2026-02-01");
	move_to_bed("C10", "900", "2026-02-15"); /* 30 rafts; the bed has room for 20 */
	beds_on("2026-02-15");
	ck_assert_double_eq_tol(lot_real("C10", "from_m"), -5, 1e-9);
	ck_assert_str_eq(seen.notes[0].code, "beyond_bed");
	ck_assert_str_eq(seen.notes[0].of, "B2");
}
END_TEST

START_TEST(late_and_corrected_entries_correct_every_figure)
{
	struct record *moved, *lost;

	sow("C10", "300", "2026-02-01");
	moved = move_to_bed("C10", "240", "2026-02-15");
	cut("C10", "90", "13500", "2026-03-10");
	keep_row(mini_row(&own_farm, "crop-counts", "bed_id", "N1", "crop_lot_id", "C10", "counted",
			  "280", "method", "germination", "day", "2026-02-05", NULL)); /* late */
	beds_on("2026-03-10");
	ck_assert_int_eq(
		report_int(&seen, report_row2(&seen, "bed", "N1", "crop_lot", "C10"), "plants"),
		40);

	lost = keep_row(mini_row(&own_farm, "crop-losses", "crop_lot_id", "C10", "bed_id", "B2",
				 "plants", "30", "day", "2026-03-01", NULL));
	ck_assert(!mini_patch(&own_farm, moved, "plants", "270", NULL));
	beds_on("2026-03-10");
	ck_assert_int_eq(
		report_int(&seen, report_row2(&seen, "bed", "B2", "crop_lot", "C10"), "plants"),
		150);
	ck_assert_int_eq(
		report_int(&seen, report_row2(&seen, "bed", "N1", "crop_lot", "C10"), "plants"),
		10);

	ck_assert(!mini_strike(&own_farm, lost, NULL));
	beds_on("2026-03-10");
	ck_assert_int_eq(
		report_int(&seen, report_row2(&seen, "bed", "B2", "crop_lot", "C10"), "plants"),
		180);
	ck_assert(!mini_restore(&own_farm, lost, NULL));
	beds_on("2026-03-10");
	ck_assert_int_eq(
		report_int(&seen, report_row2(&seen, "bed", "B2", "crop_lot", "C10"), "plants"),
		150);
}
END_TEST

START_TEST(only_one_bed_lot_or_variety_when_asked)
{
	struct report_query q = report_query_at(own_farm.hand.now);

	sow("C10", "300", "2026-02-01");
	move_to_bed("C10", "240", "2026-02-15");
	q.day = day_of("2026-02-15");
	q.only = "b2";
	report_run(own_farm.book, "beds", &q, &own_farm.arena, &seen);
	ck_assert_uint_eq(seen.n_rows, 1);
	q.only = "Red oak";
	report_run(own_farm.book, "beds", &q, &own_farm.arena, &seen);
	ck_assert_uint_eq(seen.n_rows, 2);
}
END_TEST

START_TEST(explanation_lists_the_entries_under_a_row)
{
	struct report_query q = report_query_at(own_farm.hand.now);
	const struct explanation *x;

	sow("C10", "300", "2026-02-01");
	move_to_bed("C10", "100", "2026-02-15");
	move_to_bed("C10", "140", "2026-02-16");
	q.explain = true;
	q.day = day_of("2026-02-16");
	report_run(own_farm.book, "beds", &q, &own_farm.arena, &seen);
	x = report_explanation("beds", &seen, lot_row("C10"));
	ck_assert_ptr_nonnull(x);
	ck_assert_uint_eq(x->n_entries, 2);
	ck_assert_str_eq(x->entries[1].kind, "crop-moves");
	ck_assert_int_eq(x->entries[1].count, 2);
	ck_assert_double_eq(x->entries[1].sum, 240);
}
END_TEST

/* --- which lots can stand -------------------------------------------------------------------------- */

static void settle_all(void)
{
	bool more = true;

	while (more)
		ck_assert(!crop_ends_settle(own_farm.book, 1, &more, &own_farm.err));
}

static void no_finding(const char *text, void *with)
{
	(void)with;
	ck_abort_msg("%s", text);
}

START_TEST(settled_ends_change_no_answer)
{
	struct record *row;

	sow("C10", "300", "2026-02-01");
	move_to_bed("C10", "270", "2026-02-15");
	row = cut("C10", "270", "40000", "2026-03-10");
	settle_all();
	ck_assert(!crop_ends_check(own_farm.book, no_finding, NULL, &own_farm.err));
	beds_on("2026-03-09");
	ck_assert_int_eq(lot_whole("C10", "plants"), 270); /* it had not ended by then */
	beds_on("2026-03-10");
	ck_assert_uint_eq(report_count(&seen, "crop_lot", "C10"), 0);

	ck_assert(!mini_patch(&own_farm, row, "pieces", "200",
			      NULL)); /* now 70 stand: the end is unknown */
	beds_on("2026-03-10");
	ck_assert_int_eq(lot_whole("C10", "plants"), 70);
	settle_all();
	beds_on("2026-03-10");
	ck_assert_int_eq(lot_whole("C10", "plants"), 70);
	ck_assert(!crop_ends_check(own_farm.book, no_finding, NULL, &own_farm.err));
}
END_TEST

START_TEST(set_up_that_changes_plants_reopens_a_lot)
{
	struct record *seeds;

	seeds = keep_row(mini_row(&own_farm, "seed-lots", "code", "S2", "variety_id", "Red oak",
				  "germination_pct", "50", NULL));
	keep_row(mini_row(&own_farm, "crop-lots", "code", "C10", "variety_id", "Red oak",
			  "seed_lot_id", "S2", "bed_id", "N1", "cubes", "100", "day", "2026-02-01",
			  NULL));
	move_to_bed("C10", "50", "2026-02-15");
	cut("C10", "50", "7500", "2026-03-10");
	settle_all();
	beds_on("2026-03-10");
	ck_assert_uint_eq(report_count(&seen, "crop_lot", "C10"), 0);
	ck_assert(!mini_patch(&own_farm, seeds, "germination_pct", "80", NULL));
	beds_on("2026-03-10");
	ck_assert_int_eq(lot_whole("C10", "plants"), 30);
}
END_TEST

static void count_finding(const char *text, void *with)
{
	(void)text;
	++*(int *)with;
}

START_TEST(check_finds_an_end_that_is_wrong)
{
	int found = 0;
	struct record *lot = sow("C10", "300", "2026-02-01");

	settle_all();
	ck_assert(!store_run_ints(own_farm.store, Q_CROP_SETTLE, &own_farm.err, ":began_at",
				  (int64_t)0, ":ended_at", (int64_t)5, ":lot", lot->id, NULL));
	ck_assert(!crop_ends_check(own_farm.book, count_finding, &found, &own_farm.err));
	ck_assert_int_eq(found, 1);
	ck_assert(!crop_ends_rebuild(own_farm.book, &own_farm.err));
	settle_all();
	ck_assert(!crop_ends_check(own_farm.book, no_finding, NULL, &own_farm.err));
}
END_TEST

START_TEST(shortfalls_name_every_break)
{
	struct shortfall *short_of;
	size_t n;
	struct record *lot = sow("C10", "100", "2026-02-01");

	move_to_bed("C10", "95", "2026-02-15");
	move_to_bed("C10", "20", "2026-02-16");
	ck_assert(!crop_shortfalls(own_farm.book, lot->id, &own_farm.arena, &short_of, &n,
				   &own_farm.err));
	ck_assert_uint_eq(n, 2);
	ck_assert_str_eq(short_of[0].lot, "C10");
	ck_assert_str_eq(short_of[0].place, "N1");
	ck_assert_int_eq(short_of[0].day, day_of("2026-02-15"));
	ck_assert_int_eq(short_of[0].there, 90);
	ck_assert_int_eq(short_of[0].asked, 95);
	ck_assert_int_eq(short_of[1].there, 0);
}
END_TEST

START_TEST(more_plants_than_the_book_has_are_asked_on_screen)
{
	struct record *r;

	sow("C10", "100", "2026-02-01");
	own_farm.hand.arrival = ARRIVES_ON_SCREEN;
	r = mini_row(&own_farm, "crop-moves", "crop_lot_id", "C10", "from_bed_id", "N1",
		     "to_bed_id", "B2", "plants", "95", "day", "2026-02-15", NULL);
	ck_assert_int_eq(mini_create(&own_farm, r, NULL), ERR_CONFLICT);
	ck_assert(err_has(&own_farm.err, "more_than_there"));
	own_farm.hand.confirm = true;
	keep_row(r);
}
END_TEST

START_TEST(crop_that_is_cut_again_is_never_short)
{
	keep_row(mini_row(&own_farm, "crop-lots", "code", "C12", "variety_id", "Large leaf",
			  "bed_id", "N1", "cubes", "100", "day", "2026-02-01", NULL));
	own_farm.hand.arrival = ARRIVES_ON_SCREEN;
	for (int cut = 0; cut < 2; cut++)
		keep_row(mini_row(&own_farm, "harvests", "crop_lot_id", "C12", "bed_id", "N1",
				  "pieces", "80", "day", cut ? "2026-03-15" : "2026-03-10", NULL));
	beds_on("2026-03-15");
	ck_assert_int_eq(lot_whole("C12", "plants"), 100);
	ck_assert_int_eq(lot_whole("C12", "ready_on"), NO_INT); /* regrowth is not planned */
}
END_TEST

/* --- arrival --------------------------------------------------------------------------------------- */

enum { SEASON = 12 };

static void season(struct record *rows[SEASON])
{
	size_t n = 0;

	rows[n++] =
		mini_row(&own_farm, "crop-counts", "key", "0190a5c0-0000-7000-8000-000000000001",
			 "bed_id", "N1", "crop_lot_id", "C10", "counted", "280", "method",
			 "germination", "day", "2026-02-06", NULL);
	rows[n++] = mini_row(&own_farm, "crop-moves", "key", "0190a5c0-0000-7000-8000-000000000002",
			     "crop_lot_id", "C10", "from_bed_id", "N1", "to_bed_id", "B2", "plants",
			     "150", "day", "2026-02-15", NULL);
	rows[n++] = mini_row(&own_farm, "crop-moves", "key", "0190a5c0-0000-7000-8000-000000000003",
			     "crop_lot_id", "C11", "from_bed_id", "N1", "to_bed_id", "B2", "plants",
			     "200", "day", "2026-02-15", NULL);
	rows[n++] = mini_row(&own_farm, "crop-moves", "key", "0190a5c0-0000-7000-8000-000000000004",
			     "crop_lot_id", "C10", "from_bed_id", "N1", "to_bed_id", "B2", "plants",
			     "120", "end", "foot", "empties", "1", "day", "2026-02-17", NULL);
	rows[n++] = mini_row(&own_farm, "crop-losses", "key",
			     "0190a5c0-0000-7000-8000-000000000005", "crop_lot_id", "C10", "bed_id",
			     "N1", "plants", "4", "day", "2026-02-17", NULL);
	rows[n++] = mini_row(&own_farm, "crop-moves", "key", "0190a5c0-0000-7000-8000-000000000006",
			     "crop_lot_id", "C11", "from_bed_id", "B2", "to_bed_id", "B2", "plants",
			     "100", "raft_sites", "15", "at", "2026-02-25T09:00:00Z", NULL);
	rows[n++] = mini_row(&own_farm, "harvests", "key", "0190a5c0-0000-7000-8000-000000000007",
			     "crop_lot_id", "C10", "bed_id", "B2", "pieces", "60", "weight_g",
			     "8000.25", "day", "2026-03-10", NULL);
	rows[n++] = mini_row(&own_farm, "harvests", "key", "0190a5c0-0000-7000-8000-000000000008",
			     "crop_lot_id", "C10", "bed_id", "B2", "pieces", "40", "day",
			     "2026-03-10", NULL);
	rows[n++] = mini_row(&own_farm, "crop-losses", "key",
			     "0190a5c0-0000-7000-8000-000000000009", "crop_lot_id", "C11", "bed_id",
			     "B2", "plants", "9", "at", "2026-03-01T07:00:00Z", NULL);
	rows[n++] = mini_row(&own_farm, "crop-counts", "key",
			     "0190a5c0-0000-7000-8000-00000000000a", "bed_id", "B2", "crop_lot_id",
			     "C11", "counted", "188", "at", "2026-03-02T07:00:00Z", NULL);
	rows[n++] = mini_row(&own_farm, "harvests", "key", "0190a5c0-0000-7000-8000-00000000000b",
			     "crop_lot_id", "C11", "bed_id", "B2", "pieces", "50", "weight_g",
			     "7000.5", "grade", "A", "at", "2026-03-15T07:00:00Z", NULL);
	rows[n++] = mini_row(&own_farm, "harvests", "key", "0190a5c0-0000-7000-8000-00000000000c",
			     "crop_lot_id", "C10", "bed_id", "B2", "weight_g", "9000", "empties",
			     "1", "at", "2026-03-18T07:00:00Z", NULL);
	ck_assert_uint_eq(n, SEASON);
}

/* Both reports on several days as text, to compare whole. */
static const char *everything(void)
{
	static const char *const days[] = { "2026-02-10", "2026-02-17", "2026-02-26", "2026-03-12",
					    "2026-03-20" };
	const char *text = "";

	for (size_t i = 0; i < sizeof(days) / sizeof(days[0]); i++) {
		beds_on(days[i]);
		text = arena_printf(&own_farm.arena, "%s%s\n%s", text, days[i],
				    report_as_text(&seen, &own_farm.arena));
	}
	harvests("week,lot,grade", NULL);
	return arena_printf(&own_farm.arena, "%s%s", text, report_as_text(&seen, &own_farm.arena));
}

START_TEST(entries_in_any_order_give_the_same_reports)
{
	struct record *rows[SEASON];
	char *kept;
	unsigned seed = (unsigned)_i + 1;

	sow("C10", "300", "2026-02-01");
	sow("C11", "250", "2026-02-01");
	season(rows);
	for (size_t i = 0; i < SEASON; i++)
		keep_row(rows[i]);
	kept = strdup(everything()); /* the farm's arena goes with it */

	crop_farm_close();
	crop_farm_open();
	sow("C10", "300", "2026-02-01");
	sow("C11", "250", "2026-02-01");
	season(rows);
	for (size_t i = SEASON; i-- > 1;) {
		size_t j = (size_t)rand_r(&seed) % (i + 1);
		struct record *r = rows[i];

		rows[i] = rows[j];
		rows[j] = r;
	}
	for (size_t i = 0; i < SEASON; i++) {
		keep_row(rows[i]);
		if (i % 4 == 0)
			settle_all(); /* at any time, and it changes nothing */
	}
	ck_assert_str_eq(everything(), kept);
	free(kept);
}
END_TEST

Suite *crop_reports_suite(void)
{
	Suite *s = suite_create("crop reports");
	TCase *t = tcase_create("reports");

	tcase_add_checked_fixture(t, crop_farm_open, crop_farm_close);
	tcase_add_test(t, sowing_stands_in_the_nursery_without_a_place);
	tcase_add_test(t, rafts_stand_packed_against_the_foot);
	tcase_add_test(t, any_day_and_instant_of_the_past_can_be_asked);
	tcase_add_test(t, lot_past_its_ready_days_counts_as_harvested_in_the_future);
	tcase_add_test(t, rafts_beyond_the_bed_are_shown_and_noted);
	tcase_add_test(t, late_and_corrected_entries_correct_every_figure);
	tcase_add_test(t, only_one_bed_lot_or_variety_when_asked);
	tcase_add_test(t, explanation_lists_the_entries_under_a_row);
	tcase_add_test(t, settled_ends_change_no_answer);
	tcase_add_test(t, set_up_that_changes_plants_reopens_a_lot);
	tcase_add_test(t, check_finds_an_end_that_is_wrong);
	tcase_add_test(t, shortfalls_name_every_break);
	tcase_add_test(t, more_plants_than_the_book_has_are_asked_on_screen);
	tcase_add_test(t, crop_that_is_cut_again_is_never_short);
	tcase_add_loop_test(t, entries_in_any_order_give_the_same_reports, 0, 12);
	suite_add_tcase(s, t);
	return s;
}

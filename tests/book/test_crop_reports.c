/* Reports beds and harvest over the record, and the ledger of plants under them: book/crop_ledger. */
#include "book_tests.h"
#include "support/mini_farm.h"
#include "support/report_cells.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "book/crop_ledger.h"

static struct mini_farm f;
static struct report_result got;

static struct record *keep(const struct record *r)
{
	return mini_keep(&f, r);
}

/* Raft bed B2 of 10 m by 2.5 m: rafts of 1 m by 1.25 m, 30 sites each, two abreast. */
static void open_farm(void)
{
	mini_farm_open(&f);
	f.hand.arrival = ARRIVES_IMPORTED;
	keep(mini_row(&f, "beds", "code", "B2", "loop_id", "L1", "role", "raft", "length_m", "10",
		      "width_m", "2.5", "raft_length_m", "1", "raft_width_m", "1.25",
		      "sites_per_raft", "30", NULL));
	keep(mini_row(&f, "varieties", "name", "Red oak", "crop_id", "Lettuce", "days_germination",
		      "4", "days_nursery", "10", "days_raft", "28", "days_hold", "5",
		      "head_weight_g", "150", NULL));
	keep(mini_row(&f, "seed-lots", "code", "S1", "variety_id", "Red oak", "germination_pct",
		      "90", NULL));
}

static void close_farm(void)
{
	mini_farm_close(&f);
}

static struct record *sow(const char *code, const char *cubes, const char *day)
{
	return keep(mini_row(&f, "crop-lots", "code", code, "variety_id", "Red oak", "seed_lot_id",
			     "S1", "bed_id", "N1", "cubes", cubes, "day", day, NULL));
}

static struct record *move(const char *lot, const char *plants, const char *day)
{
	return keep(mini_row(&f, "crop-moves", "crop_lot_id", lot, "from_bed_id", "N1", "to_bed_id",
			     "B2", "plants", plants, "day", day, NULL));
}

static struct record *harvest(const char *lot, const char *pieces, const char *weight_g,
			      const char *day)
{
	return keep(mini_row(&f, "harvests", "crop_lot_id", lot, "bed_id", "B2", "pieces", pieces,
			     "weight_g", weight_g, "day", day, NULL));
}

static void beds_on(const char *day)
{
	struct report_query q = report_query_at(f.hand.now);

	q.day = day_of(day);
	report_run(f.book, "beds", &q, &f.arena, &got);
}

static void harvests(const char *by, const char *only)
{
	struct report_query q = report_query_at(f.hand.now);

	q.by = by;
	q.only = only;
	report_run(f.book, "harvest", &q, &f.arena, &got);
}

static size_t row_of(const char *lot)
{
	return report_row(&got, "crop_lot", lot);
}

static int64_t whole(const char *lot, const char *column)
{
	return report_int(&got, row_of(lot), column);
}

static double real(const char *lot, const char *column)
{
	return report_real(&got, row_of(lot), column);
}

/* --- beds ------------------------------------------------------------------------------------------ */

START_TEST(sowing_stands_in_the_nursery_without_a_place)
{
	sow("C10", "300", "2026-02-01");
	beds_on("2026-02-03");
	ck_assert_str_eq(report_text(&got, row_of("C10"), "bed"), "N1");
	ck_assert_str_eq(report_text(&got, row_of("C10"), "variety"), "Red oak");
	ck_assert_int_eq(whole("C10", "plants"), 270);
	ck_assert(isnan(real("C10", "from_m")));
	ck_assert_int_eq(whole("C10", "rafts"), NO_INT);
	ck_assert_int_eq(whole("C10", "moved_on"), NO_INT);
	ck_assert_int_eq(whole("C10", "age_days"), 2);
	ck_assert_int_eq(whole("C10", "ready_on"), day_of("2026-02-01") + 4 + 10 + 28);
	ck_assert_int_eq(whole("C10", "ready_high"), day_of("2026-02-01") + 42 + 5);
}
END_TEST

START_TEST(rafts_stand_packed_against_the_foot)
{
	sow("C10", "300", "2026-02-01");
	sow("C11", "300", "2026-02-08");
	move("C10", "240", "2026-02-15");
	move("C11", "120", "2026-02-22");
	beds_on("2026-02-22");
	ck_assert_int_eq(
		report_int(&got, report_row2(&got, "bed", "B2", "crop_lot", "C10"), "rafts"), 8);

	size_t oldest = report_row2(&got, "bed", "B2", "crop_lot", "C10");
	size_t next = report_row2(&got, "bed", "B2", "crop_lot", "C11");

	ck_assert_double_eq_tol(report_real(&got, oldest, "to_m"), 10, 1e-9);
	ck_assert_double_eq_tol(report_real(&got, oldest, "from_m"), 6, 1e-9);
	ck_assert_double_eq_tol(report_real(&got, next, "from_m"), 4, 1e-9);
	ck_assert_uint_lt(next, oldest); /* rows go from the planting end to the foot */
	ck_assert_int_eq(report_int(&got, oldest, "moved_on"), day_of("2026-02-15"));
	ck_assert_int_eq(report_int(&got, oldest, "ready_on"), day_of("2026-02-15") + 28);
}
END_TEST

START_TEST(any_day_and_instant_of_the_past_can_be_asked)
{
	struct report_query q = report_query_at(f.hand.now);

	sow("C10", "300", "2026-02-01");
	keep(mini_row(&f, "crop-moves", "crop_lot_id", "C10", "from_bed_id", "N1", "to_bed_id",
		      "B2", "plants", "270", "at", "2026-02-15T10:00:00Z", NULL));
	beds_on("2026-02-14");
	ck_assert_str_eq(report_text(&got, row_of("C10"), "bed"), "N1");
	beds_on("2026-02-15");
	ck_assert_str_eq(report_text(&got, row_of("C10"), "bed"), "B2");
	q.at = instant_of("2026-02-15T09:59:59Z");
	report_run(f.book, "beds", &q, &f.arena, &got);
	ck_assert_str_eq(report_text(&got, row_of("C10"), "bed"), "N1");
	beds_on("2026-01-31");
	ck_assert_uint_eq(report_count(&got, "crop_lot", "C10"), 0);
}
END_TEST

START_TEST(lot_past_its_ready_days_counts_as_harvested_in_the_future)
{
	sow("C10", "300", "2026-02-01");
	move("C10", "270", "2026-02-15");
	beds_on("2026-03-20"); /* ready 15 to 20 March; today still there */
	ck_assert_uint_eq(report_count(&got, "crop_lot", "C10"), 1);
	beds_on("2026-03-21");
	ck_assert_uint_eq(report_count(&got, "crop_lot", "C10"), 0);
	ck_assert_uint_eq(got.n_notes, 1);
	ck_assert_str_eq(got.notes[0].code, "due_out");
	ck_assert_str_eq(got.notes[0].of, "C10");
}
END_TEST

START_TEST(rafts_beyond_the_bed_are_shown_and_noted)
{
	sow("C10", "1000", "2026-02-01");
	move("C10", "900", "2026-02-15"); /* 30 rafts; the bed has room for 20 */
	beds_on("2026-02-15");
	ck_assert_double_eq_tol(real("C10", "from_m"), -5, 1e-9);
	ck_assert_str_eq(got.notes[0].code, "beyond_bed");
	ck_assert_str_eq(got.notes[0].of, "B2");
}
END_TEST

START_TEST(late_and_corrected_entries_correct_every_figure)
{
	struct record *moved, *lost;

	sow("C10", "300", "2026-02-01");
	moved = move("C10", "240", "2026-02-15");
	harvest("C10", "90", "13500", "2026-03-10");
	keep(mini_row(&f, "crop-counts", "bed_id", "N1", "crop_lot_id", "C10", "counted", "280",
		      "method", "germination", "day", "2026-02-05", NULL)); /* late */
	beds_on("2026-03-10");
	ck_assert_int_eq(
		report_int(&got, report_row2(&got, "bed", "N1", "crop_lot", "C10"), "plants"), 40);

	lost = keep(mini_row(&f, "crop-losses", "crop_lot_id", "C10", "bed_id", "B2", "plants",
			     "30", "day", "2026-03-01", NULL));
	ck_assert(!mini_patch(&f, moved, "plants", "270", NULL));
	beds_on("2026-03-10");
	ck_assert_int_eq(
		report_int(&got, report_row2(&got, "bed", "B2", "crop_lot", "C10"), "plants"), 150);
	ck_assert_int_eq(
		report_int(&got, report_row2(&got, "bed", "N1", "crop_lot", "C10"), "plants"), 10);

	ck_assert(!mini_strike(&f, lost, NULL));
	beds_on("2026-03-10");
	ck_assert_int_eq(
		report_int(&got, report_row2(&got, "bed", "B2", "crop_lot", "C10"), "plants"), 180);
	ck_assert(!mini_restore(&f, lost, NULL));
	beds_on("2026-03-10");
	ck_assert_int_eq(
		report_int(&got, report_row2(&got, "bed", "B2", "crop_lot", "C10"), "plants"), 150);
}
END_TEST

START_TEST(only_one_bed_lot_or_variety_when_asked)
{
	struct report_query q = report_query_at(f.hand.now);

	sow("C10", "300", "2026-02-01");
	move("C10", "240", "2026-02-15");
	q.day = day_of("2026-02-15");
	q.only = "b2";
	report_run(f.book, "beds", &q, &f.arena, &got);
	ck_assert_uint_eq(got.n_rows, 1);
	q.only = "Red oak";
	report_run(f.book, "beds", &q, &f.arena, &got);
	ck_assert_uint_eq(got.n_rows, 2);
}
END_TEST

START_TEST(explanation_lists_the_entries_under_a_row)
{
	struct report_query q = report_query_at(f.hand.now);
	const struct explanation *x;

	sow("C10", "300", "2026-02-01");
	move("C10", "100", "2026-02-15");
	move("C10", "140", "2026-02-16");
	q.explain = true;
	q.day = day_of("2026-02-16");
	report_run(f.book, "beds", &q, &f.arena, &got);
	x = report_explanation("beds", &got, row_of("C10"));
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
		ck_assert(!crop_ledger_settle(f.book, 1, &more, &f.err));
}

static void no_finding(const char *text, void *with)
{
	(void)with;
	ck_abort_msg("%s", text);
}

START_TEST(settled_ends_change_no_answer)
{
	struct record *cut;

	sow("C10", "300", "2026-02-01");
	move("C10", "270", "2026-02-15");
	cut = harvest("C10", "270", "40000", "2026-03-10");
	settle_all();
	ck_assert(!crop_ledger_check(f.book, no_finding, NULL, &f.err));
	beds_on("2026-03-09");
	ck_assert_int_eq(whole("C10", "plants"), 270); /* it had not ended by then */
	beds_on("2026-03-10");
	ck_assert_uint_eq(report_count(&got, "crop_lot", "C10"), 0);

	ck_assert(
		!mini_patch(&f, cut, "pieces", "200", NULL)); /* now 70 stand: the end is unknown */
	beds_on("2026-03-10");
	ck_assert_int_eq(whole("C10", "plants"), 70);
	settle_all();
	beds_on("2026-03-10");
	ck_assert_int_eq(whole("C10", "plants"), 70);
	ck_assert(!crop_ledger_check(f.book, no_finding, NULL, &f.err));
}
END_TEST

START_TEST(set_up_that_changes_plants_reopens_a_lot)
{
	struct record *seeds;

	seeds = keep(mini_row(&f, "seed-lots", "code", "S2", "variety_id", "Red oak",
			      "germination_pct", "50", NULL));
	keep(mini_row(&f, "crop-lots", "code", "C10", "variety_id", "Red oak", "seed_lot_id", "S2",
		      "bed_id", "N1", "cubes", "100", "day", "2026-02-01", NULL));
	move("C10", "50", "2026-02-15");
	harvest("C10", "50", "7500", "2026-03-10");
	settle_all();
	beds_on("2026-03-10");
	ck_assert_uint_eq(report_count(&got, "crop_lot", "C10"), 0);
	ck_assert(!mini_patch(&f, seeds, "germination_pct", "80", NULL));
	beds_on("2026-03-10");
	ck_assert_int_eq(whole("C10", "plants"), 30);
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
	ck_assert(!store_run_ints(f.store, Q_CROP_SETTLE, &f.err, ":began_at", (int64_t)0,
				  ":ended_at", (int64_t)5, ":lot", lot->id, NULL));
	ck_assert(!crop_ledger_check(f.book, count_finding, &found, &f.err));
	ck_assert_int_eq(found, 1);
	ck_assert(!crop_ledger_rebuild(f.book, &f.err));
	settle_all();
	ck_assert(!crop_ledger_check(f.book, no_finding, NULL, &f.err));
}
END_TEST

START_TEST(shortfalls_name_every_break)
{
	struct shortfall *short_of;
	size_t n;
	struct record *lot = sow("C10", "100", "2026-02-01");

	move("C10", "95", "2026-02-15");
	move("C10", "20", "2026-02-16");
	ck_assert(!crop_shortfalls(f.book, lot->id, &f.arena, &short_of, &n, &f.err));
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
	f.hand.arrival = ARRIVES_ON_SCREEN;
	r = mini_row(&f, "crop-moves", "crop_lot_id", "C10", "from_bed_id", "N1", "to_bed_id", "B2",
		     "plants", "95", "day", "2026-02-15", NULL);
	ck_assert_int_eq(mini_create(&f, r, NULL), ERR_CONFLICT);
	ck_assert(err_has(&f.err, "more_than_there"));
	f.hand.confirm = true;
	keep(r);
}
END_TEST

START_TEST(crop_that_is_cut_again_is_never_short)
{
	keep(mini_row(&f, "crop-lots", "code", "C12", "variety_id", "Large leaf", "bed_id", "N1",
		      "cubes", "100", "day", "2026-02-01", NULL));
	f.hand.arrival = ARRIVES_ON_SCREEN;
	for (int cut = 0; cut < 2; cut++)
		keep(mini_row(&f, "harvests", "crop_lot_id", "C12", "bed_id", "N1", "pieces", "80",
			      "day", cut ? "2026-03-15" : "2026-03-10", NULL));
	beds_on("2026-03-15");
	ck_assert_int_eq(whole("C12", "plants"), 100);
	ck_assert_int_eq(whole("C12", "ready_on"), NO_INT); /* regrowth is not planned */
}
END_TEST

/* --- harvest --------------------------------------------------------------------------------------- */

static void cut_three(void)
{
	sow("C10", "300", "2026-02-01");
	sow("C11", "300", "2026-02-02");
	move("C10", "270", "2026-02-15");
	move("C11", "270", "2026-02-16");
	harvest("C10", "90", "13500.4", "2026-03-08"); /* a Sunday */
	harvest("C10", "10", "1500.3", "2026-03-09");  /* a Monday */
	keep(mini_row(&f, "harvests", "crop_lot_id", "C11", "bed_id", "B2", "pieces", "20",
		      "culled_pieces", "2", "culled_g", "120.5", "grade", "small", "day",
		      "2026-03-10", NULL)); /* not weighed */
}

START_TEST(weeks_go_by_their_monday)
{
	cut_three();
	harvests("week", NULL);
	ck_assert_uint_eq(got.n_rows, 2);
	ck_assert_int_eq(report_int(&got, 0, "period"), day_of("2026-03-02"));
	ck_assert_int_eq(report_int(&got, 1, "period"), day_of("2026-03-09"));
	ck_assert_int_eq(report_int(&got, 1, "harvests"), 2);
	ck_assert_int_eq(report_int(&got, 1, "pieces"), 30);
	ck_assert_double_eq(report_real(&got, 1, "weight_g"), 1500.3);        /* measured only */
	ck_assert_double_eq(report_real(&got, 1, "estimated_g"), 20 * 150.0); /* beside it */
	ck_assert_int_eq(report_int(&got, 1, "culled_pieces"), 2);
	ck_assert_double_eq(report_real(&got, 1, "culled_g"), 120.5);
}
END_TEST

START_TEST(keys_stand_in_the_order_asked)
{
	cut_three();
	harvests("lot,month,grade", NULL);
	ck_assert_uint_eq(got.n_rows, 2);
	ck_assert_str_eq(got.columns[0].name, "period");
	ck_assert_str_eq(got.columns[1].name, "lot");
	ck_assert_str_eq(got.columns[2].name, "grade");
	ck_assert_str_eq(got.columns[3].name, "harvests");
	ck_assert_int_eq(report_int(&got, 0, "period"), day_of("2026-03-01"));
	ck_assert_str_eq(report_text(&got, 0, "lot"), "C10");
	ck_assert_ptr_null(report_text(&got, 0, "grade"));
	ck_assert_str_eq(report_text(&got, 1, "grade"), "small");
}
END_TEST

START_TEST(each_key_names_what_was_harvested)
{
	cut_three();
	harvests("crop,variety,bed,species,tank", NULL);
	ck_assert_uint_eq(got.n_rows, 1);
	ck_assert_int_eq(report_int(&got, 0, "period"), day_of("2026-03-08")); /* the whole range */
	ck_assert_str_eq(report_text(&got, 0, "crop"), "Lettuce");
	ck_assert_str_eq(report_text(&got, 0, "variety"), "Red oak");
	ck_assert_str_eq(report_text(&got, 0, "bed"), "B2");
	ck_assert_ptr_null(report_text(&got, 0, "species"));
	ck_assert_ptr_null(report_text(&got, 0, "tank"));
}
END_TEST

START_TEST(fish_are_harvested_too)
{
	cut_three();
	keep(mini_row(&f, "harvests", "fish_lot_id", "F1", "tank_id", "T1", "pieces", "50",
		      "weight_g", "40000", "day", "2026-03-10", NULL));
	harvests("species,crop", NULL);
	ck_assert_uint_eq(got.n_rows, 2);
	ck_assert_str_eq(report_text(&got, 0, "species"), "Tilapia");
	ck_assert_ptr_null(report_text(&got, 0, "crop"));
	ck_assert_double_eq(report_real(&got, 0, "weight_g"), 40000);
	harvests("lot", "T1");
	ck_assert_uint_eq(got.n_rows, 1);
	ck_assert_str_eq(report_text(&got, 0, "lot"), "F1");
}
END_TEST

START_TEST(only_keeps_the_rows_of_a_code_or_name)
{
	cut_three();
	harvests("day", "C11");
	ck_assert_uint_eq(got.n_rows, 1);
	harvests("day", "red OAK");
	ck_assert_uint_eq(got.n_rows, 3);
	harvests("day", "B1");
	ck_assert_uint_eq(got.n_rows, 0);
	harvests("day", "no such thing");
	ck_assert_uint_eq(got.n_rows, 0);
}
END_TEST

START_TEST(struck_harvest_is_not_counted)
{
	struct record *h;

	cut_three();
	h = harvest("C11", "100", "15000", "2026-03-12");
	ck_assert(!mini_strike(&f, h, NULL));
	harvests("month", NULL);
	ck_assert_int_eq(report_int(&got, 0, "pieces"), 120);
}
END_TEST

START_TEST(weight_that_nobody_can_tell_is_null_and_noted)
{
	sow("C10", "300", "2026-02-01");
	keep(mini_row(&f, "harvests", "crop_lot_id", "C1", "bed_id", "N1", "pieces", "20", "day",
		      "2026-03-10", NULL)); /* the variety has no head weight */
	harvests("week", NULL);
	ck_assert(isnan(report_real(&got, 0, "weight_g")));
	ck_assert(isnan(report_real(&got, 0, "estimated_g")));
	ck_assert_str_eq(got.notes[0].code, "weight_unknown");
}
END_TEST

START_TEST(two_periods_are_refused)
{
	struct report_query q = report_query_at(f.hand.now);
	const struct report *report = report_find("harvest");

	got = (struct report_result){ .arena = &f.arena };
	q.by = "week,day";
	err_clear(&f.err);
	ck_assert_int_eq(report->run(f.book, &q, &got, &f.err), ERR_INPUT);
	ck_assert(err_has(&f.err, "one_period"));
	q.by = "week,colour";
	err_clear(&f.err);
	ck_assert_int_eq(report->run(f.book, &q, &got, &f.err), ERR_INPUT);
}
END_TEST

/* A thousand weights with three decimals: the total is exact to the milligram, grouped any way. */
START_TEST(totals_are_exact)
{
	unsigned seed = 20260310;
	int64_t total_mg = 0, sum_mg = 0;

	sow("C10", "300", "2026-02-01");
	for (int i = 0; i < 1000; i++) {
		int64_t mg = rand_r(&seed) % 30000000;
		char weight[32], day[32];

		total_mg += mg;
		snprintf(weight, sizeof(weight), "%d.%03d", (int)(mg / 1000), (int)(mg % 1000));
		snprintf(day, sizeof(day), "2026-0%d-%02d", 1 + i % 3, 1 + i % 19);
		harvest("C10", "0", weight, day);
	}
	harvests("day", NULL);
	for (size_t i = 0; i < got.n_rows; i++)
		sum_mg += llround(report_real(&got, i, "weight_g") * 1000);
	ck_assert_int_eq(sum_mg, total_mg);
	harvests("crop", NULL);
	ck_assert_int_eq(llround(report_real(&got, 0, "weight_g") * 1000), total_mg);
}
END_TEST

/* --- packed ---------------------------------------------------------------------------------------- */

static void pack(const char *code, const char *product, const char *packs, const char *harvest_code,
		 const char *pieces, const char *day)
{
	keep(mini_row(&f, "packings", "code", code, "product_id", product, "packs", packs, "day",
		      day, NULL));
	keep(mini_row(&f, "packing-lines", "packing_id", code, "harvest_id", harvest_code, "pieces",
		      pieces, NULL));
}

static void packed(const char *by, const char *only)
{
	struct report_query q = report_query_at(f.hand.now);

	q.by = by;
	q.only = only;
	report_run(f.book, "packed", &q, &f.arena, &got);
}

START_TEST(packings_are_totalled_by_product_and_period)
{
	struct record *struck;

	keep(mini_row(&f, "products", "code", "PR1", "name", "Lettuce box", "crop_id", "Lettuce",
		      NULL));
	keep(mini_row(&f, "products", "code", "PR2", "name", "Red oak heads", "variety_id",
		      "Red oak", NULL));
	sow("C10", "300", "2026-02-01");
	move("C10", "270", "2026-02-15");
	keep(mini_row(&f, "harvests", "code", "H1", "crop_lot_id", "C10", "bed_id", "B2", "pieces",
		      "200", "day", "2026-03-08", NULL));
	pack("K1", "PR1", "10", "H1", "60", "2026-03-08");
	pack("K2", "PR1", "5", "H1", "30", "2026-03-09");
	pack("K3", "PR2", "7", "H1", "7", "2026-03-09");
	struck = keep(mini_row(&f, "packings", "code", "K4", "product_id", "PR2", "packs", "99",
			       "day", "2026-03-09", NULL));
	ck_assert(!mini_strike(&f, struck, NULL));

	packed(NULL, NULL);
	ck_assert_uint_eq(got.n_rows, 2);
	ck_assert_str_eq(report_text(&got, 0, "product"), "PR1");
	ck_assert_int_eq(report_int(&got, 0, "packings"), 2);
	ck_assert_int_eq(report_int(&got, 0, "packs"), 15);
	ck_assert_int_eq(report_int(&got, 0, "pieces"), 90);
	ck_assert(isnan(report_real(&got, 0, "weight_g"))); /* no line has a weight */
	packed("week,product", "PR1");
	ck_assert_uint_eq(got.n_rows, 2);
	ck_assert_int_eq(report_int(&got, 1, "period"), day_of("2026-03-09"));
	ck_assert_int_eq(report_int(&got, 1, "packs"), 5);
}
END_TEST

/* --- arrival --------------------------------------------------------------------------------------- */

enum { SEASON = 12 };

static void season(struct record *rows[SEASON])
{
	size_t n = 0;

	rows[n++] = mini_row(&f, "crop-counts", "key", "0190a5c0-0000-7000-8000-000000000001",
			     "bed_id", "N1", "crop_lot_id", "C10", "counted", "280", "method",
			     "germination", "day", "2026-02-06", NULL);
	rows[n++] = mini_row(&f, "crop-moves", "key", "0190a5c0-0000-7000-8000-000000000002",
			     "crop_lot_id", "C10", "from_bed_id", "N1", "to_bed_id", "B2", "plants",
			     "150", "day", "2026-02-15", NULL);
	rows[n++] = mini_row(&f, "crop-moves", "key", "0190a5c0-0000-7000-8000-000000000003",
			     "crop_lot_id", "C11", "from_bed_id", "N1", "to_bed_id", "B2", "plants",
			     "200", "day", "2026-02-15", NULL);
	rows[n++] = mini_row(&f, "crop-moves", "key", "0190a5c0-0000-7000-8000-000000000004",
			     "crop_lot_id", "C10", "from_bed_id", "N1", "to_bed_id", "B2", "plants",
			     "120", "end", "foot", "empties", "1", "day", "2026-02-17", NULL);
	rows[n++] = mini_row(&f, "crop-losses", "key", "0190a5c0-0000-7000-8000-000000000005",
			     "crop_lot_id", "C10", "bed_id", "N1", "plants", "4", "day",
			     "2026-02-17", NULL);
	rows[n++] = mini_row(&f, "crop-moves", "key", "0190a5c0-0000-7000-8000-000000000006",
			     "crop_lot_id", "C11", "from_bed_id", "B2", "to_bed_id", "B2", "plants",
			     "100", "raft_sites", "15", "at", "2026-02-25T09:00:00Z", NULL);
	rows[n++] = mini_row(&f, "harvests", "key", "0190a5c0-0000-7000-8000-000000000007",
			     "crop_lot_id", "C10", "bed_id", "B2", "pieces", "60", "weight_g",
			     "8000.25", "day", "2026-03-10", NULL);
	rows[n++] = mini_row(&f, "harvests", "key", "0190a5c0-0000-7000-8000-000000000008",
			     "crop_lot_id", "C10", "bed_id", "B2", "pieces", "40", "day",
			     "2026-03-10", NULL);
	rows[n++] = mini_row(&f, "crop-losses", "key", "0190a5c0-0000-7000-8000-000000000009",
			     "crop_lot_id", "C11", "bed_id", "B2", "plants", "9", "at",
			     "2026-03-01T07:00:00Z", NULL);
	rows[n++] = mini_row(&f, "crop-counts", "key", "0190a5c0-0000-7000-8000-00000000000a",
			     "bed_id", "B2", "crop_lot_id", "C11", "counted", "188", "at",
			     "2026-03-02T07:00:00Z", NULL);
	rows[n++] = mini_row(&f, "harvests", "key", "0190a5c0-0000-7000-8000-00000000000b",
			     "crop_lot_id", "C11", "bed_id", "B2", "pieces", "50", "weight_g",
			     "7000.5", "grade", "A", "at", "2026-03-15T07:00:00Z", NULL);
	rows[n++] = mini_row(&f, "harvests", "key", "0190a5c0-0000-7000-8000-00000000000c",
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
		text = arena_printf(&f.arena, "%s%s\n%s", text, days[i],
				    report_as_text(&got, &f.arena));
	}
	harvests("week,lot,grade", NULL);
	return arena_printf(&f.arena, "%s%s", text, report_as_text(&got, &f.arena));
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
		keep(rows[i]);
	kept = strdup(everything()); /* the farm's arena goes with it */

	close_farm();
	open_farm();
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
		keep(rows[i]);
		if (i % 4 == 0)
			settle_all(); /* at any time, and it changes nothing */
	}
	ck_assert_str_eq(everything(), kept);
	free(kept);
}
END_TEST

Suite *crop_reports_suite(void)
{
	Suite *s = suite_create("crop_reports");
	TCase *t = tcase_create("beds");

	tcase_add_checked_fixture(t, open_farm, close_farm);
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
	suite_add_tcase(s, t);

	t = tcase_create("harvest");
	tcase_add_checked_fixture(t, open_farm, close_farm);
	tcase_add_test(t, weeks_go_by_their_monday);
	tcase_add_test(t, keys_stand_in_the_order_asked);
	tcase_add_test(t, each_key_names_what_was_harvested);
	tcase_add_test(t, fish_are_harvested_too);
	tcase_add_test(t, only_keeps_the_rows_of_a_code_or_name);
	tcase_add_test(t, struck_harvest_is_not_counted);
	tcase_add_test(t, weight_that_nobody_can_tell_is_null_and_noted);
	tcase_add_test(t, two_periods_are_refused);
	tcase_add_test(t, totals_are_exact);
	suite_add_tcase(s, t);

	t = tcase_create("packed");
	tcase_add_checked_fixture(t, open_farm, close_farm);
	tcase_add_test(t, packings_are_totalled_by_product_and_period);
	suite_add_tcase(s, t);

	t = tcase_create("arrival");
	tcase_add_checked_fixture(t, open_farm, close_farm);
	tcase_add_loop_test(t, entries_in_any_order_give_the_same_reports, 0, 12);
	suite_add_tcase(s, t);
	return s;
}

/*
 * Beds and harvests against published figures: each row of fixtures/published/beds-and-harvests.csv, with its
 * source beside it there, is worked out by the queue, the ledger and the reports.
 */
#include "book_tests.h"
#include "support/csv_farm.h"
#include "support/mini_farm.h"
#include "support/report_cells.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/csv.h"
#include "base/number.h"
#include "domain/bed_queue.h"

#define M_PER_FT 0.3048 /* NIST SP 811, exact */

static struct mini_farm f;
static struct report_result got;

static struct record *keep(const struct record *r)
{
	return mini_keep(&f, r);
}

static const char *number(double value)
{
	return arena_printf(&f.arena, "%.15g", value);
}

static const char *date(int64_t day)
{
	char text[TIME_TEXT_MAX];

	day_write(text, day);
	return arena_strdup(&f.arena, text);
}

/* FB017, FB018, FB137: a raft tank of 100 ft by 4 ft, rafts of 4 ft by 8 ft laid along it. */
static const struct bed_size raft_tank = { .length_m = 100 * M_PER_FT,
					   .width_m = 4 * M_PER_FT,
					   .raft_length_m = 8 * M_PER_FT,
					   .raft_width_m = 4 * M_PER_FT,
					   .sites_per_raft = 48 };
enum { RAFT_TANKS = 6, RAFTS = 12 /* whole ones of 8 ft in 100 ft */ };

static double area_of_system_m2(void)
{
	return RAFT_TANKS * bed_planted_area_m2(&raft_tank, RAFTS, RAFTS);
}

static double area_of_system_ft2(void)
{
	return area_of_system_m2() / (M_PER_FT * M_PER_FT);
}

/* 30 plants to the square metre, in whole sites of a raft. */
static double sites_of_system(void)
{
	double raft_m2 = bed_planted_area_m2(&raft_tank, 1, 1);

	return RAFT_TANKS * RAFTS * floor(30 * raft_m2);
}

static double density_of_tray(void)
{
	return (double)raft_tank.sites_per_raft /
	       bed_planted_area_m2(&raft_tank, 1, raft_tank.sites_per_raft);
}

/* LET-022, LET-023: boards of 2 ft by 4 ft with 60 holes for the first ten days, 21 for the last fourteen. */
static double density_of_board(int64_t holes)
{
	const struct bed_size board = { .length_m = 8 * M_PER_FT,
					.width_m = 4 * M_PER_FT,
					.raft_length_m = 4 * M_PER_FT,
					.raft_width_m = 2 * M_PER_FT,
					.sites_per_raft = holes };

	return (double)holes / bed_planted_area_m2(&board, 1, holes);
}

static double density_of_young_board(void)
{
	return density_of_board(60);
}

static double density_of_old_board(void)
{
	return density_of_board(21);
}

/* A bed whose rafts have this length, width and sites, one abreast. */
static void add_bed(const char *length_m, const char *raft_m, const char *sites)
{
	keep(mini_row(&f, "beds", "code", "B9", "loop_id", "L1", "role", "raft", "length_m",
		      length_m, "width_m", raft_m, "raft_length_m", raft_m, "raft_width_m", raft_m,
		      "sites_per_raft", sites, NULL));
}

static void plant(const char *code, int64_t day, int64_t plants)
{
	const char *n = number((double)plants);

	keep(mini_row(&f, "crop-lots", "code", code, "variety_id", "Green butterhead", "bed_id",
		      "N1", "cubes", n, "day", date(day - 21), NULL));
	keep(mini_row(&f, "crop-moves", "crop_lot_id", code, "from_bed_id", "N1", "to_bed_id", "B9",
		      "plants", n, "day", date(day), NULL));
}

static void cut(const char *code, int64_t day, double pieces, double weight_g)
{
	keep(mini_row(&f, "harvests", "crop_lot_id", code, "bed_id", "B9", "pieces", number(pieces),
		      "weight_g", weight_g > 0 ? number(weight_g) : "", "day", date(day), NULL));
}

static void beds_on(int64_t day)
{
	struct report_query q = report_query_at(f.hand.now);

	q.day = day;
	q.only = "B9";
	report_run(f.book, "beds", &q, &f.arena, &got);
}

static void harvests_by(const char *by, int64_t from_day, int64_t to_day)
{
	struct report_query q = report_query_at(f.hand.now);

	q.by = by;
	q.from_day = from_day;
	q.to_day = to_day;
	report_run(f.book, "harvest", &q, &f.arena, &got);
}

static int64_t sum_of(const char *column)
{
	int64_t sum = 0;

	for (size_t i = 0; i < got.n_rows; i++)
		sum += report_int(&got, i, column);
	return sum;
}

/* 36 + 72 + 72 plants in rafts of 36 sites on 1.44 m2. */
static double density_of_three_crops(void)
{
	static const int64_t plants[] = { 36, 72, 72 };
	static const struct bed_size raft = { .raft_length_m = 1.2, .raft_width_m = 1.2 };
	int64_t day = day_of("2026-02-02");

	add_bed("6", "1.2", "36");
	for (size_t i = 0; i < 3; i++)
		plant(arena_printf(&f.arena, "P%zu", i), day, plants[i]);
	beds_on(day);
	return (double)sum_of("plants") /
	       bed_planted_area_m2(&raft, sum_of("rafts"), sum_of("plants"));
}

/* 25 heads a week, four weeks in the bed, 25 to the raft of 1 m2: what the bed holds once it is full. */
static double area_for_weekly_heads(void)
{
	static const struct bed_size raft = { .raft_length_m = 1, .raft_width_m = 1 };
	int64_t first = day_of("2025-11-03");

	add_bed("6", "1", "25");
	for (int week = 0; week < 12; week++) {
		plant(arena_printf(&f.arena, "P%d", week), first + 7 * week, 25);
		if (week >= 4)
			cut(arena_printf(&f.arena, "P%d", week - 4), first + 7 * week, 25, 0);
	}
	harvests_by("week", first + 28, first + 7 * 11);
	ck_assert_uint_eq(got.n_rows, 8);
	for (size_t i = 0; i < got.n_rows; i++)
		ck_assert_int_eq(report_int(&got, i, "pieces"), 25);
	beds_on(first + 7 * 11 + 3);
	return bed_planted_area_m2(&raft, sum_of("rafts"), sum_of("plants"));
}

/* 52 weekly harvests of 27 cases; a case is a piece here. */
static void cut_cases(int64_t first)
{
	add_bed("300", "1", "27");
	for (int week = 0; week < 52; week++) {
		plant(arena_printf(&f.arena, "P%d", week), first + 7 * week - 21, 27);
		cut(arena_printf(&f.arena, "P%d", week), first + 7 * week, 27, 0);
	}
}

static double cases_a_year(void)
{
	int64_t first = day_of("2025-01-06");

	cut_cases(first);
	harvests_by("crop", first, first + 363);
	return (double)report_int(&got, 0, "pieces");
}

static double cases_a_week(void)
{
	int64_t first = day_of("2025-01-06");

	cut_cases(first);
	harvests_by("week", first, first + 363);
	return (double)sum_of("pieces") / (double)got.n_rows;
}

/* 25.0 kg from each square metre of the system in a year, cut in 13 batches. */
static double basil_a_year_t(void)
{
	int64_t first = day_of("2025-01-06");

	add_bed("300", "1", "10");
	for (int batch = 0; batch < 13; batch++) {
		const char *code = arena_printf(&f.arena, "P%d", batch);

		plant(code, first + 28 * batch, 100);
		cut(code, first + 28 * batch + 27, 100, 25000.0 * area_of_system_m2() / 13);
	}
	harvests_by("crop", first, first + 363);
	return report_real(&got, 0, "weight_g") / 1e6;
}

/* 2.7 kg from each square metre of 20 plants, on ten square metres. */
static double mean_plant_g(void)
{
	int64_t day = day_of("2026-02-02");

	add_bed("20", "1", "20");
	plant("P1", day, 200);
	cut("P1", day + 35, 200, 10 * 2700.0);
	harvests_by("lot", day, day + 40);
	return report_real(&got, 0, "weight_g") / (double)report_int(&got, 0, "pieces");
}

/* FB100: seedlings of 3 weeks; FB281: 3 weeks from transplant.  From seed, sown or moved: the same day. */
static double weeks_from_seed(void)
{
	int64_t day = day_of("2026-02-02"), sown, before;

	keep(mini_row(&f, "varieties", "name", "Plain", "crop_id", "Lettuce", "days_germination",
		      "7", "days_nursery", "14", "days_raft", "21", NULL));
	add_bed("20", "1", "20");
	keep(mini_row(&f, "crop-lots", "code", "P1", "variety_id", "Plain", "bed_id", "N1", "cubes",
		      "100", "day", date(day), NULL));
	keep(mini_row(&f, "crop-moves", "crop_lot_id", "P1", "from_bed_id", "N1", "to_bed_id", "B9",
		      "plants", "100", "day", date(day + 21), NULL));

	struct report_query q = report_query_at(f.hand.now);

	q.day = day;
	q.only = "P1";
	report_run(f.book, "beds", &q, &f.arena, &got);
	sown = report_int(&got, 0, "sown_on");
	before = report_int(&got, 0, "ready_on");
	beds_on(day + 21);
	ck_assert_int_eq(report_int(&got, 0, "ready_on"), before);
	return (double)(before - sown) / 7.0;
}

static const struct {
	const char *id;
	double (*works_out)(void);
} published[] = {
	{ "FB005", area_of_system_m2 },      { "FB006", area_of_system_ft2 },
	{ "FB033", basil_a_year_t },         { "FB039", sites_of_system },
	{ "FB061", cases_a_year },           { "FB062", cases_a_week },
	{ "FB099", mean_plant_g },           { "FB124", density_of_three_crops },
	{ "FB138", density_of_tray },        { "FB188", area_for_weekly_heads },
	{ "FB283", weeks_from_seed },        { "LET-022", density_of_young_board },
	{ "LET-023", density_of_old_board },
};
enum { PUBLISHED = sizeof(published) / sizeof(published[0]) };

enum { COLUMN_ID, COLUMN_VALUE = 3, COLUMN_TOLERANCE = 5, COLUMNS = 11 };

/* The file's row number i, from 0 after its head.  False at the end. */
static bool read_row(size_t i, struct csv_row *row)
{
	static char text[20000];
	struct csv_reader reader;
	FILE *file = fopen(fixture_path(&f.arena, "published/beds-and-harvests.csv"), "r");
	size_t length;

	ck_assert_ptr_nonnull(file);
	length = fread(text, 1, sizeof(text), file);
	ck_assert_uint_lt(length, sizeof(text));
	fclose(file);
	csv_reader_init(&reader, text, length, ',');
	for (size_t at = 0; at <= i + 1; at++) {
		enum err_code rc = csv_read(&reader, &f.arena, row, &f.err);

		if (rc == ERR_NOT_FOUND)
			return false;
		ck_assert(!rc);
		ck_assert_uint_eq(row->n, COLUMNS);
	}
	return true;
}

static void open_farm(void)
{
	mini_farm_open(&f);
	f.hand.arrival = ARRIVES_IMPORTED;
}

static void close_farm(void)
{
	mini_farm_close(&f);
}

START_TEST(published_figure_is_worked_out)
{
	struct csv_row row;
	double value, tolerance;

	ck_assert(read_row((size_t)_i, &row));
	ck_assert_str_eq(row.cells[COLUMN_ID], published[_i].id);
	ck_assert(number_read_real(row.cells[COLUMN_VALUE], '.', &value));
	ck_assert(number_read_real(row.cells[COLUMN_TOLERANCE], '.', &tolerance));
	ck_assert_double_eq_tol(published[_i].works_out(), value, tolerance + 1e-9);
}
END_TEST

START_TEST(every_row_of_the_file_is_worked_out)
{
	struct csv_row row;

	ck_assert(!read_row(PUBLISHED, &row));
}
END_TEST

/* Common practice, no source: fixtures/published/practice-bed.  Ten weekly lots fill a bed of 30.5 m by 2.4 m
 * with 1,800 plants; the oldest is cut at the foot and the eleventh planted at the head. */
START_TEST(bed_of_common_practice_fills_and_turns_over)
{
	struct csv_farm farm;
	struct report_query q = report_query_at(instant_of("2026-04-10T12:00:00Z"));

	csv_farm_open(&farm, "published/practice-bed", q.now);
	q.only = "RB1";
	q.day = day_of("2026-03-23");
	report_run(farm.book, "beds", &q, &farm.arena, &got);
	ck_assert_uint_eq(got.n_rows, 10);
	ck_assert_int_eq(sum_of("plants"), 1800);
	ck_assert_str_eq(report_text(&got, 9, "crop_lot"), "W01"); /* at the foot */
	ck_assert_double_eq_tol(report_real(&got, 9, "to_m"), 30.5, 1e-9);
	ck_assert_str_eq(report_text(&got, 0, "crop_lot"), "W10"); /* at the planting end */
	ck_assert_double_eq_tol(report_real(&got, 0, "from_m"), 0, 1e-9);

	q.day = day_of("2026-03-30");
	report_run(farm.book, "beds", &q, &farm.arena, &got);
	ck_assert_int_eq(sum_of("plants"), 1800);
	ck_assert_str_eq(report_text(&got, 9, "crop_lot"), "W02");
	ck_assert_str_eq(report_text(&got, 0, "crop_lot"), "W11");
	ck_assert_double_eq_tol(report_real(&got, 0, "from_m"), 0, 1e-9);
	ck_assert_uint_eq(got.n_notes, 0);
	csv_farm_close(&farm);
}
END_TEST

Suite *crops_published_suite(void)
{
	Suite *s = suite_create("crops_published");
	TCase *t = tcase_create("published");

	tcase_add_checked_fixture(t, open_farm, close_farm);
	tcase_add_loop_test(t, published_figure_is_worked_out, 0, PUBLISHED);
	tcase_add_test(t, every_row_of_the_file_is_worked_out);
	tcase_add_test(t, bed_of_common_practice_fills_and_turns_over);
	suite_add_tcase(s, t);
	return s;
}

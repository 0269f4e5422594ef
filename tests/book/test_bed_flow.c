/* Report bed-flow: the same places as report beds gives on each day, and nothing of other beds. */
#include "book_tests.h"

#include "support/mini_farm.h"
#include "support/report_cells.h"

static struct mini_farm f;

/* Bed B9: 12 m, rafts of 1.2 m by 0.6 m, two abreast, 18 sites.  36 plants, then 36 more a week later. */
static void open_farm(void)
{
	mini_farm_open(&f);
	mini_keep(&f, mini_row(&f, "beds", "code", "B9", "loop_id", "L1", "role", "raft",
			       "length_m", "12", "width_m", "1.2", "raft_length_m", "1.2",
			       "raft_width_m", "0.6", "sites_per_raft", "18", NULL));
	mini_keep(&f, mini_row(&f, "crop-lots", "code", "C2", "variety_id", "Green butterhead",
			       "bed_id", "N1", "cubes", "36", "day", "2026-03-02", NULL));
	mini_keep(&f, mini_row(&f, "crop-moves", "crop_lot_id", "C1", "from_bed_id", "N1",
			       "to_bed_id", "B9", "plants", "36", "day", "2026-03-10", NULL));
	mini_keep(&f, mini_row(&f, "crop-moves", "crop_lot_id", "C2", "from_bed_id", "N1",
			       "to_bed_id", "B9", "plants", "36", "day", "2026-03-17", NULL));
}

static void close_farm(void)
{
	mini_farm_close(&f);
}

static struct report_result flow(const char *bed, const char *from, const char *to)
{
	struct report_query q = report_query_at(f.hand.now);
	struct report_result got;

	q.only = bed;
	q.from_day = day_of(from);
	q.to_day = day_of(to);
	report_run(f.book, "bed-flow", &q, &f.arena, &got);
	return got;
}

struct stretch {
	int64_t day;
	const char *lot;
	double from_m, to_m;
};

static struct stretch read_stretch(const struct report_result *r, size_t row, int64_t day)
{
	return (struct stretch){ day, report_text(r, row, "crop_lot"),
				 report_real(r, row, "from_m"), report_real(r, row, "to_m") };
}

START_TEST(each_day_is_what_report_beds_says_of_it)
{
	const struct report_result got = flow("b9", "2026-03-08", "2026-03-20");
	struct stretch flowed[64];
	size_t at = 0;

	ck_assert_uint_eq(got.n_rows, 7 + 2 * 4); /* one lot for a week, then two for four days */
	for (size_t i = 0; i < got.n_rows; i++)
		flowed[i] = read_stretch(&got, i, report_int(&got, i, "day"));
	for (int64_t day = day_of("2026-03-08"); day <= day_of("2026-03-20"); day++) {
		struct report_query q = report_query_at(f.hand.now);
		struct report_result beds;

		q.day = day;
		q.only = "B9";
		report_run(f.book, "beds", &q, &f.arena, &beds);
		for (size_t i = 0; i < beds.n_rows; i++, at++) {
			const struct stretch want = read_stretch(&beds, i, day);

			ck_assert_int_eq(flowed[at].day, want.day);
			ck_assert_str_eq(flowed[at].lot, want.lot);
			ck_assert_double_eq(flowed[at].from_m, want.from_m);
			ck_assert_double_eq(flowed[at].to_m, want.to_m);
		}
	}
	ck_assert_uint_eq(at, got.n_rows);
}
END_TEST

/* Two rafts abreast of 1.2 m: 36 plants take one row, packed against the foot at 12 m. */
START_TEST(a_lot_stands_at_the_foot_and_the_next_behind_it)
{
	struct report_result got = flow("B9", "2026-03-18", "2026-03-18");
	const size_t first = report_row(&got, "crop_lot", "C1"),
		     next = report_row(&got, "crop_lot", "C2");

	ck_assert_double_eq_tol(report_real(&got, first, "to_m"), 12.0, 1e-9);
	ck_assert_double_eq_tol(report_real(&got, first, "from_m"), 10.8, 1e-9);
	ck_assert_double_eq_tol(report_real(&got, next, "to_m"), 10.8, 1e-9);
}
END_TEST

START_TEST(without_a_bed_it_gives_all_of_them)
{
	struct report_result got = flow(NULL, "2026-03-18", "2026-03-18");

	ck_assert_uint_eq(report_count(&got, "bed", "B9"), 2);
}
END_TEST

START_TEST(it_asks_for_a_bearable_time)
{
	struct report_query q = report_query_at(f.hand.now);
	struct report_result got = { .arena = &f.arena };
	struct err err;

	q.from_day = day_of("2020-01-01");
	err_clear(&err);
	ck_assert_int_eq(report_find("bed-flow")->run(f.book, &q, &got, &err), ERR_INPUT);
	ck_assert(err_has(&err, "too_long"));
}
END_TEST

Suite *bed_flow_suite(void)
{
	Suite *s = suite_create("flow of a bed");
	TCase *t = tcase_create("bed-flow");

	tcase_add_checked_fixture(t, open_farm, close_farm);
	tcase_add_test(t, each_day_is_what_report_beds_says_of_it);
	tcase_add_test(t, a_lot_stands_at_the_foot_and_the_next_behind_it);
	tcase_add_test(t, without_a_bed_it_gives_all_of_them);
	tcase_add_test(t, it_asks_for_a_bearable_time);
	suite_add_tcase(s, t);
	return s;
}

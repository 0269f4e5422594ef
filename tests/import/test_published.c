/* Published figures as small farms, fixtures/published: the reports must give what print gives.  The sources
 * stand in the README there, by row. */
#include <math.h>
#include <string.h>

#include "base/zone.h"
#include "farm_files.h"
#include "import_tests.h"
#include "support/report_cells.h"
#include "support/support.h"

#define NOW "2026-12-01T12:00:00Z"

static int64_t day_of(const char *text)
{
	int64_t day = 0;

	ck_assert(day_read(text, &day));
	return day;
}

/* The stock of a day, 2026-01-05 being day 0. */
static void stock_on(struct farm *f, int day, struct report_result *r)
{
	struct report_query q = report_query_at(f->options.now);

	q.day = day_of("2026-01-05") + day;
	report_run(f->book, "stock", &q, &f->arena, r);
}

/* FB015, FB055, FB026, FB027, FB370, FB371: Rakocy and others (2004, 2006), UVI fact sheet (2009). */
START_TEST(the_uvi_growout_gives_1_70_economic_and_1_68_biological)
{
	struct report_query q;
	struct report_result r = { 0 };
	struct farm f;

	farm_open(&f, NOW);
	farm_must_import(&f, "published/growout-uvi");
	q = report_query_at(f.options.now);
	q.by = _i ? "fish_lot" : "tank";
	q.from_day = day_of("2026-01-05");
	q.to_day = q.from_day + 168;
	report_run(f.book, "feed-conversion", &q, &f.arena, &r);
	ck_assert_uint_eq(r.n_rows, 1);
	ck_assert_double_eq_tol(report_real(&r, 0, "feed_g"), 735200, 0.5);
	ck_assert_double_eq_tol(report_real(&r, 0, "gain_g"), 480142 - 47520, 0.5);
	ck_assert_double_eq_tol(report_real(&r, 0, "fcr_economic"), 1.70, 0.005);
	ck_assert_double_eq_tol(report_real(&r, 0, "fcr_biological"), 1.682, 0.0005);
	ck_assert_int_eq(report_int(&r, 0, "dead_fish"), 10);
	ck_assert_int_eq(report_int(&r, 0, "unexplained_fish"), 0);
	farm_close(&f);
}
END_TEST

/* FB323 to FB327, FB334: proceedings of a recirculating aquaculture conference, about 2000. */
START_TEST(the_batch_gives_its_means_and_biomass)
{
	static const struct {
		int day;
		const char *tank;
		int fish;
		double mean_g;
	} published[] = {
		{ 28, "N1", 9000, 5.2 },
		{ 84, "G1", 8500, 58.3 },
		{ 172, "G1", 4250, 232.2 },
		{ 271, "G2", 4250, 550 },
	};
	struct report_result r = { 0 };
	struct farm f;

	farm_open(&f, NOW);
	farm_must_import(&f, "published/batch");
	stock_on(&f, published[_i].day, &r);

	const size_t row = report_row(&r, "tank", published[_i].tank);

	ck_assert_int_eq(report_int(&r, row, "fish"), published[_i].fish);
	/* Half a day's growth lies between noon, when it was weighed, and the day's end: 1 % in fry. */
	ck_assert_double_eq_tol(report_real(&r, row, "mean_weight_g") / published[_i].mean_g, 1,
				0.05);
	farm_close(&f);
}
END_TEST

/* FB333: 9,000 stocked, 8,500 moved on day 84, 94.44 %; the book leaves the 500 unexplained. */
START_TEST(the_batch_leaves_500_fry_unexplained)
{
	struct report_query q;
	struct report_result r = { 0 };
	struct farm f;

	farm_open(&f, NOW);
	farm_must_import(&f, "published/batch");
	q = report_query_at(f.options.now);
	q.by = "fish_lot";
	q.from_day = day_of("2026-01-05");
	q.to_day = q.from_day + 84;
	report_run(f.book, "feed-conversion", &q, &f.arena, &r);
	ck_assert_uint_eq(r.n_rows, 1);
	ck_assert_int_eq(report_int(&r, 0, "unexplained_fish"), -500);
	farm_close(&f);
}
END_TEST

/* Common practice, no source: 5 g to 454 g in about a year. */
START_TEST(a_year_of_one_lot_grows_without_a_jump)
{
	struct farm f;
	double before = 5;

	farm_open(&f, "2027-02-01T12:00:00Z");
	farm_must_import(&f, "published/practice-year");
	for (int day = 1; day <= 364; day += 33) {
		struct report_result r = { 0 };

		stock_on(&f, day, &r);
		ck_assert_uint_eq(r.n_rows, 1);
		ck_assert_double_gt(report_real(&r, 0, "mean_weight_g"), before);
		before = report_real(&r, 0, "mean_weight_g");
		ck_assert_double_lt(before, 455);
	}
	farm_close(&f);
}
END_TEST

/* Common practice, no source: a bed of 30.5 m by 2.4 m holds 1,800 plants and works from end to end. */
START_TEST(the_bed_holds_1800_plants_from_end_to_end)
{
	struct report_query q;
	struct report_result r = { 0 };
	struct farm f;
	int plants = 0, rafts = 0;
	double last_m = 0;

	farm_open(&f, NOW);
	farm_must_import(&f, "published/practice-bed");
	q = report_query_at(f.options.now);
	q.day = day_of("2026-01-05") + 84;
	report_run(f.book, "beds", &q, &f.arena, &r);
	for (size_t i = 0; i < r.n_rows; i++) {
		if (strcmp(report_text(&r, i, "bed"), "RB1") != 0)
			continue;
		plants += (int)report_int(&r, i, "plants");
		rafts += (int)report_int(&r, i, "rafts");
		last_m = fmax(last_m, report_real(&r, i, "to_m"));
		ck_assert_str_ne(report_text(&r, i, "crop_lot"), "W01");
	}
	ck_assert_int_eq(plants, 1800);
	ck_assert_int_eq(rafts, 100);
	ck_assert_double_eq_tol(last_m, 30.5, 0.001);
	/* The lot planted last stands at the planting end, the oldest at the foot. */
	ck_assert_double_eq_tol(report_real(&r, report_row(&r, "crop_lot", "W11"), "from_m"), 0,
				0.001);
	ck_assert_double_eq_tol(report_real(&r, report_row(&r, "crop_lot", "W02"), "to_m"), 30.5,
				0.001);
	farm_close(&f);
}
END_TEST

Suite *published_suite(void)
{
	Suite *suite = suite_create("import: published farms");
	TCase *tc = tcase_create("published");

	tcase_set_timeout(tc, 60);
	tcase_add_loop_test(tc, the_uvi_growout_gives_1_70_economic_and_1_68_biological, 0, 2);
	tcase_add_loop_test(tc, the_batch_gives_its_means_and_biomass, 0, 4);
	tcase_add_test(tc, the_batch_leaves_500_fry_unexplained);
	tcase_add_test(tc, a_year_of_one_lot_grows_without_a_jump);
	tcase_add_test(tc, the_bed_holds_1800_plants_from_end_to_end);
	suite_add_tcase(suite, tc);
	return suite;
}

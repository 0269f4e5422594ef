/* The fish ledger against published farms (fixtures/published, sources in its README.md). */
#include "book_tests.h"
#include "support/csv_farm.h"
#include "support/report_cells.h"

#include <math.h>
#include <string.h>

#include "base/zone.h"
#include "domain/growth.h"

static const double lb_per_kg = 1.0 / 0.45359237; /* NIST SP 811 */
static const double kg_m3_per_lb_gal = 0.45359237 / 3.785411784e-3;

static struct csv_farm f;
static struct report_result got;

static int64_t at(const char *text)
{
	int64_t t = 0;

	ck_assert(time_read(text, &t));
	return t;
}

static void open_folder(const char *folder, const char *now)
{
	csv_farm_open(&f, folder, at(now));
}

static void conversion_between(const char *from, const char *to, const char *now)
{
	struct report_query q = report_query_at(at(now));

	ck_assert(day_read(from, &q.from_day) && day_read(to, &q.to_day));
	report_run(f.book, "feed-conversion", &q, &f.arena, &got);
}

static void stock_on(const char *day, const char *now)
{
	struct report_query q = report_query_at(at(now));

	ck_assert(day_read(day, &q.day));
	report_run(f.book, "stock", &q, &f.arena, &got);
}

/* FB015, FB055, FB026, FB027, FB370, FB371: 735.2 / 432.622 = 1.699 and 735.2 / 437.087 = 1.682; FB057: 480 kg harvested. */
START_TEST(published_grow_out_gives_its_conversion)
{
	open_folder("published/growout-uvi", "2026-07-01T12:00:00Z");
	conversion_between("2026-01-05", "2026-06-22", "2026-07-01T12:00:00Z");
	ck_assert_uint_eq(got.n_rows, 1);
	ck_assert_double_eq_tol(report_real(&got, 0, "feed_g"), 735200.0, 0.5);
	ck_assert_double_eq_tol(report_real(&got, 0, "gain_g"), 432622.0, 0.5);
	ck_assert_double_eq_tol(report_real(&got, 0, "removed_g"), 480000.0, 4800.0);
	ck_assert_double_eq_tol(report_real(&got, 0, "fcr_economic"), 1.70, 0.005);
	ck_assert_double_eq_tol(report_real(&got, 0, "fcr_biological"), 1.68, 0.005);
	ck_assert_int_eq(report_int(&got, 0, "dead_fish"), 10);
	ck_assert_int_eq(report_int(&got, 0, "unexplained_fish"), 0);
}
END_TEST

/* The same, by lot and by loop: one tank, one lot, one loop. */
START_TEST(conversion_is_the_same_by_lot_species_and_loop)
{
	static const char *const by[] = { "fish_lot", "species", "loop" };

	open_folder("published/growout-uvi", "2026-07-01T12:00:00Z");
	for (size_t i = 0; i < 3; i++) {
		struct report_query q = report_query_at(at("2026-07-01T12:00:00Z"));
		q.by = by[i];
		ck_assert(day_read("2026-01-05", &q.from_day) && day_read("2026-06-22", &q.to_day));
		report_run(f.book, "feed-conversion", &q, &f.arena, &got);
		ck_assert_uint_eq(got.n_rows, 1);
		ck_assert_double_eq_tol(report_real(&got, 0, "fcr_economic"), 1.6994, 0.0005);
	}
}
END_TEST

/* FB016: 600 fish in 7.8 m3; FB055: 79.2 g; so 6.09 kg/m3 on the first day. */
START_TEST(published_stocking_gives_its_density)
{
	open_folder("published/growout-uvi", "2026-07-01T12:00:00Z");
	stock_on("2026-01-05", "2026-07-01T12:00:00Z");
	ck_assert_uint_eq(got.n_rows, 1);
	ck_assert_int_eq(report_int(&got, 0, "fish"), 600);
	ck_assert_double_eq_tol(report_real(&got, 0, "density_kg_m3"), 600 * 0.0792 / 7.8, 0.4);
}
END_TEST

/* FB323: 0.45 g on the day that they came, before they grew. */
START_TEST(published_batch_begins_at_its_weight)
{
	struct report_query q = report_query_at(at("2026-01-05T00:00:01Z"));

	open_folder("published/batch", "2026-12-01T12:00:00Z");
	report_run(f.book, "stock", &q, &f.arena, &got);
	ck_assert_int_eq(report_int(&got, 0, "fish"), 9000);
	ck_assert_double_eq_tol(report_real(&got, 0, "mean_weight_g"), 0.45, 0.0005);
}
END_TEST

/* FB324, FB325, FB326, FB327: the weighed means. */
START_TEST(published_batch_stands_at_its_weights)
{
	static const struct {
		const char *day;
		double mean_g;
		int64_t fish;
	} published[] = {
		{ "2026-02-02", 5.2, 9000 },   /* day 28 */
		{ "2026-03-30", 58.3, 8500 },  /* day 84 */
		{ "2026-06-26", 232.2, 8500 }, /* day 172 */
		{ "2026-10-03", 550, 8500 },   /* day 271 */
	};

	open_folder("published/batch", "2026-12-01T12:00:00Z");
	for (size_t i = 0; i < sizeof(published) / sizeof(published[0]); i++) {
		double mass = 0.0;
		int64_t fish = 0;
		stock_on(published[i].day, "2026-12-01T12:00:00Z");
		for (size_t r = 0; r < got.n_rows; r++) {
			fish += report_int(&got, r, "fish");
			mass += report_real(&got, r, "biomass_g");
		}
		ck_assert_int_eq(fish, published[i].fish);
		/* the report stands at the day's end, half a day of growth after the weighing */
		ck_assert_double_eq_tol(mass / (double)fish, published[i].mean_g,
					0.05 * published[i].mean_g);
	}
}
END_TEST

/* FB333: 9,000 stocked, 8,500 moved: the 500 that nobody entered are unexplained. */
START_TEST(published_nursery_survival_leaves_the_rest_unexplained)
{
	open_folder("published/batch", "2026-12-01T12:00:00Z");
	conversion_between("2026-01-05", "2026-03-30", "2026-12-01T12:00:00Z");
	const size_t nursery = report_row(&got, "tank", "N1");
	ck_assert_int_eq(report_int(&got, nursery, "unexplained_fish"), -500);
	ck_assert_double_eq_tol(1.0 + (double)report_int(&got, nursery, "unexplained_fish") /
						9000.0,
				0.9444, 0.0005);
	ck_assert_double_eq_tol(report_real(&got, nursery, "removed_g"), 8500 * 58.3, 1.0);
}
END_TEST

/* FB334 to FB336: 8,500 fish of 232.2 g are 1,973.7 kg, 4,351 lb, 0.68 lb/US gal. */
START_TEST(published_batch_gives_its_biomass_and_density)
{
	struct report_query q = report_query_at(at("2026-06-26T12:00:01Z"));
	double mass = 0.0;

	open_folder("published/batch", "2026-12-01T12:00:00Z");
	report_run(f.book, "stock", &q, &f.arena, &got);
	for (size_t r = 0; r < got.n_rows; r++)
		mass += report_real(&got, r, "biomass_g") / 1000.0;
	ck_assert_double_eq_tol(mass, 1973.7, 1.0);
	ck_assert_double_eq_tol(mass * lb_per_kg, 4351.0, 2.0);
}
END_TEST

/* FB336, FB337: 0.68 lb/US gal before the split (both halves in 24.2 m3), 0.80 at the first harvest. */
START_TEST(published_densities_hold_in_pounds_per_gallon)
{
	open_folder("published/batch", "2026-12-01T12:00:00Z");
	stock_on("2026-06-25", "2026-12-01T12:00:00Z");
	const double before = report_real(&got, report_row(&got, "tank", "G1"), "density_kg_m3");
	ck_assert_double_eq_tol(before / kg_m3_per_lb_gal, 0.68, 0.01);
	stock_on("2026-10-03", "2026-12-01T12:00:00Z");
	const double harvest = report_real(&got, report_row(&got, "tank", "G1"), "density_kg_m3");
	ck_assert_double_eq_tol(harvest / kg_m3_per_lb_gal, 0.80, 0.01);
}
END_TEST

/* FB338: 10,532 lb harvested in all by day 298. */
START_TEST(published_harvest_is_summed_in_pounds)
{
	struct report_query q = report_query_at(at("2026-12-01T12:00:00Z"));
	double mass_g = 0;

	open_folder("published/batch", "2026-12-01T12:00:00Z");
	ck_assert(day_read("2026-01-05", &q.from_day) && day_read("2026-12-01", &q.to_day));
	q.by = "species";
	report_run(f.book, "harvest", &q, &f.arena, &got);
	for (size_t r = 0; r < got.n_rows; r++)
		mass_g += report_real(&got, r, "weight_g");
	ck_assert_double_eq_tol(mass_g / 1000 * lb_per_kg, 10532, 1);
}
END_TEST

/* Common practice, no source: 5 g to 454 g in about a year.  Half-way the weight lies on the curve between. */
START_TEST(a_year_from_5_to_454_g_is_followed_between_its_ends)
{
	open_folder("published/practice-year", "2027-02-01T12:00:00Z");
	stock_on("2026-07-06", "2027-02-01T12:00:00Z");
	const double half = report_real(&got, 0, "mean_weight_g");
	ck_assert_str_eq(report_text(&got, 0, "basis"), "between");
	ck_assert(half > 5.0 && half < 454.0);
	/* no temperature was read: the specific rate holds, 100 ln(454/5)/365 = 1.235 %/d */
	ck_assert_double_eq_tol(half, 5.0 * exp(log(454.0 / 5.0) * 182.5 / 365.0), 0.7);
}
END_TEST

/* FB328, FB329, FB330, FB331, FB332: arithmetic on the batch's text. */
static const struct {
	double w1, w2, days, sgr, gain;
} rates[] = {
	{ 0.45, 5.2, 28, 8.74, 0.1696 },
	{ 58.3, 232.2, 88, 1.57, 1.976 },
	{ 0.45, 550, 271, 2.623, NAN },
};
START_TEST(growth_rates_match_the_published_batch)
{
	const double sgr = growth_sgr_pct_day(rates[_i].w1, rates[_i].w2, rates[_i].days);

	ck_assert_double_eq_tol(sgr, rates[_i].sgr, 0.005 * rates[_i].sgr);
	if (!isnan(rates[_i].gain))
		ck_assert_double_eq_tol((rates[_i].w2 - rates[_i].w1) / rates[_i].days,
					rates[_i].gain, 0.005 * rates[_i].gain);
}
END_TEST

/* FB358 (Iwama and Tautz 1981): 10 g to 350 g in 200 d at 11 degC; FB359: 79.2 g to 813.8 g, 168 d, 28 degC. */
START_TEST(thermal_coefficients_match_published_ones)
{
	ck_assert_double_eq_tol(growth_tgc(10, 350, 11.0 * 200), 2.224, 0.002 * 2.224);
	ck_assert_double_eq_tol(growth_tgc(79.2, 813.8, 28.0 * 168), 1.072, 0.002 * 1.072);
	ck_assert_double_eq_tol(growth_sgr_pct_day(79.2, 813.8, 168), 1.387,
				0.002 * 1.387); /* FB361 */
	const struct growth_span span = { .degree_days = 28.0 * 168, .days = 168 };
	ck_assert_double_eq_tol(growth_weight_g(GROWTH_THERMAL, 0.9, 50, &span), 496.3,
				0.002 * 496.3); /* FB360 */
}
END_TEST

static void teardown(void)
{
	csv_farm_close(&f);
}

Suite *fish_published_suite(void)
{
	Suite *s = suite_create("fish, published");
	TCase *farms = tcase_create("farms");
	TCase *rates_case = tcase_create("rates");

	tcase_add_checked_fixture(farms, NULL, teardown);
	tcase_add_test(farms, published_grow_out_gives_its_conversion);
	tcase_add_test(farms, conversion_is_the_same_by_lot_species_and_loop);
	tcase_add_test(farms, published_stocking_gives_its_density);
	tcase_add_test(farms, published_batch_begins_at_its_weight);
	tcase_add_test(farms, published_batch_stands_at_its_weights);
	tcase_add_test(farms, published_nursery_survival_leaves_the_rest_unexplained);
	tcase_add_test(farms, published_batch_gives_its_biomass_and_density);
	tcase_add_test(farms, published_densities_hold_in_pounds_per_gallon);
	tcase_add_test(farms, published_harvest_is_summed_in_pounds);
	tcase_add_test(farms, a_year_from_5_to_454_g_is_followed_between_its_ends);
	suite_add_tcase(s, farms);
	tcase_add_loop_test(rates_case, growth_rates_match_the_published_batch, 0,
			    sizeof(rates) / sizeof(rates[0]));
	tcase_add_test(rates_case, thermal_coefficients_match_published_ones);
	suite_add_tcase(s, rates_case);
	return s;
}

/* Simulated farms whose truth is known (sim_farm.h): what the book says against what was. */
#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "book/import.h"
#include "simulated/sim_farm.h"
#include "support/csv_farm.h"
#include "support/report_cells.h"
#include "support/run_suites.h"

enum { NOISY_FARMS = 200, PERFECT_FARMS = 5 };

struct farm {
	struct csv_farm book;
	struct sim_farm sim;
};

static void live_and_import(struct farm *f, const struct sim_options *o)
{
	const struct import_options options = { .separator = ',', .decimal = '.' };
	struct import_options with_clock = options;
	struct import_result result = { 0 };
	struct err err;

	err_clear(&err);
	csv_farm_new(&f->book);
	sim_farm_run(o, &f->book.arena, &f->sim);
	with_clock.now = f->sim.truth.last_instant;
	ck_assert(!store_begin(f->book.store, &err));
	const enum err_code rc = book_import(f->book.book, f->sim.files, f->sim.n_files,
					     &with_clock, &f->book.arena, &result, &err);
	ck_assert_msg(!rc, "%s:%zu: %s", result.n_errors ? result.errors[0].file : "",
		      result.n_errors ? result.errors[0].line : 0,
		      result.n_errors ? result.errors[0].item.message : "");
	ck_assert(!store_commit(f->book.store, &err));
	while (book_settle(f->book.book))
		;
}

static void stock_at_end(struct farm *f, struct report_result *got)
{
	struct report_query q = report_query_at(f->sim.truth.last_instant);

	report_run(f->book.book, "stock", &q, &f->book.arena, got);
}

static void conversion(struct farm *f, const char *step, struct report_result *got)
{
	struct report_query q = report_query_at(f->sim.truth.last_instant);

	q.step = step;
	report_run(f->book.book, "feed-conversion", &q, &f->book.arena, got);
}

/* What each step's row adds up to: feed, gain. */
static void sum_tank(const struct report_result *got, const char *tank, double *feed, double *gain)
{
	*feed = *gain = 0.0;
	for (size_t r = 0; r < got->n_rows; r++) {
		if (strcmp(report_text(got, r, "tank"), tank) != 0)
			continue;
		*feed += report_real(got, r, "feed_g");
		*gain += report_real(got, r, "gain_g");
	}
}

START_TEST(perfect_books_count_exactly)
{
	struct farm f;
	struct report_result got;
	const struct sim_options o = { .seed = 100 + (uint64_t)_i, .days = 105, .k_spread = 0.08 };

	live_and_import(&f, &o);
	stock_at_end(&f, &got);
	for (int t = 0; t < SIM_TANKS; t++)
		for (int l = 0; l < SIM_LOTS; l++) {
			if (f.sim.truth.fish[t][l] == 0)
				continue;
			const size_t r = report_row2(&got, "tank", sim_tank_codes[t], "fish_lot",
						     sim_lot_codes[l]);
			ck_assert_int_eq(report_int(&got, r, "fish"), f.sim.truth.fish[t][l]);
		}
	csv_farm_close(&f.book);
}
END_TEST

START_TEST(perfect_books_give_the_true_conversion)
{
	static const char *const steps[] = { "all", "weighing" };
	struct farm f;
	struct report_result got;
	/* 105 days: the last one is a weighing day */
	const struct sim_options o = { .seed = 200 + (uint64_t)_i, .days = 105, .k_spread = 0.08 };

	live_and_import(&f, &o);
	for (size_t s = 0; s < 2; s++) {
		conversion(&f, steps[s], &got);
		for (int t = 0; t < SIM_TANKS; t++) {
			double feed, gain;
			const double truth = f.sim.truth.feed_g[t] / f.sim.truth.gain_g[t];
			sum_tank(&got, sim_tank_codes[t], &feed, &gain);
			ck_assert_double_eq_tol(feed, f.sim.truth.feed_g[t], 1e-6);
			ck_assert_msg(fabs(feed / gain / truth - 1.0) < 0.001,
				      "seed %llu, tank %s, step %s: %.5f, truly %.5f",
				      (unsigned long long)o.seed, sim_tank_codes[t], steps[s],
				      feed / gain, truth);
		}
	}
	csv_farm_close(&f.book);
}
END_TEST

struct tally {
	int inside, of;
};

static void note(struct tally *t, bool inside)
{
	t->inside += inside;
	t->of++;
}

static double share(const struct tally *t)
{
	return (double)t->inside / t->of;
}

/* Ranges of one noisy farm: the mean weights of its last day, and conversion since stocking. */
static void tally_farm(uint64_t seed, struct tally *means, struct tally *conversions)
{
	struct farm f;
	struct report_result got;
	const struct sim_options o = { .seed = seed, .noisy = true, .days = 100, .k_spread = 0.08 };

	live_and_import(&f, &o);
	stock_at_end(&f, &got);
	for (int t = 0; t < SIM_TANKS; t++)
		for (int l = 0; l < SIM_LOTS; l++) {
			if (f.sim.truth.fish[t][l] == 0)
				continue;
			const size_t r = report_row2(&got, "tank", sim_tank_codes[t], "fish_lot",
						     sim_lot_codes[l]);
			const double truth =
				f.sim.truth.mass_g[t][l] / (double)f.sim.truth.fish[t][l];
			note(means, fabs(report_real(&got, r, "mean_weight_g") - truth) <=
					    1.96 * report_real(&got, r, "mean_weight_se_g"));
		}
	conversion(&f, "all", &got);
	for (int t = 0; t < SIM_TANKS; t++) {
		const size_t r = report_row(&got, "tank", sim_tank_codes[t]);
		const double truth = f.sim.truth.feed_g[t] / f.sim.truth.gain_g[t];
		const double high = report_real(&got, r, "high");
		note(conversions,
		     truth >= report_real(&got, r, "low") && (isnan(high) || truth <= high));
	}
	csv_farm_close(&f.book);
}

START_TEST(ranges_of_200_noisy_farms_are_right_95_times_in_100)
{
	struct tally means = { 0 }, conversions = { 0 };

	for (int i = 0; i < NOISY_FARMS; i++)
		tally_farm(1000 + (uint64_t)i, &means, &conversions);
	printf("mean weights inside their range: %.1f %% of %d; conversions: %.1f %% of %d\n",
	       100.0 * share(&means), means.of, 100.0 * share(&conversions), conversions.of);
	fflush(stdout);
	ck_assert(share(&means) >= 0.92 && share(&means) <= 0.98);
	ck_assert(share(&conversions) >= 0.92 && share(&conversions) <= 0.98);
}
END_TEST

/* The number of day i (0 the first) in a list of a report's cell. */
static double nth(const char *list, int64_t i)
{
	char *end = NULL;
	double v = NAN;

	for (const char *at = list; i >= 0; i--, at = end)
		v = strtod(at, &end);
	return v;
}

/* The first day of the simulation at whose end a cell is at market weight; 0: never. */
static int market_day(const struct sim_truth *t, int tank, int lot)
{
	for (int d = 1; d < SIM_DAYS; d++)
		if (t->mean_g[tank][lot][d] >= t->market_g)
			return d;
	return 0;
}

enum { WRITTEN = 86, LIVED = 104, MARKET = 97 };

/* What report growth says at the end of day 86 of the days up to 104, which nobody has written down. */
static void tally_projections(uint64_t seed, struct tally *weights, struct tally *markets)
{
	struct farm f;
	struct report_result got;
	const struct sim_options o = { .seed = seed,
				       .noisy = true,
				       .days = LIVED,
				       .written_days = WRITTEN,
				       .market_day = MARKET,
				       .k_spread = 0.08 };

	live_and_import(&f, &o);
	const struct sim_truth *truth = &f.sim.truth;
	struct report_query q = report_query_at(truth->written_until - 1);
	report_run(f.book.book, "growth", &q, &f.book.arena, &got);
	for (int t = 0; t < SIM_TANKS; t++)
		for (int l = 0; l < SIM_LOTS; l++) {
			if (truth->fish[t][l] == 0)
				continue;
			const size_t r = report_row2(&got, "tank", sim_tank_codes[t], "fish_lot",
						     sim_lot_codes[l]);
			const int64_t first = report_int(&got, r, "first_day");
			const int64_t day0 =
				truth->written_until / 86400 - WRITTEN - 1; /* day d is day0 + d */
			const double mean = truth->mean_g[t][l][LIVED - 1];
			const int64_t i = day0 + LIVED - first; /* its end begins that day */
			note(weights, mean >= nth(report_text(&got, r, "low_g"), i) &&
					      mean <= nth(report_text(&got, r, "high_g"), i));
			const int met = market_day(truth, t, l);
			if (met <= WRITTEN || met >= LIVED)
				continue;
			const int64_t on = day0 + met + 1,
				      high = report_int(&got, r, "market_high");
			note(markets, report_int(&got, r, "market_low") <= on &&
					      (high == NO_INT || high >= on));
		}
	csv_farm_close(&f.book);
}

START_TEST(projections_of_200_noisy_farms_are_right_95_times_in_100)
{
	struct tally weights = { 0 }, markets = { 0 };

	for (uint64_t seed = 1; seed <= NOISY_FARMS; seed++)
		tally_projections(seed, &weights, &markets);
	printf("weights 18 days ahead inside their range: %.1f %% of %d; days of market weight: "
	       "%.1f %% of %d\n",
	       100.0 * share(&weights), weights.of, 100.0 * share(&markets), markets.of);
	fflush(stdout);
	ck_assert_int_ge(markets.of, NOISY_FARMS);
	ck_assert(share(&weights) >= 0.92 && share(&weights) <= 0.98);
	ck_assert(share(&markets) >= 0.92 && share(&markets) <= 0.98);
}
END_TEST

static Suite *simulated_farms_suite(void)
{
	Suite *s = suite_create("simulated farms");
	TCase *perfect = tcase_create("perfect"), *noisy = tcase_create("noisy");

	tcase_set_timeout(perfect, 120);
	tcase_add_loop_test(perfect, perfect_books_count_exactly, 0, PERFECT_FARMS);
	tcase_add_loop_test(perfect, perfect_books_give_the_true_conversion, 0, PERFECT_FARMS);
	suite_add_tcase(s, perfect);
	tcase_set_timeout(noisy, 600);
	tcase_add_test(noisy, ranges_of_200_noisy_farms_are_right_95_times_in_100);
	tcase_add_test(noisy, projections_of_200_noisy_farms_are_right_95_times_in_100);
	suite_add_tcase(s, noisy);
	return s;
}

int main(void)
{
	static Suite *(*const suites[])(void) = {
		simulated_farms_suite,
		NULL,
	};

	return run_suites(suites);
}

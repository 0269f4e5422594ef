/* See nitrate_forecast.h. */
#include "domain/nitrate_forecast.h"

#include <math.h>

#include "domain/normal.h"
#include "domain/score.h"

enum {
	SHORTEST = 6
}; /* days between two tests that are learned from, or between two forecasts that are scored */

static const double test_sd_share = 0.05, test_sd_least = 1.0, days_a_week = 7.0;

double nitrate_test_sd(double mg_l)
{
	return fmax(test_sd_least, test_sd_share * mg_l);
}

static const struct nitrate_day *day_at(const struct nitrate_past *past, int64_t day)
{
	return &past->days[day - past->first];
}

/*
 * The share from test a to z.  An error of a test pulls the interval before it and the one after
 * it, against each other; so what the earlier tests leave is summed test by test.  pull: of the
 * interval before, on its end.
 */
static double learn_between(struct nitrate_forecast *f, const struct nitrate_past *past,
			    const struct nitrate_test *a, const struct nitrate_test *z, double pull)
{
	const struct nitrate_day *days = day_at(past, a->day);
	const size_t n = (size_t)(z->day - a->day);
	const double error2 = nitrate_share_variance(days, n, &f->water, nitrate_test_sd(z->mg_l));
	const double fed = nitrate_fed_mg_l(days, n, &f->water);
	const size_t before = f->share.own;

	learn_add(&f->share, nitrate_share_of(a->mg_l, z->mg_l, days, n, &f->water), error2);
	const double next = f->share.own > before ? learn_weight(&f->share, error2) / fed : 0.0;
	const double left = (pull - next) * nitrate_test_sd(a->mg_l);

	f->earlier_variance += left * left;
	return next;
}

struct nitrate_forecast nitrate_forecast_from(const struct nitrate_past *past, size_t test)
{
	const struct nitrate_test *const start = &past->tests[test], *a = NULL;
	struct nitrate_forecast f = { .start = *start,
				      .water = past->waters[start->day - past->first],
				      .day = start->day,
				      .mg_l = start->mg_l };
	double pull = 0.0;

	learn_begin(&f.share, nitrate_share_handbook, nitrate_share_spread);
	for (const struct nitrate_test *z = past->tests; z <= start; z++) {
		if (z->day < start->day - NITRATE_LEARN_DAYS || (a && z->day - a->day < SHORTEST))
			continue;
		if (a)
			pull = learn_between(&f, past, a, z, pull);
		a = z;
	}
	f.lean = (a == start ? pull : 0.0) / f.share.weight;
	f.earlier_variance /= f.share.weight * f.share.weight;
	return f;
}

void nitrate_forecast_step(struct nitrate_forecast *f, const struct nitrate_day *day)
{
	f->mg_l = nitrate_step(f->mg_l, day, &f->water, learn_value(&f->share));
	f->fed_mg_l = f->fed_mg_l * (1.0 - f->water.removed) + day->feed_n_g / f->water.volume_m3;
	f->day++;
}

double nitrate_forecast_se(const struct nitrate_forecast *f, double widened)
{
	const struct learning *l = &f->share;
	const double weeks = fmax(1.0, (double)(f->day - f->start.day) / days_a_week);
	const double book = learn_handbook_share(l) * nitrate_share_spread;
	const double own = l->squares / (l->weight * l->weight) + 1.0 / weeks;
	const double share = sqrt(book * book + own * nitrate_share_weekly * nitrate_share_weekly +
				  f->earlier_variance);
	const double start = nitrate_test_sd(f->start.mg_l) * (1.0 + f->lean * f->fed_mg_l);

	return hypot(start, widened * share * f->fed_mg_l);
}

/* Holds the forecast from a test against each later one, up to test `last`: into all of them, and
 * one by one where wanted. */
struct trial {
	const struct nitrate_past *past;
	size_t last;
	double widened;
	struct score *all;
	struct nitrate_score *out; /* NULL: not wanted */
};

static void hold(const struct trial *t, const struct nitrate_forecast *f,
		 const struct nitrate_test *z)
{
	const double miss = z->mg_l - f->mg_l, test_sd = nitrate_test_sd(z->mg_l);

	if (isnan(miss))
		return;
	score_add(t->all, miss, hypot(nitrate_forecast_se(f, 1.0), test_sd));
	if (!t->out)
		return;
	t->out->tests++;
	t->out->squares += miss * miss;
	t->out->inside += fabs(miss) <= Z95 * hypot(nitrate_forecast_se(f, t->widened), test_sd);
}

static void try_from(const struct trial *t, size_t test)
{
	const struct nitrate_past *past = t->past;
	struct nitrate_forecast f = nitrate_forecast_from(past, test);

	for (size_t i = test + 1; i <= t->last; i++) {
		const struct nitrate_test *z = &past->tests[i];

		if (z->day > f.start.day + NITRATE_AHEAD_DAYS)
			break;
		while (f.day < z->day)
			nitrate_forecast_step(&f, day_at(past, f.day));
		hold(t, &f, z);
	}
}

/* Of the forecasts from tests of the 16 weeks before test `last`, at tests up to it. */
static struct score known_by(const struct nitrate_past *past, size_t last)
{
	struct score s = { 0 };
	const struct trial t = { .past = past, .last = last, .all = &s };
	int64_t next = past->tests[last].day - NITRATE_LEARN_DAYS - NITRATE_AHEAD_DAYS;

	for (size_t i = 0; i < last; i++)
		if (past->tests[i].day >= next) {
			try_from(&t, i);
			next = past->tests[i].day + SHORTEST;
		}
	return s;
}

struct nitrate_score nitrate_score_up_to(const struct nitrate_past *past, size_t n)
{
	struct nitrate_score out = { 0 };
	const struct score all = known_by(past, n);
	int64_t next = past->tests[n].day - NITRATE_AHEAD_DAYS;

	for (size_t i = 0; i < n; i++) {
		if (past->tests[i].day < next)
			continue;
		struct score own = { 0 };
		const struct score before = known_by(past, i);
		const struct trial t = { past, n, score_scale(&before), &own, &out };

		try_from(&t, i);
		next = past->tests[i].day + SHORTEST;
	}
	out.widened = score_scale(&all);
	return out;
}

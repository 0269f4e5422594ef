/*
 * Nitrate to come, from the past of one water, with its error; and how good such forecasts were.  A
 * forecast begins at a test and uses nothing that came after that test but the feed and the
 * planting of the days it steps over; so the score holds each against tests that it has not seen,
 * in ranges that were widened by what was known by its day.  Numbers in, numbers out, on arrays
 * that the caller owns.
 */
#ifndef WEIRBOOK_DOMAIN_NITRATE_FORECAST_H
#define WEIRBOOK_DOMAIN_NITRATE_FORECAST_H

#include <stddef.h>
#include <stdint.h>

#include "domain/learn.h"
#include "domain/nitrate.h"

enum { NITRATE_LEARN_DAYS = 56, NITRATE_AHEAD_DAYS = 56 };

struct nitrate_test {
	int64_t day;
	double mg_l; /* of nitrate-N; a number */
};

/* Days are numbered as the caller likes; tests lie among days, the oldest first, one a day. */
struct nitrate_past {
	int64_t first; /* the day of days[0] and of waters[0] */
	const struct nitrate_day *days;
	const struct nitrate_water *waters; /* as it was known when the day began */
	const struct nitrate_test *tests;
	size_t n_tests;
};

struct nitrate_forecast {
	struct nitrate_test start;
	struct nitrate_water water; /* as on the day of the start */
	struct learning share;      /* of the tests up to the start */
	double lean; /* how far the share moves with a mg/L of the test it begins with */
	double earlier_variance; /* of the share, from the errors of the earlier tests */
	int64_t day;             /* where it stands, */
	double mg_l;             /* the nitrate there at the day's start, */
	double fed_mg_l; /* and the nitrogen fed since the start that is still in the water */
};

/* A test is good to 5 %, 1 mg/L at least: a standard deviation (stand of ours). */
double nitrate_test_sd(double mg_l);

/* The forecast of the test with this index, which learns from the NITRATE_LEARN_DAYS up to it. */
struct nitrate_forecast nitrate_forecast_from(const struct nitrate_past *past, size_t test);

/* One day on.  mg_l is NAN from a day on whose feed is. */
void nitrate_forecast_step(struct nitrate_forecast *f, const struct nitrate_day *day);

/*
 * Standard error of mg_l where it stands: of the test that it began with, which pulls the share
 * too; of the share that was learned, which grows with what is fed; and of the share from week to
 * week, of which the mean over w weeks has 1/w. widened multiplies all but the first (1: before any
 * score).
 */
double nitrate_forecast_se(const struct nitrate_forecast *f, double widened);

/*
 * How forecasts from tests of the last 8 weeks before the newest, each 6 days or more after the one
 * before, did at the tests that came within 8 weeks.
 */
struct nitrate_score {
	size_t tests, inside; /* pairs of forecast and test; those inside their own 95 % range */
	double squares;       /* sum of the misses, mg/L, in squares */
	/* by which the next forecast's errors are to be multiplied: see score_scale */
	double widened;
};

/* Of the tests [0, n]. */
struct nitrate_score nitrate_score_up_to(const struct nitrate_past *past, size_t n);

#endif

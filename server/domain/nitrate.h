/*
 * Nitrate to come: a daily step model of the nitrogen in one water.  Numbers in, numbers out, on
 * arrays that the caller owns.
 *
 *   N(day + 1) = N(day) + (share x feed nitrogen - uptake x planted area) / volume
 *                       - removed x N(day), never below 0
 *
 * in g/m3, that is mg/L.  One number is learned from the measured past: share, how much of the
 * feed's nitrogen ends as nitrate in the water (fish keep a part, solids and gas take theirs).
 * Uptake is taken as given: with feed and planted area in step, the tests cannot tell the two
 * apart.
 */
#ifndef WEIRBOOK_DOMAIN_NITRATE_H
#define WEIRBOOK_DOMAIN_NITRATE_H

#include <stddef.h>

struct nitrate_day {
	double feed_n_g; /* nitrogen of the day's feed */
	double planted_m2;
};

struct nitrate_water {
	double volume_m3;       /* above 0 */
	double uptake_g_m2_day; /* nitrogen that a planted m2 takes in a day */
	double removed;         /* of the water's nitrate a day, by discharge; 0 to 1 */
};

/*
 * The share before anything is learned: TAN a g of feed nitrogen, 0.092 x 6.25 = 0.575.  One farm
 * differs from it by 0.2, and from itself by 0.1 from week to week (stands of ours).
 */
extern const double nitrate_share_handbook, nitrate_share_spread, nitrate_share_weekly;

/* One day on, mg/L, never below 0.  NAN when one is. */
double nitrate_step(double n_mg_l, const struct nitrate_day *day, const struct nitrate_water *water,
		    double share);

/* The share that explains a change of nitrate over n days: NAN without feed, or when one is.  May
 * be below 0 by error of the tests. */
double nitrate_share_of(double start_mg_l, double end_mg_l, const struct nitrate_day *days,
			size_t n, const struct nitrate_water *water);

/* What the feed of n days would add by their end if all its nitrogen ended as nitrate, mg/L.  NAN
 * when a day's is. */
double nitrate_fed_mg_l(const struct nitrate_day *days, size_t n,
			const struct nitrate_water *water);

/* Variance of that share, for tests that are good to test_sd_mg_l.  NAN without feed. */
double nitrate_share_variance(const struct nitrate_day *days, size_t n,
			      const struct nitrate_water *water, double test_sd_mg_l);

#endif

/* See nitrate.h. */
#include "domain/nitrate.h"

#include <math.h>

const double nitrate_share_handbook = 0.092 * 6.25, nitrate_share_spread = 0.2,
	     nitrate_share_weekly = 0.1;

double nitrate_step(double n_mg_l, const struct nitrate_day *day, const struct nitrate_water *water,
		    double share)
{
	const double next = n_mg_l * (1.0 - water->removed) +
			    (share * day->feed_n_g - water->uptake_g_m2_day * day->planted_m2) /
				    water->volume_m3;

	return isnan(next) ? NAN : fmax(0.0, next);
}

double nitrate_fed_mg_l(const struct nitrate_day *days, size_t n, const struct nitrate_water *water)
{
	double fed = 0.0;

	for (size_t i = 0; i < n; i++)
		fed = fed * (1.0 - water->removed) + days[i].feed_n_g / water->volume_m3;
	return fed;
}

double nitrate_share_of(double start_mg_l, double end_mg_l, const struct nitrate_day *days,
			size_t n, const struct nitrate_water *water)
{
	const double fed = nitrate_fed_mg_l(days, n, water);
	double without = start_mg_l;

	for (size_t i = 0; i < n; i++)
		without = without * (1.0 - water->removed) -
			  water->uptake_g_m2_day * days[i].planted_m2 / water->volume_m3;
	return fed > 0.0 ? (end_mg_l - without) / fed : NAN;
}

double nitrate_share_variance(const struct nitrate_day *days, size_t n,
			      const struct nitrate_water *water, double test_sd_mg_l)
{
	const double fed = nitrate_fed_mg_l(days, n, water);

	return fed > 0.0 ? 2.0 * test_sd_mg_l * test_sd_mg_l / (fed * fed) : NAN;
}

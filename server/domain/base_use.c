/* See base_use.h. */
#include "domain/base_use.h"

#include <math.h>

#include "domain/loading.h"

const double nitrification_stalls_ph = 6.0;

static const double g_per_mg = 1e-3;
static const double most_days = 3650.0; /* a dose is planned for */

double base_used_g(double dosed_caco3_g, double start_mg_l, double end_mg_l, double volume_l)
{
	if (!(volume_l > 0.0))
		return NAN;
	return dosed_caco3_g - (end_mg_l - start_mg_l) * volume_l * g_per_mg;
}

double base_use_variance(double volume_l, double feed_kg, double test_sd_mg_l)
{
	if (!(volume_l > 0.0 && feed_kg > 0.0))
		return NAN;
	const double sd = test_sd_mg_l * volume_l * g_per_mg / feed_kg;

	return 2.0 * sd * sd; /* a test at either end */
}

double base_use_handbook_g_kg(double protein_pct)
{
	return feed_load_of(1000.0, protein_pct, &feed_loads_usual).alkalinity_g;
}

double base_days_left(double now_mg_l, double floor_mg_l, double volume_l, double use_g_day)
{
	if (!(use_g_day > 0.0 && volume_l > 0.0) || isnan(now_mg_l) || isnan(floor_mg_l))
		return NAN;
	const double days = floor((now_mg_l - floor_mg_l) * volume_l * g_per_mg / use_g_day);

	return days <= most_days ? fmax(0.0, days) : NAN;
}

double base_dose_g(double at_due_mg_l, double level_mg_l, double volume_l, double use_g_day,
		   double interval_days)
{
	const double g =
		(level_mg_l - at_due_mg_l) * volume_l * g_per_mg + use_g_day * interval_days / 2.0;

	return isnan(g) ? NAN : fmax(0.0, g);
}

/* See loading.h. */
#include "domain/loading.h"

#include <math.h>

const struct feed_loads feed_loads_usual = { .tan_per_protein = 0.092,
					     .oxygen_per_feed = 0.40,
					     .co2_per_oxygen = 1.375,
					     .solids_per_feed = 0.25,
					     .alkalinity_per_tan = 7.05 };

struct feed_load feed_load_of(double feed_g, double protein_pct, const struct feed_loads *loads)
{
	struct feed_load out = { NAN, NAN, NAN, NAN, NAN };

	if (!(feed_g >= 0 && protein_pct >= 0 && protein_pct <= 100))
		return out;
	out.tan_g = feed_g * protein_pct / 100 * loads->tan_per_protein;
	out.oxygen_g = feed_g * loads->oxygen_per_feed;
	out.co2_g = out.oxygen_g * loads->co2_per_oxygen;
	out.solids_g = feed_g * loads->solids_per_feed;
	out.alkalinity_g = out.tan_g * loads->alkalinity_per_tan;
	return out;
}

double filter_capacity_g_day(double media_area_m2, double rate_g_m2_day)
{
	if (!(media_area_m2 >= 0 && rate_g_m2_day >= 0))
		return NAN;
	return media_area_m2 * rate_g_m2_day;
}

double feed_of_area_g_day(double area_m2, double ratio_g_m2_day)
{
	if (!(area_m2 >= 0 && ratio_g_m2_day >= 0))
		return NAN;
	return area_m2 * ratio_g_m2_day;
}

double air_left_minutes(double volume_l, double do_mg_l, double stop_mg_l, double biomass_kg,
			double uptake_mg_kg_h)
{
	if (!(volume_l > 0 && do_mg_l >= 0 && do_mg_l <= 40 && stop_mg_l >= 0 && stop_mg_l <= 40 &&
	      biomass_kg >= 0.001 && uptake_mg_kg_h >= 1))
		return NAN;
	if (do_mg_l <= stop_mg_l)
		return 0;
	return volume_l * (do_mg_l - stop_mg_l) / (biomass_kg * uptake_mg_kg_h) * 60;
}

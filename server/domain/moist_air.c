/* See moist_air.h. */
#include "domain/moist_air.h"

#include <math.h>

static const double a = 17.27, b = 237.3, at_zero_kpa = 0.6108;

double vapour_saturation_kpa(double temperature_c)
{
	if (!(temperature_c >= -20 && temperature_c <= 60))
		return NAN;
	return at_zero_kpa * exp(a * temperature_c / (temperature_c + b));
}

double vapour_actual_kpa(double temperature_c, double humidity_pct)
{
	if (!(humidity_pct >= 0 && humidity_pct <= 100))
		return NAN;
	return vapour_saturation_kpa(temperature_c) * humidity_pct / 100;
}

double vapour_deficit_kpa(double temperature_c, double humidity_pct, double leaf_temperature_c)
{
	const double leaf = isnan(leaf_temperature_c) ? temperature_c : leaf_temperature_c;

	return vapour_saturation_kpa(leaf) - vapour_actual_kpa(temperature_c, humidity_pct);
}

double dew_point_c(double vapour_kpa)
{
	if (!(vapour_kpa >= 0.125 && vapour_kpa <= 20))
		return NAN;

	const double y = log(vapour_kpa / at_zero_kpa);

	return b * y / (a - y);
}

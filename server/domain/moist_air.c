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
	if (!(vapour_kpa >= 0.1246 && vapour_kpa <= 20))
		return NAN;

	const double y = log(vapour_kpa / at_zero_kpa);

	return b * y / (a - y);
}

/* Molar mass of water over that of dry air. */
static const double water_over_air = 0.621945;

double humidity_ratio_kg_kg(double vapour_kpa, double pressure_kpa)
{
	if (!(vapour_kpa >= 0 && pressure_kpa >= 50 && pressure_kpa <= 115))
		return NAN;
	return water_over_air * vapour_kpa / (pressure_kpa - vapour_kpa);
}

/* kg of vapour in a kg of dry air of temperature_c when a wet sleeve in it shows wet_c. */
static double ratio_at_wet_bulb(double wet_c, double temperature_c, double pressure_kpa)
{
	const double full = humidity_ratio_kg_kg(vapour_saturation_kpa(wet_c), pressure_kpa);

	return ((2501 - 2.326 * wet_c) * full - 1.006 * (temperature_c - wet_c)) /
	       (2501 + 1.86 * temperature_c - 4.186 * wet_c);
}

double wet_bulb_c(double temperature_c, double humidity_pct, double pressure_kpa)
{
	const double ratio =
		humidity_ratio_kg_kg(vapour_actual_kpa(temperature_c, humidity_pct), pressure_kpa);
	double low = 0, high = temperature_c;

	if (!(temperature_c >= 0 && ratio >= ratio_at_wet_bulb(low, temperature_c, pressure_kpa)))
		return NAN;
	while (high - low > 1e-4) {
		const double middle = (low + high) / 2;

		if (ratio_at_wet_bulb(middle, temperature_c, pressure_kpa) > ratio)
			high = middle;
		else
			low = middle;
	}
	return (low + high) / 2;
}

double humidity_of_wet_bulb_pct(double temperature_c, double wet_c, double pressure_kpa)
{
	const double ratio = ratio_at_wet_bulb(wet_c, temperature_c, pressure_kpa);
	const double vapour_kpa = ratio * pressure_kpa / (water_over_air + ratio);

	if (!(wet_c >= 0 && wet_c <= temperature_c && ratio >= 0))
		return NAN;
	return fmin(100, 100 * vapour_kpa / vapour_saturation_kpa(temperature_c));
}

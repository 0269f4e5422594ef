/* See oxygen.h. */
#include "domain/oxygen.h"

#include <math.h>

static const double zero_c_k = 273.15;

double air_pressure_kpa(double altitude_m)
{
	if (!(altitude_m >= -500.0 && altitude_m <= 11000.0))
		return NAN;
	return STANDARD_ATMOSPHERE_KPA * pow(1.0 - 2.25577e-5 * altitude_m, 5.2559);
}

/* At one standard atmosphere, mg/L. */
static double in_fresh_water(double t_k)
{
	return exp(-139.34411 + 1.575701e5 / t_k - 6.642308e7 / (t_k * t_k) +
		   1.243800e10 / (t_k * t_k * t_k) - 8.621949e11 / (t_k * t_k * t_k * t_k));
}

static double salinity_factor(double t_k, double salinity_g_kg)
{
	return exp(-salinity_g_kg * (0.017674 - 10.754 / t_k + 2140.7 / (t_k * t_k)));
}

/* theta takes degrees Celsius, the vapour pressure u kelvin. */
static double pressure_factor(double t_c, double p_atm)
{
	const double t_k = t_c + zero_c_k;
	const double u = exp(11.8571 - 3840.70 / t_k - 216961.0 / (t_k * t_k));
	const double theta = 0.000975 - 1.426e-5 * t_c + 6.436e-8 * t_c * t_c;

	return (p_atm - u) * (1.0 - theta * p_atm) / ((1.0 - u) * (1.0 - theta));
}

double oxygen_saturation_mg_l(double temperature_c, double salinity_g_kg, double pressure_kpa)
{
	const double p_atm = pressure_kpa / STANDARD_ATMOSPHERE_KPA;
	const double t_k = temperature_c + zero_c_k;

	if (!(temperature_c >= 0.0 && temperature_c <= 40.0 && salinity_g_kg >= 0.0 &&
	      salinity_g_kg <= 40.0 && p_atm >= 0.5 && p_atm <= 1.1))
		return NAN;
	return in_fresh_water(t_k) * salinity_factor(t_k, salinity_g_kg) *
	       pressure_factor(temperature_c, p_atm);
}

double salinity_of_conductance_g_kg(double conductance_ms_cm)
{
	const double us_cm = 1000 * conductance_ms_cm;

	if (!(conductance_ms_cm >= 0.0 && conductance_ms_cm <= 50.0))
		return NAN;
	return 5.572e-4 * us_cm + 2.02e-9 * us_cm * us_cm;
}

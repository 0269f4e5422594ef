/* See carbonate.h. */
#include "domain/carbonate.h"

#include <math.h>

#include "domain/molar.h"

static const double zero_c = 273.15;
static const double co2_g_mol = MOLAR_C + 2 * MOLAR_O;

static bool is_within(double x, double low, double high)
{
	return x >= low && x <= high;
}

double carbonic_acid_pk1(double temperature_c)
{
	const double t = temperature_c + zero_c;

	if (!is_within(temperature_c, 0, 90))
		return NAN;
	return 356.3094 + 0.06091964 * t - 21834.37 / t - 126.8339 * log10(t) + 1684915 / (t * t);
}

double carbonic_acid_pk2(double temperature_c)
{
	const double t = temperature_c + zero_c;

	if (!is_within(temperature_c, 0, 90))
		return NAN;
	return 107.8871 + 0.03252849 * t - 5151.79 / t - 38.92561 * log10(t) + 563713.9 / (t * t);
}

double carbon_dioxide_mg_l(double ph, double alkalinity_mg_l, double temperature_c, bool full)
{
	if (!is_within(ph, 5, 9) || !is_within(alkalinity_mg_l, 0, 1000) ||
	    !is_within(temperature_c, 0, 50))
		return NAN;

	const double t = temperature_c + zero_c;
	const double hydrogen = pow(10, -ph); /* mol/L */
	const double pkw = 4470.99 / t - 6.0875 + 0.01706 * t;
	double bicarbonate = alkalinity_mg_l / CACO3_PER_EQUIVALENT / 1000; /* mol/L */

	if (full)
		bicarbonate = (bicarbonate - pow(10, ph - pkw) + hydrogen) /
			      (1 + 2 * pow(10, ph - carbonic_acid_pk2(temperature_c)));
	if (bicarbonate < 0)
		return 0; /* all of it is hydroxide */
	return bicarbonate * hydrogen * pow(10, carbonic_acid_pk1(temperature_c)) * co2_g_mol *
	       1000;
}

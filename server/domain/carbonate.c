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

/* Activity coefficient of an ion of one charge: of two it is the fourth power. */
static double activity(double ionic_mol_l)
{
	const double root = sqrt(ionic_mol_l);

	return pow(10, -0.509 * (root / (1 + root) - 0.3 * ionic_mol_l));
}

double carbon_dioxide_mg_l(double ph, double alkalinity_mg_l, double temperature_c,
			   double ionic_mol_l, bool full)
{
	if (!is_within(ph, 5, 9) || !is_within(alkalinity_mg_l, 0, 1000) ||
	    !is_within(temperature_c, 0, 50) || !is_within(ionic_mol_l, 0, 0.5))
		return NAN;

	const double t = temperature_c + zero_c, g = activity(ionic_mol_l);
	const double hydrogen = pow(10, -ph); /* its activity */
	const double pkw = 4470.99 / t - 6.0875 + 0.01706 * t;
	double bicarbonate = alkalinity_mg_l / CACO3_PER_EQUIVALENT / 1000; /* mol/L */

	if (full)
		bicarbonate =
			(bicarbonate - pow(10, ph - pkw) / g + hydrogen / g) /
			(1 + 2 * pow(10, ph - carbonic_acid_pk2(temperature_c)) / (g * g * g));
	if (bicarbonate < 0)
		return 0; /* all of it is hydroxide */
	return g * bicarbonate * hydrogen * pow(10, carbonic_acid_pk1(temperature_c)) * co2_g_mol *
	       1000;
}

/* See ammonia.h. */
#include "domain/ammonia.h"

#include <math.h>

double unionized_ammonia_fraction(double temperature_c, double ph)
{
	return unionized_ammonia_fraction_in_salts(temperature_c, ph, 0.0);
}

double unionized_ammonia_fraction_in_salts(double temperature_c, double ph,
					   double ionic_strength_mol_l)
{
	if (!(temperature_c >= 0.0 && temperature_c <= 50.0 && ph >= 6.0 && ph <= 10.0 &&
	      ionic_strength_mol_l >= 0.0 && ionic_strength_mol_l <= 0.5))
		return NAN;
	const double root = sqrt(ionic_strength_mol_l);
	const double pka = 0.09018 + 2729.92 / (273.15 + temperature_c) +
			   0.509 * (root / (1.0 + root) - 0.3 * ionic_strength_mol_l);
	return 1.0 / (1.0 + pow(10.0, pka - ph));
}

/* See ammonia.h. */
#include "domain/ammonia.h"

#include <math.h>

double unionized_ammonia_fraction(double temperature_c, double ph)
{
	if (!(temperature_c >= 0.0 && temperature_c <= 50.0 && ph >= 6.0 && ph <= 10.0))
		return NAN;
	const double pka = 0.09018 + 2729.92 / (273.15 + temperature_c);
	return 1.0 / (1.0 + pow(10.0, pka - ph));
}

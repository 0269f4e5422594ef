/* See fish_measures.h. */
#include "domain/fish_measures.h"

#include <math.h>

double fish_density_kg_m3(double fish, double weight_g, double volume_l)
{
	if (!(fish >= 0 && weight_g >= 0 && volume_l > 0))
		return NAN;
	return fish * weight_g / volume_l;
}

double fish_condition_factor(double weight_g, double length_cm)
{
	if (!(weight_g > 0 && length_cm > 0))
		return NAN;
	return 100 * weight_g / (length_cm * length_cm * length_cm);
}

double sample_size(double cv_pct, double error_pct, double z, double fish)
{
	if (!(cv_pct > 0 && error_pct > 0 && z > 0) || fish < 1)
		return NAN;

	const double many = z * cv_pct / error_pct * (z * cv_pct / error_pct);
	const double n = isnan(fish) ? many : many / (1 + many / fish);

	return fmax(1, ceil(n - 1e-9));
}

/* By halving: the normal distribution has no inverse in the C library. */
double confidence_z(double confidence_pct)
{
	double low = 0, high = 8;

	if (!(confidence_pct >= 50 && confidence_pct <= 99.9))
		return NAN;
	for (int i = 0; i < 60; i++) {
		const double z = (low + high) / 2;

		if (erf(z / sqrt(2)) * 100 < confidence_pct)
			low = z;
		else
			high = z;
	}
	return (low + high) / 2;
}

double fish_gain_g(double start_g, double end_g, double added_g, double removed_g)
{
	return end_g + removed_g - start_g - added_g;
}

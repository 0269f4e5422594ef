/* See sizes.h. */
#include "domain/sizes.h"

#include <math.h>

void sizes_add(struct sizes *s, double fish, double mass_g)
{
	if (!(fish > 0.0) || isnan(mass_g))
		return;
	s->fish += fish;
	s->mass_g += mass_g;
	s->squares += mass_g * mass_g / fish;
	s->nets++;
}

double sizes_mean_g(const struct sizes *s)
{
	return s->fish > 0.0 ? s->mass_g / s->fish : NAN;
}

/* Sum of fish x (net's mean - mean)^2; never below 0 by rounding. */
static double between(const struct sizes *s)
{
	const double b = s->squares - s->mass_g * s->mass_g / s->fish;

	return b > 0.0 ? b : 0.0;
}

double sizes_cv(const struct sizes *s)
{
	if (s->nets < 2 || !(s->mass_g > 0.0))
		return NAN;
	return sqrt(between(s) / (double)(s->nets - 1)) / sizes_mean_g(s);
}

double sizes_cv_drawn(const struct sizes *s, double assumed_cv, double weight)
{
	if (s->nets < 2 || !(s->mass_g > 0.0))
		return assumed_cv;
	const double assumed = assumed_cv * sizes_mean_g(s);

	return sqrt((weight * assumed * assumed + between(s)) / (weight + (double)s->nets - 1.0)) /
	       sizes_mean_g(s);
}

double sizes_error(double cv, double sample_fish, double fish, double z)
{
	if (!(cv >= 0.0 && sample_fish > 0.0 && z > 0.0))
		return NAN;
	const double left = isnan(fish) ? 1.0 : 1.0 - sample_fish / fish;

	return z * cv / sqrt(sample_fish) * sqrt(left > 0.0 ? left : 0.0);
}

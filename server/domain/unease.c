/* See unease.h. */
#include "domain/unease.h"

#include <math.h>

static const double rise = 2.0;         /* times the usual count that is tested for */
static const double raises_at = 5.8999; /* ln(365) */

static void step(struct unease *u, size_t day, double by)
{
	if (!(u->sum > 0.0))
		u->began = day;
	u->sum += by;
	if (u->sum < 0.0)
		u->sum = 0.0;
	u->raised = u->sum >= raises_at;
}

void unease_count(struct unease *u, size_t day, double seen, double usual)
{
	if (!(seen >= 0.0 && usual > 0.0))
		return;
	step(u, day, seen * log(rise) - usual * (rise - 1.0));
}

void unease_value(struct unease *u, size_t day, double value, double mean, double sd)
{
	const double z = (value - mean) / sd;

	if (isnan(z) || !(sd > 0.0))
		return;
	step(u, day, z - 0.5);
}

double unease_level(const struct unease *u)
{
	return u->sum / raises_at;
}

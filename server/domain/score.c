/* See score.h. */
#include "domain/score.h"

#include <math.h>

#include "domain/normal.h"

static const double worst = 3.0; /* standard errors: what lies further off is a slip, not a width */
static const double before = 10.0; /* projections that stand before the first */

void score_add(struct score *s, double miss, double se)
{
	const double z = fabs(miss / se);

	if (!(se > 0.0) || isnan(z))
		return;
	s->n++;
	s->inside += z <= Z95;
	s->squares += z < worst ? z * z : worst * worst;
}

double score_scale(const struct score *s)
{
	return sqrt((before + s->squares) / (before + (double)s->n));
}

double score_factor(const struct score *s)
{
	return fmax(1.0, score_scale(s));
}

/* See ration.h. */
#include "domain/ration.h"

#include <math.h>
#include <stdbool.h>

static bool same_temperature(double a, double b)
{
	return isnan(a) ? isnan(b) : fabs(a - b) < 1e-9;
}

/* Linear in weight over the steps of one temperature. */
static double by_weight(const struct ration_step *steps, size_t n, double temperature_c,
			double weight_g)
{
	const struct ration_step *below = NULL, *above = NULL;

	for (size_t i = 0; i < n; i++) {
		const struct ration_step *s = &steps[i];
		if (!same_temperature(s->temperature_c, temperature_c))
			continue;
		if (s->weight_from_g <= weight_g &&
		    (!below || s->weight_from_g > below->weight_from_g))
			below = s;
		if (s->weight_from_g > weight_g &&
		    (!above || s->weight_from_g < above->weight_from_g))
			above = s;
	}
	if (!below && !above)
		return NAN;
	if (!below || !above)
		return (below ? below : above)->pct_body_weight_day;
	const double u =
		(weight_g - below->weight_from_g) / (above->weight_from_g - below->weight_from_g);
	return below->pct_body_weight_day +
	       u * (above->pct_body_weight_day - below->pct_body_weight_day);
}

double ration_pct(const struct ration_step *steps, size_t n, double weight_g, double temperature_c)
{
	double below = NAN, above = NAN; /* the nearest temperatures that have steps */

	if (!(weight_g > 0.0))
		return NAN;
	for (size_t i = 0; i < n; i++) {
		const double t = steps[i].temperature_c;
		if (t <= temperature_c && !(t <= below))
			below = t;
		if (t > temperature_c && !(t >= above))
			above = t;
	}
	if (isnan(below) && isnan(above))
		return by_weight(steps, n, NAN, weight_g);
	if (isnan(below) || isnan(above))
		return by_weight(steps, n, isnan(below) ? above : below, weight_g);
	const double low = by_weight(steps, n, below, weight_g);
	const double high = by_weight(steps, n, above, weight_g);
	return low + (temperature_c - below) / (above - below) * (high - low);
}

double ration_factor(double x, const struct feeding_limit *side, int upper)
{
	if (isnan(x) || isnan(side->limit))
		return 1.0;
	const bool inside = upper ? x <= side->limit : x >= side->limit;
	if (inside)
		return 1.0;
	if (isnan(side->stop))
		return 0.5;
	const double f = (x - side->stop) / (side->limit - side->stop);
	return f < 0.0 ? 0.0 : f > 1.0 ? 1.0 : f;
}

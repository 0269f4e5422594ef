/* See growth.h. */
#include "domain/growth.h"

#include <math.h>

static const double weight_floor = 0.01; /* a share: no coefficient starves a fish to nothing */

double growth_weight_g(enum growth_model model, double k, double weight_g,
		       const struct growth_span *span)
{
	double w = weight_g;

	if (model == GROWTH_THERMAL) {
		const double c = cbrt(weight_g) + k / 1000.0 * span->degree_days;
		w = c * c * c;
	} else if (model == GROWTH_SPECIFIC) {
		w = weight_g * exp(k / 100.0 * span->days);
	}
	return w < weight_floor * weight_g ? weight_floor * weight_g : w;
}

double growth_coefficient(enum growth_model model, double weight1_g, double weight2_g,
			  const struct growth_span *span)
{
	if (model == GROWTH_THERMAL)
		return growth_tgc(weight1_g, weight2_g, span->degree_days);
	if (model == GROWTH_SPECIFIC)
		return growth_sgr_pct_day(weight1_g, weight2_g, span->days);
	return NAN;
}

double growth_sgr_pct_day(double weight1_g, double weight2_g, double days)
{
	if (!(weight1_g > 0.0 && weight2_g > 0.0 && days > 0.0))
		return NAN;
	return 100.0 * log(weight2_g / weight1_g) / days;
}

double growth_tgc(double weight1_g, double weight2_g, double degree_days)
{
	if (!(weight1_g > 0.0 && weight2_g > 0.0 && degree_days > 0.0))
		return NAN;
	return 1000.0 * (cbrt(weight2_g) - cbrt(weight1_g)) / degree_days;
}

double growth_degree_days(double tgc, double weight1_g, double weight2_g)
{
	if (!(weight1_g > 0.0 && weight2_g > 0.0 && tgc > 0.0))
		return NAN;
	return 1000.0 * (cbrt(weight2_g) - cbrt(weight1_g)) / tgc;
}

double growth_scale(enum growth_model model, double weight_g)
{
	return model == GROWTH_THERMAL ? cbrt(weight_g) : log(weight_g);
}

double growth_unscale(enum growth_model model, double at)
{
	if (model != GROWTH_THERMAL)
		return exp(at);
	return at > 0.0 ? at * at * at : 0.0;
}

double growth_d_scale(enum growth_model model, double weight_g)
{
	if (model == GROWTH_THERMAL)
		return 1.0 / (3.0 * cbrt(weight_g) * cbrt(weight_g));
	return 1.0 / weight_g;
}

void growth_span_add(struct growth_span *to, const struct growth_span *more)
{
	to->degree_days += more->degree_days;
	to->days += more->days;
	to->known_days += more->known_days;
}

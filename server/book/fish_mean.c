/* See fish_mean.h. */
#include "book/fish_mean.h"

#include <math.h>

#include "book/fish_stretch.h"

/* Between two weighings an error at either end fades towards the other; one that arose by picking
 * pulls the line on both sides of its moment. */
static double closed_se(const struct fish_stretch *s, double x)
{
	const double u = s->x > 0.0 ? fmin(x / s->x, 1.0) : 1.0;
	const double picked = (x < s->picked_x ? u : 1.0 - u) * s->picked_se;

	return hypot(hypot((1.0 - u) * s->start_se, u * s->end_se), picked);
}

static double open_se(const struct fish_stretch *s, double x)
{
	const double picked = x < s->picked_x ? 0.0 : s->picked_se;

	return hypot(hypot((1.0 + x * s->k_lean) * s->start_se, x * s->k_se), picked);
}

double stretch_scale_se(const struct fish_stretch *s, double x)
{
	return s->ends_at != NO_INSTANT ? closed_se(s, x) : open_se(s, x);
}

double stretch_span(const struct fish_stretch *s, const struct fish_lot_info *lot,
		    const struct temperature_days *t, int64_t at)
{
	const struct growth_span since =
		temperature_span(t, lot->optimum_c, lot->optimum_c, s->starts_at, at);

	return stretch_run(s->model, &since);
}

double fish_mean_at(const struct fish_row *row, const struct fish_stretch *s,
		    const struct fish_lot_info *lot, const struct temperature_days *t, int64_t at,
		    double *se_g)
{
	const struct growth_span span =
		temperature_span(t, lot->optimum_c, lot->optimum_c, row->instant, at);
	const double mean = growth_weight_g(row->model, row->k, row->mean_g, &span);

	if (!se_g)
		return mean;
	if (isnan(mean) || row->model == GROWTH_NONE) {
		*se_g = NAN;
		return mean;
	}
	const double se = stretch_scale_se(s, stretch_span(s, lot, t, at));
	*se_g = se / growth_d_scale(s->model, mean);
	return mean;
}

/* How much fish are fed: pure functions of the species' steps and limits. */
#ifndef WEIRBOOK_DOMAIN_RATION_H
#define WEIRBOOK_DOMAIN_RATION_H

#include <stddef.h>

struct ration_step {
	double weight_from_g;
	double temperature_c; /* NAN: for any temperature */
	double pct_body_weight_day;
};

/*
 * Percent of body weight a day for a fish of weight_g at temperature_c: linear in weight between
 * the steps of a temperature, then linear in temperature between temperatures; outside the nearest
 * step holds.  Steps without a temperature count as of every temperature, and alone when
 * temperature_c is NAN.  NAN without a step that fits.
 */
double ration_pct(const struct ration_step *steps, size_t n, double weight_g, double temperature_c);

/* One side of a limit: at `limit` feeding is whole, at `stop` there is none.  NAN where not set. */
struct feeding_limit {
	double stop, limit;
};

/*
 * clamp((x - stop) / (limit - stop), 0, 1), for a lower limit (stop < limit) or an upper one (stop
 * > limit).  Without a stop: 1 inside the limit, and 0.5 beyond it (a stand of ours: reduced, but
 * no one can say how far).  1 when the limit is not set or x is NAN.
 */
double ration_factor(double x, const struct feeding_limit *side, int upper);

#endif

/* See fish_sample.h. */
#include "book/fish_sample.h"

#include <math.h>
#include <stdlib.h>

/* As this many nets or fish the assumed spread counts. */
static const double assumed_weight = 10.0;

const char *fish_sample_list(const char *list, bool pairs, struct sizes *s)
{
	const char *at = list;

	while (*at) {
		char *end = NULL;
		const double fish = pairs ? strtod(at, &end) : 1.0;
		const char *second = pairs ? end : at;
		const double mass = strtod(second, &end);
		if (end == second || second == (pairs ? at : NULL))
			break;
		sizes_add(s, fish, mass);
		at = end;
		while (*at == ' ')
			at++;
	}
	return at;
}

struct fish_sample fish_sample_read(const char *nets, const char *weights, double fish,
				    double weight_g)
{
	struct sizes s = { 0 };

	if (nets)
		fish_sample_list(nets, true, &s);
	else if (weights)
		fish_sample_list(weights, false, &s);
	else
		sizes_add(&s, fish, weight_g);
	const double own = sizes_cv(&s);
	return (struct fish_sample){ .fish = s.fish,
				     .mean_g = sizes_mean_g(&s),
				     .own_cv = own,
				     .cv = sizes_cv_drawn(&s, FISH_ASSUMED_CV, assumed_weight),
				     .from = isnan(own) ? "assumed"
					     : nets     ? "nets"
							: "weights" };
}

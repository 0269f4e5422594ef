/* See learn.h. */
#include "domain/learn.h"

#include <math.h>

void learn_begin(struct learning *l, double handbook, double spread)
{
	*l = (struct learning){ .spread = spread > 1e-9 ? spread : 1e-9 };
	if (isnan(handbook))
		return;
	l->handbook_weight = l->weight = learn_weight(l, 0.0);
	l->sum = l->weight * handbook;
}

double learn_weight(const struct learning *l, double error2)
{
	return 1.0 / (l->spread * l->spread + error2);
}

void learn_add(struct learning *l, double value, double error2)
{
	const double w = learn_weight(l, error2);

	if (isnan(value) || isnan(w))
		return;
	l->weight += w;
	l->sum += w * value;
	l->squares += w * w;
	l->own++;
}

double learn_value(const struct learning *l)
{
	return l->weight > 0.0 ? l->sum / l->weight : NAN;
}

double learn_handbook_share(const struct learning *l)
{
	return l->weight > 0.0 ? l->handbook_weight / l->weight : 0.0;
}

double learn_next_se(const struct learning *l)
{
	if (!(l->weight > 0.0))
		return NAN;
	const double own = l->squares / (l->weight * l->weight), book = learn_handbook_share(l);

	return l->spread * sqrt(1.0 + own + book * book);
}

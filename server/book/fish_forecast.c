/* See fish_forecast.h. */
#include "book/fish_forecast.h"

#include <math.h>

#include "book/fish_learn.h"
#include "book/fish_mean.h"
#include "domain/learn.h"
#include "domain/normal.h"

enum { SPREAD_DAYS = 28 }; /* over which the spread of temperature is taken */

static bool is_solved(const struct fish_stretch *s)
{
	return s->ends_at != NO_INSTANT && !s->start_unknown && s->x > 0.0 &&
	       s->model != GROWTH_NONE &&
	       (double)(s->ends_at - s->starts_at) >= STRETCH_SHORTEST_DAYS * 86400.0;
}

static double error2(const struct fish_stretch *s)
{
	return (s->start_se * s->start_se + s->end_se * s->end_se + s->picked_se * s->picked_se) /
	       (s->x * s->x);
}

/* What was known of a lot's growth at an instant. */
struct known {
	struct learning l;
	double lean;     /* on the weighing of that instant, per unit of growth span */
	double weighing; /* variance from the other weighings */
};

static bool counts(const struct fish_stretch *s, enum growth_model model, int64_t at)
{
	return is_solved(s) && s->model == model && s->ends_at <= at;
}

static double mean_k(const struct fish_view_lot *lot, enum growth_model model, int64_t at)
{
	double sum = 0.0;
	size_t n = 0;

	for (size_t i = 0; i < lot->n_stretches; i++)
		if (counts(&lot->stretches[i], model, at)) {
			sum += lot->stretches[i].k;
			n++;
		}
	return n ? sum / (double)n : 0.0;
}

/* What the errors of the weighings leave in what was learned; that of the instant itself stands
 * apart, as a lean. */
static void know_weighings(const struct fish_view_lot *lot, enum growth_model model, int64_t at,
			   struct known *out)
{
	for (size_t i = 0; i < lot->n_stretches; i++) {
		const struct fish_stretch *s = &lot->stretches[i];
		if (!counts(s, model, at))
			continue;
		const double share = learn_weight(&out->l, error2(s)) / out->l.weight;
		double variance = share * share * error2(s);
		if (s->ends_at == at) {
			const double own = share / s->x * s->end_se;
			out->lean = share / s->x;
			variance -= own * own;
		}
		out->weighing += variance > 0.0 ? variance : 0.0;
	}
}

static void know(const struct fish_view_lot *lot, enum growth_model model, int64_t at,
		 struct known *out)
{
	const struct fish_lot_info *info = &lot->facts.info;

	*out = (struct known){ .lean = 0.0 };
	learn_begin(&out->l, stretch_k_prior(info, model),
		    stretch_k_spread(info, model, mean_k(lot, model, at)));
	for (size_t i = 0; i < lot->n_stretches; i++)
		if (counts(&lot->stretches[i], model, at))
			learn_add(&out->l, lot->stretches[i].k, error2(&lot->stretches[i]));
	know_weighings(lot, model, at, out);
}

static void score_stretch(const struct fish_view_lot *lot, const struct fish_stretch *s,
			  struct score *out)
{
	struct known k;

	know(lot, s->model, s->starts_at, &k);
	const double start = (1.0 + s->x * k.lean) * s->start_se;
	const double ahead = s->x * hypot(learn_next_se(&k.l), sqrt(k.weighing));
	const double se = sqrt(start * start + ahead * ahead + s->end_se * s->end_se +
			       s->picked_se * s->picked_se);
	score_add(out, (s->k - learn_value(&k.l)) * s->x, se);
}

void forecast_score(const struct fish_view *v, int64_t species_id, struct score *out)
{
	*out = (struct score){ 0 };
	for (size_t l = 0; l < v->lot_ids.n; l++) {
		const struct fish_view_lot *lot = &v->lots[l];
		if (lot->facts.species_id != species_id)
			continue;
		for (size_t i = 0; i < lot->n_stretches; i++)
			if (is_solved(&lot->stretches[i]))
				score_stretch(lot, &lot->stretches[i], out);
	}
}

void forecast_fit(const struct fish_view *v, const struct fish_view_cell *c,
		  const struct fish_row *row, struct forecast_fit *out)
{
	const struct fish_view_lot *lot = &v->lots[c->lot];
	struct known k;

	*out = (struct forecast_fit){ .model = row->model, .k = row->k, .k_se = NAN };
	if (row->stretch < 0 || row->model == GROWTH_NONE)
		return;
	know(lot, row->model, INT64_MAX, &k);
	out->own = k.l.own;
	out->handbook_share = learn_handbook_share(&k.l);
	out->k_se = lot->stretches[row->stretch].k_se;
}

/* The spread of daily temperature over the last weeks that have any, as a share of its mean; 0: not
 * known. */
static double temperature_spread(const struct temperature_days *t)
{
	double sum = 0.0, squares = 0.0;
	int n = 0;

	for (size_t i = t->n; i > 0 && n < SPREAD_DAYS; i--) {
		if (isnan(t->mean_c[i - 1]))
			continue;
		sum += t->mean_c[i - 1];
		squares += t->mean_c[i - 1] * t->mean_c[i - 1];
		n++;
	}
	if (n < 2 || !(sum > 0.0))
		return 0.0;
	const double mean = sum / n, variance = squares / n - mean * mean;
	return variance > 0.0 ? sqrt(variance) / mean : 0.0;
}

/* Where a projection begins: growth span and error that are known by then. */
struct beginning {
	const struct fish_stretch *s;
	double since; /* growth span since the stretch began */
	double unfed; /* what feed that was not written down leaves open, on the growth scale */
	double scale; /* the mean, on the growth scale */
};

static struct beginning begin_at(const struct fish_view *v, const struct fish_view_cell *c,
				 const struct fish_standing *st, int64_t at)
{
	const struct fish_view_lot *lot = &v->lots[c->lot];
	const struct fish_stretch *s = &lot->stretches[st->row->stretch];
	const double since = stretch_span(s, &lot->facts.info, &v->temperatures[c->tank], at);
	const double now = st->mean_se_g * growth_d_scale(s->model, st->mean_g);
	const double known = stretch_scale_se(s, since);

	return (struct beginning){ .s = s,
				   .since = since,
				   .unfed = now > known ? sqrt(now * now - known * known) : 0.0,
				   .scale = growth_scale(s->model, st->mean_g) };
}

/* The mean and its range after `ahead` of growth span; warmth: spread of the temperature, as a
 * share. */
static struct forecast_day day_ahead(const struct beginning *b, double k, double ahead,
				     double warmth, double widen)
{
	const enum growth_model model = b->s->model;
	const double scale = b->scale + k * ahead;
	const double se = widen * hypot(hypot(stretch_scale_se(b->s, b->since + ahead), b->unfed),
					warmth * k * ahead);

	return (struct forecast_day){ .mean_g = growth_unscale(model, scale),
				      .low_g = growth_unscale(model, scale - Z95 * se),
				      .high_g = growth_unscale(model, scale + Z95 * se) };
}

bool forecast_days(const struct fish_view *v, const struct fish_view_cell *c,
		   const struct fish_standing *st, int64_t at, const int64_t *starts, size_t n,
		   double widen, struct forecast_day *out)
{
	const struct temperature_days *t = &v->temperatures[c->tank];
	const double cap_c = v->lots[c->lot].facts.info.optimum_c;
	const struct fish_row *row = st->row;

	if (isnan(st->mean_g) || isnan(st->mean_se_g) || row->stretch < 0 ||
	    row->model == GROWTH_NONE)
		return false;
	const struct beginning b = begin_at(v, c, st, at);
	const double warmth = b.s->model == GROWTH_THERMAL ? temperature_spread(t) : 0.0;
	double ahead = 0.0;
	int64_t from = at;

	for (size_t i = 0; i < n; i++) {
		const struct growth_span span = temperature_span(t, cap_c, cap_c, from, starts[i]);
		ahead += stretch_run(b.s->model, &span);
		from = starts[i];
		out[i] = day_ahead(&b, row->k, ahead, warmth, widen);
	}
	return true;
}

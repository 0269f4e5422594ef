/* Solves growth coefficients between weighings.  See fish_stretch.h and fish_replay.h. */
#include "book/fish_stretch.h"

#include <math.h>

#include "book/fish_learn.h"

static const double known_share = 0.80; /* of the days, for the thermal model */

struct stretch_answer stretch_prior(const struct fish_lot_info *lot)
{
	struct stretch_answer a = { .model = GROWTH_NONE, .start_g = lot->supplier_g };

	if (lot->tgc_prior > 0.0) {
		a.model = GROWTH_THERMAL;
		a.k = lot->tgc_prior;
	}
	return a;
}

/* The mean weight at the end of the stretch when it starts at start_g and grows by k. */
static double carry(const struct open_stretch *s, enum growth_model model, double k, double start_g)
{
	double w = start_g;

	for (const struct stretch_piece *p = s->first; p; p = p->next) {
		w = growth_weight_g(model, k, w, &p->span);
		const double fish = p->fish + p->in_fish - p->out_fish;
		if (!(fish > 0.0))
			continue;
		double mass = p->fish * w;
		if (p->in_fish > 0.0)
			mass += p->in_fish * (isnan(p->in_g) ? w : p->in_g);
		if (p->out_fish > 0.0)
			mass -= p->out_mass_g;
		if (mass > 0.0)
			w = mass / fish;
	}
	return growth_weight_g(model, k, w, &s->pending);
}

enum unknown { UNKNOWN_K, UNKNOWN_START };

static double miss(const struct open_stretch *s, enum growth_model model, enum unknown what,
		   double k, double x)
{
	return what == UNKNOWN_K ? carry(s, model, x, s->start_g) - s->end_g
				 : carry(s, model, k, x) - s->end_g;
}

/*
 * The x at which the stretch arrives at its end, by the secant rule kept inside a bracket (regula
 * falsi with the Illinois step).  NAN when no bracket is found.  What is carried grows with x, so
 * one root exists.
 */
static double arrive(const struct open_stretch *s, enum growth_model model, enum unknown what,
		     double k, double guess)
{
	const double step = what == UNKNOWN_K ? 1.0 : 0.5 * guess;
	double a = guess, b = guess;
	double fa = miss(s, model, what, k, a), fb = fa;
	const double enough = 1e-9 * s->end_g;

	for (int i = 0; i < 60 && fa > 0.0; i++) {
		a = what == UNKNOWN_K ? a - step * ldexp(1.0, i) : a * 0.5;
		fa = miss(s, model, what, k, a);
	}
	for (int i = 0; i < 60 && fb < 0.0; i++) {
		b = what == UNKNOWN_K ? b + step * ldexp(1.0, i) : b * 2.0;
		fb = miss(s, model, what, k, b);
	}
	if (!(fa <= 0.0 && fb >= 0.0))
		return NAN;
	for (int i = 0; i < 100 && fb > enough && fa < -enough && b - a > 1e-13 * fabs(b); i++) {
		const double c = fb == fa ? 0.5 * (a + b) : b - fb * (b - a) / (fb - fa);
		const double fc = miss(s, model, what, k, c);
		if (fc > 0.0) {
			b = c;
			fb = fc;
			fa *= 0.5;
		} else {
			a = c;
			fa = fc;
			fb *= 0.5;
		}
	}
	return fabs(miss(s, model, what, k, a)) < fabs(miss(s, model, what, k, b)) ? a : b;
}

static enum growth_model choose_model(const struct open_stretch *s)
{
	if (s->total.known_days >= known_share * s->total.days && s->total.degree_days > 0.0)
		return GROWTH_THERMAL;
	return GROWTH_SPECIFIC;
}

static bool is_closed(const struct open_stretch *s)
{
	return s->ends_at != NO_INSTANT;
}

static void solve_closed(const struct open_stretch *s, const struct fish_lot_info *lot,
			 struct stretch_answer *a)
{
	a->solved = false;
	if (s->start_unknown) { /* carried back from the first weighing with the prior */
		const struct stretch_answer prior = stretch_prior(lot);
		a->model = prior.model;
		a->k = prior.k;
		a->start_g = arrive(s, a->model, UNKNOWN_START, a->k, s->end_g);
		return;
	}
	if (s->total.days < STRETCH_SHORTEST_DAYS || isnan(s->start_g))
		return;
	const enum growth_model model = choose_model(s);
	double k = growth_coefficient(model, s->start_g, s->end_g, &s->total);
	if (s->first)
		k = arrive(s, model, UNKNOWN_K, 0.0, isnan(k) ? 0.0 : k);
	if (isnan(k))
		return;
	*a = (struct stretch_answer){ .model = model, .k = k, .start_g = NAN, .solved = true };
}

static void borrow(const struct open_stretch *all, const struct open_stretch *s,
		   const struct fish_lot_info *lot, const int *first_of_lot,
		   struct stretch_answer *answers)
{
	struct stretch_answer *a = &answers[s->index];

	a->solved = false;
	if (!s->start_unknown || !is_closed(s))
		a->start_g = stretch_prior(lot).start_g;
	stretch_learn(all, s, lot, first_of_lot, answers);
}

void stretches_solve(const struct open_stretch *s, size_t n, const struct fish_lot_info *lots,
		     const int *first_of_lot, struct stretch_answer *answers)
{
	for (size_t i = 0; i < n; i++) {
		answers[i].solved = false;
		if (is_closed(&s[i]))
			solve_closed(&s[i], &lots[s[i].lot], &answers[i]);
	}
	for (size_t i = 0; i < n; i++)
		if (!answers[i].solved && !(is_closed(&s[i]) && s[i].start_unknown))
			borrow(s, &s[i], &lots[s[i].lot], first_of_lot, answers);
}

double stretch_run(enum growth_model model, const struct growth_span *span)
{
	return model == GROWTH_THERMAL ? span->degree_days / 1000.0 : span->days / 100.0;
}

double stretch_se(enum growth_model model, double weight_g, double se_g)
{
	return weight_g > 0.0 && se_g > 0.0 ? se_g * growth_d_scale(model, weight_g) : 0.0;
}

void stretch_describe(const struct open_stretch *all, size_t i,
		      const struct stretch_answer *answers, struct fish_stretch *out)
{
	const struct open_stretch *s = &all[i];
	const struct stretch_answer *a = &answers[i];

	*out = (struct fish_stretch){
		.lot = s->lot,
		.starts_at = s->starts_at,
		.ends_at = s->ends_at,
		.model = a->model,
		.k = a->k,
		.x = stretch_run(a->model, &s->total),
		.start_unknown = s->start_unknown,
		.start_se =
			s->start_unknown ? 0.0 : stretch_se(a->model, s->start_g, s->start_se_g),
		.end_se = is_closed(s) ? stretch_se(a->model, s->end_g, s->end_se_g) : 0.0,
		.picked_se = stretch_se(a->model, s->picked_mean_g, s->picked_se_g),
		.picked_x = stretch_run(a->model, &s->picked_span),
		.k_se = is_closed(s) ? 0.0 : a->k_se,
		.k_lean = is_closed(s) ? 0.0 : a->k_lean,
	};
}

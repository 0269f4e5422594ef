/* The coefficient of a stretch that has no two weighings of its own: learned from the lot's other
 * stretches and the species' prior.  See fish_learn.h and domain/learn.h. */
#include "book/fish_learn.h"

#include <math.h>

#include "domain/learn.h"

static const double assumed_spread = 0.15; /* of k */

double stretch_k_prior(const struct fish_lot_info *lot, enum growth_model model)
{
	return model == GROWTH_THERMAL && lot->tgc_prior > 0.0 ? lot->tgc_prior : NAN;
}

double stretch_k_spread(const struct fish_lot_info *lot, enum growth_model model, double mean_k)
{
	const double prior = stretch_k_prior(lot, model);

	if (isnan(prior))
		return assumed_spread * fabs(mean_k);
	return lot->tgc_prior_sd > 0.0 ? lot->tgc_prior_sd : assumed_spread * prior;
}

/* A stretch while its coefficient is learned. */
struct learner {
	const struct open_stretch *all;
	const struct stretch_answer *answers;
	const struct open_stretch *of; /* whose coefficient is looked for */
	int first;                     /* of the lot's list */
	enum growth_model model;
	struct learning l;
};

/* The lot's solved stretch nearest in time: the one before it in the same water first. */
static int nearest_solved(const struct learner *m)
{
	int best = -1;
	int64_t best_gap = INT64_MAX;

	if (m->of->previous >= 0 && m->answers[m->of->previous].solved)
		return m->of->previous;
	for (int i = m->first; i >= 0; i = m->all[i].next_of_lot) {
		if (!m->answers[i].solved)
			continue;
		const int64_t middle = m->all[i].starts_at / 2 + m->all[i].ends_at / 2;
		const int64_t gap = middle > m->of->starts_at ? middle - m->of->starts_at
							      : m->of->starts_at - middle;
		if (gap < best_gap) {
			best = i;
			best_gap = gap;
		}
	}
	return best;
}

static bool counts(const struct learner *m, int i)
{
	return i >= 0 && m->answers[i].solved && m->answers[i].model == m->model;
}

static double run(const struct learner *m, int i)
{
	return stretch_run(m->model, &m->all[i].total);
}

static double start_se(const struct learner *m, int i)
{
	return stretch_se(m->model, m->all[i].start_g, m->all[i].start_se_g);
}

static double end_se(const struct learner *m, int i)
{
	return stretch_se(m->model, m->all[i].end_g, m->all[i].end_se_g);
}

static double picked_se(const struct learner *m, int i)
{
	return stretch_se(m->model, m->all[i].picked_mean_g, m->all[i].picked_se_g);
}

/* Variance of a solved coefficient from its weighings and what was picked unweighed. */
static double error2(const struct learner *m, int i)
{
	const double x = run(m, i), a = start_se(m, i), b = end_se(m, i), c = picked_se(m, i);

	return (a * a + b * b + c * c) / (x * x);
}

/* How far what is learned moves with the end of stretch i, per unit: its weight over its length. */
static double pull(const struct learner *m, int i)
{
	return counts(m, i) ? learn_weight(&m->l, error2(m, i)) / m->l.weight / run(m, i) : 0.0;
}

/* A weighing that ends one stretch and begins the next pulls both, against each other. */
static double follower_pull(const struct learner *m, int i)
{
	double sum = 0.0;

	for (int j = m->first; j >= 0; j = m->all[j].next_of_lot)
		if (m->all[j].previous == i)
			sum += pull(m, j);
	return sum;
}

/* Variance from the weighings, apart from the one that begins the stretch itself. */
static double weighing_variance(const struct learner *m)
{
	double sum = 0.0;

	for (int i = m->first; i >= 0; i = m->all[i].next_of_lot) {
		if (!counts(m, i))
			continue;
		const double own = pull(m, i);
		if (i != m->of->previous) {
			const double end = (own - follower_pull(m, i)) * end_se(m, i);
			sum += end * end;
		}
		if (!counts(m, m->all[i].previous)) {
			const double start = own * start_se(m, i);
			sum += start * start;
		}
		const double picked = own * picked_se(m, i);
		sum += picked * picked;
	}
	return sum;
}

static double plain_mean(const struct learner *m)
{
	double sum = 0.0;
	int n = 0;

	for (int i = m->first; i >= 0; i = m->all[i].next_of_lot)
		if (counts(m, i)) {
			sum += m->answers[i].k;
			n++;
		}
	return n ? sum / n : 0.0;
}

void stretch_learn(const struct open_stretch *all, const struct open_stretch *s,
		   const struct fish_lot_info *lot, const int *first_of_lot,
		   struct stretch_answer *answers)
{
	struct stretch_answer *a = &answers[s->index];
	struct learner m = {
		.all = all, .answers = answers, .of = s, .first = first_of_lot[s->lot]
	};
	const int nearest = nearest_solved(&m);

	m.model = nearest >= 0 ? answers[nearest].model : stretch_prior(lot).model;
	a->model = m.model;
	a->k = a->k_se = a->k_lean = 0.0;
	if (m.model == GROWTH_NONE)
		return;
	learn_begin(&m.l, stretch_k_prior(lot, m.model),
		    stretch_k_spread(lot, m.model, plain_mean(&m)));
	for (int i = m.first; i >= 0; i = all[i].next_of_lot)
		if (counts(&m, i))
			learn_add(&m.l, answers[i].k, error2(&m, i));
	a->k = learn_value(&m.l);
	a->k_lean = pull(&m, s->previous);
	a->k_se = hypot(learn_next_se(&m.l), sqrt(weighing_variance(&m)));
}

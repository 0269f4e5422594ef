/* Inside the fish replay: growth where no two weighings tell it. */
#ifndef WEIRBOOK_BOOK_FISH_LEARN_H
#define WEIRBOOK_BOOK_FISH_LEARN_H

#include "book/fish_stretch.h"

/* The species' k for a model: its prior for thermal growth; NAN: it has none. */
double stretch_k_prior(const struct fish_lot_info *lot, enum growth_model model);

/* Standard deviation of k from one stretch to the next: the species' own; else 15 % of its prior,
 * or of mean_k where it has none (common practice, no source). */
double stretch_k_spread(const struct fish_lot_info *lot, enum growth_model model, double mean_k);

/*
 * Sets model, k, k_se and k_lean of answers[s->index], a stretch without two weighings of its own:
 * learned from the lot's solved stretches of the same model, and the species' prior.  all: the
 * stretches of the pass; first_of_lot heads the list of each lot's.
 */
void stretch_learn(const struct open_stretch *all, const struct open_stretch *s,
		   const struct fish_lot_info *lot, const int *first_of_lot,
		   struct stretch_answer *answers);

#endif

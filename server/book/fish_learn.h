/* Inside the fish replay: growth where no two weighings tell it. */
#ifndef WEIRBOOK_BOOK_FISH_LEARN_H
#define WEIRBOOK_BOOK_FISH_LEARN_H

#include "book/fish_stretch.h"

/* Spread of k from one stretch to the next, as a share of it, where the species says nothing; common practice, no
 * source. */
#define ASSUMED_K_SPREAD 0.15

/*
 * Sets model, k, k_se and k_lean of answers[s->index], a stretch without two weighings of its own: learned from the lot's
 * solved stretches of the same model, and the species' prior.  all: the stretches of the pass; first_of_lot heads the list
 * of each lot's.
 */
void stretch_learn(const struct open_stretch *all, const struct open_stretch *s,
		   const struct fish_lot_info *lot, const int *first_of_lot,
		   struct stretch_answer *answers);

#endif

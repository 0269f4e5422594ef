/* The order of entries about fish: (instant, rank, key), and its exceptions (docs/rules.md, "Order
 * and time"). */
#ifndef WEIRBOOK_BOOK_FISH_ORDER_H
#define WEIRBOOK_BOOK_FISH_ORDER_H

#include "book/fish_replay.h"

/* Brings w->events into the ledger's order, in place.  Moves of one lot at one instant run so that
 * a place fills before it empties; in a ring the key decides. */
void fish_order(struct fish_world *w);

/*
 * A death by day in a place that was emptied earlier that day: puts event `from` just before event
 * `emptying`, which stands before it, and sets its instant to a second before that one's, or to
 * that of what stands before it when that is later.  Both are indexes in w->events.
 */
void fish_order_before(struct fish_world *w, size_t from, size_t emptying);

#endif

/* See fish_order.h. */
#include "book/fish_order.h"

#include <stdlib.h>
#include <string.h>

#include "base/order.h"

static int by_place(const void *a, const void *b)
{
	const struct fish_event *x = a, *y = b;

	if (x->instant != y->instant)
		return x->instant < y->instant ? -1 : 1;
	if (x->rank != y->rank)
		return x->rank < y->rank ? -1 : 1;
	return uuid_compare(&x->key, &y->key);
}

/* Takes the event at `from` out and puts it at `to`, which is not behind it. */
static void pull_forward(struct fish_event *events, size_t from, size_t to)
{
	const struct fish_event moved = events[from];

	memmove(&events[to + 1], &events[to], (from - to) * sizeof(*events));
	events[to] = moved;
}

/* Whether a move of the same lot still to come at this instant fills the cell that e empties. */
static bool waits_for_fill(const struct fish_event *e, const struct fish_event *others, size_t n)
{
	for (size_t i = 0; i < n; i++)
		if (&others[i] != e && others[i].lot == e->lot && others[i].to_lot == e->lot &&
		    others[i].to_tank == e->tank && e->tank >= 0)
			return true;
	return false;
}

/* Moves at one instant run so that a place fills before it empties; a ring keeps its order. */
static void order_moves(struct fish_event *e, size_t n)
{
	for (size_t done = 0; done + 1 < n; done++) {
		size_t pick = done;
		while (pick < n && waits_for_fill(&e[pick], &e[done], n - done))
			pick++;
		if (pick == n || pick == done)
			continue;
		pull_forward(e, pick, done);
	}
}

void fish_order(struct fish_world *w)
{
	if (w->n_events)
		qsort(w->events, w->n_events, sizeof(*w->events), by_place);
	for (size_t i = 0, j; i < w->n_events; i = j) {
		for (j = i + 1; j < w->n_events && w->events[j].rank == w->events[i].rank &&
				w->events[j].instant == w->events[i].instant;)
			j++;
		if (w->events[i].rank == RANK_MOVE && j - i > 1)
			order_moves(&w->events[i], j - i);
	}
}

void fish_order_before(struct fish_world *w, size_t from, size_t emptying)
{
	const int64_t just_before = w->events[emptying].instant - 1;

	pull_forward(w->events, from, emptying);
	/* what filled the place may stand at the very instant of the emptying */
	w->events[emptying].instant =
		emptying ? later_of(just_before, w->events[emptying - 1].instant) : just_before;
}

/*
 * One pass over the entries in order, and passes until the means stand still.  See fish_replay.h.
 * What a single entry does to its cells is in fish_acts.c.
 */
#include "book/fish_replay.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "book/fish_acts.h"

enum { PASSES_MAX = 50 };
static const double still_g = 0.01; /* means that move less stand still */

/* The ledger's order: (instant, rank, key); FISH events of one instant: moves fill before they empty. */
static int fish_event_compare(const void *a, const void *b)
{
	const struct fish_event *x = a, *y = b;

	if (x->instant != y->instant)
		return x->instant < y->instant ? -1 : 1;
	if (x->rank != y->rank)
		return x->rank < y->rank ? -1 : 1;
	return uuid_compare(&x->key, &y->key);
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
		const struct fish_event first = e[pick];
		memmove(&e[done + 1], &e[done], (pick - done) * sizeof(*e));
		e[done] = first;
	}
}

static void sort_events(struct fish_world *w)
{
	if (w->n_events)
		qsort(w->events, w->n_events, sizeof(*w->events), fish_event_compare);
	for (size_t i = 0, j; i < w->n_events; i = j) {
		for (j = i + 1; j < w->n_events && w->events[j].rank == w->events[i].rank &&
				w->events[j].instant == w->events[i].instant;)
			j++;
		if (w->events[i].rank == RANK_MOVE && j - i > 1)
			order_moves(&w->events[i], j - i);
	}
}

static void run_pass(struct fish_pass *p)
{
	fish_pass_reset(p);
	for (size_t i = 0; i < p->w->n_events && !p->moved_event; i++) {
		p->event = i;
		fish_act(p, &p->w->events[i]);
	}
}

/* Keeps the means of this pass beside those of the last; true when none moved. */
static bool stands_still(struct fish_pass *p, size_t *n_before)
{
	bool still = *n_before == p->n_rows;

	for (size_t i = 0; i < p->n_rows; i++) {
		const double now = p->rows[i].mean_g, before = p->means_before[i];
		if (still && !(isnan(now) ? isnan(before) : fabs(now - before) < still_g))
			still = false;
		p->means_before[i] = now;
	}
	*n_before = p->n_rows;
	return still;
}

static enum fish_basis basis_of(const struct fish_row *row, const struct fish_stretch *s)
{
	if (isnan(row->mean_g))
		return BASIS_UNKNOWN;
	if (row->weighed_at == row->instant)
		return BASIS_WEIGHED;
	if (s->ends_at != NO_INSTANT)
		return s->start_unknown ? BASIS_CARRIED_BACK : BASIS_BETWEEN;
	return s->start_unknown ? BASIS_SUPPLIER : BASIS_PROJECTED;
}

static void finish(struct fish_pass *p, struct arena *arena, struct fish_ledger *out)
{
	struct fish_stretch *described = arena_array(arena, p->n_stretches + 1, sizeof(*described));

	for (size_t i = 0; i < p->n_stretches; i++)
		stretch_describe(p->stretches, i, p->answers, &described[i]);
	for (size_t i = 0; i < p->n_rows; i++)
		if (p->rows[i].stretch >= 0)
			p->rows[i].basis = basis_of(&p->rows[i], &described[p->rows[i].stretch]);
	out->rows = p->rows;
	out->n_rows = p->n_rows;
	out->stretches = described;
	out->n_stretches = p->n_stretches;
	out->shortfalls = p->shortfalls;
	out->n_shortfalls = p->n_shortfalls;
}

void fish_replay(struct fish_world *w, struct arena *arena, struct fish_ledger *out)
{
	struct fish_pass p;
	size_t n_before = SIZE_MAX;

	*out = (struct fish_ledger){ 0 };
	sort_events(w);
	fish_pass_init(&p, w, arena);
	while (out->passes < PASSES_MAX && !out->settled) {
		run_pass(&p);
		if (p.moved_event) { /* a death by day went before the emptying: order anew */
			sort_events(w);
			continue;
		}
		out->passes++;
		out->settled = stands_still(&p, &n_before) && out->passes > 1;
		if (out->settled)
			break;
		stretches_solve(p.stretches, p.n_stretches, w->lots, p.first_of_lot, p.answers);
		p.answered = p.n_stretches;
	}
	finish(&p, arena, out);
}

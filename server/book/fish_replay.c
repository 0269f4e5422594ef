/*
 * One pass over the entries in order, and passes until the means stand still.  See fish_replay.h.
 * What a single entry does to its cells is in fish_acts.c.
 */
#include "book/fish_replay.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "book/fish_pass.h"

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

static void pass_reset(struct fish_pass *p)
{
	const size_t cells = p->w->n_lots * p->w->n_tanks;

	for (size_t i = 0; i < cells; i++)
		p->cells[i] = (struct fish_cell){ .lot = (int)(i / p->w->n_tanks),
						  .tank = (int)(i % p->w->n_tanks),
						  .mean_g = NAN,
						  .stretch = -1,
						  .weighed_at = NO_INSTANT,
						  .emptied_by = -1 };
	for (size_t i = 0; i < p->w->n_lots; i++)
		p->first_of_lot[i] = -1;
	p->n_rows = p->n_stretches = p->n_shortfalls = 0;
	p->moved_event = false;
}

static void run_pass(struct fish_pass *p)
{
	pass_reset(p);
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

struct fish_row *fish_pass_row(struct fish_pass *p)
{
	size_t room = p->rows_room;

	p->means_before =
		arena_grow(p->arena, p->means_before, p->n_rows, &room, sizeof(*p->means_before));
	p->rows = arena_grow(p->arena, p->rows, p->n_rows, &p->rows_room, sizeof(*p->rows));
	return &p->rows[p->n_rows++];
}

struct fish_shortfall *fish_pass_shortfall(struct fish_pass *p)
{
	p->shortfalls = arena_grow(p->arena, p->shortfalls, p->n_shortfalls, &p->shortfalls_room,
				   sizeof(*p->shortfalls));
	return &p->shortfalls[p->n_shortfalls++];
}

struct open_stretch *fish_pass_stretch(struct fish_pass *p)
{
	size_t room = p->stretches_room;

	p->answers = arena_grow(p->arena, p->answers, p->n_stretches, &room, sizeof(*p->answers));
	p->stretches = arena_grow(p->arena, p->stretches, p->n_stretches, &p->stretches_room,
				  sizeof(*p->stretches));
	return &p->stretches[p->n_stretches++];
}

static void pass_init(struct fish_pass *p, struct fish_world *w, struct arena *arena)
{
	const size_t stretches = w->n_lots + w->n_events / 16 + 16;
	const size_t rows = w->n_events + w->n_events / 4 + 16;

	*p = (struct fish_pass){
		.w = w,
		.arena = arena,
		.cells = arena_array(arena, w->n_lots * w->n_tanks + 1, sizeof(*p->cells)),
		.first_of_lot = arena_array(arena, w->n_lots + 1, sizeof(*p->first_of_lot)),
		.rows = arena_array(arena, rows, sizeof(*p->rows)),
		.rows_room = rows,
		.means_before = arena_array(arena, rows, sizeof(*p->means_before)),
	};
	p->stretches = arena_array(arena, stretches, sizeof(*p->stretches));
	p->answers = arena_array(arena, stretches, sizeof(*p->answers));
	p->stretches_room = stretches;
}

void fish_replay(struct fish_world *w, struct arena *arena, struct fish_ledger *out)
{
	struct fish_pass p;
	size_t n_before = SIZE_MAX;

	*out = (struct fish_ledger){ 0 };
	sort_events(w);
	pass_init(&p, w, arena);
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

/*
 * One pass over the entries in order, and passes until the means stand still.  See fish_replay.h.
 * Their order is fish_order.c's, what a single entry does to its cells fish_acts.c's.
 */
#include "book/fish_replay.h"

#include <math.h>

#include "book/fish_acts.h"
#include "book/fish_order.h"

enum { PASSES_MAX = 50 };
static const double still_g = 0.01; /* means that move less stand still */

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
	fish_order(w);
	fish_pass_init(&p, w, arena);
	while (out->passes < PASSES_MAX && !out->settled) {
		run_pass(&p);
		if (p.moved_event) /* a death by day went before the emptying: play anew */
			continue;
		out->passes++;
		out->settled = stands_still(&p, &n_before) && out->passes > 1;
		if (out->settled)
			break;
		stretches_solve(p.stretches, p.n_stretches, w->lots, p.first_of_lot, p.answers);
		p.answered = p.n_stretches;
	}
	finish(&p, arena, out);
}

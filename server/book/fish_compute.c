/* See fish_compute.h. */
#include "book/fish_compute.h"

#include <stdlib.h>

/* Rows by lot, tank and order of the ledger. */
static int compare_rows(const void *a, const void *b)
{
	const struct fish_row *const *x = a, *const *y = b;

	if ((*x)->lot != (*y)->lot)
		return (*x)->lot < (*y)->lot ? -1 : 1;
	if ((*x)->tank != (*y)->tank)
		return (*x)->tank < (*y)->tank ? -1 : 1;
	return *x < *y ? -1 : *x > *y; /* as they stand in the ledger */
}

/* Turns the ledger's indexes of a row into ids. */
static struct fish_row with_ids(const struct fish_row *r, const struct fish_world *w)
{
	struct fish_row out = *r;

	out.lot = (int)w->lots[r->lot].id;
	out.tank = (int)w->tank_ids[r->tank];
	out.other_lot = r->other_lot < 0 ? -1 : (int)w->lots[r->other_lot].id;
	out.other_tank = r->other_tank < 0 ? -1 : (int)w->tank_ids[r->other_tank];
	return out;
}

/* Each lot's own stretches, in order; renumber[i] is the number of ledger stretch i within its
 * lot. */
static void divide_stretches(const struct fish_ledger *ledger, const struct fish_world *w,
			     struct arena *arena, struct fish_view *out, int *renumber)
{
	size_t *count = arena_array(arena, w->n_lots + 1, sizeof(*count));

	for (size_t i = 0; i < ledger->n_stretches; i++)
		renumber[i] = (int)count[ledger->stretches[i].lot]++;
	for (size_t l = 0; l < w->n_lots; l++) {
		struct fish_view_lot *lot = &out->lots[id_set_find(&out->lot_ids, w->lots[l].id)];
		lot->stretches = arena_array(arena, count[l] + 1, sizeof(*lot->stretches));
		lot->n_stretches = count[l];
		lot->settled = ledger->settled;
	}
	for (size_t i = 0; i < ledger->n_stretches; i++) {
		const struct fish_stretch *s = &ledger->stretches[i];
		out->lots[id_set_find(&out->lot_ids, w->lots[s->lot].id)].stretches[renumber[i]] =
			*s;
	}
}

static void divide_rows(const struct fish_ledger *ledger, const struct fish_world *w,
			const int *renumber, struct arena *arena, struct fish_view *out)
{
	const size_t n = ledger->n_rows;
	const struct fish_row **order = arena_array(arena, n + 1, sizeof(*order));
	struct fish_row *rows = arena_array(arena, n + 1, sizeof(*rows));

	for (size_t i = 0; i < n; i++)
		order[i] = &ledger->rows[i];
	if (n)
		qsort(order, n, sizeof(*order), compare_rows);
	out->cells = arena_array(arena, w->n_lots * w->n_tanks + 1, sizeof(*out->cells));
	for (size_t i = 0; i < n; i++) {
		const bool first = i == 0 || order[i]->lot != order[i - 1]->lot ||
				   order[i]->tank != order[i - 1]->tank;
		rows[i] = with_ids(order[i], w);
		if (rows[i].stretch >= 0)
			rows[i].stretch = renumber[rows[i].stretch];
		if (first) {
			id_set_add(&out->tank_ids, rows[i].tank, arena);
			out->cells[out->n_cells++] = (struct fish_view_cell){ .rows = &rows[i] };
		}
		out->cells[out->n_cells - 1].n_rows++;
	}
	for (size_t i = 0; i < out->n_cells; i++) { /* all tanks are known now */
		out->cells[i].lot = (size_t)id_set_find(&out->lot_ids, out->cells[i].rows[0].lot);
		out->cells[i].tank =
			(size_t)id_set_find(&out->tank_ids, out->cells[i].rows[0].tank);
	}
}

enum err_code fish_compute(struct book *b, const struct id_set *lots, struct arena *arena,
			   struct fish_view *out, struct err *err)
{
	struct fish_world w;
	struct fish_ledger ledger;
	enum err_code rc = fish_world_load(b, lots, arena, &w, err);

	if (rc)
		return rc;
	fish_replay(&w, arena, &ledger);
	*out = (struct fish_view){ 0 };
	for (size_t i = 0; i < lots->n; i++)
		id_set_add(&out->lot_ids, lots->ids[i], arena);
	out->lots = arena_array(arena, lots->n + 1, sizeof(*out->lots));
	int *renumber = arena_array(arena, ledger.n_stretches + 1, sizeof(*renumber));
	divide_stretches(&ledger, &w, arena, out, renumber);
	divide_rows(&ledger, &w, renumber, arena, out);
	return ERR_NONE;
}

/* Where stock goes below zero: whole numbers of fish of one lot in one tank, replayed in the order (instant,
 * rank, key); a judgment at write needs no more (6-rulings "Mass and growth").  Plants: crop_ledger.c. */
#include "book/ledger.h"

#include <string.h>

#include "book/crop_ledger.h"
#include "book/inside.h"
#include "model/kinds.h"

/* A lot in a tank that a record touches. */
struct cell {
	int64_t lot_id, tank_id;
};

enum { CELLS_MAX = 2 };

static size_t add_cell(struct cell cells[CELLS_MAX], size_t n, struct cell c)
{
	if (c.lot_id && c.tank_id)
		cells[n++] = c;
	return n;
}

static struct cell fish_cell(const struct record *r, const char *lot, const char *tank)
{
	return (struct cell){ .lot_id = record_int(r, lot, 0), .tank_id = record_int(r, tank, 0) };
}

/* The crop lot whose plants a record moves; 0: none. */
static int64_t crop_lot_of(const struct kind *k, const struct record *r)
{
	if (k == &crop_lots_kind)
		return r->id;
	if (k == &crop_moves_kind || k == &crop_losses_kind || k == &crop_counts_kind ||
	    k == &harvests_kind)
		return record_int(r, "crop_lot_id", 0);
	return 0;
}

static size_t touched(const struct kind *k, const struct record *r, struct cell cells[CELLS_MAX])
{
	size_t n = 0;

	if (k == &fish_moves_kind) {
		bool merges = record_has(r, "into_lot_id");

		n = add_cell(cells, n, fish_cell(r, "fish_lot_id", "from_tank_id"));
		n = add_cell(cells, n,
			     fish_cell(r, merges ? "into_lot_id" : "fish_lot_id", "to_tank_id"));
	} else if (k == &fish_deaths_kind || k == &fish_counts_kind || k == &harvests_kind) {
		n = add_cell(cells, n, fish_cell(r, "fish_lot_id", "tank_id"));
	}
	return n;
}

/* Shortfalls as they are found. */
struct found {
	struct shortfall *all;
	size_t n, room;
	struct arena *arena;
};

static void found_add(struct found *f, int64_t day, int64_t there, int64_t asked)
{
	if (f->n == f->room) {
		size_t room = f->room * 2 + 4;
		struct shortfall *more = arena_array(f->arena, room, sizeof(*more));

		if (f->n)
			memcpy(more, f->all, f->n * sizeof(*more));
		f->all = more;
		f->room = room;
	}
	f->all[f->n++] = (struct shortfall){ .day = day, .there = there, .asked = asked };
}

/* Columns of the steps: change, set_to (NULL: none), empties, day. */
static enum err_code replay_cell(struct book *b, const struct cell *c, struct found *out,
				 struct err *err)
{
	struct stmt *q = NULL;
	int64_t there = 0;
	size_t first = out->n;
	enum err_code rc = store_query(b->store, Q_FISH_STEPS, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":lot", c->lot_id);
	stmt_bind_int(q, ":place", c->tank_id);
	while (!(rc = stmt_row(q, err))) {
		int64_t change = stmt_int(q, 0);

		if (there + change < 0)
			found_add(out, stmt_int(q, 3), there, -change);
		there = there + change > 0 ? there + change : 0;
		if (!stmt_is_null(q, 1))
			there = stmt_int(q, 1);
		if (stmt_int(q, 2))
			there = 0;
	}
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	for (size_t i = first; !rc && i < out->n; i++) {
		out->all[i].lot = book_label(b, "fish-lots", c->lot_id, out->arena);
		out->all[i].place = book_label(b, "tanks", c->tank_id, out->arena);
	}
	return rc;
}

enum err_code ledger_shortfalls(struct book *b, const struct kind *k, const struct record *r,
				struct arena *arena, struct shortfall **out, size_t *n,
				struct err *err)
{
	struct cell cells[CELLS_MAX];
	struct found found = { .arena = arena };
	size_t n_cells = touched(k, r, cells);
	int64_t crop_lot = crop_lot_of(k, r);

	if (crop_lot)
		return crop_shortfalls(b, crop_lot, arena, out, n, err);
	for (size_t i = 0; i < n_cells; i++) {
		enum err_code rc = replay_cell(b, &cells[i], &found, err);

		if (rc)
			return rc;
	}
	*out = found.all;
	*n = found.n;
	return ERR_NONE;
}

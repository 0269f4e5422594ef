/* Where stock goes below zero: whole numbers of fish and plants, replayed in the order (instant,
 * rank, key).  A judgment at write needs no more (docs/rules.md, "Mass and growth"). */
#include "book/ledger.h"

#include "book/crop_ledger.h"
#include "book/inside.h"
#include "book/tank_numbers.h"
#include "model/kinds.h"

/* What is short, as it is found. */
struct found {
	struct book *b;
	struct shortfall *all;
	size_t n, room;
	struct arena *arena;
};

static void found_add(struct found *f, struct shortfall s)
{
	f->all = arena_grow(f->arena, f->all, f->n, &f->room, sizeof(*f->all));
	f->all[f->n++] = s;
}

static enum err_code read_steps(struct book *b, int64_t tank, struct arena *arena,
				struct tank_step **out, size_t *n, struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(b->store, Q_TANK_STEPS, &q, err);

	*out = NULL;
	*n = 0;
	if (rc)
		goto out;
	stmt_bind_int(q, ":tank", tank);
	while (!(rc = stmt_row(q, err))) {
		*out = arena_grow(arena, *out, *n, &room, sizeof(**out));
		(*out)[(*n)++] = (struct tank_step){
			.lot = stmt_int(q, 0),
			.change = stmt_int(q, 1),
			.set_to = stmt_int_or(q, 2, NO_COUNT),
			.empties = stmt_int(q, 3) != 0,
			.day = stmt_int(q, 4),
			.by_day_death = stmt_int(q, 5) != 0,
		};
	}
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	return rc;
}

static enum err_code find_in_tank(struct found *f, int64_t tank, struct err *err)
{
	struct arena arena;
	struct tank_step *steps;
	struct tank_gap *gaps;
	size_t n_steps, n_gaps = 0;
	enum err_code rc = ERR_NONE;

	if (!tank)
		return ERR_NONE;
	arena_init(&arena);
	rc = read_steps(f->b, tank, &arena, &steps, &n_steps, err);
	if (!rc)
		tank_numbers(steps, n_steps, &arena, &gaps, &n_gaps);
	for (size_t i = 0; i < n_gaps; i++)
		found_add(f, (struct shortfall){
				     .lot = gaps[i].lot ? book_label(f->b, "fish-lots", gaps[i].lot,
								     f->arena)
							: "",
				     .place = book_label(f->b, "tanks", tank, f->arena),
				     .day = gaps[i].day,
				     .there = gaps[i].there,
				     .asked = gaps[i].asked,
			     });
	arena_release(&arena);
	return rc;
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

enum err_code ledger_shortfalls(struct book *b, const struct kind *k, const struct record *r,
				struct arena *arena, struct shortfall **out, size_t *n,
				struct err *err)
{
	struct found f = { .b = b, .arena = arena };
	int64_t crop_lot = crop_lot_of(k, r);
	enum err_code rc = ERR_NONE;

	if (crop_lot)
		return crop_shortfalls(b, crop_lot, arena, out, n, err);
	if (k == &fish_moves_kind) {
		int64_t from = record_int(r, "from_tank_id", 0);
		int64_t to = record_int(r, "to_tank_id", 0);

		rc = find_in_tank(&f, from, err);
		if (!rc && to != from)
			rc = find_in_tank(&f, to, err);
	} else if (k == &fish_deaths_kind || k == &fish_counts_kind || k == &harvests_kind) {
		rc = find_in_tank(&f, record_int(r, "tank_id", 0), err);
	}
	*out = f.all;
	*n = f.n;
	return rc;
}

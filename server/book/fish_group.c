/* See fish_group.h. */
#include "book/fish_group.h"

#include "book/read_ids.h"

struct closing {
	struct book *b;
	struct arena *arena;
	struct id_set *lots;
	struct id_set dirty;
	struct id_set reached; /* lots whose neighbours have been added */
};

enum err_code fish_dirty_lots(struct book *b, struct arena *arena, struct id_set *out,
			      struct err *err)
{
	return read_ids(b, Q_FISH_DIRTY_ALL, NULL, 0, arena, out, err);
}

static enum err_code ids_of_lot(struct closing *c, enum query query, int64_t lot_id,
				struct id_set *out, struct err *err)
{
	return read_ids(c->b, query, ":lot_id", lot_id, c->arena, out, err);
}

static enum err_code add_meeting(struct closing *c, int64_t tank_id, int64_t begin, int64_t end,
				 struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(c->b), Q_FISH_LOTS_MEETING, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":tank_id", tank_id);
	stmt_bind_int(q, ":begin", begin);
	stmt_bind_int(q, ":end", end);
	while (!(rc = stmt_row(q, err)))
		id_set_add(c->lots, stmt_int(q, 0), c->arena);
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	return rc;
}

/* The kept cells of a lot: where it is known to have been. */
struct kept_cell {
	int64_t tank_id, first, last;
};

static enum err_code kept_cells(struct closing *c, int64_t lot_id, struct kept_cell **out,
				size_t *n, struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(book_store(c->b), Q_FISH_CELLS_OF_LOT, &q, err);

	*n = 0;
	*out = NULL;
	if (rc)
		goto out;
	stmt_bind_int(q, ":lot_id", lot_id);
	while (!(rc = stmt_row(q, err))) {
		*out = arena_grow(c->arena, *out, *n, &room, sizeof(**out));
		(*out)[(*n)++] =
			(struct kept_cell){ stmt_int(q, 0), stmt_int(q, 1),
					    stmt_int(q, 3) > 0 ? INT64_MAX : stmt_int(q, 2) };
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

/* All lots that met this lot where its kept rows say that it was. */
static enum err_code add_neighbours_kept(struct closing *c, int64_t lot_id, struct err *err)
{
	struct kept_cell *cells = NULL;
	size_t n = 0;
	enum err_code rc = kept_cells(c, lot_id, &cells, &n, err);

	for (size_t i = 0; !rc && i < n; i++)
		rc = add_meeting(c, cells[i].tank_id, cells[i].first, cells[i].last, err);
	return rc;
}

static enum err_code first_instant(struct closing *c, int64_t lot_id, int64_t *out, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(c->b), Q_FISH_FIRST_INSTANT, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":lot_id", lot_id);
	rc = stmt_row(q, err);
	if (!rc)
		*out = stmt_int_or(q, 0, INT64_MAX);
out:
	stmt_done(q);
	return rc;
}

/* Dirty lots that have been in this tank at any time: their kept cells say nothing. */
static enum err_code add_dirty_in_tank(struct closing *c, int64_t tank_id, struct err *err)
{
	enum err_code rc = ERR_NONE;

	for (size_t i = 0; !rc && i < c->dirty.n; i++) {
		if (id_set_find(c->lots, c->dirty.ids[i]) >= 0)
			continue;
		struct id_set tanks = { 0 };
		rc = ids_of_lot(c, Q_FISH_TANKS_OF_LOT, c->dirty.ids[i], &tanks, err);
		if (!rc && id_set_find(&tanks, tank_id) >= 0)
			id_set_add(c->lots, c->dirty.ids[i], c->arena);
	}
	return rc;
}

static enum err_code add_neighbours(struct closing *c, int64_t lot_id, struct err *err)
{
	struct id_set tanks = { 0 };
	const bool dirty = id_set_find(&c->dirty, lot_id) >= 0;
	int64_t first = INT64_MAX;
	enum err_code rc = ids_of_lot(c, Q_FISH_MERGED_WITH, lot_id, c->lots, err);

	if (!rc)
		rc = add_neighbours_kept(c, lot_id, err);
	if (!rc && (dirty || c->dirty.n))
		rc = ids_of_lot(c, Q_FISH_TANKS_OF_LOT, lot_id, &tanks, err);
	if (!rc && dirty)
		rc = first_instant(c, lot_id, &first, err);
	for (size_t i = 0; !rc && i < tanks.n; i++) {
		if (dirty && first != INT64_MAX)
			rc = add_meeting(c, tanks.ids[i], first, INT64_MAX, err);
		if (!rc && c->dirty.n)
			rc = add_dirty_in_tank(c, tanks.ids[i], err);
	}
	return rc;
}

enum err_code fish_group_close(struct book *b, struct id_set *lots, struct arena *arena,
			       struct err *err)
{
	struct closing c = { .b = b, .arena = arena, .lots = lots };
	enum err_code rc = fish_dirty_lots(b, arena, &c.dirty, err);
	bool grew = true;

	while (!rc && grew) {
		grew = false;
		for (size_t i = 0; !rc && i < lots->n; i++) {
			if (!id_set_add(&c.reached, lots->ids[i], arena))
				continue;
			grew = true;
			rc = add_neighbours(&c, lots->ids[i], err);
			break; /* lots may have grown: begin anew */
		}
	}
	return rc;
}

/* See fish_keep.h. */
#include "book/fish_keep.h"

#include <string.h>

#include "book/fish_compute.h"

static enum err_code drop_lot(struct book *b, int64_t lot_id, struct err *err)
{
	static const enum query drops[] = { Q_FISH_ROWS_DROP, Q_FISH_STRETCHES_DROP,
					    Q_FISH_CELLS_DROP, Q_FISH_DIRTY_DROP };
	enum err_code rc = ERR_NONE;

	for (size_t i = 0; !rc && i < sizeof(drops) / sizeof(drops[0]); i++) {
		struct stmt *q = NULL;
		rc = store_query(book_store(b), drops[i], &q, err);
		if (!rc) {
			stmt_bind_int(q, ":lot_id", lot_id);
			rc = stmt_run(q, err);
		}
		stmt_done(q);
	}
	return rc;
}

static enum err_code keep_row(struct stmt *q, const struct fish_row *r, int64_t lot_id, int64_t seq,
			      struct err *err)
{
	stmt_bind_int(q, ":lot_id", lot_id);
	stmt_bind_int(q, ":tank_id", r->tank);
	stmt_bind_int(q, ":seq", seq);
	stmt_bind_int(q, ":instant", r->instant);
	stmt_bind_int(q, ":day", r->day);
	stmt_bind_text(q, ":kind", r->kind->name);
	stmt_bind_int(q, ":entry_id", r->id);
	stmt_bind_known(q, ":other_lot_id", r->other_lot, -1);
	stmt_bind_known(q, ":other_tank_id", r->other_tank, -1);
	stmt_bind_int(q, ":effect", (int64_t)r->effect);
	stmt_bind_int(q, ":fish", r->fish);
	stmt_bind_real(q, ":mass_g", r->mass_g);
	stmt_bind_int(q, ":estimated", r->estimated);
	stmt_bind_int(q, ":fish_after", r->fish_after);
	stmt_bind_real(q, ":mean_g", r->mean_g);
	stmt_bind_int(q, ":model", (int64_t)r->model);
	stmt_bind_real(q, ":k", r->k);
	stmt_bind_int(q, ":basis", (int64_t)r->basis);
	stmt_bind_known(q, ":weighed_at", r->weighed_at, NO_INSTANT);
	stmt_bind_int(q, ":stretch", r->stretch);
	return stmt_run(q, err);
}

static enum err_code keep_stretch(struct stmt *q, const struct fish_stretch *s, int64_t lot_id,
				  int64_t number, struct err *err)
{
	stmt_bind_int(q, ":lot_id", lot_id);
	stmt_bind_int(q, ":number", number);
	stmt_bind_int(q, ":starts_at", s->starts_at);
	stmt_bind_known(q, ":ends_at", s->ends_at, NO_INSTANT);
	stmt_bind_int(q, ":model", (int64_t)s->model);
	stmt_bind_real(q, ":k", s->k);
	stmt_bind_real(q, ":x", s->x);
	stmt_bind_real(q, ":start_se", s->start_se);
	stmt_bind_real(q, ":end_se", s->end_se);
	stmt_bind_real(q, ":k_se", s->k_se);
	stmt_bind_real(q, ":k_lean", s->k_lean);
	stmt_bind_int(q, ":start_unknown", s->start_unknown);
	stmt_bind_real(q, ":picked_se", s->picked_se);
	stmt_bind_real(q, ":picked_x", s->picked_x);
	return stmt_run(q, err);
}

static enum err_code keep_cell(struct book *b, const struct fish_view_cell *c, int64_t lot_id,
			       int64_t tank_id, struct err *err)
{
	struct stmt *q = NULL;
	const struct fish_row *last = &c->rows[c->n_rows - 1];
	enum err_code rc = store_query(book_store(b), Q_FISH_CELL_ADD, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":lot_id", lot_id);
	stmt_bind_int(q, ":tank_id", tank_id);
	stmt_bind_int(q, ":first_instant", c->rows[0].instant);
	stmt_bind_int(q, ":last_instant", last->instant);
	stmt_bind_int(q, ":fish", last->fish_after);
	rc = stmt_run(q, err);
	stmt_done(q);
	q = NULL;
	if (!rc)
		rc = store_query(book_store(b), Q_FISH_ROW_ADD, &q, err);
	for (size_t i = 0; !rc && i < c->n_rows; i++)
		rc = keep_row(q, &c->rows[i], lot_id, (int64_t)i, err);
out:
	stmt_done(q);
	return rc;
}

static enum err_code keep_lot(struct book *b, const struct fish_view_lot *lot, int64_t lot_id,
			      struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = drop_lot(b, lot_id, err);

	if (!rc)
		rc = store_query(book_store(b), Q_FISH_STRETCH_ADD, &q, err);
	for (size_t i = 0; !rc && i < lot->n_stretches; i++)
		rc = keep_stretch(q, &lot->stretches[i], lot_id, (int64_t)i, err);
	stmt_done(q);
	return rc;
}

enum err_code fish_keep(struct book *b, const struct id_set *lots, struct arena *arena,
			struct err *err)
{
	struct fish_view v = { 0 };
	enum err_code rc = fish_compute(b, lots, arena, &v, err);

	for (size_t i = 0; !rc && i < v.lot_ids.n; i++)
		rc = keep_lot(b, &v.lots[i], v.lot_ids.ids[i], err);
	for (size_t i = 0; !rc && i < v.n_cells; i++)
		rc = keep_cell(b, &v.cells[i], v.lot_ids.ids[v.cells[i].lot],
			       v.tank_ids.ids[v.cells[i].tank], err);
	return rc;
}

enum err_code fish_read_stretches(struct book *b, int64_t lot_id, struct arena *arena,
				  struct fish_view_lot *out, struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(book_store(b), Q_FISH_STRETCHES_OF_LOT, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":lot_id", lot_id);
	while (!(rc = stmt_row(q, err))) {
		out->stretches = arena_grow(arena, out->stretches, out->n_stretches, &room,
					    sizeof(*out->stretches));
		out->stretches[out->n_stretches++] = (struct fish_stretch){
			.starts_at = stmt_int(q, 1),
			.ends_at = stmt_int_or(q, 2, NO_INSTANT),
			.model = (enum growth_model)stmt_int(q, 3),
			.k = stmt_real(q, 4),
			.x = stmt_real(q, 5),
			.start_se = stmt_real(q, 6),
			.end_se = stmt_real(q, 7),
			.k_se = stmt_real(q, 8),
			.k_lean = stmt_real(q, 9),
			.start_unknown = stmt_int(q, 10) != 0,
			.picked_se = stmt_real(q, 11),
			.picked_x = stmt_real(q, 12),
		};
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

/* The kind of an entry; rows name few kinds, so the last one found is tried first. */
static const struct kind *kind_named(const char *name, const struct kind **last)
{
	if (!*last || strcmp((*last)->name, name) != 0)
		*last = kind_find(name);
	return *last;
}

enum err_code fish_read_rows(struct book *b, int64_t lot_id, int64_t tank_id, struct arena *arena,
			     struct fish_view_cell *out, struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0;
	const struct kind *last = NULL;
	enum err_code rc = store_query(book_store(b), Q_FISH_ROWS_OF_CELL, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":lot_id", lot_id);
	stmt_bind_int(q, ":tank_id", tank_id);
	while (!(rc = stmt_row(q, err))) {
		out->rows = arena_grow(arena, out->rows, out->n_rows, &room, sizeof(*out->rows));
		out->rows[out->n_rows++] = (struct fish_row){
			.instant = stmt_int(q, 0),
			.day = stmt_int(q, 1),
			.kind = kind_named(stmt_text(q, 2), &last),
			.id = stmt_int(q, 3),
			.lot = (int)lot_id,
			.tank = (int)tank_id,
			.other_lot = (int)stmt_int_or(q, 4, -1),
			.other_tank = (int)stmt_int_or(q, 5, -1),
			.effect = (enum fish_effect)stmt_int(q, 6),
			.fish = stmt_int(q, 7),
			.mass_g = stmt_real(q, 8),
			.estimated = stmt_int(q, 9) != 0,
			.fish_after = stmt_int(q, 10),
			.mean_g = stmt_real(q, 11),
			.model = (enum growth_model)stmt_int(q, 12),
			.k = stmt_real(q, 13),
			.basis = (enum fish_basis)stmt_int(q, 14),
			.weighed_at = stmt_int_or(q, 15, NO_INSTANT),
			.stretch = (int)stmt_int(q, 16),
		};
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

/* See fish_view.h. */
#include "book/fish_view.h"

#include <math.h>
#include <stdlib.h>

#include "book/fish_compute.h"
#include "book/fish_fed.h"
#include "book/fish_group.h"
#include "book/fish_keep.h"
#include "book/fish_mean.h"
#include "book/temperatures.h"

static enum err_code load_lot_facts(struct book *b, struct arena *arena, struct fish_view *v,
				    struct err *err)
{
	enum err_code rc = ERR_NONE;

	for (size_t i = 0; !rc && i < v->lot_ids.n; i++)
		rc = fish_lot_load(b, v->lot_ids.ids[i], arena, &v->lots[i].facts, err);
	return rc;
}

/* What a view is asked for. */
struct scope {
	struct book *b;
	struct arena *arena;
	int64_t begin, end, tank_id, lot_id;
	struct id_set dirty; /* closed: every lot that must be computed */
};

struct cell_list {
	struct fish_view_cell *cells;
	size_t n, room;
};

static bool in_scope(const struct scope *s, const struct fish_row *rows, size_t n)
{
	if ((s->tank_id && rows[0].tank != s->tank_id) || (s->lot_id && rows[0].lot != s->lot_id))
		return false;
	return rows[0].instant <= s->end &&
	       (rows[n - 1].fish_after > 0 || rows[n - 1].instant >= s->begin);
}

static struct fish_view_cell *add_cell(struct scope *s, struct cell_list *list)
{
	list->cells = arena_grow(s->arena, list->cells, list->n, &list->room, sizeof(*list->cells));
	list->cells[list->n] = (struct fish_view_cell){ 0 };
	return &list->cells[list->n++];
}

/* Cells whose kept rows hold. */
static enum err_code kept_cells(struct scope *s, struct cell_list *list, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(s->b), Q_FISH_CELLS_BETWEEN, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":begin", s->begin);
	stmt_bind_int(q, ":end", s->end);
	while (!(rc = stmt_row(q, err))) {
		const int64_t lot_id = stmt_int(q, 0), tank_id = stmt_int(q, 1);
		if ((s->tank_id && tank_id != s->tank_id) || (s->lot_id && lot_id != s->lot_id) ||
		    id_set_find(&s->dirty, lot_id) >= 0)
			continue;
		struct fish_view_cell *c = add_cell(s, list);
		rc = fish_read_rows(s->b, lot_id, tank_id, s->arena, c, err);
		if (rc)
			goto out;
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

/* Cells of dirty lots, computed now.  computed keeps their stretches. */
static enum err_code dirty_cells(struct scope *s, struct cell_list *list,
				 struct fish_view *computed, struct err *err)
{
	enum err_code rc;

	if (s->dirty.n == 0)
		return ERR_NONE;
	rc = fish_compute(s->b, &s->dirty, s->arena, computed, err);
	for (size_t i = 0; !rc && i < computed->n_cells; i++) {
		const struct fish_view_cell *c = &computed->cells[i];
		if (in_scope(s, c->rows, c->n_rows))
			*add_cell(s, list) = *c;
	}
	return rc;
}

static int compare_cells(const void *a, const void *b)
{
	const struct fish_view_cell *x = a, *y = b;

	if (x->rows[0].lot != y->rows[0].lot)
		return x->rows[0].lot < y->rows[0].lot ? -1 : 1;
	return x->rows[0].tank < y->rows[0].tank ? -1 : x->rows[0].tank > y->rows[0].tank;
}

static enum err_code take_stretches(struct scope *s, const struct fish_view *computed,
				    struct fish_view *v, struct err *err)
{
	enum err_code rc = ERR_NONE;

	for (size_t i = 0; !rc && i < v->lot_ids.n; i++) {
		const int at =
			computed->lots ? id_set_find(&computed->lot_ids, v->lot_ids.ids[i]) : -1;
		v->lots[i].settled = true;
		if (at >= 0)
			v->lots[i] = computed->lots[at];
		else
			rc = fish_read_stretches(s->b, v->lot_ids.ids[i], s->arena, &v->lots[i],
						 err);
	}
	return rc;
}

/* Temperatures from the earliest stretch that is in use at begin, to the end. */
static enum err_code take_temperatures(struct scope *s, struct fish_view *v, struct err *err)
{
	int64_t first = s->end;

	for (size_t c = 0; c < v->n_cells; c++)
		for (size_t r = 0; r < v->cells[c].n_rows; r++) {
			const struct fish_row *row = &v->cells[c].rows[r];
			const bool used = r + 1 == v->cells[c].n_rows || row[1].instant >= s->begin;
			if (!used || row->stretch < 0)
				continue;
			const struct fish_view_lot *lot = &v->lots[v->cells[c].lot];
			if (lot->stretches[row->stretch].starts_at < first)
				first = lot->stretches[row->stretch].starts_at;
		}
	v->temperatures = arena_array(s->arena, v->tank_ids.n + 1, sizeof(*v->temperatures));
	if (v->tank_ids.n == 0)
		return ERR_NONE;
	return temperatures_load(s->b, &v->tank_ids,
				 book_day(s->b, first) - TEMPERATURE_LOOK_BACK_DAYS,
				 book_day(s->b, s->end) + TEMPERATURE_LOOK_AHEAD_DAYS, s->arena,
				 v->temperatures, err);
}

/* Every cell in scope, by lot and tank.  computed keeps what was computed for it. */
static enum err_code find_cells(struct scope *s, struct cell_list *list, struct fish_view *computed,
				struct err *err)
{
	enum err_code rc = fish_dirty_lots(s->b, s->arena, &s->dirty, err);

	if (!rc)
		rc = fish_group_close(s->b, &s->dirty, s->arena, err);
	if (!rc)
		rc = kept_cells(s, list, err);
	if (!rc)
		rc = dirty_cells(s, list, computed, err);
	if (!rc && list->n)
		qsort(list->cells, list->n, sizeof(*list->cells), compare_cells);
	return rc;
}

/* Takes the cells over, with the lots and tanks that they are of. */
static void take_cells(const struct scope *s, const struct cell_list *list, struct fish_view *out)
{
	for (size_t i = 0; i < list->n; i++) {
		id_set_add(&out->lot_ids, list->cells[i].rows[0].lot, s->arena);
		id_set_add(&out->tank_ids, list->cells[i].rows[0].tank, s->arena);
	}
	for (size_t i = 0; i < list->n; i++) { /* all are known now */
		struct fish_view_cell *c = &list->cells[i];

		c->lot = (size_t)id_set_find(&out->lot_ids, c->rows[0].lot);
		c->tank = (size_t)id_set_find(&out->tank_ids, c->rows[0].tank);
	}
	out->cells = list->cells;
	out->n_cells = list->n;
	out->lots = arena_array(s->arena, out->lot_ids.n + 1, sizeof(*out->lots));
}

enum err_code fish_view_open(struct book *b, int64_t begin, int64_t end, int64_t tank_id,
			     int64_t lot_id, struct arena *arena, struct fish_view *out,
			     struct err *err)
{
	struct scope s = { .b = b,
			   .arena = arena,
			   .begin = begin,
			   .end = end,
			   .tank_id = tank_id,
			   .lot_id = lot_id };
	struct cell_list list = { 0 };
	struct fish_view computed = { 0 };
	enum err_code rc = find_cells(&s, &list, &computed, err);

	*out = (struct fish_view){ 0 };
	if (rc)
		return rc;
	take_cells(&s, &list, out);
	rc = take_stretches(&s, &computed, out, err);
	if (!rc)
		rc = load_lot_facts(b, arena, out, err);
	if (!rc)
		rc = take_temperatures(&s, out, err);
	if (!rc)
		rc = fish_feeds_load(b, begin, end, arena, out, err);
	return rc;
}

size_t fish_rows_until(const struct fish_view_cell *c, int64_t at)
{
	size_t low = 0, high = c->n_rows;

	while (low < high) {
		const size_t mid = low + (high - low) / 2;
		if (c->rows[mid].instant <= at)
			low = mid + 1;
		else
			high = mid;
	}
	return low;
}

const char *fish_basis_word(enum fish_basis basis)
{
	static const char *const words[] = {
		[BASIS_UNKNOWN] = "unknown",     [BASIS_SUPPLIER] = "supplier",
		[BASIS_WEIGHED] = "weighed",     [BASIS_BETWEEN] = "between",
		[BASIS_PROJECTED] = "projected", [BASIS_CARRIED_BACK] = "carried_back",
	};
	return words[basis];
}

/* The basis some time after a row: a weighing holds for its moment only. */
static enum fish_basis basis_after(const struct fish_row *row, const struct fish_view_lot *lot,
				   int64_t at)
{
	if (row->basis != BASIS_WEIGHED || at <= row->instant + 1 || row->stretch < 0)
		return row->basis;
	return lot->stretches[row->stretch].ends_at != NO_INSTANT ? BASIS_BETWEEN : BASIS_PROJECTED;
}

struct fish_standing fish_standing_at(const struct fish_view *v, const struct fish_view_cell *c,
				      int64_t at, bool with_se)
{
	const size_t until = fish_rows_until(c, at);
	const struct fish_view_lot *lot = &v->lots[c->lot];
	struct fish_standing st = { .mean_g = NAN, .mean_se_g = NAN };

	if (until == 0)
		return st;
	st.row = &c->rows[until - 1];
	if (st.row->fish_after == 0)
		return st;
	st.fish = st.row->fish_after;
	st.basis = basis_after(st.row, lot, at);
	if (st.row->stretch >= 0)
		st.mean_g =
			fish_mean_at(st.row, &lot->stretches[st.row->stretch], &lot->facts.info,
				     &v->temperatures[c->tank], at, with_se ? &st.mean_se_g : NULL);
	st.biomass_g = (double)st.fish * st.mean_g;
	if (st.row->stretch >= 0 && v->feeds)
		fish_hold_to_feed(v, c, &st, at, &st.mean_g, with_se ? &st.mean_se_g : NULL);
	st.biomass_g = (double)st.fish * st.mean_g;
	st.biomass_se_g = (double)st.fish * st.mean_se_g;
	return st;
}

/* Whether what is kept of the ledger agrees with the entries: `weirbook check`.  See ledger.h. */
#include <math.h>
#include <stdio.h>

#include "book/fish_compute.h"
#include "book/fish_group.h"
#include "book/fish_keep.h"
#include "book/inside.h"
#include "book/ledger.h"
#include "book/read_ids.h"

struct finding {
	void (*found)(const char *text, void *with);
	void *with;
};

/* Each row of a query that should have none: two numbers, said in words. */
static enum err_code expect_none(struct book *b, enum query query, const char *what,
				 const struct finding *f, struct err *err)
{
	struct stmt *q = NULL;
	char text[160];
	enum err_code rc = store_query(b->store, query, &q, err);

	if (rc)
		goto out;
	while (!(rc = stmt_row(q, err))) {
		snprintf(text, sizeof(text),
			 "%s of place %lld on day %lld: weirbook rebuild mends it", what,
			 (long long)stmt_int(q, 0), (long long)stmt_int(q, 1));
		f->found(text, f->with);
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

static bool same_number(double a, double b)
{
	if (isnan(a) || isnan(b))
		return isnan(a) && isnan(b);
	return a == b || fabs(a - b) <= 1e-6 * (fabs(a) + fabs(b)) + 1e-9;
}

/* All that is kept of a row but its place in the cell. */
static bool same_row(const struct fish_row *a, const struct fish_row *b)
{
	return a->instant == b->instant && a->day == b->day && a->kind == b->kind &&
	       a->id == b->id && a->other_lot == b->other_lot && a->other_tank == b->other_tank &&
	       a->effect == b->effect && a->fish == b->fish && a->fish_after == b->fish_after &&
	       a->estimated == b->estimated && a->model == b->model && a->basis == b->basis &&
	       a->weighed_at == b->weighed_at && a->stretch == b->stretch &&
	       same_number(a->mass_g, b->mass_g) && same_number(a->mean_g, b->mean_g) &&
	       same_number(a->k, b->k);
}

static bool same_stretch(const struct fish_stretch *a, const struct fish_stretch *b)
{
	return a->starts_at == b->starts_at && a->ends_at == b->ends_at && a->model == b->model &&
	       a->start_unknown == b->start_unknown && same_number(a->k, b->k) &&
	       same_number(a->x, b->x) && same_number(a->start_se, b->start_se) &&
	       same_number(a->end_se, b->end_se) && same_number(a->k_se, b->k_se) &&
	       same_number(a->k_lean, b->k_lean) && same_number(a->picked_se, b->picked_se) &&
	       same_number(a->picked_x, b->picked_x);
}

static void tell_cell(const struct finding *f, int64_t lot_id, int64_t tank_id)
{
	char text[160];

	snprintf(text, sizeof(text),
		 "the kept ledger of fish lot %lld in tank %lld is not what its entries "
		 "give: weirbook rebuild mends it",
		 (long long)lot_id, (long long)tank_id);
	f->found(text, f->with);
}

static enum err_code check_cell(struct book *b, const struct fish_view_cell *computed,
				struct arena *arena, const struct finding *f, struct err *err)
{
	struct fish_view_cell kept = { 0 };
	const int64_t lot_id = computed->rows[0].lot, tank_id = computed->rows[0].tank;
	enum err_code rc = fish_read_rows(b, lot_id, tank_id, arena, &kept, err);
	bool same = !rc && kept.n_rows == computed->n_rows;

	for (size_t i = 0; same && i < kept.n_rows; i++)
		same = same_row(&kept.rows[i], &computed->rows[i]);
	if (!rc && !same)
		tell_cell(f, lot_id, tank_id);
	return rc;
}

static bool is_computed(const struct fish_view *v, int64_t lot_id, int64_t tank_id)
{
	for (size_t i = 0; i < v->n_cells; i++)
		if (v->cells[i].rows[0].lot == lot_id && v->cells[i].rows[0].tank == tank_id)
			return true;
	return false;
}

/* The other way round: kept rows of a tank in which the entries never put the lot. */
static enum err_code check_kept(struct book *b, int64_t lot_id, const struct fish_view *v,
				struct arena *arena, const struct finding *f, struct err *err)
{
	struct id_set tanks = { 0 };
	enum err_code rc = read_ids(b, Q_FISH_CELLS_OF_LOT, ":lot_id", lot_id, arena, &tanks, err);

	for (size_t i = 0; !rc && i < tanks.n; i++)
		if (!is_computed(v, lot_id, tanks.ids[i]))
			tell_cell(f, lot_id, tanks.ids[i]);
	return rc;
}

static enum err_code check_stretches(struct book *b, int64_t lot_id,
				     const struct fish_view_lot *computed, struct arena *arena,
				     const struct finding *f, struct err *err)
{
	struct fish_view_lot kept = { .n_stretches = 0 };
	char text[160];
	enum err_code rc = fish_read_stretches(b, lot_id, arena, &kept, err);
	bool same = !rc && kept.n_stretches == computed->n_stretches;

	for (size_t i = 0; same && i < kept.n_stretches; i++)
		same = same_stretch(&kept.stretches[i], &computed->stretches[i]);
	if (!rc && !same) {
		snprintf(text, sizeof(text),
			 "the kept growth of fish lot %lld is not what its entries give: weirbook "
			 "rebuild mends it",
			 (long long)lot_id);
		f->found(text, f->with);
	}
	return rc;
}

/* The group of one lot, unless a lot of it is dirty: then nothing is claimed. */
static enum err_code check_group(struct book *b, int64_t lot_id, const struct id_set *dirty,
				 struct id_set *seen, struct arena *keep, const struct finding *f,
				 struct err *err)
{
	struct id_set group = { 0 };
	struct fish_view v = { 0 };
	struct arena arena;
	bool settled = true;
	enum err_code rc;

	arena_init(&arena);
	id_set_add(&group, lot_id, &arena);
	rc = fish_group_close(b, &group, &arena, err);
	for (size_t i = 0; i < group.n; i++) {
		id_set_add(seen, group.ids[i], keep);
		settled = settled && id_set_find(dirty, group.ids[i]) < 0;
	}
	if (!rc && settled)
		rc = fish_compute(b, &group, &arena, &v, err);
	for (size_t i = 0; !rc && i < v.n_cells; i++)
		rc = check_cell(b, &v.cells[i], &arena, f, err);
	for (size_t i = 0; !rc && i < v.lot_ids.n; i++)
		rc = check_stretches(b, v.lot_ids.ids[i], &v.lots[i], &arena, f, err);
	for (size_t i = 0; !rc && settled && i < group.n; i++)
		rc = check_kept(b, group.ids[i], &v, &arena, f, err);
	arena_release(&arena);
	return rc;
}

static enum err_code check_fish(struct book *b, const struct finding *f, struct err *err)
{
	struct arena arena;
	struct id_set lots = { 0 }, dirty = { 0 }, seen = { 0 };
	enum err_code rc;

	arena_init(&arena);
	rc = read_ids(b, Q_FISH_LOTS_ALL, NULL, 0, &arena, &lots, err);
	if (!rc)
		rc = fish_dirty_lots(b, &arena, &dirty, err);
	for (size_t i = 0; !rc && i < lots.n; i++)
		if (id_set_find(&seen, lots.ids[i]) < 0)
			rc = check_group(b, lots.ids[i], &dirty, &seen, &arena, f, err);
	arena_release(&arena);
	return rc;
}

enum err_code ledger_check(struct book *b, void (*found)(const char *text, void *with), void *with,
			   struct err *err)
{
	const struct finding f = { found, with };
	enum err_code rc = expect_none(b, Q_CHECK_FEED, "the kept sum of feed", &f, err);

	if (!rc)
		rc = expect_none(b, Q_CHECK_TEMPERATURE, "the kept temperature", &f, err);
	return rc ? rc : check_fish(b, &f, err);
}

/* Solved growth and the ends of crop lots while nothing else waits, and what the rules ask of it.
 * See ledger.h. */
#include <math.h>

#include "base/log.h"
#include "book/crop_ends.h"
#include "book/fish_group.h"
#include "book/fish_keep.h"
#include "book/inside.h"
#include "book/ledger.h"

enum err_code ledger_settle_some(struct book *b, bool *more, struct err *err)
{
	struct arena arena;
	struct id_set dirty = { 0 }, group = { 0 };
	enum err_code rc;

	*more = false;
	arena_init(&arena);
	rc = fish_dirty_lots(b, &arena, &dirty, err);
	if (rc || dirty.n == 0)
		goto out;
	id_set_add(&group, dirty.ids[0], &arena);
	rc = fish_group_close(b, &group, &arena, err);
	if (!rc)
		rc = fish_keep(b, &group, &arena, err);
	for (size_t i = 0; i < dirty.n; i++)
		*more = *more || id_set_find(&group, dirty.ids[i]) < 0;
out:
	arena_release(&arena);
	return rc;
}

/* Whether some of the ledger of fish or of plants is not worked out. */
static enum err_code find_dirty(struct book *b, bool *fish, bool *crops, struct err *err)
{
	struct arena arena;
	struct id_set dirty = { 0 };
	enum err_code rc;

	arena_init(&arena);
	rc = fish_dirty_lots(b, &arena, &dirty, err);
	*fish = !rc && dirty.n > 0;
	arena_release(&arena);
	return rc ? rc : crop_ends_waits(b, crops, err);
}

/* Some milliseconds: the writer must not be kept waiting. */
enum { CROP_LOTS_AT_ONCE = 200 };

bool book_settle(struct book *b)
{
	struct err err;
	bool fish = false, crops = false, more_fish = false, more_crops = false;

	err_clear(&err);
	if (find_dirty(b, &fish, &crops, &err) || !(fish || crops))
		return false;
	enum err_code rc = store_begin(b->store, &err);
	if (rc)
		goto out;
	if (fish)
		rc = ledger_settle_some(b, &more_fish, &err);
	if (!rc && crops)
		rc = crop_ends_settle(b, CROP_LOTS_AT_ONCE, &more_crops, &err);
	if (!rc)
		rc = store_commit(b->store, &err);
	if (rc)
		store_rollback(b->store);
out:
	if (rc) { /* reports compute what is not kept: nothing is lost but time */
		log_line("settling the ledger: %s", err.n_items ? err.items[0].message : "failed");
		return false;
	}
	return more_fish || more_crops;
}

enum err_code ledger_expected_weight(struct book *b, int64_t tank_id, int64_t lot_id, int64_t at,
				     double *mean_g, struct err *err)
{
	struct arena arena;
	struct fish_view v;
	enum err_code rc;

	*mean_g = NAN;
	arena_init(&arena);
	rc = fish_view_open(b, at, at, tank_id, lot_id, &arena, &v, err);
	if (!rc && v.n_cells == 1)
		*mean_g = fish_standing_at(&v, &v.cells[0], at, false).mean_g;
	arena_release(&arena);
	return rc;
}

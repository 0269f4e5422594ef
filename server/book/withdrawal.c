/* Withdrawals and holds that a harvest meets. */
#include "book/withdrawal.h"

#include "book/inside.h"
#include "model/fish_kinds.h"
#include "model/kinds.h"
#include "store/record.h"

enum { DEGREE_DAYS_RUN_DAYS = 365 }; /* so long a withdrawal in degree-days is taken to run */

static enum err_code find_treatment(struct book *b, const struct record *r, const struct harvest *h,
				    struct arena *arena, struct block *out, bool *blocked,
				    struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(
		b->store, h->fish_lot_id ? Q_WITHDRAWAL_OF_FISH : Q_WITHDRAWAL_OF_PLANTS, &q, err);

	if (rc)
		goto out;
	if (h->fish_lot_id)
		stmt_bind_int(q, ":lot", h->fish_lot_id);
	stmt_bind_int(q, ":place", h->fish_lot_id ? h->tank_id : h->bed_id);
	stmt_bind_int(q, ":day", record_int(r, "day", 0));
	stmt_bind_int(q, ":unknown_days", DEGREE_DAYS_RUN_DAYS);
	rc = stmt_row(q, err);
	if (rc)
		goto out;
	*blocked = true;
	out->medicine = arena_strdup(arena, stmt_text(q, 0));
	out->free_day = stmt_is_null(q, 2) ? NO_DAY : stmt_int(q, 1) + stmt_int(q, 2);
out:
	stmt_done(q);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

static enum err_code find_hold(struct book *b, const char *code, struct arena *arena,
			       struct block *out, bool *blocked, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(b->store, Q_HOLD_OF_CODE, &q, err);

	if (rc)
		goto out;
	stmt_bind_text(q, ":code", code);
	rc = stmt_row(q, err);
	if (rc)
		goto out;
	*blocked = true;
	*out = (struct block){ .free_day = NO_DAY,
			       .why = arena_strdup(arena, stmt_text(q, 0)),
			       .code = code };
out:
	stmt_done(q);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

/* NULL when the sowing names no seed lot. */
static enum err_code seed_lot_code(struct book *b, int64_t crop_lot_id, struct arena *arena,
				   const char **out, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(b->store, Q_SEED_LOT_OF_CROP, &q, err);

	*out = NULL;
	if (rc)
		goto out;
	stmt_bind_int(q, ":lot", crop_lot_id);
	rc = stmt_row(q, err);
	if (!rc)
		*out = arena_strdup(arena, stmt_text(q, 0));
out:
	stmt_done(q);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

static const char *lot_code(struct book *b, const struct harvest *h, struct arena *arena)
{
	return h->fish_lot_id ? book_label(b, "fish-lots", h->fish_lot_id, arena)
			      : book_label(b, "crop-lots", h->crop_lot_id, arena);
}

enum err_code withdrawal_find(struct book *b, const struct record *harvest, struct arena *arena,
			      struct block *out, bool *blocked, struct err *err)
{
	struct harvest h;
	const char *seed = NULL;
	enum err_code rc;

	record_unpack(harvest, &h);
	*blocked = false;
	*out = (struct block){ .free_day = NO_DAY };
	rc = find_treatment(b, harvest, &h, arena, out, blocked, err);
	if (rc || *blocked)
		return rc;
	rc = find_hold(b, lot_code(b, &h, arena), arena, out, blocked, err);
	if (rc || *blocked || !h.crop_lot_id)
		return rc;
	rc = seed_lot_code(b, h.crop_lot_id, arena, &seed, err);
	return rc || !seed ? rc : find_hold(b, seed, arena, out, blocked, err);
}

static const char *reason(const struct block *block, struct arena *arena)
{
	if (!block->medicine)
		return arena_printf(arena, "harvested while %s was held: %s", block->code,
				    block->why);
	if (block->free_day == NO_DAY)
		return arena_printf(arena, "harvested under withdrawal of %s", block->medicine);
	return arena_printf(arena, "harvested under withdrawal of %s, free on %s", block->medicine,
			    book_day_text(arena, block->free_day));
}

enum err_code withdrawal_hold(struct book *b, const struct record *harvest, const struct hand *hand,
			      struct arena *arena, struct err *err)
{
	struct record *hold = record_new(&holds_kind, arena), *kept;
	struct hand own = { .arrival = ARRIVES_QUEUED, .now = hand->now };
	struct harvest h;
	struct block block, there;
	bool blocked, held = false, repeat;
	enum err_code rc = withdrawal_find(b, harvest, arena, &block, &blocked, err);

	if (rc || !blocked)
		return rc;
	record_unpack(harvest, &h);

	const char *code = h.code ? h.code : lot_code(b, &h, arena);

	rc = find_hold(b, code, arena, &there, &held, err);
	if (rc || held)
		return rc;
	record_set_text(hold, "of_code", code);
	record_set_text(hold, "why", reason(&block, arena));
	record_set_int(hold, "at", harvest->instant);
	if (record_has(harvest, "staff_id"))
		record_set_int(hold, "staff_id", record_int(harvest, "staff_id", 0));
	return book_create(b, hold, &own, arena, &kept, &repeat, err);
}

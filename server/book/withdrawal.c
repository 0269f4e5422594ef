/* Withdrawals and holds that a harvest or a sale of live fish meets. */
#include "book/withdrawal.h"

#include "book/inside.h"
#include "book/treated.h"
#include "model/fish_kinds.h"
#include "model/kinds.h"
#include "store/record.h"

/* What a harvest or a sale takes, and whence; of fish or of plants. */
struct taken {
	int64_t fish_lot_id, tank_id;
	int64_t crop_lot_id, bed_id;
	int64_t instant, day;
};

static struct taken taken_by(const struct record *r)
{
	struct taken t = { .instant = r->instant, .day = record_int(r, "day", 0) };
	struct harvest h;
	struct fish_move m;

	if (r->kind == &fish_moves_kind) {
		record_unpack(r, &m);
		t.fish_lot_id = m.fish_lot_id;
		t.tank_id = m.from_tank_id;
		return t;
	}
	record_unpack(r, &h);
	t.fish_lot_id = h.fish_lot_id;
	t.tank_id = h.tank_id;
	t.crop_lot_id = h.crop_lot_id;
	t.bed_id = h.bed_id;
	return t;
}

static void fill(struct block *out, bool *blocked, const char *medicine, int64_t free_day)
{
	*blocked = true;
	out->medicine = medicine;
	out->free_day = free_day;
}

static void fill_from(struct block *out, bool *blocked, const struct treatment *t)
{
	fill(out, blocked, t->medicine,
	     t->withdrawal_days == IN_DEGREE_DAYS ? NO_DAY : t->last_day + t->withdrawal_days);
}

static enum err_code bed_loop(struct book *b, int64_t bed_id, int64_t *out, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(b->store, Q_BED_LOOP, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":bed", bed_id);
	rc = stmt_row(q, err);
	if (!rc)
		*out = stmt_int(q, 0);
out:
	stmt_done(q);
	return rc;
}

/* Water that was treated, as tank, bed or loop. */
static enum err_code find_of_plants(struct book *b, const struct taken *t, struct arena *arena,
				    struct block *out, bool *blocked, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(b->store, Q_WITHDRAWAL_OF_PLANTS, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":place", t->bed_id);
	stmt_bind_int(q, ":day", t->day);
	stmt_bind_int(q, ":unknown_days", DEGREE_DAYS_RUN_DAYS);
	rc = stmt_row(q, err);
	if (!rc)
		fill(out, blocked, arena_strdup(arena, stmt_text(q, 0)),
		     stmt_is_null(q, 2) ? NO_DAY : stmt_int(q, 1) + stmt_int(q, 2));
out:
	stmt_done(q);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

static enum err_code find_treatment(const struct treated *all, const struct taken *t,
				    struct block *out, bool *blocked, struct err *err)
{
	const struct treatment *found = NULL;
	int64_t loop_id = 0;
	enum err_code rc = ERR_NONE;

	if (t->fish_lot_id) {
		rc = treated_find(all, t->fish_lot_id, t->tank_id, t->instant, t->day, &found, err);
	} else {
		rc = find_of_plants(all->b, t, all->arena, out, blocked, err);
		if (!rc && !*blocked && all->n)
			rc = bed_loop(all->b, t->bed_id, &loop_id, err);
		if (!rc && loop_id)
			rc = treated_water(all, loop_id, t->day, &found, err);
	}
	if (!rc && found)
		fill_from(out, blocked, found);
	return rc;
}

enum err_code withdrawal_of_stock(const struct treated *all, const struct standing_stock *stock,
				  struct block *out, bool *blocked, struct err *err)
{
	const struct taken t = {
		.fish_lot_id = stock->fish_lot_id,
		.tank_id = stock->tank_id,
		.bed_id = stock->bed_id,
		.instant = stock->instant,
		.day = stock->day,
	};

	*blocked = false;
	*out = (struct block){ .free_day = NO_DAY };
	return find_treatment(all, &t, out, blocked, err);
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

static const char *lot_code(struct book *b, const struct taken *t, struct arena *arena)
{
	return t->fish_lot_id ? book_label(b, "fish-lots", t->fish_lot_id, arena)
			      : book_label(b, "crop-lots", t->crop_lot_id, arena);
}

static enum err_code find_block(const struct treated *all, const struct record *r,
				struct block *out, bool *blocked, struct err *err)
{
	const struct taken t = taken_by(r);
	struct book *b = all->b;
	const char *seed = NULL;
	enum err_code rc;

	*blocked = false;
	*out = (struct block){ .free_day = NO_DAY };
	rc = find_treatment(all, &t, out, blocked, err);
	if (rc || *blocked)
		return rc;
	rc = find_hold(b, lot_code(b, &t, all->arena), all->arena, out, blocked, err);
	if (rc || *blocked || !t.crop_lot_id)
		return rc;
	rc = seed_lot_code(b, t.crop_lot_id, all->arena, &seed, err);
	return rc || !seed ? rc : find_hold(b, seed, all->arena, out, blocked, err);
}

enum err_code withdrawal_find(struct book *b, const struct record *r, struct arena *arena,
			      struct block *out, bool *blocked, struct err *err)
{
	const int64_t day = record_int(r, "day", 0);
	struct treated all;
	enum err_code rc = treated_open(b, day, day, arena, &all, err);

	return rc ? rc : find_block(&all, r, out, blocked, err);
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

/* A person may have released a hold; it is not raised again for the same reason. */
static enum err_code was_held(struct book *b, const char *code, const char *why, bool *held,
			      struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(b->store, Q_HOLD_WITH_REASON, &q, err);

	if (rc)
		goto out;
	stmt_bind_text(q, ":code", code);
	stmt_bind_text(q, ":why", why);
	rc = stmt_row(q, err);
	*held = !rc;
out:
	stmt_done(q);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

/* Raises a hold on a harvest that was made though blocked, unless one stands or stood for the same
 * reason. */
static enum err_code hold(const struct treated *all, const struct record *harvest, int64_t now,
			  struct err *err)
{
	struct arena *arena = all->arena;
	struct record *row = record_new(&holds_kind, arena), *kept;
	struct hand own = { .arrival = ARRIVES_QUEUED, .now = now };
	const struct taken t = taken_by(harvest);
	struct block block, there;
	bool blocked, held = false, repeat;
	enum err_code rc = find_block(all, harvest, &block, &blocked, err);

	if (rc || !blocked)
		return rc;

	const char *code = record_text(harvest, "code");
	const char *why = reason(&block, arena);

	if (!code)
		code = lot_code(all->b, &t, arena);
	rc = find_hold(all->b, code, arena, &there, &held, err);
	if (!rc && !held)
		rc = was_held(all->b, code, why, &held, err);
	if (rc || held)
		return rc;
	record_set_text(row, "of_code", code);
	record_set_text(row, "why", why);
	record_set_int(row, "at", harvest->instant);
	if (record_has(harvest, "staff_id"))
		record_set_int(row, "staff_id", record_int(harvest, "staff_id", 0));
	return book_create(all->b, row, &own, arena, &kept, &repeat, err);
}

static enum err_code hold_alone(struct book *b, const struct record *harvest, int64_t now,
				struct arena *arena, struct err *err)
{
	const int64_t day = record_int(harvest, "day", 0);
	struct treated all;
	enum err_code rc = treated_open(b, day, day, arena, &all, err);

	return rc ? rc : hold(&all, harvest, now, err);
}

/* The harvests of some days, as they stand: ids first, since holding one writes. */
static enum err_code read_harvests(struct book *b, int64_t from_day, int64_t to_day, bool plants,
				   struct arena *arena, int64_t **ids, size_t *n, struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(b->store, Q_HARVESTS_OF_DAYS, &q, err);

	*ids = NULL;
	*n = 0;
	if (rc)
		goto out;
	stmt_bind_int(q, ":from", from_day);
	stmt_bind_int(q, ":to", to_day);
	stmt_bind_int(q, ":plants", plants);
	while (!(rc = stmt_row(q, err))) {
		*ids = arena_grow(arena, *ids, *n, &room, sizeof(**ids));
		(*ids)[(*n)++] = stmt_int(q, 0);
	}
out:
	stmt_done(q);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

/* plants false: of fish alone. */
static enum err_code hold_of_days(struct book *b, int64_t from_day, int64_t to_day, bool plants,
				  int64_t now, struct arena *arena, struct err *err)
{
	struct treated all;
	struct record *row;
	int64_t *ids;
	size_t n;
	enum err_code rc = read_harvests(b, from_day, to_day, plants, arena, &ids, &n, err);

	if (rc || !n)
		return rc;
	rc = treated_open(b, from_day, to_day, arena, &all, err);
	for (size_t i = 0; !rc && i < n && (all.n || plants); i++) {
		rc = store_get(b->store, &harvests_kind, ids[i], arena, &row, err);
		if (!rc)
			rc = hold(&all, row, now, err);
	}
	return rc;
}

/* The last day on which the withdrawal of a treatment runs. */
static int64_t last_day_of(const struct record *treatment)
{
	return record_int(treatment, "last_day", 0) - 1 +
	       record_int(treatment, "withdrawal_days", DEGREE_DAYS_RUN_DAYS);
}

enum err_code withdrawal_follow(struct book *b, const struct record *r, const struct hand *hand,
				struct arena *arena, struct err *err)
{
	const int64_t today = book_day(b, hand->now);

	/* A record that is imported brings its own holds and lines. */
	if (hand->arrival == ARRIVES_IMPORTED)
		return ERR_NONE;
	if (r->kind == &harvests_kind)
		return hold_alone(b, r, hand->now, arena, err);
	if (r->kind == &treatments_kind) {
		const int64_t last = last_day_of(r);

		return hold_of_days(b, record_int(r, "first_day", 0), last < today ? last : today,
				    true, hand->now, arena, err);
	}
	if (r->kind == &fish_moves_kind)
		return hold_of_days(b, record_int(r, "day", 0), today, false, hand->now, arena,
				    err);
	return ERR_NONE;
}

enum err_code hold_behind(struct book *b, int64_t harvest, int64_t packing, struct arena *arena,
			  struct block *out, bool *blocked, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(b->store, Q_HOLD_BEHIND, &q, err);

	*blocked = false;
	*out = (struct block){ .free_day = NO_DAY };
	if (rc)
		goto out;
	stmt_bind_int(q, ":harvest", harvest);
	stmt_bind_int(q, ":packing", packing);
	rc = stmt_row(q, err);
	if (rc)
		goto out;
	*blocked = true;
	out->code = arena_strdup(arena, stmt_text(q, 0));
	out->why = arena_strdup(arena, stmt_text(q, 1));
out:
	stmt_done(q);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

/* Works out, keeps and compares the rows of crop_ends.  See crop_ends.h. */
#include "book/crop_ends.h"

#include <inttypes.h>
#include <stdio.h>

#include "book/crop_ledger.h"

/* A row of crop_ends: when the lot's first entry stands and its last plant left (INT64_MAX while
 * some stand), and the days it took.  A lot without entries stood at no time. */
struct crop_life {
	int64_t began_at, ended_at;
	struct crop_took took;
};

/* Beds are needed for what they are for: a nursery, rafts. */
static enum err_code life_of(struct book *b, int64_t lot, const struct crop_bed_facts *facts,
			     size_t n_beds, struct arena *arena, struct crop_life *out,
			     struct err *err)
{
	struct crop_state state;
	enum err_code rc = crop_ledger_lot(b, lot, facts, n_beds, arena, &state, err);

	if (rc)
		return rc;
	*out = (struct crop_life){ .began_at = INT64_MAX, .ended_at = INT64_MIN };
	for (size_t i = 0; i < state.n_events; i++)
		if (state.events[i].instant < out->began_at)
			out->began_at = state.events[i].instant;
	if (state.n_lots)
		out->ended_at =
			state.lots[0].ended_at == CROP_NONE ? INT64_MAX : state.lots[0].ended_at;
	out->took = crop_took_of(state.n_lots ? &state.lots[0] : NULL);
	return ERR_NONE;
}

/* Up to limit lots that lack an end. */
static enum err_code read_unsettled(struct book *b, int64_t limit, struct arena *arena,
				    int64_t **lots, size_t *n, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_CROP_UNSETTLED, &q, err);

	*lots = arena_array(arena, (size_t)limit + 1, sizeof(**lots));
	*n = 0;
	if (rc)
		goto out;
	stmt_bind_int(q, ":limit", limit);
	while (!(rc = stmt_row(q, err)))
		(*lots)[(*n)++] = stmt_int(q, 0);
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	return rc;
}

static enum err_code keep_life(struct book *b, int64_t lot, const struct crop_life *life,
			       struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_CROP_SETTLE, &q, err);

	if (!rc) {
		stmt_bind_int(q, ":lot", lot);
		stmt_bind_int(q, ":began_at", life->began_at);
		stmt_bind_int(q, ":ended_at", life->ended_at);
		stmt_bind_known(q, ":sown_day", life->took.sown_day, CROP_NONE);
		stmt_bind_known(q, ":first_cut_at", life->took.first_cut_at, CROP_NONE);
		stmt_bind_known(q, ":days_sown", life->took.from_sown, CROP_NONE);
		stmt_bind_known(q, ":days_nursery", life->took.from_nursery, CROP_NONE);
		stmt_bind_known(q, ":days_raft", life->took.from_raft, CROP_NONE);
		rc = stmt_run(q, err);
	}
	stmt_done(q);
	return rc;
}

enum err_code crop_ends_settle(struct book *b, int64_t limit, bool *more, struct err *err)
{
	struct arena list, work;
	struct crop_bed_facts *beds;
	int64_t *lots;
	size_t n, n_beds;
	enum err_code rc;

	arena_init(&list);
	arena_init(&work);
	rc = read_unsettled(b, limit, &list, &lots, &n, err);
	if (!rc)
		rc = crop_ledger_beds(b, &list, &beds, &n_beds, err);
	for (size_t i = 0; !rc && i < n; i++) {
		struct crop_life life;

		arena_reset(&work);
		rc = life_of(b, lots[i], beds, n_beds, &work, &life, err);
		if (!rc)
			rc = keep_life(b, lots[i], &life, err);
	}
	if (!rc)
		*more = n == (size_t)limit;
	arena_release(&work);
	arena_release(&list);
	return rc;
}

enum err_code crop_ends_waits(struct book *b, bool *waits, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_CROP_UNSETTLED, &q, err);

	if (!rc) {
		stmt_bind_int(q, ":limit", 1);
		rc = stmt_row(q, err);
		*waits = rc == ERR_NONE;
		rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
	}
	stmt_done(q);
	return rc;
}

enum err_code crop_ends_rebuild(struct book *b, struct err *err)
{
	const enum err_code rc = store_run_ints(book_store(b), Q_REBUILD_DROP_CROP_ENDS, err, NULL);

	return rc ? rc : store_run_ints(book_store(b), Q_REBUILD_CROP_ENDS, err, NULL);
}

/* The next lot after *lot that has an end.  ERR_NOT_FOUND: none. */
static enum err_code next_settled(struct book *b, int64_t *lot, struct crop_life *life,
				  struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_CROP_SETTLED, &q, err);

	if (!rc) {
		stmt_bind_int(q, ":after", *lot);
		rc = stmt_row(q, err);
	}
	if (!rc) {
		*lot = stmt_int(q, 0);
		*life = (struct crop_life){ .began_at = stmt_int(q, 1),
					    .ended_at = stmt_int(q, 2),
					    .took = { .sown_day = stmt_int_or(q, 3, CROP_NONE),
						      .first_cut_at = stmt_int_or(q, 4, CROP_NONE),
						      .from_sown = stmt_int_or(q, 5, CROP_NONE),
						      .from_nursery = stmt_int_or(q, 6, CROP_NONE),
						      .from_raft = stmt_int_or(q, 7, CROP_NONE) } };
	}
	stmt_done(q);
	return rc;
}

static enum err_code check_all_known(struct book *b, void (*found)(const char *text, void *with),
				     void *with, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_CROP_ENDS_AMISS, &q, err);

	if (!rc)
		rc = stmt_row(q, err);
	if (!rc && stmt_int(q, 0) > 0)
		found("crop_ends lacks a crop lot", with);
	stmt_done(q);
	return rc;
}

static bool same_life(const struct crop_life *a, const struct crop_life *b)
{
	return a->began_at == b->began_at && a->ended_at == b->ended_at &&
	       a->took.sown_day == b->took.sown_day &&
	       a->took.first_cut_at == b->took.first_cut_at &&
	       a->took.from_sown == b->took.from_sown &&
	       a->took.from_nursery == b->took.from_nursery &&
	       a->took.from_raft == b->took.from_raft;
}

enum err_code crop_ends_check(struct book *b, void (*found)(const char *text, void *with),
			      void *with, struct err *err)
{
	struct arena list, work;
	struct crop_life kept, life;
	struct crop_bed_facts *beds = NULL;
	size_t n_beds = 0;
	int64_t lot = 0;
	enum err_code rc = check_all_known(b, found, with, err);

	arena_init(&list);
	arena_init(&work);
	if (!rc)
		rc = crop_ledger_beds(b, &list, &beds, &n_beds, err);
	while (!rc && !(rc = next_settled(b, &lot, &kept, err))) {
		char text[160];

		arena_reset(&work);
		rc = life_of(b, lot, beds, n_beds, &work, &life, err);
		if (rc || same_life(&life, &kept))
			continue;
		snprintf(text, sizeof(text),
			 "crop lot %" PRId64 " stood %" PRId64 " to %" PRId64 ", first cut %" PRId64
			 ": crop_ends says otherwise",
			 lot, life.began_at, life.ended_at, life.took.first_cut_at);
		found(text, with);
	}
	arena_release(&work);
	arena_release(&list);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

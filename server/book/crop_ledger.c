/* Reads the entries about plants and plays them.  See crop_ledger.h. */
#include "book/crop_ledger.h"

#include <string.h>

#include "book/inside.h"

static int64_t plants_meant(struct stmt *q, enum crop_sort sort, bool empties)
{
	if (sort == CROP_SOWN)
		return crop_plants_estimated(stmt_int(q, 10), stmt_real(q, 17));
	if (sort == CROP_HARVESTED)
		return crop_sites_emptied(
			stmt_int_or(q, 9, CROP_NONE), stmt_int_or(q, 10, CROP_NONE),
			stmt_int_or(q, 11, CROP_NONE), stmt_int(q, 16) != 0, empties);
	return stmt_int(q, 9);
}

/* A row of crop_events. */
static struct crop_event read_event(struct stmt *q)
{
	enum crop_sort sort = (enum crop_sort)stmt_int(q, 0);
	struct crop_event e = { .sort = sort,
				.id = stmt_int(q, 1),
				.instant = stmt_int(q, 3),
				.day = stmt_int(q, 4),
				.by_day = stmt_int(q, 5) != 0,
				.lot = stmt_int(q, 6),
				.bed = stmt_int(q, 7),
				.to_bed = stmt_int(q, 8),
				.cubes = sort == CROP_SOWN ? stmt_int(q, 10) : 0,
				.rafts = stmt_int_or(q, 12, CROP_NONE),
				.raft_sites = stmt_int_or(q, 13, CROP_NONE),
				.foot = stmt_int(q, 14) != 0,
				.empties = stmt_int(q, 15) != 0,
				.germination = sort == CROP_COUNTED && stmt_int(q, 16) != 0,
				.cut_again = sort == CROP_HARVESTED && stmt_int(q, 16) != 0 };
	size_t length = 0;
	const void *key = stmt_blob(q, 2, &length);

	if (length == sizeof(e.key.byte))
		memcpy(e.key.byte, key, length);
	e.plants = plants_meant(q, sort, e.empties);
	return e;
}

/* lot CROP_NONE: every lot that can stand between since and until. */
static enum err_code read_events(struct book *b, int64_t lot, int64_t since, int64_t until,
				 struct arena *arena, struct crop_event **out, size_t *n,
				 struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(book_store(b), Q_CROP_EVENTS, &q, err);

	*out = NULL;
	*n = 0;
	if (rc)
		goto out;
	stmt_bind_int(q, ":since", since);
	stmt_bind_int(q, ":until", until);
	if (lot != CROP_NONE)
		stmt_bind_int(q, ":lot", lot);
	while (!(rc = stmt_row(q, err))) {
		*out = arena_grow(arena, *out, *n, &room, sizeof(**out));
		(*out)[(*n)++] = read_event(q);
	}
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	return rc;
}

static struct crop_bed_facts read_bed(struct stmt *q, struct arena *arena)
{
	return (struct crop_bed_facts){ .bed = stmt_int(q, 0),
					.code = arena_strdup(arena, stmt_text(q, 1)),
					.role = arena_strdup(arena, stmt_text(q, 2)),
					.walk_order = stmt_int_or(q, 3, INT64_MAX),
					.size = { .length_m = stmt_real(q, 4),
						  .width_m = stmt_real(q, 5),
						  .raft_length_m = stmt_real(q, 6),
						  .raft_width_m = stmt_real(q, 7),
						  .sites_per_raft = stmt_int(q, 8) } };
}

enum err_code crop_ledger_beds(struct book *b, struct arena *arena, struct crop_bed_facts **out,
			       size_t *n, struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0, found = 0;
	struct crop_bed_facts *beds = NULL;
	enum err_code rc = store_query(book_store(b), Q_CROP_BEDS, &q, err);

	while (!rc && !(rc = stmt_row(q, err))) {
		beds = arena_grow(arena, beds, found, &room, sizeof(*beds));
		beds[found++] = read_bed(q, arena);
	}
	stmt_done(q);
	if (rc != ERR_NOT_FOUND)
		return rc;
	*out = beds;
	*n = found;
	return ERR_NONE;
}

static enum crop_stage stage_of(const char *role)
{
	if (strcmp(role, "raft") == 0)
		return CROP_RAFTS;
	return strcmp(role, "nursery") == 0 ? CROP_NURSERY : CROP_GERMINATION;
}

static struct crop_bed *empty_beds(const struct crop_bed_facts *facts, size_t n,
				   struct arena *arena)
{
	struct crop_bed *beds = arena_array(arena, n + 1, sizeof(*beds));

	for (size_t i = 0; i < n; i++)
		beds[i] = (struct crop_bed){ .bed = facts[i].bed,
					     .stage = stage_of(facts[i].role),
					     .size = facts[i].size };
	return beds;
}

enum err_code crop_ledger_at(struct book *b, int64_t until, const struct crop_bed_facts *facts,
			     size_t n_beds, struct arena *arena, struct crop_state *out,
			     struct err *err)
{
	struct crop_event *events;
	size_t n;
	enum err_code rc = read_events(b, CROP_NONE, until, until, arena, &events, &n, err);

	if (!rc)
		crop_replay(events, n, empty_beds(facts, n_beds, arena), n_beds, until, arena, out);
	return rc;
}

enum err_code crop_ledger_days(struct book *b, int64_t from_day, int64_t to_day,
			       const struct crop_bed_facts *facts, size_t n_beds,
			       void (*visit)(const struct crop_state *state, int64_t day,
					     void *with),
			       void *with, struct err *err)
{
	struct arena arena;
	struct crop_state state;
	struct crop_event *events;
	size_t n;
	enum err_code rc;

	arena_init(&arena);
	rc = read_events(b, CROP_NONE, book_day_start(b, from_day) - 1,
			 book_day_start(b, to_day + 1) - 1, &arena, &events, &n, err);
	if (!rc)
		crop_replay_begin(events, n, empty_beds(facts, n_beds, &arena), n_beds, &arena,
				  &state);
	for (int64_t day = from_day; !rc && day <= to_day; day++) {
		crop_replay_on(&state, book_day_start(b, day + 1) - 1);
		visit(&state, day, with);
	}
	arena_release(&arena);
	return rc;
}

enum err_code crop_ledger_lot(struct book *b, int64_t lot, const struct crop_bed_facts *facts,
			      size_t n_beds, struct arena *arena, struct crop_state *out,
			      struct err *err)
{
	struct crop_event *events;
	size_t n;
	enum err_code rc = read_events(b, lot, INT64_MAX, INT64_MAX, arena, &events, &n, err);

	if (!rc)
		crop_replay(events, n, empty_beds(facts, n_beds, arena), n_beds, INT64_MAX, arena,
			    out);
	return rc;
}

enum err_code crop_shortfalls(struct book *b, int64_t crop_lot_id, struct arena *arena,
			      struct shortfall **out, size_t *n, struct err *err)
{
	struct crop_state state;
	/* without beds: how many plants stand does not rest on their rafts */
	enum err_code rc = crop_ledger_lot(b, crop_lot_id, NULL, 0, arena, &state, err);

	if (rc)
		return rc;
	*out = arena_array(arena, state.n_gaps + 1, sizeof(**out));
	*n = 0;
	for (size_t i = 0; i < state.n_gaps; i++) {
		const struct crop_gap *g = &state.gaps[i];

		(*out)[(*n)++] =
			(struct shortfall){ .lot = book_label(b, "crop-lots", g->lot, arena),
					    .place = book_label(b, "beds", g->bed, arena),
					    .day = g->day,
					    .there = g->there,
					    .asked = g->asked };
	}
	return ERR_NONE;
}

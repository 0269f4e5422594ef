/* See crop_days.h. */
#include "book/crop_days.h"

#include <math.h>
#include <stdlib.h>

#include "base/zone.h"
#include "book/crop_ledger.h"

enum { MONTHS = 12 };

struct days_list {
	struct lot_days *lots;
	size_t n, room;
};

struct variety_days {
	int64_t variety;
	struct days_list from[CROP_FROM__MAX];
	const struct days_learned *learned[CROP_FROM__MAX][MONTHS + 1];
};

struct crop_days {
	struct book *b;
	const struct crop_state *state;
	struct arena *arena;
	int64_t *varieties; /* of state's lots, as there; read at the first question */
	struct variety_days **known;
	size_t n, room;
};

const char *const crop_from_words[CROP_FROM__MAX + 1] = { "sown", "nursery", "raft", NULL };

int crop_month(int64_t day)
{
	struct civil c;

	day_to_civil(day, &c);
	return c.month;
}

static double days_real(int64_t days)
{
	return days == CROP_NONE ? NAN : (double)days;
}

double crop_planned_days(const struct crop_plan *plan, enum crop_from from)
{
	double days = days_real(plan->raft);

	if (from != CROP_FROM_RAFT)
		days += days_real(plan->nursery);
	if (from == CROP_FROM_SOWN)
		days += days_real(plan->germination);
	return days;
}

struct crop_days *crop_days_open(struct book *b, const struct crop_state *state,
				 struct arena *arena)
{
	struct crop_days *d = arena_alloc(arena, sizeof(*d));

	*d = (struct crop_days){ .b = b, .state = state, .arena = arena };
	return d;
}

static enum err_code variety_of(struct book *b, int64_t lot, int64_t *out, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_CROP_LOT_FACTS, &q, err);

	if (!rc) {
		stmt_bind_int(q, ":lot", lot);
		rc = stmt_row(q, err);
	}
	if (!rc)
		*out = stmt_int(q, 7);
	stmt_done(q);
	return rc;
}

static enum err_code read_varieties(struct crop_days *d, struct err *err)
{
	const size_t n = d->state->n_lots;
	int64_t *varieties;
	enum err_code rc = ERR_NONE;

	if (d->varieties)
		return ERR_NONE;
	varieties = arena_array(d->arena, n + 1, sizeof(*varieties));
	for (size_t i = 0; !rc && i < n; i++)
		if (d->state->lots[i].first_cut_at != CROP_NONE)
			rc = variety_of(d->b, d->state->lots[i].lot, &varieties[i], err);
	if (!rc)
		d->varieties = varieties;
	return rc;
}

static void add_days(struct crop_days *d, struct days_list *list, int month, int64_t days)
{
	if (days == CROP_NONE)
		return;
	list->lots = arena_grow(d->arena, list->lots, list->n, &list->room, sizeof(*list->lots));
	list->lots[list->n++] = (struct lot_days){ .month = month, .days = (double)days };
}

static void add_lot(struct crop_days *d, struct variety_days *v, const struct crop_took *took)
{
	if (took->first_cut_at == CROP_NONE)
		return;

	const int month = crop_month(took->sown_day);

	add_days(d, &v->from[CROP_FROM_SOWN], month, took->from_sown);
	add_days(d, &v->from[CROP_FROM_NURSERY], month, took->from_nursery);
	add_days(d, &v->from[CROP_FROM_RAFT], month, took->from_raft);
}

/* Lots that state knows are read from there: it holds all that are not settled. */
static enum err_code read_settled(struct crop_days *d, struct variety_days *v, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(d->b), Q_CROP_LOTS_TOOK, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":variety", v->variety);
	stmt_bind_int(q, ":until", d->state->until);
	while (!(rc = stmt_row(q, err))) {
		const struct crop_took took = { .sown_day = stmt_int_or(q, 1, CROP_NONE),
						.first_cut_at = 0,
						.from_sown = stmt_int_or(q, 2, CROP_NONE),
						.from_nursery = stmt_int_or(q, 3, CROP_NONE),
						.from_raft = stmt_int_or(q, 4, CROP_NONE) };
		if (!crop_sums_of(d->state, stmt_int(q, 0)))
			add_lot(d, v, &took);
	}
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	return rc;
}

/* The days of all lots of a variety, settled or not, in the order in which they are learned from. */
static enum err_code read_variety(struct crop_days *d, struct variety_days *v, struct err *err)
{
	enum err_code rc = read_varieties(d, err);

	if (!rc)
		rc = read_settled(d, v, err);
	if (rc)
		return rc;
	for (size_t i = 0; i < d->state->n_lots; i++) {
		const struct crop_took took = crop_took_of(&d->state->lots[i]);
		if (d->varieties[i] == v->variety)
			add_lot(d, v, &took);
	}
	for (size_t i = 0; i < CROP_FROM__MAX; i++)
		if (v->from[i].n)
			qsort(v->from[i].lots, v->from[i].n, sizeof(*v->from[i].lots),
			      harvest_days_order);
	return ERR_NONE;
}

static enum err_code find_variety(struct crop_days *d, int64_t variety, struct variety_days **out,
				  struct err *err)
{
	struct variety_days *v;
	enum err_code rc;

	for (size_t i = 0; i < d->n; i++)
		if (d->known[i]->variety == variety) {
			*out = d->known[i];
			return ERR_NONE;
		}
	v = arena_alloc(d->arena, sizeof(*v));
	*v = (struct variety_days){ .variety = variety };
	rc = read_variety(d, v, err);
	if (rc)
		return rc;
	d->known = arena_grow(d->arena, d->known, d->n, &d->room, sizeof(*d->known));
	d->known[d->n++] = v;
	*out = v;
	return ERR_NONE;
}

enum err_code crop_days_of(struct crop_days *d, int64_t variety, const struct crop_plan *plan,
			   enum crop_from from, int month, const struct days_learned **out,
			   struct err *err)
{
	struct variety_days *v;
	struct days_learned *learned;
	const enum err_code rc = find_variety(d, variety, &v, err);

	if (rc)
		return rc;
	*out = v->learned[from][month];
	if (*out)
		return ERR_NONE;
	learned = arena_alloc(d->arena, sizeof(*learned));
	harvest_days_learn(v->from[from].lots, v->from[from].n, month,
			   crop_planned_days(plan, from),
			   arena_array(d->arena, v->from[from].n + 1, sizeof(double)), learned);
	*out = v->learned[from][month] = learned;
	return ERR_NONE;
}

/* See fish_load.h. */
#include "book/fish_load.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/order.h"
#include "book/fish_sample.h"
#include "book/temperatures.h"
#include "model/kinds.h"

/* Events while they are gathered. */
struct gathering {
	struct book *b;
	struct arena *arena;
	const struct id_set *lots; /* in the world's order: by age */
	struct id_set tanks;
	struct fish_event *events;
	size_t n, room;
	int64_t lot_id; /* whose entries are read */
};

static struct fish_event *new_event(struct gathering *g)
{
	g->events = arena_grow(g->arena, g->events, g->n, &g->room, sizeof(*g->events));
	return &g->events[g->n++];
}

/* Tanks and lots are ids while events are gathered; index_events turns them into indexes. */
static int as_id(struct stmt *q, int column)
{
	return (int)stmt_int_or(q, column, -1);
}

/* Whoever types 0 g beside fish did not weigh them. */
static double weighed_g(struct stmt *q, int column)
{
	const double mass_g = stmt_real(q, column);

	return mass_g > 0.0 ? mass_g : NAN;
}

/* The columns that every entry's query begins with: id, key, instant, day, at IS NULL. */
static struct fish_event *common_event(struct gathering *g, struct stmt *q, const struct kind *k,
				       enum fish_act act)
{
	struct fish_event *e = new_event(g);
	size_t n = 0;
	const void *key = stmt_blob(q, 1, &n);

	*e = (struct fish_event){ .instant = stmt_int(q, 2),
				  .day = stmt_int(q, 3),
				  .rank = k->rank,
				  .kind = k,
				  .id = stmt_int(q, 0),
				  .act = act,
				  .by_day = stmt_int(q, 4) != 0,
				  .lot = (int)g->lot_id,
				  .tank = -1,
				  .to_lot = -1,
				  .to_tank = -1,
				  .mass_g = NAN,
				  .culled_g = NAN,
				  .sample_cv = NAN };
	if (n == sizeof(e->key.byte))
		memcpy(e->key.byte, key, n);
	return e;
}

static void read_move(struct gathering *g, struct stmt *q)
{
	struct fish_event *e = common_event(g, q, &fish_moves_kind, FISH_MOVED);
	const char *reason = stmt_text(q, 9);

	e->tank = as_id(q, 5);
	e->to_tank = as_id(q, 6);
	e->fish = stmt_int(q, 7);
	e->mass_g = weighed_g(q, 8);
	e->to_lot = (int)stmt_int_or(q, 10, g->lot_id);
	if (!stmt_is_null(q, 10) && e->to_tank < 0)
		e->to_tank = e->tank; /* merged where it stands */
	e->graded = reason && strcmp(reason, "grading") == 0;
	e->empties = stmt_int(q, 11) != 0;
	if (e->tank < 0)
		e->rank = RANK_ARRIVAL;
	if (e->to_tank < 0)
		e->exit = reason && strcmp(reason, "sold_live") == 0 ? EXIT_SOLD
			  : reason && strcmp(reason, "escape") == 0  ? EXIT_ESCAPED
								     : EXIT_OTHER;
}

static void read_count(struct gathering *g, struct stmt *q)
{
	struct fish_event *e = common_event(g, q, &fish_counts_kind, FISH_COUNTED);

	e->tank = as_id(q, 5);
	e->fish = stmt_int(q, 6);
}

static void read_death(struct gathering *g, struct stmt *q)
{
	struct fish_event *e = common_event(g, q, &fish_deaths_kind, FISH_DIED);

	e->tank = as_id(q, 5);
	e->fish = stmt_int_or(q, 6, -1);
	e->mass_g = weighed_g(q, 7);
}

static void read_weighing(struct gathering *g, struct stmt *q)
{
	struct fish_event *e = common_event(g, q, &weighings_kind, FISH_WEIGHED);

	e->tank = as_id(q, 5);
	const struct fish_sample sample = fish_sample_read(stmt_text(q, 8), stmt_text(q, 9),
							   stmt_real(q, 6), stmt_real(q, 7));
	e->sample_fish = sample.fish;
	e->sample_g = sample.mean_g;
	e->sample_cv = sample.cv;
	if (!(e->sample_fish > 0.0 && e->sample_g > 0.0))
		g->n--; /* nothing was weighed */
}

static void read_harvest(struct gathering *g, struct stmt *q)
{
	struct fish_event *e = common_event(g, q, &harvests_kind, FISH_HARVESTED);
	const char *basis = stmt_text(q, 10);

	e->tank = as_id(q, 5);
	e->fish = stmt_int_or(q, 6, -1);
	/* Bled or gutted weight is not what left the tank; where no number was given it is all
	 * there is. */
	if (!basis || strcmp(basis, "live") == 0 || e->fish < 0)
		e->mass_g = weighed_g(q, 7);
	e->culled = stmt_int_or(q, 8, stmt_is_null(q, 9) ? 0 : -1);
	e->culled_g = weighed_g(q, 9);
	e->empties = stmt_int(q, 11) != 0;
}

/* Reads what is left of a statement, row by row. */
static enum err_code gather_rows(struct gathering *g, struct stmt *q,
				 void (*read)(struct gathering *, struct stmt *), struct err *err)
{
	enum err_code rc;

	while (!(rc = stmt_row(q, err)))
		read(g, q);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

/* The entries of one sort about the lot at hand. */
static enum err_code gather(struct gathering *g, enum query query,
			    void (*read)(struct gathering *, struct stmt *), struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(g->b), query, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":lot_id", g->lot_id);
	rc = gather_rows(g, q, read, err);
out:
	stmt_done(q);
	return rc;
}

static enum err_code gather_lot(struct gathering *g, int64_t lot_id, struct err *err)
{
	enum err_code rc;

	g->lot_id = lot_id;
	rc = gather(g, Q_FISH_MOVES_OF_LOT, read_move, err);
	if (!rc)
		rc = gather(g, Q_FISH_COUNTS_OF_LOT, read_count, err);
	if (!rc)
		rc = gather(g, Q_FISH_DEATHS_OF_LOT, read_death, err);
	if (!rc)
		rc = gather(g, Q_WEIGHINGS_OF_LOT, read_weighing, err);
	if (!rc)
		rc = gather(g, Q_FISH_HARVESTS_OF_LOT, read_harvest, err);
	return rc;
}

/* Deaths that name no lot, in each tank since the first entry about these lots there.  Those that
 * meet none of the lots have no effect. */
static enum err_code gather_shared_deaths(struct gathering *g, int64_t tank_id, int64_t begin,
					  struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(g->b), Q_FISH_DEATHS_OF_NO_LOT, &q, err);

	if (rc)
		goto out;
	g->lot_id = -1;
	stmt_bind_int(q, ":tank_id", tank_id);
	stmt_bind_int(q, ":begin", begin);
	rc = gather_rows(g, q, read_death, err);
out:
	stmt_done(q);
	return rc;
}

/* The lot's place in the order of age: its first entry, (instant, key). */
struct lot_age {
	int64_t first;
	struct uuid key;
	int64_t id;
};

static int compare_age(const void *a, const void *b)
{
	const struct lot_age *x = a, *y = b;

	if (x->first != y->first)
		return x->first < y->first ? -1 : 1;
	return uuid_compare(&x->key, &y->key);
}

static struct lot_age *order_by_age(struct gathering *g)
{
	struct lot_age *ages = arena_array(g->arena, g->lots->n + 1, sizeof(*ages));

	for (size_t i = 0; i < g->lots->n; i++)
		ages[i] = (struct lot_age){ .first = INT64_MAX, .id = g->lots->ids[i] };
	for (size_t i = 0; i < g->n; i++) {
		const struct fish_event *e = &g->events[i];
		const int at = id_set_find(g->lots, e->act == FISH_MOVED ? e->to_lot : e->lot);
		if (at < 0)
			continue;
		const struct lot_age age = { e->instant, e->key, ages[at].id };
		if (compare_age(&age, &ages[at]) < 0)
			ages[at] = age;
	}
	qsort(ages, g->lots->n, sizeof(*ages), compare_age);
	return ages;
}

static void index_events(struct gathering *g, const struct lot_age *ages)
{
	int *index = arena_array(g->arena, g->lots->n + 1, sizeof(*index));

	for (size_t i = 0; i < g->lots->n; i++)
		index[id_set_find(g->lots, ages[i].id)] = (int)i;
	for (size_t i = 0; i < g->n; i++) {
		struct fish_event *e = &g->events[i];
		e->lot = e->lot < 0 ? -1 : index[id_set_find(g->lots, e->lot)];
		e->to_lot = e->to_lot < 0 ? -1 : index[id_set_find(g->lots, e->to_lot)];
		e->tank = e->tank < 0 ? -1 : id_set_find(&g->tanks, e->tank);
		e->to_tank = e->to_tank < 0 ? -1 : id_set_find(&g->tanks, e->to_tank);
	}
}

enum err_code fish_lot_load(struct book *b, int64_t lot_id, struct arena *arena,
			    struct fish_lot_facts *out, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_FISH_LOT_FACTS, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":lot_id", lot_id);
	rc = stmt_row(q, err);
	if (rc)
		goto out;
	*out = (struct fish_lot_facts){
		.code = arena_strdup(arena, stmt_text(q, 1)),
		.species_id = stmt_int(q, 3),
		.species = arena_strdup(arena, stmt_text(q, 4)),
		.market_weight_g = stmt_real(q, 8),
		.conversion_floor = stmt_real(q, 9),
		.info = { .id = lot_id,
			  .supplier_g = stmt_real(q, 2),
			  .optimum_c = stmt_real(q, 5),
			  .tgc_prior = stmt_real(q, 6),
			  .tgc_prior_sd = stmt_real(q, 7) },
	};
out:
	stmt_done(q);
	return rc;
}

static enum err_code load_lots(struct gathering *g, const struct lot_age *ages,
			       struct fish_world *out, struct err *err)
{
	struct fish_lot_info *lots = arena_array(g->arena, g->lots->n + 1, sizeof(*lots));
	enum err_code rc = ERR_NONE;

	for (size_t i = 0; !rc && i < g->lots->n; i++) {
		struct fish_lot_facts facts;
		rc = fish_lot_load(g->b, ages[i].id, g->arena, &facts, err);
		if (!rc)
			lots[i] = facts.info;
	}
	out->lots = lots;
	out->n_lots = g->lots->n;
	return rc;
}

static void note_tanks(struct gathering *g)
{
	for (size_t i = 0; i < g->n; i++) {
		if (g->events[i].tank >= 0)
			id_set_add(&g->tanks, g->events[i].tank, g->arena);
		if (g->events[i].to_tank >= 0)
			id_set_add(&g->tanks, g->events[i].to_tank, g->arena);
	}
}

/* The instant of the first entry about each tank. */
static int64_t *first_in_tank(struct gathering *g)
{
	int64_t *first = arena_array(g->arena, g->tanks.n + 1, sizeof(*first));

	for (size_t t = 0; t < g->tanks.n; t++)
		first[t] = INT64_MAX;
	for (size_t i = 0; i < g->n; i++) {
		const struct fish_event *e = &g->events[i];
		const int at[2] = { e->tank, e->to_tank };
		for (size_t j = 0; j < 2; j++) {
			const int t = at[j] < 0 ? -1 : id_set_find(&g->tanks, at[j]);
			if (t >= 0 && e->instant < first[t])
				first[t] = e->instant;
		}
	}
	return first;
}

enum err_code fish_world_load(struct book *b, const struct id_set *lots, struct arena *arena,
			      struct fish_world *out, struct err *err)
{
	struct gathering g = { .b = b, .arena = arena, .lots = lots };
	enum err_code rc = ERR_NONE;
	int64_t first_day = INT64_MAX, last_day = INT64_MIN;

	*out = (struct fish_world){ 0 };
	for (size_t i = 0; !rc && i < lots->n; i++)
		rc = gather_lot(&g, lots->ids[i], err);
	if (rc)
		return rc;
	note_tanks(&g);
	const int64_t *first = first_in_tank(&g);
	for (size_t t = 0; !rc && t < g.tanks.n; t++)
		rc = gather_shared_deaths(&g, g.tanks.ids[t], first[t], err);
	if (rc)
		return rc;
	const struct lot_age *ages = order_by_age(&g);
	for (size_t i = 0; i < g.n; i++) {
		first_day = sooner_of(first_day, g.events[i].day);
		last_day = later_of(last_day, g.events[i].day);
	}
	index_events(&g, ages);
	rc = load_lots(&g, ages, out, err);
	out->events = g.events;
	out->n_events = g.n;
	out->tank_ids = g.tanks.ids;
	out->n_tanks = g.tanks.n;
	struct temperature_days *t = arena_array(arena, g.tanks.n + 1, sizeof(*t));
	out->temperatures = t;
	if (!rc && g.n > 0)
		rc = temperatures_load(b, &g.tanks, first_day - TEMPERATURE_LOOK_BACK_DAYS,
				       last_day + TEMPERATURE_LOOK_AHEAD_DAYS, arena, t, err);
	return rc;
}

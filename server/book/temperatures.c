/* Daily temperatures of tanks from the day sums that are kept.  A tank counts for its loop, and
 * takes the loop's where it has none of its own, on the days on which it was in it.  See
 * temperatures.h. */
#include "book/temperatures.h"

#include <math.h>

#include "book/inside.h"
#include "book/read_ids.h"
#include "book/tank_facts.h"

struct days {
	int64_t first, n;
};

struct loop_series {
	int64_t id;
	double *mean_c; /* of each day; NAN: not known */
};

struct loading {
	struct book *b;
	struct arena *arena;
	struct days days;
	struct loop_change *changes;
	size_t n_changes;
	struct loop_series *loops;
	size_t n_loops, loops_room;
};

/* The loop that a place was in on a day; otherwise: where it never changed. */
static int64_t loop_on(const struct loading *l, int64_t place_id, int64_t day, int64_t otherwise)
{
	const struct loop_change *last = NULL;

	for (size_t i = 0; i < l->n_changes; i++) {
		const struct loop_change *c = &l->changes[i];
		if (c->tank_id == place_id && (!last || c->from_day <= day))
			last = c;
	}
	if (!last)
		return otherwise;
	return last->from_day <= day ? last->loop_id : last->base_loop_id;
}

/* Adds a place's daily means to sum and count, on days on which it was in the loop (0: on all). */
static enum err_code add_place(struct loading *l, int64_t place_id, int64_t loop_id, double *sum,
			       int *count, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(l->b), Q_PLACE_TEMPERATURES, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":place_id", place_id);
	stmt_bind_int(q, ":begin", l->days.first);
	stmt_bind_int(q, ":end", l->days.first + l->days.n - 1);
	while (!(rc = stmt_row(q, err))) {
		const int64_t i = stmt_int(q, 0) - l->days.first;
		if (loop_id && loop_on(l, place_id, stmt_int(q, 0), loop_id) != loop_id)
			continue;
		sum[i] += (double)stmt_int(q, 1) / 1000.0 / (double)stmt_int(q, 2);
		count[i]++;
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

static void to_means(double *sum, const int *count, int64_t n)
{
	for (int64_t i = 0; i < n; i++)
		sum[i] = count[i] ? sum[i] / count[i] : NAN;
}

/* The loop's mean of each day: of its tanks, its sump and its own tests.  Loaded once. */
static enum err_code load_loop(struct loading *l, int64_t loop_id, const double **mean,
			       struct err *err)
{
	struct id_set places = { 0 };

	for (size_t i = 0; i < l->n_loops; i++)
		if (l->loops[i].id == loop_id) {
			*mean = l->loops[i].mean_c;
			return ERR_NONE;
		}
	int *count = arena_array(l->arena, (size_t)l->days.n, sizeof(*count));
	double *sum = arena_array(l->arena, (size_t)l->days.n, sizeof(*sum));
	enum err_code rc =
		read_ids(l->b, Q_WATERS_OF_PLACE, ":loop_id", loop_id, l->arena, &places, err);
	for (size_t i = 0; i < l->n_changes; i++)
		if (l->changes[i].loop_id == loop_id)
			id_set_add(&places, l->changes[i].tank_id, l->arena);
	for (size_t i = 0; !rc && i < places.n; i++)
		rc = add_place(l, places.ids[i], loop_id, sum, count, err);
	to_means(sum, count, l->days.n);
	l->loops = arena_grow(l->arena, l->loops, l->n_loops, &l->loops_room, sizeof(*l->loops));
	l->loops[l->n_loops++] = (struct loop_series){ .id = loop_id, .mean_c = sum };
	*mean = sum;
	return rc;
}

/* Days without a mean of the tank's own take that of the loop that it was in. */
static enum err_code fill_from_loops(struct loading *l, int64_t tank_id, int64_t base_loop_id,
				     double *mean, struct err *err)
{
	enum err_code rc = ERR_NONE;

	for (int64_t i = 0; !rc && i < l->days.n; i++) {
		const double *loop;
		if (!isnan(mean[i]))
			continue;
		rc = load_loop(l, loop_on(l, tank_id, l->days.first + i, base_loop_id), &loop, err);
		if (!rc)
			mean[i] = loop[i];
	}
	return rc;
}

static enum err_code load_tank(struct loading *l, int64_t tank_id, double *mean, struct err *err)
{
	struct id_set loop = { 0 };
	int *count = arena_array(l->arena, (size_t)l->days.n, sizeof(*count));
	enum err_code rc =
		read_ids(l->b, Q_LOOP_OF_PLACE, ":place_id", tank_id, l->arena, &loop, err);

	if (!rc)
		rc = add_place(l, tank_id, 0, mean, count, err);
	to_means(mean, count, l->days.n);
	if (!rc && loop.n)
		rc = fill_from_loops(l, tank_id, loop.ids[0], mean, err);
	return rc;
}

/* Waters whose temperatures the tank takes or ever took: itself and the places of its loops. */
static enum err_code waters_of_tank(struct loading *l, int64_t tank_id, struct id_set *out,
				    struct err *err)
{
	struct id_set loops = { 0 };
	enum err_code rc =
		read_ids(l->b, Q_LOOP_OF_PLACE, ":place_id", tank_id, l->arena, &loops, err);

	id_set_add(out, tank_id, l->arena);
	for (size_t i = 0; i < l->n_changes; i++)
		if (l->changes[i].tank_id == tank_id)
			id_set_add(&loops, l->changes[i].loop_id, l->arena);
	for (size_t i = 0; !rc && i < loops.n; i++)
		rc = read_ids(l->b, Q_WATERS_OF_PLACE, ":loop_id", loops.ids[i], l->arena, out,
			      err);
	for (size_t i = 0; i < l->n_changes; i++)
		if (id_set_find(&loops, l->changes[i].loop_id) >= 0)
			id_set_add(out, l->changes[i].tank_id, l->arena);
	return rc;
}

/* The nearest day before or after day on which one of the places has a temperature; NO_DAY:
 * none. */
static enum err_code nearest_day(struct loading *l, const struct id_set *places, bool before,
				 int64_t day, int64_t *nearest, struct err *err)
{
	const enum query query = before ? Q_PLACE_TEMPERATURE_BEFORE : Q_PLACE_TEMPERATURE_AFTER;
	enum err_code rc = ERR_NONE;

	*nearest = NO_DAY;
	for (size_t i = 0; !rc && i < places->n; i++) {
		struct stmt *q = NULL;
		rc = store_query(book_store(l->b), query, &q, err);
		if (!rc) {
			stmt_bind_int(q, ":place_id", places->ids[i]);
			stmt_bind_int(q, ":day", day);
			rc = stmt_row(q, err);
		}
		if (!rc && !stmt_is_null(q, 0)) {
			const int64_t d = stmt_int(q, 0);
			if (*nearest == NO_DAY || (before ? d > *nearest : d < *nearest))
				*nearest = d;
		}
		stmt_done(q);
	}
	return rc;
}

/* The tank's temperature on the nearest day before or after day on which it has one; *out NULL: on
 * none. */
static enum err_code nearest_known(const struct loading *of, int64_t tank_id, bool before,
				   int64_t day, const double **out, struct err *err)
{
	struct loading one = {
		.b = of->b, .arena = of->arena, .changes = of->changes, .n_changes = of->n_changes
	};
	struct id_set places = { 0 };
	double *mean = arena_array(one.arena, 1, sizeof(*mean));
	enum err_code rc = waters_of_tank(&one, tank_id, &places, err);

	*out = NULL;
	while (!rc && !*out) {
		rc = nearest_day(&one, &places, before, day, &day, err);
		if (rc || day == NO_DAY)
			return rc;
		one.days = (struct days){ .first = day, .n = 1 };
		one.n_loops = 0;
		*mean = 0.0;
		rc = load_tank(&one, tank_id, mean, err);
		if (!isnan(*mean)) /* the place may count for another loop that day */
			*out = mean;
	}
	return rc;
}

/*
 * What stands in beyond the series, so that a day's temperature is the same whatever days are asked
 * for.  The first days are only looked back on: nobody asks for them.
 */
static enum err_code look_beyond(const struct loading *l, int64_t tank_id,
				 struct temperature_days *t, struct err *err)
{
	size_t first = 0;
	enum err_code rc = ERR_NONE;

	while (first < t->n && isnan(t->mean_c[first]))
		first++;
	if (first >= TEMPERATURE_LOOK_BACK_DAYS || first == t->n)
		rc = nearest_known(l, tank_id, true, t->first_day, &t->before_c, err);
	if (!rc && first == t->n && !t->before_c)
		rc = nearest_known(l, tank_id, false, t->first_day + (int64_t)t->n - 1, &t->after_c,
				   err);
	return rc;
}

enum err_code temperatures_load(struct book *b, const struct id_set *tanks, int64_t first_day,
				int64_t last_day, struct arena *arena, struct temperature_days *out,
				struct err *err)
{
	struct loading l = { .b = b,
			     .arena = arena,
			     .days = { .first = first_day, .n = last_day - first_day + 1 } };
	int64_t *starts = arena_array(arena, (size_t)l.days.n + 1, sizeof(*starts));
	enum err_code rc = loop_changes_load(b, arena, &l.changes, &l.n_changes, err);

	for (int64_t i = 0; i <= l.days.n; i++)
		starts[i] = book_day_start(b, first_day + i);
	for (size_t i = 0; !rc && i < tanks->n; i++) {
		double *mean = arena_array(arena, (size_t)l.days.n, sizeof(*mean));
		rc = load_tank(&l, tanks->ids[i], mean, err);
		out[i] = (struct temperature_days){ .first_day = first_day,
						    .n = (size_t)l.days.n,
						    .starts = starts,
						    .mean_c = mean };
		temperature_fill(&out[i]);
		if (!rc)
			rc = look_beyond(&l, tanks->ids[i], &out[i], err);
	}
	return rc;
}

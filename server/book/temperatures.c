/* Daily temperatures of tanks from the day sums that are kept.  See fish_load.h. */
#include <math.h>
#include <string.h>

#include "book/fish_load.h"

struct days {
	int64_t first, n;
};

/* Adds a place's daily means to sum and count. */
static enum err_code add_place(struct book *b, int64_t place_id, struct days days, double *sum,
			       int *count, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_PLACE_TEMPERATURES, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":place_id", place_id);
	stmt_bind_int(q, ":begin", days.first);
	stmt_bind_int(q, ":end", days.first + days.n - 1);
	while (!(rc = stmt_row(q, err))) {
		const int64_t i = stmt_int(q, 0) - days.first;
		sum[i] += (double)stmt_int(q, 1) / 1000.0 / (double)stmt_int(q, 2);
		count[i]++;
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

static enum err_code list_ids(struct book *b, enum query query, const char *name, int64_t value,
			      struct arena *arena, struct id_set *out, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), query, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, name, value);
	while (!(rc = stmt_row(q, err)))
		if (!stmt_is_null(q, 0))
			id_set_add(out, stmt_int(q, 0), arena);
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

/* The loop's mean of each day: of its tanks, its sump and its own tests. */
static enum err_code load_loop(struct book *b, int64_t loop_id, struct days days,
			       struct arena *arena, double *mean, struct err *err)
{
	struct id_set places = { 0 };
	int *count = arena_array(arena, (size_t)days.n, sizeof(*count));
	enum err_code rc = list_ids(b, Q_WATERS_OF_PLACE, ":loop_id", loop_id, arena, &places, err);

	for (size_t i = 0; !rc && i < places.n; i++)
		rc = add_place(b, places.ids[i], days, mean, count, err);
	to_means(mean, count, days.n);
	return rc;
}

static enum err_code load_tank(struct book *b, int64_t tank_id, struct days days,
			       struct arena *arena, const double *loop, double *mean,
			       struct err *err)
{
	int *count = arena_array(arena, (size_t)days.n, sizeof(*count));
	enum err_code rc = add_place(b, tank_id, days, mean, count, err);

	to_means(mean, count, days.n);
	for (int64_t i = 0; i < days.n; i++)
		if (isnan(mean[i]))
			mean[i] = loop[i];
	return rc;
}

enum err_code temperatures_load(struct book *b, const struct id_set *tanks, int64_t first_day,
				int64_t last_day, struct arena *arena, struct temperature_days *out,
				struct err *err)
{
	const struct days days = { first_day, last_day - first_day + 1 };
	int64_t *starts = arena_array(arena, (size_t)days.n + 1, sizeof(*starts));
	struct id_set loops = { 0 };
	double **of_loop = arena_array(arena, tanks->n + 1, sizeof(*of_loop));
	enum err_code rc = ERR_NONE;

	for (int64_t i = 0; i <= days.n; i++)
		starts[i] = book_day_start(b, first_day + i);
	for (size_t i = 0; !rc && i < tanks->n; i++) {
		struct id_set loop = { 0 };
		rc = list_ids(b, Q_LOOP_OF_PLACE, ":place_id", tanks->ids[i], arena, &loop, err);
		if (rc || loop.n == 0)
			continue;
		int at = id_set_find(&loops, loop.ids[0]);
		if (at < 0) { /* series stand in the order of loops.ids */
			id_set_add(&loops, loop.ids[0], arena);
			at = id_set_find(&loops, loop.ids[0]);
			memmove(&of_loop[at + 1], &of_loop[at],
				(loops.n - 1 - (size_t)at) * sizeof(*of_loop));
			of_loop[at] = arena_array(arena, (size_t)days.n, sizeof(**of_loop));
			rc = load_loop(b, loop.ids[0], days, arena, of_loop[at], err);
		}
		double *mean = arena_array(arena, (size_t)days.n, sizeof(*mean));
		if (!rc)
			rc = load_tank(b, tanks->ids[i], days, arena, of_loop[at], mean, err);
		out[i] = (struct temperature_days){ .first_day = first_day,
						    .n = (size_t)days.n,
						    .starts = starts,
						    .mean_c = mean };
		temperature_fill(&out[i]);
	}
	return rc;
}

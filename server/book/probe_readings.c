/* See probe_readings.h. */
#include "book/probe_readings.h"

#include "book/readings_series.h"
#include "book/readings_sums.h"

enum err_code place_probes(struct book *b, int64_t place_id, int64_t day, struct arena *arena,
			   struct place_probe **out, size_t *n, struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(book_store(b), Q_PROBES_OF_PLACE, &q, err);

	*out = NULL;
	*n = 0;
	if (rc)
		goto out;
	stmt_bind_int(q, ":place_id", place_id);
	stmt_bind_int(q, ":day", day);
	while (!(rc = stmt_row(q, err))) {
		*out = arena_grow(arena, *out, *n, &room, sizeof(**out));
		(*out)[(*n)++] = (struct place_probe){
			.id = stmt_int(q, 0),
			.code = arena_strdup(arena, stmt_text(q, 1)),
			.quantity = arena_strdup(arena, stmt_text(q, 2)),
			.low = stmt_real(q, 3),
			.high = stmt_real(q, 4),
			.silent_after_s = 60 * stmt_int(q, 5),
			.set_up_at = stmt_int(q, 6),
		};
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

/* A probe's readings on their way to who asked. */
struct taking {
	const struct place_probe *probe;
	void (*take)(void *with, const struct place_probe *p, int64_t at, double value);
	void *with;
};

static enum err_code take_reading(int64_t at, double value, void *with, struct err *err)
{
	const struct taking *t = with;

	(void)err;
	t->take(t->with, t->probe, at, value);
	return ERR_NONE;
}

static enum err_code readings_of(struct book *b, const struct place_probe *p, int64_t from,
				 int64_t to,
				 void (*take)(void *with, const struct place_probe *p, int64_t at,
					      double value),
				 void *with, struct arena *arena, struct err *err)
{
	struct taking taking = { p, take, with };
	struct wrong_stretches wrong;
	enum err_code rc = wrong_stretches_load(b, p->id, arena, &wrong, err);

	return rc ? rc : readings_read(b, p->id, &wrong, from, to + 1, take_reading, &taking, err);
}

enum err_code place_readings(struct book *b, int64_t place_id, int64_t from, int64_t to,
			     void (*take)(void *with, const struct place_probe *p, int64_t at,
					  double value),
			     void *with, struct err *err)
{
	struct arena arena;
	struct place_probe *probes;
	size_t n;
	enum err_code rc;

	arena_init(&arena);
	rc = place_probes(b, place_id, book_day(b, to), &arena, &probes, &n, err);
	for (size_t i = 0; !rc && i < n; i++)
		rc = readings_of(b, &probes[i], from, to, take, with, &arena, err);
	arena_release(&arena);
	return rc;
}

enum err_code probe_newest(struct book *b, int64_t probe_id, int64_t at, int64_t *read_at,
			   double *value, struct err *err)
{
	struct series_point newest;
	const enum err_code rc = reading_newest(b, probe_id, at, &newest, err);

	if (!rc) {
		*read_at = newest.at;
		*value = newest.mean;
	}
	return rc;
}

/* See probe_readings.h. */
#include "book/probe_readings.h"

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

static enum err_code readings_of(struct book *b, const struct place_probe *p, int64_t from,
				 int64_t to,
				 void (*take)(void *with, const struct place_probe *p, int64_t at,
					      double value),
				 void *with, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_READINGS_BETWEEN, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":probe_id", p->id);
	stmt_bind_int(q, ":from", from);
	stmt_bind_int(q, ":to", to);
	while (!(rc = stmt_row(q, err)))
		take(with, p, stmt_int(q, 0), stmt_real(q, 1));
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
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
		rc = readings_of(b, &probes[i], from, to, take, with, err);
	arena_release(&arena);
	return rc;
}

enum err_code probe_newest(struct book *b, int64_t probe_id, int64_t at, int64_t *read_at,
			   double *value, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_PROBE_NEWEST, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":probe_id", probe_id);
	stmt_bind_int(q, ":at", at);
	rc = stmt_row(q, err);
	if (!rc) {
		*read_at = stmt_int(q, 0);
		*value = stmt_real(q, 1);
	}
out:
	stmt_done(q);
	return rc;
}

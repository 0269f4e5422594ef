/* See alarm_marks.h. */
#include "book/alarm_marks.h"

#include "book/inside.h"
#include "model/kinds.h"

static enum err_code mark(struct book *b, int64_t place_id, int64_t since, struct err *err)
{
	if (!place_id)
		return ERR_NONE;
	return store_run_ints(b->store, Q_ALARM_MARK, err, ":place_id", place_id, ":since", since,
			      NULL);
}

static enum err_code mark_water(struct book *b, int64_t tank_id, int64_t since, struct err *err)
{
	if (!tank_id)
		return ERR_NONE;
	return store_run_ints(b->store, Q_ALARM_MARK_WATER, err, ":place_id", tank_id, ":since",
			      since, NULL);
}

/* Fish that came or went: the limits are theirs. */
static enum err_code note_fish(struct book *b, const struct record *r, struct err *err)
{
	static const char *const tanks[] = { "tank_id", "from_tank_id", "to_tank_id" };
	enum err_code rc = ERR_NONE;

	for (int i = 0; !rc && i < 3; i++) {
		const size_t at = kind_field_index(r->kind, tanks[i]);
		const int64_t id = at == SIZE_MAX ? 0 : record_int(r, tanks[i], 0);

		rc = mark(b, id, r->instant, err);
		if (!rc)
			rc = mark_water(b, id, r->instant, err);
	}
	return rc;
}

enum err_code alarm_marks_note(struct book *b, const struct record *r, struct err *err)
{
	const struct kind *k = r->kind;
	enum err_code rc;

	if (k == &fish_moves_kind || k == &fish_counts_kind || k == &fish_deaths_kind ||
	    (k == &harvests_kind && record_has(r, "tank_id")))
		return note_fish(b, r, err);
	if (k == &probes_kind)
		return mark(b, record_int(r, "place_id", 0), INT64_MAX, err);
	if (k == &species_limits_kind || k == &farm_kind)
		return store_run_ints(b->store, Q_ALARM_MARK_ALL_DUE, err, NULL);
	if (k == &probe_faults_kind)
		return alarm_marks_note_readings(b, record_int(r, "probe_id", 0),
						 record_int(r, "began_at", 0), err);
	if (k != &water_tests_kind)
		return ERR_NONE;
	rc = mark(b, record_int(r, "place_id", 0), r->instant, err);
	if (!rc && record_has(r, "temperature_c"))
		rc = mark_water(b, record_int(r, "place_id", 0), r->instant, err);
	return rc;
}

enum err_code alarm_marks_note_readings(struct book *b, int64_t probe_id, int64_t since,
					struct err *err)
{
	struct stmt *q = NULL;
	int64_t place_id = 0;
	enum err_code rc = store_query(b->store, Q_PROBE_PLACE, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":probe_id", probe_id);
	rc = stmt_row(q, err);
	if (!rc)
		place_id = stmt_int(q, 0);
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc ? rc : mark(b, place_id, since, err);
}

enum err_code alarm_marks_next(struct book *b, int64_t now, int64_t *place_id, int64_t *since,
			       struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(b->store, Q_ALARM_NEXT, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":now", now);
	rc = stmt_row(q, err);
	if (!rc) {
		*place_id = stmt_int(q, 0);
		*since = stmt_int_or(q, 1, INT64_MAX);
	}
out:
	stmt_done(q);
	return rc;
}

enum err_code alarm_marks_seen(struct book *b, int64_t place_id, int64_t due_at, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(b->store, Q_ALARM_SEEN_TO, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":place_id", place_id);
	stmt_bind_known(q, ":due_at", due_at, INT64_MAX);
	/* No answer rests on it: the record's version stays, unless an alarm changed. */
	store_readings_begin(b->store);
	rc = stmt_run(q, err);
	store_readings_end(b->store);
out:
	stmt_done(q);
	return rc;
}

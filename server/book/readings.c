/* See readings.h.  What charts read of them is in readings_series.c, their way in and out as CSV in
 * readings_csv.c, and their sums in readings_sums.c. */
#include "book/readings.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "book/alarm_marks.h"
#include "book/inside.h"
#include "book/readings_sums.h"
#include "book/times.h"
#include "model/kinds.h"

enum { FLUSH_AT = 1 << 16 }; /* touched hours that are gathered before they are counted */

struct touched_hour {
	int64_t probe_id, hour;
};

/* --- probes ----------------------------------------------------------------------------------- */

/* What the quantity can be at all, as the dictionary has it for what is measured by hand. */
static void take_range(struct probe *p)
{
	static const struct kind *const measured[] = { &water_tests_kind, &climate_notes_kind };

	p->least = p->most = NAN;
	for (size_t i = 0; i < sizeof(measured) / sizeof(measured[0]); i++) {
		const size_t at = kind_field_index(measured[i], p->quantity);
		const struct field *f = at == SIZE_MAX ? NULL : kind_field(measured[i], at);

		if (f && f->kind == KIND_REAL && f->has_range && isnan(p->least)) {
			p->least = f->lo;
			p->most = f->hi;
		}
	}
}

enum err_code probe_load(struct book *b, int64_t id, struct arena *arena, struct probe *out,
			 struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(b->store, Q_PROBE_FACTS, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":id", id);
	rc = stmt_row(q, err);
	if (rc)
		goto out;
	*out = (struct probe){
		.id = id,
		.code = arena_strdup(arena, stmt_text(q, 0)),
		.quantity = arena_strdup(arena, stmt_text(q, 1)),
		.unit = arena_strdup(arena, stmt_text(q, 2)),
		.low = stmt_real(q, 3),
		.high = stmt_real(q, 4),
		.silent_after_min = stmt_int_or(q, 5, NO_SILENCE),
		.place = arena_strdup(arena, stmt_text(q, 6)),
		.struck = !stmt_is_null(q, 7),
	};
	take_range(out);
out:
	stmt_done(q);
	return rc;
}

enum err_code probe_find(struct book *b, const char *text, struct arena *arena, struct probe *out,
			 struct err *err)
{
	struct record *r = record_new(&readings_kind, arena);
	struct err why;
	int64_t id;

	err_clear(&why);
	if (text[0] == '#' && number_read_int(text + 1, '.', &id))
		record_set_int(r, "probe_id", id);
	else
		record_set_text(r, "probe_id", text);
	enum err_code rc = book_resolve(b, r, false, &why);
	if (rc) {
		snprintf(why.items[0].field, sizeof(why.items[0].field), "probe");
		err_append(err, &why);
		return rc;
	}
	return probe_load(b, record_int(r, "probe_id", 0), arena, out, err);
}

/* --- one reading ------------------------------------------------------------------------------ */

enum err_code reading_check(const struct probe *p, int64_t at, double value, int64_t now,
			    struct err *err)
{
	char low[NUMBER_TEXT_MAX], high[NUMBER_TEXT_MAX];
	enum err_code rc = ERR_NONE;

	if (value < p->least || value > p->most) {
		number_write_real(low, p->least);
		number_write_real(high, p->most);
		rc = err_set(err, ERR_INPUT, "value", "out_of_range",
			     "%s of %s lies between %s and %s.", p->quantity, p->code, low, high);
		err_arg(err, "low", "%s", low);
		err_arg(err, "high", "%s", high);
	}
	if (at > now + TIMES_FUTURE_S)
		rc = err_set(err, ERR_INPUT, "at", "in_future",
			     "This lies in the future. Check the clock of the logger.");
	return rc;
}

/* --- a batch ---------------------------------------------------------------------------------- */

/* A probe by the text that named it. */
struct known_probe {
	struct known_probe *next;
	const char *text;
	struct probe probe;
};

void readings_begin(struct readings_in *in, struct book *b, int64_t now)
{
	*in = (struct readings_in){ .b = b, .now = now };
	arena_init(&in->arena);
	store_readings_begin(b->store);
}

static size_t place_of(const char *text, size_t places)
{
	uint64_t hash = 14695981039346656037u; /* FNV-1a */

	for (; *text; text++)
		hash = (hash ^ (unsigned char)*text) * 1099511628211u;
	return hash % places;
}

static enum err_code know_probe(struct readings_in *in, const char *text, const struct probe **out,
				struct err *err)
{
	struct known_probe **list =
		&in->known[place_of(text, sizeof(in->known) / sizeof(in->known[0]))];
	struct known_probe *new;

	for (const struct known_probe *k = *list; k; k = k->next)
		if (strcmp(k->text, text) == 0) {
			*out = &k->probe;
			return ERR_NONE;
		}
	new = arena_alloc(&in->arena, sizeof(*new));
	const enum err_code rc = probe_find(in->b, text, &in->arena, &new->probe, err);
	if (rc)
		return rc;
	new->text = arena_strdup(&in->arena, text);
	new->next = *list;
	*list = new;
	*out = &new->probe;
	return ERR_NONE;
}

static int compare_touched(const void *a, const void *b)
{
	const struct touched_hour *x = a, *y = b;

	if (x->probe_id != y->probe_id)
		return x->probe_id < y->probe_id ? -1 : 1;
	return x->hour < y->hour ? -1 : x->hour > y->hour;
}

/* Hours that stand next to each other are counted in one go. */
static enum err_code count_touched(struct readings_in *in, struct err *err)
{
	enum err_code rc = ERR_NONE;

	if (in->n > 0)
		qsort(in->touched, in->n, sizeof(*in->touched), compare_touched);
	for (size_t i = 0, next; !rc && i < in->n; i = next) {
		const struct touched_hour *first = &in->touched[i];

		for (next = i + 1; next < in->n; next++)
			if (in->touched[next].probe_id != first->probe_id ||
			    in->touched[next].hour > in->touched[next - 1].hour + 1)
				break;
		rc = sums_of_hours(in->b, first->probe_id, first->hour,
				   in->touched[next - 1].hour + 1, err);
		if (!rc)
			rc = alarm_marks_note_readings(in->b, first->probe_id, first->hour * HOUR_S,
						       err);
	}
	in->n = 0;
	memset(in->last, 0, sizeof(in->last));
	return rc;
}

static enum err_code touch(struct readings_in *in, int64_t probe_id, int64_t hour, struct err *err)
{
	const size_t place = (size_t)probe_id % (sizeof(in->last) / sizeof(in->last[0]));

	if (in->last[place].probe_id == probe_id && in->last[place].hour == hour)
		return ERR_NONE;
	if (in->n == FLUSH_AT) {
		const enum err_code rc = count_touched(in, err);
		if (rc)
			return rc;
	}
	if (in->n == in->room) {
		in->room = in->room ? in->room * 2 : 256;
		in->touched = xrealloc(in->touched, in->room * sizeof(*in->touched));
	}
	in->touched[in->n++] = (struct touched_hour){ probe_id, hour };
	in->last[place].probe_id = probe_id;
	in->last[place].hour = hour;
	return ERR_NONE;
}

static enum err_code put(struct readings_in *in, int64_t probe_id, int64_t at, double value,
			 struct err *err)
{
	struct stmt *q = NULL;
	bool kept = false;
	enum err_code rc = store_query(in->b->store, Q_READING_PUT, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":probe_id", probe_id);
	stmt_bind_int(q, ":at", at);
	stmt_bind_real(q, ":value", value + 0.0); /* -0 is 0 */
	rc = stmt_run(q, err);
	kept = !rc && store_changes(in->b->store) > 0;
	in->kept += kept;
	in->same += !rc && !kept;
out:
	stmt_done(q);
	return rc || !kept ? rc : touch(in, probe_id, hour_of(at), err);
}

enum err_code readings_take(struct readings_in *in, const char *text, int64_t at, double value,
			    struct err *err)
{
	const struct probe *p;
	enum err_code rc = know_probe(in, text, &p, err);

	if (!rc)
		rc = reading_check(p, at, value, in->now, err);
	return rc ? rc : put(in, p->id, at, value, err);
}

enum err_code readings_end(struct readings_in *in, enum err_code rc, struct err *err)
{
	if (!rc)
		rc = count_touched(in, err);
	free(in->touched);
	arena_release(&in->arena);
	store_readings_end(in->b->store);
	return rc;
}

/* --- wrong stretches -------------------------------------------------------------------------- */

enum err_code wrong_stretches_load(struct book *b, int64_t probe_id, struct arena *arena,
				   struct wrong_stretches *out, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(b->store, Q_PROBE_FAULTS_OF, &q, err);

	*out = (struct wrong_stretches){ 0 };
	if (rc)
		goto out;
	stmt_bind_int(q, ":probe_id", probe_id);
	while (!(rc = stmt_row(q, err))) {
		out->all = arena_grow(arena, out->all, out->n, &out->room, sizeof(*out->all));
		out->all[out->n].from = stmt_int(q, 0);
		out->all[out->n++].to = stmt_int_or(q, 1, INT64_MAX);
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

bool is_wrong(const struct wrong_stretches *w, int64_t at)
{
	for (size_t i = 0; i < w->n; i++)
		if (at >= w->all[i].from && at <= w->all[i].to)
			return true;
	return false;
}

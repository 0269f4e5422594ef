/* See readings_sums.h.  An hour is the sum of its readings in their order, a day that of its hours:
 * two ways to the same readings give the same digits. */
#include "book/readings_sums.h"

#include <stdio.h>

#include "book/inside.h"

int64_t hour_of(int64_t at)
{
	return at / HOUR_S - (at % HOUR_S < 0);
}

void sums_add(struct sums *s, double value)
{
	s->low = s->readings == 0 || value < s->low ? value : s->low;
	s->high = s->readings == 0 || value > s->high ? value : s->high;
	s->sum += value;
	s->readings++;
}

void sums_add_part(struct sums *s, const struct sums *part)
{
	if (part->readings == 0)
		return;
	s->low = s->readings == 0 || part->low < s->low ? part->low : s->low;
	s->high = s->readings == 0 || part->high > s->high ? part->high : s->high;
	s->sum += part->sum;
	s->readings += part->readings;
}

/* A query of one probe's rows over [begin, end), ready to be stepped.  *q is the caller's to close,
 * on failure too. */
static enum err_code open_span(struct book *b, enum query query, int64_t probe_id, int64_t begin,
			       int64_t end, struct stmt **q, struct err *err)
{
	enum err_code rc = store_query(b->store, query, q, err);

	if (rc)
		return rc;
	stmt_bind_int(*q, ":probe_id", probe_id);
	stmt_bind_int(*q, ":begin", begin);
	stmt_bind_int(*q, ":end", end);
	return ERR_NONE;
}

enum err_code sums_read(struct book *b, enum query query, int64_t probe_id, int64_t begin,
			int64_t end, void (*each)(const struct sums *s, void *with), void *with,
			struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = open_span(b, query, probe_id, begin, end, &q, err);

	while (!rc && !(rc = stmt_row(q, err))) {
		const struct sums s = { .at = stmt_int(q, 0),
					.readings = stmt_int(q, 1),
					.sum = stmt_real(q, 2),
					.low = stmt_real(q, 3),
					.high = stmt_real(q, 4) };
		each(&s, with);
	}
	stmt_done(q);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

enum err_code readings_read(struct book *b, int64_t probe_id, const struct wrong_stretches *wrong,
			    int64_t begin, int64_t end,
			    enum err_code (*each)(int64_t at, double value, void *with,
						  struct err *err),
			    void *with, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = open_span(b, Q_READINGS_BETWEEN, probe_id, begin, end, &q, err);

	if (rc)
		goto out;
	while (!(rc = stmt_row(q, err))) {
		const int64_t at = stmt_int(q, 0);

		if (wrong->n && is_wrong(wrong, at))
			continue;
		rc = each(at, stmt_real(q, 1), with, err);
		if (rc)
			goto out;
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

/* --- making sums ------------------------------------------------------------------------------ */

enum table { HOURS, DAYS };

static const struct {
	enum query read, drop, add, count;
} tables[] = {
	[HOURS] = { Q_READING_HOURS, Q_READING_HOURS_DROP, Q_READING_HOUR_ADD,
		    Q_READING_HOURS_COUNT },
	[DAYS] = { Q_READING_DAYS, Q_READING_DAYS_DROP, Q_READING_DAY_ADD, Q_READING_DAYS_COUNT },
};

/* The sums of one probe on their way: give takes each hour and each day that has readings. */
struct summing {
	struct book *b;
	int64_t probe_id;
	struct wrong_stretches wrong;
	enum err_code (*give)(struct summing *w, enum table t, const struct sums *s,
			      struct err *err);
	struct sums hour; /* the one at hand */
	int64_t given[2]; /* of each table, by a check */
	bool differs;
};

static enum err_code drop(struct summing *w, enum table t, int64_t begin, int64_t end,
			  struct err *err)
{
	return store_run_ints(w->b->store, tables[t].drop, err, ":probe_id", w->probe_id, ":begin",
			      begin, ":end", end, NULL);
}

static enum err_code keep(struct summing *w, enum table t, const struct sums *s, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(w->b->store, tables[t].add, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":probe_id", w->probe_id);
	stmt_bind_int(q, ":at", s->at);
	stmt_bind_int(q, ":readings", s->readings);
	stmt_bind_real(q, ":sum", s->sum);
	stmt_bind_real(q, ":low", s->low);
	stmt_bind_real(q, ":high", s->high);
	rc = stmt_run(q, err);
out:
	stmt_done(q);
	return rc;
}

static enum err_code give_hour(struct summing *w, struct err *err)
{
	return w->hour.readings ? w->give(w, HOURS, &w->hour, err) : ERR_NONE;
}

static enum err_code take_reading(int64_t at, double value, void *with, struct err *err)
{
	struct summing *w = with;
	enum err_code rc = ERR_NONE;

	if (w->hour.at != hour_of(at)) {
		rc = give_hour(w, err);
		w->hour = (struct sums){ .at = hour_of(at) };
	}
	sums_add(&w->hour, value);
	return rc;
}

static enum err_code sum_hours(struct summing *w, int64_t begin, int64_t end, struct err *err)
{
	enum err_code rc;

	w->hour = (struct sums){ .at = begin };
	rc = readings_read(w->b, w->probe_id, &w->wrong, begin * HOUR_S, end * HOUR_S, take_reading,
			   w, err);
	return rc ? rc : give_hour(w, err);
}

static void add_hour(const struct sums *s, void *with)
{
	sums_add_part(with, s);
}

static enum err_code add_reading(int64_t at, double value, void *with, struct err *err)
{
	(void)at;
	(void)err;
	sums_add(with, value);
	return ERR_NONE;
}

/* A part of an hour: a farm day may begin within one (a zone of half hours). */
static enum err_code add_part_hour(struct summing *w, int64_t begin, int64_t end, struct sums *day,
				   struct err *err)
{
	struct sums part = { 0 };
	enum err_code rc = ERR_NONE;

	if (begin < end)
		rc = readings_read(w->b, w->probe_id, &w->wrong, begin, end, add_reading, &part,
				   err);
	sums_add_part(day, &part);
	return rc;
}

static enum err_code sum_day(struct summing *w, struct sums *day, struct err *err)
{
	const int64_t begin = book_day_start(w->b, day->at);
	const int64_t end = book_day_start(w->b, day->at + 1);
	const int64_t first = hour_of(begin + HOUR_S - 1), last = hour_of(end);
	enum err_code rc = add_part_hour(w, begin, first * HOUR_S, day, err);

	if (!rc)
		rc = sums_read(w->b, Q_READING_HOURS, w->probe_id, first, last, add_hour, day, err);
	return rc ? rc : add_part_hour(w, last * HOUR_S, end, day, err);
}

static enum err_code sum_days(struct summing *w, int64_t first, int64_t last, struct err *err)
{
	enum err_code rc = ERR_NONE;

	for (int64_t at = first; !rc && at <= last; at++) {
		struct sums day = { .at = at };

		rc = sum_day(w, &day, err);
		if (!rc && day.readings)
			rc = w->give(w, DAYS, &day, err);
	}
	return rc;
}

enum err_code sums_of_hours(struct book *b, int64_t probe_id, int64_t begin, int64_t end,
			    struct err *err)
{
	struct summing w = { .b = b, .probe_id = probe_id, .give = keep };
	const int64_t first = book_day(b, begin * HOUR_S), last = book_day(b, end * HOUR_S - 1);
	struct arena arena;
	enum err_code rc;

	arena_init(&arena);
	rc = wrong_stretches_load(b, probe_id, &arena, &w.wrong, err);
	if (!rc)
		rc = drop(&w, HOURS, begin, end, err);
	if (!rc)
		rc = sum_hours(&w, begin, end, err);
	if (!rc)
		rc = drop(&w, DAYS, first, last + 1, err);
	if (!rc)
		rc = sum_days(&w, first, last, err);
	arena_release(&arena);
	return rc;
}

/* --- all of a probe --------------------------------------------------------------------------- */

static enum err_code one_number(struct book *b, enum query query, int64_t probe_id, bool *any,
				int64_t *out, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(b->store, query, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":probe_id", probe_id);
	rc = stmt_row(q, err);
	*any = !rc && !stmt_is_null(q, 0);
	*out = *any ? stmt_int(q, 0) : 0;
out:
	stmt_done(q);
	return rc;
}

/* The part of [*from, *to] that has readings; *any false when there is none. */
static enum err_code cut_to_readings(struct book *b, int64_t probe_id, int64_t *from, int64_t *to,
				     bool *any, struct err *err)
{
	int64_t first, last;
	enum err_code rc = one_number(b, Q_READING_FIRST, probe_id, any, &first, err);

	if (rc || !*any)
		return rc;
	rc = one_number(b, Q_READING_LAST, probe_id, any, &last, err);
	if (rc || !*any)
		return rc;
	*from = *from > first ? *from : first;
	*to = *to < last ? *to : last;
	*any = *from <= *to;
	return ERR_NONE;
}

static enum err_code recount(struct book *b, int64_t probe_id, int64_t from, int64_t to,
			     struct err *err)
{
	bool any = false;
	enum err_code rc = cut_to_readings(b, probe_id, &from, &to, &any, err);

	if (rc || !any)
		return rc;
	return sums_of_hours(b, probe_id, hour_of(from), hour_of(to) + 1, err);
}

enum err_code readings_recount(struct book *b, int64_t probe_id, int64_t from, int64_t to,
			       struct err *err)
{
	enum err_code rc;

	store_readings_begin(b->store);
	rc = recount(b, probe_id, from, to, err);
	store_readings_end(b->store);
	return rc;
}

enum err_code probes_list(struct book *b, struct arena *arena, struct id_list *out, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(b->store, Q_PROBES_ALL, &q, err);

	*out = (struct id_list){ 0 };
	if (rc)
		goto out;
	while (!(rc = stmt_row(q, err))) {
		out->ids = arena_grow(arena, out->ids, out->n, &out->room, sizeof(*out->ids));
		out->ids[out->n++] = stmt_int(q, 0);
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

enum err_code readings_rebuild(struct book *b, struct err *err)
{
	struct arena arena;
	struct id_list probes;
	enum err_code rc;

	arena_init(&arena);
	rc = probes_list(b, &arena, &probes, err);
	store_readings_begin(b->store);
	for (size_t i = 0; !rc && i < probes.n; i++) {
		struct summing w = { .b = b, .probe_id = probes.ids[i] };

		rc = drop(&w, HOURS, INT64_MIN, INT64_MAX, err);
		if (!rc)
			rc = drop(&w, DAYS, INT64_MIN, INT64_MAX, err);
		if (!rc)
			rc = recount(b, probes.ids[i], INT64_MIN, INT64_MAX, err);
	}
	store_readings_end(b->store);
	arena_release(&arena);
	return rc;
}

/* --- checking --------------------------------------------------------------------------------- */

static void copy_sums(const struct sums *s, void *with)
{
	*(struct sums *)with = *s;
}

static enum err_code compare(struct summing *w, enum table t, const struct sums *s, struct err *err)
{
	struct sums kept = { 0 };
	const enum err_code rc = sums_read(w->b, tables[t].read, w->probe_id, s->at, s->at + 1,
					   copy_sums, &kept, err);

	w->given[t]++;
	if (kept.readings != s->readings || kept.sum != s->sum || kept.low != s->low ||
	    kept.high != s->high)
		w->differs = true;
	return rc;
}

/* A row that is kept for an hour without readings is one too many. */
static enum err_code compare_count(struct summing *w, enum table t, struct err *err)
{
	bool any;
	int64_t n;
	const enum err_code rc = one_number(w->b, tables[t].count, w->probe_id, &any, &n, err);

	if (!rc && (!any || n != w->given[t]))
		w->differs = true;
	return rc;
}

static enum err_code check_probe(struct summing *w, struct arena *arena, struct err *err)
{
	int64_t from = INT64_MIN, to = INT64_MAX;
	bool any = false;
	enum err_code rc = wrong_stretches_load(w->b, w->probe_id, arena, &w->wrong, err);

	if (!rc)
		rc = cut_to_readings(w->b, w->probe_id, &from, &to, &any, err);
	if (!rc && any)
		rc = sum_hours(w, hour_of(from), hour_of(to) + 1, err);
	if (!rc && any)
		rc = sum_days(w, book_day(w->b, from), book_day(w->b, to), err);
	for (int t = 0; !rc && t <= DAYS; t++)
		rc = compare_count(w, (enum table)t, err);
	return rc;
}

enum err_code readings_check_sums(struct book *b, void (*found)(const char *text, void *with),
				  void *with, struct err *err)
{
	struct arena arena;
	struct id_list probes;
	char text[120];
	enum err_code rc;

	arena_init(&arena);
	rc = probes_list(b, &arena, &probes, err);
	for (size_t i = 0; !rc && i < probes.n; i++) {
		struct summing w = { .b = b, .probe_id = probes.ids[i], .give = compare };

		rc = check_probe(&w, &arena, err);
		if (rc || !w.differs)
			continue;
		snprintf(text, sizeof(text),
			 "the kept sums of probe %lld are not what its readings give: weirbook "
			 "rebuild mends it",
			 (long long)probes.ids[i]);
		found(text, with);
	}
	arena_release(&arena);
	return rc;
}

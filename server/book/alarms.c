/* Which places to look at, and what their readings say of alarms.  See alarms.h; their rows are alarm_rows.c's. */
#include "book/alarms.h"

#include <math.h>
#include <string.h>

#include "base/order.h"
#include "book/alarm_rows.h"
#include "book/inside.h"
#include "book/place_fish.h"
#include "book/probe_readings.h"
#include "book/times.h"
#include "book/water.h"
#include "book/water_samples.h"
#include "model/kinds.h"

/* --- which places ----------------------------------------------------------------------------------- */

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

enum err_code alarms_note(struct book *b, const struct record *r, struct err *err)
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
		return alarms_note_readings(b, record_int(r, "probe_id", 0),
					    record_int(r, "began_at", 0), err);
	if (k != &water_tests_kind)
		return ERR_NONE;
	rc = mark(b, record_int(r, "place_id", 0), r->instant, err);
	if (!rc && record_has(r, "temperature_c"))
		rc = mark_water(b, record_int(r, "place_id", 0), r->instant, err);
	return rc;
}

enum err_code alarms_note_readings(struct book *b, int64_t probe_id, int64_t since, struct err *err)
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

/* --- one place -------------------------------------------------------------------------------------- */

/* A time in which the same species stand there. */
struct era {
	int64_t from;
	struct alarm_limits limits[QUANTITY__MAX];
};

struct look {
	struct book *b;
	int64_t place_id, since, now;
	bool by_clock; /* no entry marked it */
	int64_t until; /* entries may lie so far ahead of this clock */
	struct arena arena;
	struct id_set tanks;
	struct fish_view fish;
	struct place_probe *probes;
	size_t n_probes;
	struct era *eras;
	size_t n_eras;
	struct reading before[QUANTITY__MAX]; /* the newest before since */
	struct water_sample *samples;
	size_t n_samples;
	struct alarm_rows rows;
	int64_t due_at; /* when the clock alone may raise something; INT64_MAX: never */
};

static double stricter(double a, double b, bool upper)
{
	if (isnan(a) || isnan(b))
		return isnan(a) ? b : a;
	return upper ? fmin(a, b) : fmax(a, b);
}

/* The farm's own bounds of its probes. */
static void add_probe_limits(const struct look *l, struct era *e)
{
	for (size_t i = 0; i < l->n_probes; i++) {
		const enum quantity q = quantity_find(l->probes[i].quantity);

		if (q == QUANTITY__MAX)
			continue;
		e->limits[q].low = stricter(e->limits[q].low, l->probes[i].low, false);
		e->limits[q].high = stricter(e->limits[q].high, l->probes[i].high, true);
	}
}

static enum err_code add_era(struct look *l, int64_t from, size_t *room, struct err *err)
{
	struct limits limits[QUANTITY__MAX];
	struct id_set species;

	species_in_tanks(&l->fish, &l->tanks, from, &l->arena, &species);
	enum err_code rc =
		water_limits(l->b, &species, book_day(l->b, from), &l->arena, limits, err);
	if (rc)
		return rc;
	l->eras = arena_grow(&l->arena, l->eras, l->n_eras, room, sizeof(*l->eras));
	struct era *e = &l->eras[l->n_eras++];
	e->from = from;
	for (int q = 0; q < QUANTITY__MAX; q++)
		e->limits[q] = water_alarm_limits(&limits[q]);
	add_probe_limits(l, e);
	return ERR_NONE;
}

/* The next instant after `at` at which fish come to where none were, or the last one leaves; INT64_MAX: none. */
static int64_t next_change(const struct look *l, int64_t at)
{
	int64_t next = INT64_MAX;

	for (size_t c = 0; c < l->fish.n_cells; c++) {
		const struct fish_view_cell *cell = &l->fish.cells[c];

		if (id_set_find(&l->tanks, l->fish.tank_ids.ids[cell->tank]) < 0)
			continue;
		for (size_t i = fish_rows_until(cell, at); i < cell->n_rows; i++) {
			const int64_t was = i ? cell->rows[i - 1].fish_after : 0;

			if ((was > 0) == (cell->rows[i].fish_after > 0))
				continue;
			next = sooner_of(next, cell->rows[i].instant);
			break;
		}
	}
	return next;
}

/* A time without readings that began before `since` may have begun when fish came: as far back as the longest
 * stated age. */
enum { ERAS_BEFORE_S = 16 * 86400 };

static enum err_code find_eras(struct look *l, struct err *err)
{
	const int64_t only = l->tanks.n == 1 ? l->tanks.ids[0] : 0;
	const int64_t begin = l->since - ERAS_BEFORE_S;
	size_t room = 0;
	enum err_code rc = ERR_NONE;

	if (l->tanks.n)
		rc = fish_view_open(l->b, begin, l->until, only, 0, &l->arena, &l->fish, err);
	for (int64_t at = begin; !rc && at <= l->until; at = next_change(l, at))
		rc = add_era(l, at, &room, err);
	return rc;
}

static bool has_any(const struct alarm_limits *l)
{
	return !(isnan(l->low_stop) && isnan(l->low) && isnan(l->high) && isnan(l->high_stop));
}

/* How long a reading is worth judging again by other limits. */
static int64_t holds_s(enum quantity q)
{
	const int64_t old_s = quantity_old_after_s(q == QUANTITY_NH3          ? QUANTITY_TAN
						   : q == QUANTITY_SATURATION ? QUANTITY_DO
									      : q);

	return old_s ? old_s : ALARMS_REACH_S;
}

static size_t count_of(const struct look *l, enum quantity q)
{
	size_t n = 0;

	for (size_t i = 0; i < l->n_samples; i++)
		n += l->samples[i].quantity == q;
	return n;
}

/* A quantity's readings and the changes of its limits, in order of time; the last reading is judged again by each. */
static size_t events_of(const struct look *l, enum quantity q, struct alarm_event *out)
{
	struct alarm_event last = { .at = l->before[q].at, .value = l->before[q].value };
	size_t n = 0, s = 0;

	last.bound = (enum alarm_bound)l->before[q].bound;
	for (size_t e = 0; e < l->n_eras; e++) {
		const struct era *era = &l->eras[e];
		const int64_t until = e + 1 < l->n_eras ? l->eras[e + 1].from : INT64_MAX;
		struct alarm_event again = last;

		if (until <= l->since)
			continue;
		/* What began earlier was judged then, unless the limits themselves were changed just now. */
		again.at = later_of(era->from, l->since);
		again.limits = &era->limits[q];
		if (again.at - last.at > holds_s(q))
			again.value = NAN;
		if (era->from >= l->since || l->by_clock)
			out[n++] = again;
		for (; s < l->n_samples && l->samples[s].at < until; s++) {
			if (l->samples[s].quantity != q)
				continue;
			last = (struct alarm_event){ l->samples[s].at, l->samples[s].value,
						     (enum alarm_bound)l->samples[s].bound,
						     &era->limits[q] };
			out[n++] = last;
		}
	}
	return n;
}

static enum alarm_level level_of(const char *word)
{
	int i = ALARM_LOW;

	while (strcmp(alarm_level_word((enum alarm_level)i), word) != 0)
		i++;
	return (enum alarm_level)i;
}

static enum err_code look_at_limits(struct look *l, enum quantity q, struct err *err)
{
	struct alarm_event *events =
		arena_array(&l->arena, count_of(l, q) + l->n_eras + 1, sizeof(*events));
	const size_t n = events_of(l, q, events);
	struct alarm_episode *episodes = arena_array(&l->arena, n + 1, sizeof(*episodes));
	const struct alarm_row *was = alarm_rows_before(&l->rows, quantity_name(q));
	const size_t made = was ? alarm_play(level_of(was->level), was->raised_at, was->value,
					     events, n, episodes)
				: alarm_play(ALARM_NONE, 0, NAN, events, n, episodes);
	enum err_code rc = ERR_NONE;

	for (size_t i = 0; !rc && i < made; i++) {
		const struct alarm_row is = {
			.quantity = quantity_name(q),
			.level = alarm_level_word(episodes[i].level),
			.raised_at = episodes[i].raised_at,
			.cleared_at = episodes[i].cleared_at,
			.value = episodes[i].value,
		};
		rc = alarm_rows_keep(&l->rows, &is, err);
	}
	return rc;
}

/* Fish stand there and their limits name the quantity: from the first such era at or after `from` to the end of it. */
static bool next_watched(const struct look *l, enum quantity q, int64_t from, int64_t *begins,
			 int64_t *ends)
{
	size_t e = 0;

	while (e < l->n_eras && (!has_any(&l->eras[e].limits[q]) ||
				 (e + 1 < l->n_eras && l->eras[e + 1].from <= from)))
		e++;
	if (e == l->n_eras)
		return false;
	/* Before the first one nothing changed: they stood there already. */
	*begins = e == 0 ? INT64_MIN : l->eras[e].from;
	while (e < l->n_eras && has_any(&l->eras[e].limits[q]))
		e++;
	*ends = e < l->n_eras ? l->eras[e].from : ALARM_LASTS;
	return true;
}

/* One time without a reading: too old, as far as somebody should have measured. */
static enum err_code look_at_gap(struct look *l, enum quantity q, int64_t from, int64_t to,
				 struct err *err)
{
	const int64_t allowed_s = quantity_old_after_s(q);
	enum err_code rc = ERR_NONE;
	int64_t begins, ends;

	for (int64_t at = from; !rc && at < to && next_watched(l, q, at, &begins, &ends);
	     at = ends) {
		const int64_t due = later_of(from, begins) + allowed_s;
		const int64_t over = sooner_of(to, ends);
		const struct alarm_row is = { .quantity = quantity_name(q),
					      .level = "old",
					      .raised_at = due,
					      .cleared_at = over,
					      .value = NAN };

		if (over == ALARM_LASTS && due >= l->now)
			l->due_at = sooner_of(l->due_at, due + 1);
		else if (due < over && over >= l->since)
			rc = alarm_rows_keep(&l->rows, &is, err);
		if (ends == ALARM_LASTS)
			break;
	}
	return rc;
}

static enum err_code look_at_age(struct look *l, enum quantity q, struct err *err)
{
	int64_t last = isnan(l->before[q].value) ? INT64_MIN : l->before[q].at;
	enum err_code rc = ERR_NONE;

	if (!quantity_old_after_s(q))
		return ERR_NONE;
	for (size_t i = 0; !rc && i < l->n_samples; i++) {
		if (l->samples[i].quantity != q)
			continue;
		if (last != INT64_MIN)
			rc = look_at_gap(l, q, last, l->samples[i].at, err);
		last = l->samples[i].at;
	}
	/* Never measured there: nobody expects it. */
	return rc || last == INT64_MIN ? rc : look_at_gap(l, q, last, ALARM_LASTS, err);
}

/* Times at which a probe read, from the one before since on. */
struct times {
	struct arena *arena;
	int64_t probe_id;
	int64_t *all;
	size_t n, room;
};

static void take_time(void *with, const struct place_probe *p, int64_t at, double value)
{
	struct times *t = with;

	(void)value;
	if (p->id != t->probe_id)
		return;
	t->all = arena_grow(t->arena, t->all, t->n, &t->room, sizeof(*t->all));
	t->all[t->n++] = at;
}

static enum err_code look_at_probe(struct look *l, const struct place_probe *p, struct err *err)
{
	struct times t = { .arena = &l->arena, .probe_id = p->id };
	int64_t before;
	double value;

	if (!p->silent_after_s)
		return ERR_NONE;
	enum err_code rc = probe_newest(l->b, p->id, l->since - 1, &before, &value, err);
	if (rc && rc != ERR_NOT_FOUND)
		return rc;
	if (!rc)
		take_time(&t, p, before, NAN);
	rc = place_readings(l->b, l->place_id, l->since, l->until, take_time, &t, err);
	if (!rc && !t.n && p->set_up_at)
		take_time(&t, p, p->set_up_at, NAN);
	if (rc || !t.n)
		return rc;
	struct alarm_gap *gaps = arena_array(&l->arena, t.n, sizeof(*gaps));
	const size_t n = alarm_gaps(t.all, t.n, p->silent_after_s, l->now, gaps);
	for (size_t i = 0; !rc && i < n; i++) {
		const struct alarm_row is = { .quantity = p->quantity,
					      .level = "silent",
					      .probe_id = p->id,
					      .raised_at = gaps[i].raised_at,
					      .cleared_at = gaps[i].cleared_at,
					      .value = NAN };
		rc = alarm_rows_keep(&l->rows, &is, err);
	}
	if (!(n && gaps[n - 1].cleared_at == ALARM_LASTS))
		l->due_at = sooner_of(l->due_at, t.all[t.n - 1] + p->silent_after_s + 1);
	return rc;
}

static enum err_code gather(struct look *l, struct err *err)
{
	enum err_code rc = place_tanks(l->b, l->place_id, &l->arena, &l->tanks, err);

	if (!rc)
		rc = place_probes(l->b, l->place_id, book_day(l->b, l->now), &l->arena, &l->probes,
				  &l->n_probes, err);
	if (!rc)
		rc = find_eras(l, err);
	if (!rc)
		rc = water_newest(l->b, l->place_id, l->since - ALARMS_REACH_S, l->since - 1,
				  l->before, err);
	if (!rc)
		rc = water_samples(l->b, l->place_id, WATER_TESTS | WATER_PROBES, l->since,
				   l->until, &l->arena, &l->samples, &l->n_samples, err);
	if (!rc)
		rc = alarm_rows_load(l->b, l->place_id, l->since, l->now, &l->arena, &l->rows, err);
	return rc;
}

static enum err_code look_at_place(struct look *l, struct err *err)
{
	enum err_code rc = gather(l, err);

	for (int q = 0; !rc && q < QUANTITY__MAX; q++) {
		rc = look_at_limits(l, (enum quantity)q, err);
		if (!rc && q < QUANTITY_MEASURED_MAX)
			rc = look_at_age(l, (enum quantity)q, err);
	}
	for (size_t i = 0; !rc && i < l->n_probes; i++)
		rc = look_at_probe(l, &l->probes[i], err);
	return rc ? rc : alarm_rows_finish(&l->rows, err);
}

static enum err_code next_place(struct book *b, int64_t now, int64_t *place_id, int64_t *since,
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

enum err_code alarms_wait(struct book *b, int64_t now, bool *waits, struct err *err)
{
	int64_t place_id, since;
	enum err_code rc = next_place(b, now, &place_id, &since, err);

	*waits = !rc;
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

static enum err_code seen_to(const struct look *l, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(l->b->store, Q_ALARM_SEEN_TO, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":place_id", l->place_id);
	stmt_bind_known(q, ":due_at", l->due_at, INT64_MAX);
	/* No answer rests on it: the record's version stays, unless an alarm changed. */
	store_readings_begin(l->b->store);
	rc = stmt_run(q, err);
	store_readings_end(l->b->store);
out:
	stmt_done(q);
	return rc;
}

enum err_code alarms_look(struct book *b, int64_t now, struct err *err)
{
	struct look l = { .b = b, .now = now, .due_at = INT64_MAX };
	enum err_code rc = next_place(b, now, &l.place_id, &l.since, err);

	if (rc)
		return rc;
	l.by_clock = l.since == INT64_MAX;
	l.until = now + TIMES_FUTURE_S;
	l.since = sooner_of(l.since, now);
	l.since = later_of(l.since, now - ALARMS_REACH_S);
	arena_init(&l.arena);
	rc = look_at_place(&l, err);
	if (!rc)
		rc = seen_to(&l, err);
	arena_release(&l.arena);
	return rc;
}

/* --- what lasts ------------------------------------------------------------------------------------- */

bool alarm_is_stop(const char *level)
{
	return level && strncmp(level, "stop_", 5) == 0;
}

enum err_code alarms_open(struct book *b, struct arena *arena, struct open_alarm **out, size_t *n,
			  struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(b->store, Q_ALARMS_OPEN, &q, err);

	*out = NULL;
	*n = 0;
	if (rc)
		goto out;
	while (!(rc = stmt_row(q, err))) {
		*out = arena_grow(arena, *out, *n, &room, sizeof(**out));
		(*out)[(*n)++] = (struct open_alarm){
			.id = stmt_int(q, 0),
			.place_id = stmt_int(q, 1),
			.quantity = arena_strdup(arena, stmt_text(q, 2)),
			.level = stmt_is_null(q, 3) ? NULL : arena_strdup(arena, stmt_text(q, 3)),
			.probe_id = stmt_int(q, 4),
			.raised_at = stmt_int(q, 5),
			.value = stmt_real(q, 6),
			.seen_by_id = stmt_int(q, 7),
			.action = stmt_is_null(q, 8) ? NULL : arena_strdup(arena, stmt_text(q, 8)),
		};
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	for (size_t i = 0; !rc && i < *n; i++)
		if ((*out)[i].place_id)
			(*out)[i].place = book_label(b, "places", (*out)[i].place_id, arena);
	return rc;
}

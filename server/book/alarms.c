/* What the readings of a place say of alarms.  See alarms.h; their rows are alarm_rows.c's. */
#include "book/alarms.h"

#include <math.h>
#include <string.h>

#include "base/order.h"
#include "book/alarm_eras.h"
#include "book/alarm_marks.h"
#include "book/alarm_rows.h"
#include "book/place_fish.h"
#include "book/probe_readings.h"
#include "book/times.h"
#include "book/water.h"
#include "book/water_samples.h"

struct look {
	struct book *b;
	int64_t since, now;
	bool by_clock; /* no entry marked it */
	int64_t until; /* entries may lie so far ahead of this clock */
	struct arena arena;
	struct alarm_place place;
	struct alarm_eras eras;
	struct reading before[QUANTITY__MAX]; /* the newest before since */
	struct water_sample *samples;
	size_t n_samples;
	struct alarm_rows rows;
	int64_t due_at; /* when the clock alone may raise something; INT64_MAX: never */
};

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

/* A quantity's readings and the changes of its limits, in order of time; the last reading is judged
 * again by each. */
static size_t events_of(const struct look *l, enum quantity q, struct alarm_event *out)
{
	struct alarm_event last = { .at = l->before[q].at, .value = l->before[q].value };
	size_t n = 0, s = 0;

	last.bound = (enum alarm_bound)l->before[q].bound;
	for (size_t e = 0; e < l->eras.n; e++) {
		const struct alarm_era *era = &l->eras.all[e];
		const int64_t until = e + 1 < l->eras.n ? l->eras.all[e + 1].from : INT64_MAX;
		struct alarm_event again = last;

		if (until <= l->since)
			continue;
		/* What began earlier was judged then, unless the limits themselves were changed
		 * just now. */
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
		arena_array(&l->arena, count_of(l, q) + l->eras.n + 1, sizeof(*events));
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

/* One time without a reading: too old, as far as somebody should have measured. */
static enum err_code look_at_gap(struct look *l, enum quantity q, int64_t from, int64_t to,
				 struct err *err)
{
	const int64_t allowed_s = quantity_old_after_s(q);
	enum err_code rc = ERR_NONE;
	int64_t begins, ends;

	for (int64_t at = from;
	     !rc && at < to && alarm_eras_watched(&l->eras, q, at, &begins, &ends); at = ends) {
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

/* A probe that never read is silent since it was set up. */
static enum err_code times_of(struct look *l, const struct place_probe *p, struct times *t,
			      struct err *err)
{
	int64_t before;
	double value;
	enum err_code rc = probe_newest(l->b, p->id, l->since - 1, &before, &value, err);

	if (rc && rc != ERR_NOT_FOUND)
		return rc;
	if (!rc)
		take_time(t, p, before, NAN);
	rc = place_readings(l->b, l->place.id, l->since, l->until, take_time, t, err);
	if (!rc && !t->n && p->set_up_at)
		take_time(t, p, p->set_up_at, NAN);
	return rc;
}

static enum err_code look_at_silence(struct look *l, const struct place_probe *p, struct err *err)
{
	struct times t = { .arena = &l->arena, .probe_id = p->id };
	enum err_code rc = p->silent_after_s ? times_of(l, p, &t, err) : ERR_NONE;

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
	enum err_code rc = place_tanks(l->b, l->place.id, &l->arena, &l->place.tanks, err);

	if (!rc)
		rc = place_probes(l->b, l->place.id, book_day(l->b, l->now), &l->arena,
				  &l->place.probes, &l->place.n_probes, err);
	if (!rc)
		rc = alarm_eras_find(l->b, &l->place, l->since, l->until, &l->arena, &l->eras, err);
	if (!rc)
		rc = water_newest(l->b, l->place.id, l->since - ALARMS_REACH_S, l->since - 1,
				  l->before, err);
	if (!rc)
		rc = water_samples(l->b, l->place.id, WATER_TESTS | WATER_PROBES, l->since,
				   l->until, &l->arena, &l->samples, &l->n_samples, err);
	if (!rc)
		rc = alarm_rows_load(l->b, l->place.id, l->since, l->now, &l->arena, &l->rows, err);
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
	for (size_t i = 0; !rc && i < l->place.n_probes; i++)
		rc = look_at_silence(l, &l->place.probes[i], err);
	return rc ? rc : alarm_rows_finish(&l->rows, err);
}

enum err_code alarms_wait(struct book *b, int64_t now, bool *waits, struct err *err)
{
	int64_t place_id, since;
	enum err_code rc = alarm_marks_next(b, now, &place_id, &since, err);

	*waits = !rc;
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

enum err_code alarms_look(struct book *b, int64_t now, struct err *err)
{
	struct look l = { .b = b, .now = now, .due_at = INT64_MAX };
	enum err_code rc = alarm_marks_next(b, now, &l.place.id, &l.since, err);

	if (rc)
		return rc;
	l.by_clock = l.since == INT64_MAX;
	l.until = now + TIMES_FUTURE_S;
	l.since = sooner_of(l.since, now);
	l.since = later_of(l.since, now - ALARMS_REACH_S);
	arena_init(&l.arena);
	rc = look_at_place(&l, err);
	if (!rc)
		rc = alarm_marks_seen(b, l.place.id, l.due_at, err);
	arena_release(&l.arena);
	return rc;
}

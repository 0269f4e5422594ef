/* See readings_series.h. */
#include "book/readings_series.h"

#include <stdlib.h>

#include "base/order.h"
#include "book/inside.h"
#include "book/readings_sums.h"

enum {
	RAW_FEW = 200000,   /* readings that a chart takes one by one without being asked to */
	RAW_MOST = 2000000, /* and at all */
	USUAL_MISSED = 3    /* times the usual time between two is a gap */
};

const char *const series_step_words[] = {
	[STEP_AUTO] = "auto",
	[STEP_EACH] = "each",
	[STEP_MINUTE] = "minute",
	[STEP_FIVE_MINUTES] = "five_minutes",
	[STEP_QUARTER_HOUR] = "quarter_hour",
	[STEP_HOUR] = "hour",
	[STEP_SIX_HOURS] = "six_hours",
	[STEP_DAY] = "day",
	[STEP_WEEK] = "week",
	[STEP__MAX] = NULL,
};

/* Seconds; a day is a farm's and may be 23 or 25 hours. */
static const int64_t step_s[STEP__MAX] = {
	[STEP_MINUTE] = 60,      [STEP_FIVE_MINUTES] = 300,     [STEP_QUARTER_HOUR] = 900,
	[STEP_HOUR] = HOUR_S,    [STEP_SIX_HOURS] = 6 * HOUR_S, [STEP_DAY] = 86400,
	[STEP_WEEK] = 7 * 86400,
};

struct making {
	struct book *b;
	const struct probe *p;
	struct arena *arena;
	struct series *out;
	size_t room;
	int64_t first_day, last_day; /* that have readings, of those asked for */
	int64_t readings;            /* in them */
	struct sums sums;            /* of the step at hand; at: where it begins */
};

/* --- which step ------------------------------------------------------------------------------- */

static void note_day(const struct sums *s, void *with)
{
	struct making *m = with;

	m->first_day = m->readings ? m->first_day : s->at;
	m->last_day = s->at;
	m->readings += s->readings;
}

static bool fits(const struct making *m, enum series_step step, int64_t most)
{
	const int64_t days = m->last_day - m->first_day + 1;

	if (step == STEP_EACH)
		return m->readings <= most;
	if (step < STEP_HOUR && m->readings > RAW_FEW)
		return false;
	return step == STEP_WEEK || days * 86400 / step_s[step] <= most;
}

static enum err_code choose_step(struct making *m, enum series_step step, int64_t most,
				 struct err *err)
{
	if (step == STEP_AUTO)
		for (step = STEP_EACH; !fits(m, step, most);)
			step++;
	m->out->step = step;
	if (step >= STEP_HOUR || m->readings <= RAW_MOST)
		return ERR_NONE;
	err_set(err, ERR_INPUT, "step", "too_many",
		"These days hold %lld readings: ask for fewer days, or by the hour.",
		(long long)m->readings);
	err_arg(err, "there", "%lld", (long long)m->readings);
	return ERR_INPUT;
}

/* --- points ----------------------------------------------------------------------------------- */

static void add_point(struct making *m, const struct sums *s)
{
	struct series *out = m->out;

	if (s->readings == 0)
		return;
	out->points = arena_grow(m->arena, out->points, out->n, &m->room, sizeof(*out->points));
	out->points[out->n++] = (struct series_point){ .at = s->at,
						       .readings = s->readings,
						       .mean = s->sum / (double)s->readings,
						       .low = s->low,
						       .high = s->high };
}

/* Gathers what falls into the step that begins at `begins`. */
static struct sums *step_at(struct making *m, int64_t begins)
{
	if (m->sums.at != begins) {
		add_point(m, &m->sums);
		m->sums = (struct sums){ .at = begins };
	}
	return &m->sums;
}

/* When the step of so many seconds begins that an instant lies in. */
static int64_t begins_at(int64_t at, int64_t step)
{
	return at - (at % step + step) % step;
}

static enum err_code take_reading(int64_t at, double value, void *with, struct err *err)
{
	struct making *m = with;
	const int64_t step = step_s[m->out->step];

	(void)err;
	sums_add(step_at(m, step ? begins_at(at, step) : at), value);
	return ERR_NONE;
}

static void take_hour(const struct sums *s, void *with)
{
	struct making *m = with;

	sums_add_part(step_at(m, begins_at(s->at * HOUR_S, step_s[m->out->step])), s);
}

static void take_day(const struct sums *s, void *with)
{
	struct making *m = with;
	const int64_t day = m->out->step == STEP_WEEK ? day_week_start(s->at) : s->at;

	sums_add_part(step_at(m, book_day_start(m->b, day)), s);
}

static enum err_code take_raw(struct making *m, int64_t begin, int64_t end, struct err *err)
{
	struct wrong_stretches wrong;
	enum err_code rc = wrong_stretches_load(m->b, m->p->id, m->arena, &wrong, err);

	return rc ? rc : readings_read(m->b, m->p->id, &wrong, begin, end, take_reading, m, err);
}

/* An hour belongs to the days asked for when it begins in them. */
static enum err_code take_points(struct making *m, struct err *err)
{
	const int64_t begin = book_day_start(m->b, m->first_day);
	const int64_t end = book_day_start(m->b, m->last_day + 1);
	enum err_code rc;

	m->sums.at = INT64_MIN;
	if (m->out->step < STEP_HOUR)
		rc = take_raw(m, begin, end, err);
	else if (m->out->step < STEP_DAY)
		rc = sums_read(m->b, Q_READING_HOURS, m->p->id, hour_of(begin + HOUR_S - 1),
			       hour_of(end + HOUR_S - 1), take_hour, m, err);
	else
		rc = sums_read(m->b, Q_READING_DAYS, m->p->id, m->first_day, m->last_day + 1,
			       take_day, m, err);
	add_point(m, &m->sums);
	return rc;
}

/* --- gaps ------------------------------------------------------------------------------------- */

/* The median time from a point to the next. */
static int64_t usual_apart(const struct series *s, struct arena *arena)
{
	int64_t *apart = arena_array(arena, s->n + 1, sizeof(*apart));

	for (size_t i = 1; i < s->n; i++)
		apart[i - 1] = s->points[i].at - s->points[i - 1].at;
	if (s->n < 2)
		return 0;
	qsort(apart, s->n - 1, sizeof(*apart), order_int64);
	return apart[(s->n - 1) / 2];
}

/* Points further apart than this have a gap between them. */
static int64_t longest_apart(const struct making *m)
{
	/* the night the clocks are changed makes a day of 25 hours */
	const int64_t step = step_s[m->out->step] + (m->out->step >= STEP_DAY ? HOUR_S : 0);
	const int64_t usual = usual_apart(m->out, m->arena);
	int64_t longest = step;

	if (m->p->silent_after_min != NO_SILENCE)
		longest = m->p->silent_after_min * 60;
	else if (usual > step)
		longest = USUAL_MISSED * usual;
	return longest > step ? longest : step;
}

static void mark_gaps(struct making *m)
{
	const struct series all = *m->out;
	const int64_t longest = longest_apart(m);
	const int64_t step = step_s[all.step];
	struct series_point *points = arena_array(m->arena, 2 * all.n + 1, sizeof(*points));
	size_t n = 0;

	for (size_t i = 0; i < all.n; i++) {
		if (i > 0 && all.points[i].at - all.points[i - 1].at > longest)
			points[n++] = (struct series_point){ .at = all.points[i - 1].at +
								   (step ? step : 1) };
		points[n++] = all.points[i];
	}
	m->out->points = points;
	m->out->n = n;
}

enum err_code series_load(struct book *b, const struct probe *p, int64_t from_day, int64_t to_day,
			  enum series_step step, int64_t most, struct arena *arena,
			  struct series *out, struct err *err)
{
	struct making m = { .b = b, .p = p, .arena = arena, .out = out };
	enum err_code rc;

	*out = (struct series){ .step = step == STEP_AUTO ? STEP_EACH : step };
	rc = sums_read(b, Q_READING_DAYS, p->id, from_day, to_day + 1, note_day, &m, err);
	if (rc || m.readings == 0)
		return rc;
	rc = choose_step(&m, step, most, err);
	if (!rc)
		rc = take_points(&m, err);
	if (!rc)
		mark_gaps(&m);
	return rc;
}

enum err_code reading_newest(struct book *b, int64_t probe_id, int64_t at, struct series_point *out,
			     struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(b->store, Q_READING_NEWEST, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":probe_id", probe_id);
	stmt_bind_int(q, ":at", at);
	rc = stmt_row(q, err);
	if (rc)
		goto out;
	*out = (struct series_point){ .at = stmt_int(q, 0),
				      .readings = 1,
				      .mean = stmt_real(q, 1),
				      .low = stmt_real(q, 1),
				      .high = stmt_real(q, 1) };
out:
	stmt_done(q);
	return rc;
}

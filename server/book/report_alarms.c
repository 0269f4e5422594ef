/* Report alarms: what lasts, the gravest first, with what the water says now and the minutes of air
 * left. */
#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include "book/air_left.h"
#include "book/inside.h"
#include "book/open_alarms.h"
#include "book/place_fish.h"
#include "book/probe_readings.h"
#include "book/report.h"

struct alarm_line {
	uint64_t has;
	const struct explanation *explain;
	int64_t alarm;
	const char *alarm_key, *place, *quantity, *level;
	int64_t stop;
	double value;
	const char *unit;
	int64_t raised_at, lasts_min;
	const char *probe;
	double value_now;
	const char *bound_now;
	int64_t at_now;
	double limit_value;
	const char *limit_source, *seen_by, *action;
	double air_left_min;
};

static const struct field alarm_columns[] = {
	FIELD(alarm_line, alarm, KIND_INTEGER), /* id, and key, of the alarm in its list */
	FIELD(alarm_line, alarm_key, KIND_UUID),
	FIELD(alarm_line, place, KIND_TEXT),
	FIELD(alarm_line, quantity, KIND_TEXT),
	FIELD(alarm_line, level, KIND_TEXT), /* null: a person noted it */
	FIELD(alarm_line, stop, KIND_BOOL),
	FIELD(alarm_line, value, KIND_REAL), /* that raised it */
	FIELD(alarm_line, unit, KIND_TEXT),
	FIELD(alarm_line, raised_at, KIND_TIME),
	FIELD(alarm_line, lasts_min, KIND_INTEGER, .unit = "min"),
	FIELD(alarm_line, probe, KIND_TEXT),
	FIELD(alarm_line, value_now, KIND_REAL),
	FIELD(alarm_line, bound_now, KIND_TEXT),
	FIELD(alarm_line, at_now, KIND_TIME),
	FIELD(alarm_line, limit_value, KIND_REAL), /* that was passed */
	FIELD(alarm_line, limit_source, KIND_TEXT),
	FIELD(alarm_line, seen_by, KIND_TEXT),
	FIELD(alarm_line, action, KIND_TEXT),
	FIELD(alarm_line, air_left_min, KIND_REAL, .unit = "min"), /* of a tank */
};

struct lines {
	struct book *b;
	struct report_result *out;
	int64_t now;
	bool explains;
	struct fish_view v;
};

static double limit_of(const struct limits *l, const char *level)
{
	if (!level)
		return NAN;
	if (strcmp(level, "stop_low") == 0)
		return l->low_stop;
	if (strcmp(level, "low") == 0)
		return l->low;
	if (strcmp(level, "high") == 0)
		return l->high;
	return strcmp(level, "stop_high") == 0 ? l->high_stop : NAN;
}

/* A farm's own bound of a probe, where the species' limits say nothing. */
static enum err_code add_probe_limit(struct lines *s, const struct open_alarm *a,
				     struct alarm_line *line, struct err *err)
{
	struct place_probe *probes;
	size_t n;
	enum err_code rc = place_probes(s->b, a->place_id, book_day(s->b, s->now), s->out->arena,
					&probes, &n, err);

	for (size_t i = 0; !rc && i < n; i++)
		if (strcmp(probes[i].quantity, a->quantity) == 0 && isnan(line->limit_value))
			line->limit_value = strcmp(a->level, "low") == 0    ? probes[i].low
					    : strcmp(a->level, "high") == 0 ? probes[i].high
									    : NAN;
	return rc;
}

static enum err_code add_water(struct lines *s, const struct open_alarm *a, struct alarm_line *line,
			       struct err *err)
{
	enum { LOOK_BACK_S = 60 * 86400 };
	const enum quantity q = quantity_find(a->quantity);
	struct reading readings[QUANTITY__MAX];
	struct limits limits[QUANTITY__MAX];
	struct id_set tanks, species;
	enum err_code rc;

	if (!a->place_id || q == QUANTITY__MAX)
		return ERR_NONE;
	rc = water_newest(s->b, a->place_id, s->now - LOOK_BACK_S, s->now, readings, err);
	if (!rc)
		rc = place_tanks(s->b, a->place_id, s->out->arena, &tanks, err);
	if (rc)
		return rc;
	species_in_tanks(&s->v, &tanks, s->now, s->out->arena, &species);
	rc = water_limits(s->b, &species, book_day(s->b, s->now), s->out->arena, limits, err);
	if (rc)
		return rc;
	line->unit = quantity_unit(q);
	line->value_now = readings[q].value;
	line->bound_now = bound_word(readings[q].bound);
	line->at_now = isnan(readings[q].value) ? NO_INT : readings[q].at;
	line->limit_value = limit_of(&limits[q], a->level);
	line->limit_source = limits[q].source;
	return a->level && isnan(line->limit_value) ? add_probe_limit(s, a, line, err) : ERR_NONE;
}

static enum err_code add_air(struct lines *s, const struct open_alarm *a, struct alarm_line *line,
			     struct err *err)
{
	struct air_left air;
	enum err_code rc;

	if (id_set_find(&s->v.tank_ids, a->place_id) < 0)
		return ERR_NONE;
	rc = air_left_of_tank(s->b, &s->v, a->place_id, s->now, s->out->arena, &air, err);
	if (!rc)
		line->air_left_min = air.minutes;
	return rc;
}

static const char *key_text(struct stmt *q, struct arena *arena)
{
	char text[UUID_TEXT_MAX];
	struct uuid key;
	size_t n = 0;
	const void *bytes = stmt_blob(q, 0, &n);

	memcpy(&key, bytes, n < sizeof(key) ? n : sizeof(key));
	uuid_write(text, &key);
	return arena_strdup(arena, text);
}

static enum err_code add_details(struct lines *s, const struct open_alarm *a,
				 struct alarm_line *line, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(s->b), Q_ALARM_DETAILS, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":id", a->id);
	rc = stmt_row(q, err);
	if (rc)
		goto out;
	line->alarm_key = key_text(q, s->out->arena);
	line->seen_by = stmt_text_kept(q, 1, s->out->arena);
out:
	stmt_done(q);
	if (!rc && a->probe_id)
		line->probe = book_label(s->b, "probes", a->probe_id, s->out->arena);
	return rc;
}

static const struct explanation *explain(const struct open_alarm *a, const struct alarm_line *line,
					 struct arena *arena)
{
	struct explanation *e = arena_alloc(arena, sizeof(*e));
	struct explained_input *inputs = arena_array(arena, 2, sizeof(*inputs));

	if (!isnan(a->value))
		inputs[e->n_inputs++] = (struct explained_input){ "value", a->value };
	if (!isnan(line->limit_value))
		inputs[e->n_inputs++] =
			(struct explained_input){ "limit_value", line->limit_value };
	e->inputs = inputs;
	e->formula = a->level && strcmp(a->level, "silent") == 0
			     ? "no reading of the probe for its silent_after_min"
		     : a->level && strcmp(a->level, "old") == 0
			     ? "no reading for the quantity's stated age"
			     : "raised beyond the limit; cleared inside it by a tenth of the way "
			       "from stop to "
			       "limit (a fiftieth of the limit without a stop)";
	e->source = line->limit_source ? line->limit_source : "common practice, no source";
	return e;
}

static int by_weight(const void *pa, const void *pb)
{
	const struct alarm_line *a = pa, *b = pb;
	const double x = isnan(a->air_left_min) ? INFINITY : a->air_left_min;
	const double y = isnan(b->air_left_min) ? INFINITY : b->air_left_min;

	if (a->stop != b->stop)
		return a->stop > b->stop ? -1 : 1;
	/* A missing reading is no trouble yet: it stands below what was read. */
	if (isnan(a->value) != isnan(b->value))
		return isnan(a->value) ? 1 : -1;
	if (x != y)
		return x < y ? -1 : 1;
	return (a->raised_at > b->raised_at) - (a->raised_at < b->raised_at);
}

static enum err_code add_line(struct lines *s, const struct open_alarm *a, struct alarm_line *line,
			      struct err *err)
{
	*line = (struct alarm_line){
		.alarm = a->id,
		.place = a->place,
		.quantity = a->quantity,
		.level = a->level,
		.stop = alarm_is_stop(a->level),
		.value = a->value,
		.raised_at = a->raised_at,
		.lasts_min = (s->now - a->raised_at) / 60,
		.value_now = NAN,
		.at_now = NO_INT,
		.limit_value = NAN,
		.air_left_min = NAN,
		.action = a->action,
	};
	enum err_code rc = add_details(s, a, line, err);
	if (!rc)
		rc = add_water(s, a, line, err);
	if (!rc)
		rc = add_air(s, a, line, err);
	if (!rc && s->explains)
		line->explain = explain(a, line, s->out->arena);
	return rc;
}

static enum err_code run_alarms(struct book *b, const struct report_query *q,
				struct report_result *out, struct err *err)
{
	struct lines s = { .b = b, .out = out, .now = q->now, .explains = q->explain };
	struct open_alarm *open;
	size_t n;
	enum err_code rc = open_alarms_load(b, out->arena, &open, &n, err);

	if (!rc && n)
		rc = fish_view_open(b, q->now, q->now, 0, 0, out->arena, &s.v, err);
	if (rc)
		return rc;
	struct alarm_line *rows = arena_array(out->arena, n + 1, sizeof(*rows));
	for (size_t i = 0; !rc && i < n; i++)
		rc = add_line(&s, &open[i], &rows[out->n_rows++], err);
	if (n)
		qsort(rows, n, sizeof(*rows), by_weight);
	out->rows = (const char *)rows;
	out->from_day = out->to_day = book_day(b, q->now);
	out->as_of = q->now;
	return rc;
}

const struct report alarms_report = {
	.name = "alarms",
	.summary = "Alarms that last, the gravest first, with the water now and the minutes of air "
		   "left",
	.columns = alarm_columns,
	.n_columns = sizeof(alarm_columns) / sizeof(alarm_columns[0]),
	.row_size = sizeof(struct alarm_line),
	.explain_offset = offsetof(struct alarm_line, explain),
	.changes_by_clock = true,
	.uses_readings = true,
	.run = run_alarms,
};

/*
 * Readings of probes: POST /api/readings takes a batch as JSON, CSV or JSON lines; GET gives one probe's as a
 * chart draws them.  Their CSV is readings_csv_out.c's.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "api/accept.h"
#include "api/cache.h"
#include "api/handlers.h"
#include "api/json_in.h"
#include "api/query.h"
#include "api/readings_query.h"
#include "api/response.h"
#include "base/zone.h"
#include "book/readings_csv.h"
#include "book/readings_series.h"

/* --- the way in ---------------------------------------------------------------------------------- */

enum { REFUSED_TOLD_MAX = 100 };

struct refused_reading {
	size_t line; /* which reading of the batch, from 1; of a CSV file its line */
	struct err err;
};

struct posted {
	struct request *req;
	struct readings_in in;
	struct refused_reading *refused; /* the first REFUSED_TOLD_MAX */
	size_t n_refused, n_told, room;
};

static void refuse(size_t line, const struct err *err, void *with)
{
	struct posted *p = with;

	p->n_refused++;
	if (p->n_told == REFUSED_TOLD_MAX)
		return;
	p->refused =
		arena_grow(p->req->arena, p->refused, p->n_told, &p->room, sizeof(*p->refused));
	p->refused[p->n_told].line = line;
	p->refused[p->n_told++].err = *err;
}

static enum err_code required(const char *name, struct err *err)
{
	return err_set(err, ERR_INPUT, name, "required", "%s is missing.", name);
}

/* "probe" by its code or key, or "probe_id"; NULL when neither is given. */
static enum err_code read_probe(struct request *req, const struct json_t *object, const char **out,
				struct err *err)
{
	int64_t id = 0;

	*out = NULL;
	if (json_in_text(object, "probe", out, err) || json_in_int(object, "probe_id", &id, err))
		return ERR_INPUT;
	if (*out && id)
		return err_set(err, ERR_INPUT, "probe", "too_many",
			       "Give probe or probe_id, not both.");
	if (id)
		*out = probe_by_id(req->arena, id);
	return ERR_NONE;
}

/* One object with probe, at and value; probe may stand once for all. */
static enum err_code take_object(struct posted *p, const struct json_t *object, const char *of_all,
				 struct err *err)
{
	static const char *const known[] = { "probe", "probe_id", "at", "value", NULL };
	const char *probe, *when = NULL;
	double value = NAN;
	int64_t at = 0;
	enum err_code rc = json_in_known(object, known, err);

	if (!rc)
		rc = read_probe(p->req, object, &probe, err);
	if (!rc)
		rc = json_in_text(object, "at", &when, err);
	if (!rc)
		rc = json_in_real(object, "value", &value, err);
	if (rc)
		return rc;
	probe = probe ? probe : of_all;
	if (!probe || !*probe)
		return required("probe", err);
	if (!when)
		return required("at", err);
	if (isnan(value))
		return required("value", err);
	if (!time_read(when, &at))
		return err_set(err, ERR_INPUT, "at", "not_a_time",
			       "at must be a time such as 2026-11-25T07:58:00Z.");
	return readings_take(&p->in, probe, at, value, err);
}

/* What is wrong with one reading is told of it alone. */
static enum err_code take_one(struct posted *p, size_t line, const struct json_t *object,
			      const char *of_all)
{
	struct err err;
	enum err_code rc;

	err_clear(&err);
	rc = object ? take_object(p, object, of_all, &err)
		    : err_set(&err, ERR_INPUT, "", "no_object", "A reading must be an object.");
	if (rc != ERR_INPUT)
		return rc;
	refuse(line, &err, p);
	return ERR_NONE;
}

/* {"probe": ..., "readings": [...]}, or one reading. */
static enum err_code take_json(struct posted *p, struct err *err)
{
	static const char *const known[] = { "probe", "probe_id", "readings", NULL };
	struct json_t *body = NULL; /* owned */
	const struct json_t *list;
	const char *probe = NULL;
	enum err_code rc = json_in_read(p->req->body, p->req->body_length, &body, err);

	if (rc)
		return rc;
	list = json_in_list(body, "readings");
	if (!list) {
		rc = take_one(p, 1, body, NULL);
	} else {
		rc = json_in_known(body, known, err);
		if (!rc)
			rc = read_probe(p->req, body, &probe, err);
		for (size_t i = 0; !rc && i < json_in_count(list); i++)
			rc = take_one(p, i + 1, json_in_object_at(list, i), probe);
	}
	json_in_free(body);
	return rc;
}

/* One object a line; lines with nothing on them are passed over. */
static enum err_code take_lines(struct posted *p)
{
	const char *at = p->req->body, *end = at + p->req->body_length;
	enum err_code rc = ERR_NONE;

	for (size_t line = 1; !rc && at < end; line++) {
		const char *newline = memchr(at, '\n', (size_t)(end - at));
		const size_t n = (size_t)((newline ? newline : end) - at);
		struct json_t *object = NULL; /* owned */
		struct err err;

		err_clear(&err);
		if (n > strspn(at, " \t\r\n"))
			rc = json_in_read(at, n, &object, &err);
		if (object)
			rc = take_one(p, line, object, NULL);
		else if (rc)
			refuse(line, &err, p);
		rc = object ? rc : ERR_NONE;
		json_in_free(object);
		at += n + 1;
	}
	return rc;
}

static enum err_code take_csv(struct posted *p, struct err *err)
{
	const struct import_file text = { .name = "readings.csv",
					  .text = p->req->body,
					  .length = p->req->body_length };
	const struct import_options options = { .separator = ',',
						.decimal = '.',
						.now = p->req->now };
	struct readings_file file = {
		.file = &text, .options = &options, .refuse = refuse, .with = p
	};

	return readings_csv_take(&p->in, &file, err);
}

static enum err_code take_batch(struct posted *p, struct err *err)
{
	const char *type = request_header(p->req, "Content-Type");

	if (!p->req->body_length)
		return err_set(err, ERR_MALFORMED, "", "no_body", "The batch has no body.");
	if (media_type_is(type, "text/csv"))
		return take_csv(p, err);
	return media_type_is(type, "application/x-ndjson") ? take_lines(p) : take_json(p, err);
}

static void write_refused(struct json_out *j, const struct posted *p)
{
	json_out_name(j, "errors");
	json_out_open(j, '[');
	for (size_t i = 0; i < p->n_told; i++)
		for (size_t e = 0; e < p->refused[i].err.n_items; e++) {
			json_out_open(j, '{');
			json_out_name(j, "line");
			json_out_int(j, (int64_t)p->refused[i].line);
			problem_item_members(j, &p->refused[i].err.items[e]);
			json_out_close(j, '}');
		}
	json_out_close(j, ']');
}

/* 422 when nothing could be taken: a logger that looks at the status alone must not throw its batch away. */
static void answer_batch(struct response *res, const struct posted *p)
{
	const bool none = p->n_refused > 0 && p->in.kept + p->in.same == 0;
	struct json_out j = response_json(res, none ? 422 : 200);
	struct err err;

	json_out_open(&j, '{');
	if (none) {
		err_clear(&err);
		err_set(&err, ERR_INPUT, "", "none_taken", "None of the readings can be taken.");
		problem_head(&j, &err);
		res->content_type = "application/problem+json";
	}
	json_out_name(&j, "kept");
	json_out_int(&j, p->in.kept);
	json_out_name(&j, "same");
	json_out_int(&j, p->in.same);
	json_out_name(&j, "refused");
	json_out_int(&j, (int64_t)p->n_refused);
	write_refused(&j, p);
	json_out_close(&j, '}');
}

enum err_code post_readings(struct request *req, struct response *res, struct err *err)
{
	struct posted p = { .req = req };
	enum err_code rc;

	readings_begin(&p.in, req->book, req->now);
	rc = readings_end(&p.in, take_batch(&p, err), err);
	if (!rc)
		answer_batch(res, &p);
	return rc;
}

/* --- the way out --------------------------------------------------------------------------------- */

enum { POINTS_LEAST = 10, POINTS_USUAL = 1000, POINTS_MOST = 5000, DAYS_USUAL = 7 };

static enum err_code read_step(const struct request *req, enum series_step *out, struct err *err)
{
	const char *text = request_query(req, "step");

	*out = STEP_AUTO;
	if (!text)
		return ERR_NONE;
	for (int i = 0; series_step_words[i]; i++)
		if (!strcmp(series_step_words[i], text)) {
			*out = (enum series_step)i;
			return ERR_NONE;
		}
	return err_set(err, ERR_MALFORMED, "step", "not_a_choice",
		       "step is auto, each, minute, five_minutes, quarter_hour, hour, six_hours, "
		       "day or week.");
}

/* One list of the series: a gap is null in each. */
static void write_list(struct json_out *j, const char *name, const struct series *s,
		       void (*write)(struct json_out *j, const struct series_point *p))
{
	json_out_name(j, name);
	json_out_open(j, '[');
	for (size_t i = 0; i < s->n; i++)
		write(j, &s->points[i]);
	json_out_close(j, ']');
}

static void write_time(struct json_out *j, int64_t at)
{
	char text[TIME_TEXT_MAX];

	time_write(text, at);
	json_out_text(j, text);
}

static void write_at(struct json_out *j, const struct series_point *p)
{
	write_time(j, p->at);
}

static void write_readings(struct json_out *j, const struct series_point *p)
{
	json_out_int(j, p->readings);
}

static void write_figure(struct json_out *j, const struct series_point *p, double value)
{
	json_out_real(j, p->readings ? value : (double)NAN);
}

static void write_mean(struct json_out *j, const struct series_point *p)
{
	write_figure(j, p, p->mean);
}

static void write_low(struct json_out *j, const struct series_point *p)
{
	write_figure(j, p, p->low);
}

static void write_high(struct json_out *j, const struct series_point *p)
{
	write_figure(j, p, p->high);
}

static void write_series(struct json_out *j, const struct series *s)
{
	json_out_name(j, "step");
	json_out_text(j, series_step_words[s->step]);
	json_out_name(j, "series");
	json_out_open(j, '{');
	write_list(j, "at", s, write_at);
	write_list(j, "mean", s, write_mean);
	if (s->step != STEP_EACH) {
		write_list(j, "low", s, write_low);
		write_list(j, "high", s, write_high);
		write_list(j, "readings", s, write_readings);
	}
	json_out_close(j, '}');
}

static void write_probe(struct json_out *j, const struct probe *p)
{
	json_out_name(j, "probe_id");
	json_out_int(j, p->id);
	json_out_name(j, "probe");
	json_out_text(j, p->code);
	json_out_name(j, "place");
	json_out_text(j, p->place);
	json_out_name(j, "quantity");
	json_out_text(j, p->quantity);
	json_out_name(j, "unit");
	json_out_text(j, p->unit);
}

static void write_newest(struct json_out *j, const struct series_point *newest)
{
	json_out_name(j, "newest");
	if (!newest) {
		json_out_null(j);
		return;
	}
	json_out_open(j, '{');
	json_out_name(j, "at");
	write_time(j, newest->at);
	json_out_name(j, "value");
	json_out_real(j, newest->mean);
	json_out_close(j, '}');
}

static void write_day(struct json_out *j, const char *name, int64_t day)
{
	char text[TIME_TEXT_MAX];

	day_write(text, day);
	json_out_name(j, name);
	json_out_text(j, text);
}

/* What the address asks for. */
struct asked {
	struct readings_query q;
	enum series_step step;
	int64_t points;
};

static enum err_code read_asked(struct request *req, struct asked *out, struct err *err)
{
	static const char *const known[] = { "probe", "probe_id", "from", "to",
					     "step",  "points",   NULL };
	const int64_t today = book_day(req->book, req->now);
	enum err_code rc = query_check(req, known, NULL, err);

	if (!rc)
		rc = readings_query_read(req, &out->q, err);
	if (!rc && !out->q.has_probe)
		rc = err_set(err, ERR_MALFORMED, "probe", "required",
			     "Say which probe: probe=CODE or probe_id=ID.");
	if (!rc)
		rc = read_step(req, &out->step, err);
	if (!rc)
		rc = query_int(req, "points", POINTS_LEAST, POINTS_MOST, POINTS_USUAL, &out->points,
			       err);
	if (rc)
		return rc;
	if (out->q.to_day == INT64_MAX)
		out->q.to_day = today;
	if (out->q.from_day == INT64_MIN)
		out->q.from_day = out->q.to_day - DAYS_USUAL + 1;
	return ERR_NONE;
}

static void answer_series(struct response *res, const struct asked *a, const struct series *s,
			  const struct series_point *newest)
{
	struct json_out j = response_json(res, 200);

	json_out_open(&j, '{');
	write_probe(&j, &a->q.probe);
	write_day(&j, "from", a->q.from_day);
	write_day(&j, "to", a->q.to_day);
	write_newest(&j, newest);
	write_series(&j, s);
	json_out_close(&j, '}');
}

/* Points and newest reading, of one snapshot. */
static enum err_code load_answer(struct request *req, const struct asked *a, struct series *s,
				 struct series_point *newest, bool *any, struct err *err)
{
	struct store *st = book_store(req->book);
	enum err_code rc = store_begin(st, err);

	if (rc)
		return rc;
	rc = series_load(req->book, &a->q.probe, a->q.from_day, a->q.to_day, a->step, a->points,
			 req->arena, s, err);
	if (!rc)
		rc = reading_newest(req->book, a->q.probe.id, INT64_MAX, newest, err);
	*any = !rc;
	store_rollback(st);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

enum err_code get_readings(struct request *req, struct response *res, struct err *err)
{
	struct asked a;
	struct series s;
	struct series_point newest;
	const char *etag = etag_of_readings(req);
	bool any;
	enum err_code rc = read_asked(req, &a, err);

	if (rc)
		return rc;
	if (answered_unchanged(req, res, etag))
		return ERR_NONE;
	rc = load_answer(req, &a, &s, &newest, &any, err);
	if (rc)
		return rc;
	answer_series(res, &a, &s, any ? &newest : NULL);
	res->etag = etag;
	return ERR_NONE;
}

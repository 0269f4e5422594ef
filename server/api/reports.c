/*
 * GET /api/reports/{name}, JSON and CSV: reads what the address asks by the report's own table of questions,
 * runs it in one snapshot, and writes its rows by its columns.  No report is known here by name.
 */
#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "api/cache.h"
#include "api/handlers.h"
#include "api/json_record.h"
#include "api/query.h"
#include "api/response.h"
#include "api/spool.h"
#include "base/csv.h"
#include "base/nearest.h"
#include "base/number.h"
#include "base/zone.h"
#include "book/report.h"

static const char *report_word(size_t i, const void *with)
{
	(void)with;
	return reports[i]->name;
}

static enum err_code find_report(const char *name, const struct report **out, struct err *err)
{
	const struct report *found = report_find(name);
	const char *near;
	size_t n = 0;

	if (found) {
		*out = found;
		return ERR_NONE;
	}
	while (reports[n])
		n++;
	near = nearest_word(name, n, report_word, NULL);
	err_set(err, ERR_NOT_FOUND, "name", "no_such_report", "There is no report %s%s%s.", name,
		near ? "; perhaps " : "", near ? near : "");
	if (near)
		err_arg(err, "nearest", "%s", near);
	return ERR_NOT_FOUND;
}

/* Where a question's answer goes in struct report_query. */
enum answer_shape { ANSWER_DAY, ANSWER_TIME, ANSWER_TEXT };
static const struct question_place {
	const char *name;
	enum answer_shape shape;
	size_t offset;
} question_places[] = {
	{ "from", ANSWER_DAY, offsetof(struct report_query, from_day) },
	{ "to", ANSWER_DAY, offsetof(struct report_query, to_day) },
	{ "day", ANSWER_DAY, offsetof(struct report_query, day) },
	{ "at", ANSWER_TIME, offsetof(struct report_query, at) },
	{ "by", ANSWER_TEXT, offsetof(struct report_query, by) },
	{ "step", ANSWER_TEXT, offsetof(struct report_query, step) },
	{ "only", ANSWER_TEXT, offsetof(struct report_query, only) },
};
enum { N_PLACES = sizeof(question_places) / sizeof(question_places[0]) };

static const struct question_place *find_place(const char *name)
{
	for (size_t i = 0; i < N_PLACES; i++)
		if (!strcmp(question_places[i].name, name))
			return &question_places[i];
	return NULL;
}

static bool is_one_of(const char *word, size_t n, const char *const *words)
{
	for (; *words; words++)
		if (strlen(*words) == n && !memcmp(*words, word, n))
			return true;
	return false;
}

static bool stands_before(const char *list, const char *at, size_t n)
{
	for (const char *p = list; p < at; p += strcspn(p, ",") + 1)
		if (strcspn(p, ",") == n && !memcmp(p, at, n))
			return true;
	return false;
}

/* One of the question's words, or several separated by commas, each once. */
static enum err_code check_words(const struct report_question *q, const char *text,
				 struct arena *arena, struct err *err)
{
	const char *known = "";

	for (const char *at = text;; at++) {
		const size_t n = q->list ? strcspn(at, ",") : strlen(at);

		if (!is_one_of(at, n, q->words) || stands_before(text, at, n))
			break;
		at += n;
		if (!*at)
			return ERR_NONE;
	}
	for (const char *const *word = q->words; *word; word++)
		known = arena_printf(arena, "%s%s%s", known, *known ? ", " : "", *word);
	err_set(err, ERR_MALFORMED, q->name, "not_a_choice", "%s is %s: %s.", q->name,
		q->list ? "one or more, with commas, of" : "one of", known);
	err_arg(err, "words", "%s", known);
	return ERR_MALFORMED;
}

static enum err_code read_question(struct request *req, const struct report_question *q,
				   struct report_query *out, struct err *err)
{
	const struct question_place *place = find_place(q->name);
	char *member = (char *)out + place->offset;
	const char *text = request_query(req, q->name);

	if (!text)
		return ERR_NONE;
	if (place->shape == ANSWER_DAY)
		return query_day(req, q->name, NO_INT, (int64_t *)(void *)member, err);
	if (place->shape == ANSWER_TIME)
		return query_time(req, q->name, NO_INT, (int64_t *)(void *)member, err);
	if (!*text)
		return err_set(err, ERR_MALFORMED, q->name, "no_value",
			       "%s has no value in the address.", q->name);
	if (q->words && check_words(q, text, req->arena, err))
		return ERR_MALFORMED;
	*(const char **)(void *)member = text;
	return ERR_NONE;
}

static enum err_code read_questions(struct request *req, const struct report *report,
				    struct report_query *out, struct err *err)
{
	struct report_query q = {
		.from_day = NO_INT, .to_day = NO_INT, .day = NO_INT, .at = NO_INT, .now = req->now
	};
	const char **known = arena_array(req->arena, report->n_questions + 2, sizeof(*known));
	enum err_code rc;

	for (size_t i = 0; i < report->n_questions; i++)
		known[i] = report->questions[i].name;
	known[report->n_questions] = "explain";
	rc = query_check(req, known, NULL, err);
	for (size_t i = 0; !rc && i < report->n_questions; i++)
		rc = read_question(req, &report->questions[i], &q, err);
	if (!rc)
		rc = query_flag(req, "explain", &q.explain, err);
	if (!rc && q.from_day != NO_INT && q.to_day != NO_INT && q.from_day > q.to_day)
		rc = err_set(err, ERR_MALFORMED, "from", "from_after_to",
			     "from is later than to; exchange them.");
	if (!rc)
		*out = q;
	return rc;
}

/* All queries of a report see one state of the record. */
static enum err_code run_in_snapshot(struct request *req, const struct report *report,
				     const struct report_query *q, struct report_result *result,
				     struct err *err)
{
	struct store *st = book_store(req->book);
	enum err_code rc = store_begin(st, err);

	if (rc)
		return rc;
	*result = (struct report_result){
		.arena = req->arena, .from_day = NO_INT, .to_day = NO_INT, .as_of = NO_INT
	};
	rc = report->run(req->book, q, result, err);
	store_rollback(st);
	if (!result->columns) {
		result->columns = report->columns;
		result->n_columns = report->n_columns;
	}
	return rc;
}

/* A member of a row's struct as a value of the dictionary; what is not known is VALUE_NONE. */
static struct value cell(const char *row, const struct field *column)
{
	const void *member = row + column->offset;
	struct value v = { .type = VALUE_NONE };

	switch (column->type) {
	case FIELD_INT:
		v.i = *(const int64_t *)member;
		v.type = v.i == NO_INT ? VALUE_NONE : VALUE_INT;
		break;
	case FIELD_DOUBLE:
		v.r = *(const double *)member;
		v.type = isfinite(v.r) ? VALUE_REAL : VALUE_NONE;
		break;
	case FIELD_STRING:
		v.text = *(const char *const *)member;
		v.type = v.text ? VALUE_TEXT : VALUE_NONE;
		break;
	}
	return v;
}

static void write_entries(struct json_out *j, const struct explained_entries *e)
{
	json_out_open(j, '{');
	json_out_name(j, "kind");
	json_out_text(j, e->kind);
	json_out_name(j, "count");
	json_out_int(j, e->count);
	if (isfinite(e->sum)) {
		json_out_name(j, "sum");
		json_out_real(j, e->sum);
		json_out_name(j, "sum_of");
		json_out_text(j, e->sum_of);
	}
	json_out_name(j, "address");
	json_out_text(j, e->address);
	json_out_close(j, '}');
}

static void write_explanation(struct json_out *j, const struct explanation *e)
{
	json_out_name(j, "explain");
	if (!e) {
		json_out_null(j);
		return;
	}
	json_out_open(j, '{');
	json_out_name(j, "formula");
	json_out_text(j, e->formula);
	json_out_name(j, "source");
	json_out_text(j, e->source);
	json_out_name(j, "inputs");
	json_out_open(j, '{');
	for (size_t i = 0; i < e->n_inputs; i++) {
		json_out_name(j, e->inputs[i].name);
		json_out_real(j, e->inputs[i].value);
	}
	json_out_close(j, '}');
	json_out_name(j, "entries");
	json_out_open(j, '[');
	for (size_t i = 0; i < e->n_entries; i++)
		write_entries(j, &e->entries[i]);
	json_out_close(j, ']');
	json_out_close(j, '}');
}

static void write_row(struct json_out *j, const struct report *report,
		      const struct report_result *result, size_t i, bool explain)
{
	const char *row = result->rows + i * report->row_size;

	json_out_open(j, '{');
	for (size_t c = 0; c < result->n_columns; c++) {
		const struct value v = cell(row, &result->columns[c]);

		json_out_name(j, result->columns[c].name);
		json_value_write(j, &result->columns[c], &v);
	}
	if (explain)
		write_explanation(
			j,
			*(const struct explanation *const *)(const void *)(row +
									   report->explain_offset));
	json_out_close(j, '}');
}

static void write_head_value(struct json_out *j, const char *name, enum field_kind kind,
			     int64_t number)
{
	const struct field f = { .name = name, .kind = kind };
	const struct value v = { .type = VALUE_INT, .i = number };

	if (number == NO_INT)
		return;
	json_out_name(j, name);
	json_value_write(j, &f, &v);
}

static void write_notes(struct json_out *j, const struct report_result *result)
{
	json_out_name(j, "notes");
	json_out_open(j, '[');
	for (size_t i = 0; i < result->n_notes; i++) {
		const struct report_note *note = &result->notes[i];

		json_out_open(j, '{');
		json_out_name(j, "code");
		json_out_text(j, note->code);
		json_out_name(j, "message");
		json_out_text(j, note->message);
		if (note->of) {
			json_out_name(j, "of");
			json_out_text(j, note->of);
		}
		json_out_close(j, '}');
	}
	json_out_close(j, ']');
}

static void write_report(struct response *res, const struct report *report,
			 const struct report_result *result, bool explain)
{
	struct json_out j = response_json(res, 200);

	json_out_open(&j, '{');
	write_head_value(&j, "from", KIND_DAY, result->from_day);
	write_head_value(&j, "to", KIND_DAY, result->to_day);
	write_head_value(&j, "as_of", KIND_TIME, result->as_of);
	json_out_name(&j, "rows");
	json_out_open(&j, '[');
	for (size_t i = 0; i < result->n_rows; i++)
		write_row(&j, report, result, i, explain);
	json_out_close(&j, ']');
	write_notes(&j, result);
	json_out_close(&j, '}');
}

enum err_code get_report(struct request *req, struct response *res, struct err *err)
{
	const struct report *report;
	struct report_query q;
	struct report_result result;
	const char *etag;
	enum err_code rc = find_report(req->params[0], &report, err);

	if (!rc)
		rc = read_questions(req, report, &q, err);
	if (rc)
		return rc;
	etag = etag_of_record(req, report->changes_by_clock);
	if (answered_unchanged(req, res, etag))
		return ERR_NONE;
	rc = run_in_snapshot(req, report, &q, &result, err);
	if (rc)
		return rc;
	write_report(res, report, &result, q.explain);
	res->etag = etag;
	return ERR_NONE;
}

/* A report's cell as text; only what people may have typed is guarded against being read as a formula. */
static const char *cell_text(const struct field *column, const struct value *v, struct arena *arena)
{
	const char *text = field_write(column, v, arena);

	return v->type == VALUE_TEXT && column->kind == KIND_TEXT ? csv_guard(arena, text) : text;
}

static enum err_code write_csv(struct spool *s, const struct report *report,
			       const struct report_result *result, struct err *err)
{
	struct arena arena; /* of one row */
	enum err_code rc = ERR_NONE;

	arena_init(&arena);
	for (size_t c = 0; c < result->n_columns; c++)
		csv_write_cell(&s->text, result->columns[c].name, ',', c == 0);
	csv_write_end(&s->text);
	for (size_t i = 0; !rc && i < result->n_rows; i++) {
		arena_reset(&arena);
		for (size_t c = 0; c < result->n_columns; c++) {
			const struct field *column = &result->columns[c];
			const struct value v = cell(result->rows + i * report->row_size, column);

			csv_write_cell(&s->text, cell_text(column, &v, &arena), ',', c == 0);
		}
		csv_write_end(&s->text);
		rc = spool_flush(s, err);
	}
	arena_release(&arena);
	return rc;
}

/* "harvest_2026-10-01_2026-10-31.csv" */
static const char *file_name(const struct report *report, const struct report_result *result,
			     struct arena *arena)
{
	char from[TIME_TEXT_MAX], to[TIME_TEXT_MAX];

	if (result->from_day == NO_INT || result->to_day == NO_INT)
		return arena_printf(arena, "%s.csv", report->name);
	day_write(from, result->from_day);
	day_write(to, result->to_day);
	if (result->from_day == result->to_day)
		return arena_printf(arena, "%s_%s.csv", report->name, to);
	return arena_printf(arena, "%s_%s_%s.csv", report->name, from, to);
}

enum err_code get_report_csv(struct request *req, struct response *res, struct err *err)
{
	const struct report *report;
	struct report_query q;
	struct report_result result;
	struct spool spool;
	const char *etag;
	enum err_code rc = find_report(req->params[0], &report, err);

	if (!rc)
		rc = read_questions(req, report, &q, err);
	if (rc)
		return rc;
	etag = etag_of_record(req, report->changes_by_clock);
	if (answered_unchanged(req, res, etag))
		return ERR_NONE;
	spool_init(&spool);
	rc = run_in_snapshot(req, report, &q, &result, err);
	if (!rc)
		rc = write_csv(&spool, report, &result, err);
	if (!rc)
		rc = spool_finish(&spool, res, err);
	spool_release(&spool);
	if (rc)
		return rc;
	res->content_type = "text/csv; charset=utf-8; header=present";
	res->file_name = file_name(report, &result, req->arena);
	res->etag = etag;
	return ERR_NONE;
}

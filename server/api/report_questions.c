/* What the address of a report asks, and running it: see report_questions.h. */
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "api/cache.h"
#include "api/query.h"
#include "api/report_questions.h"
#include "base/nearest.h"

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
	return nearest_refuse(err, ERR_NOT_FOUND, "name", "no_such_report", near,
			      "There is no report %s", name);
}

/* Where a question's answer goes in struct report_query. */
enum answer_shape { ANSWER_DAY, ANSWER_TIME, ANSWER_TEXT };
static const struct question_place {
	const char *name;
	enum answer_shape shape;
	size_t offset;
} question_places[] = {
	{ .name = "from", .shape = ANSWER_DAY, .offset = offsetof(struct report_query, from_day) },
	{ .name = "to", .shape = ANSWER_DAY, .offset = offsetof(struct report_query, to_day) },
	{ .name = "day", .shape = ANSWER_DAY, .offset = offsetof(struct report_query, day) },
	{ .name = "at", .shape = ANSWER_TIME, .offset = offsetof(struct report_query, at) },
	{ .name = "by", .shape = ANSWER_TEXT, .offset = offsetof(struct report_query, by) },
	{ .name = "step", .shape = ANSWER_TEXT, .offset = offsetof(struct report_query, step) },
	{ .name = "only", .shape = ANSWER_TEXT, .offset = offsetof(struct report_query, only) },
	{ .name = "size", .shape = ANSWER_TEXT, .offset = offsetof(struct report_query, size) },
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

enum err_code asked_report_read(struct request *req, struct response *res, struct asked_report *out,
				struct err *err)
{
	struct asked_report asked = { 0 };
	enum err_code rc = find_report(req->params[0], &asked.report, err);

	if (!rc)
		rc = read_questions(req, asked.report, &asked.query, err);
	if (rc)
		return rc;
	asked.etag = etag_of_report(req, asked.report);
	asked.unchanged = answered_unchanged(req, res, asked.etag);
	*out = asked;
	return ERR_NONE;
}

enum err_code asked_report_run(struct request *req, const struct asked_report *asked,
			       struct report_result *out, struct err *err)
{
	struct store *st = book_store(req->book);
	enum err_code rc = store_begin(st, err);

	if (rc)
		return rc;
	*out = (struct report_result){
		.arena = req->arena, .from_day = NO_INT, .to_day = NO_INT, .as_of = NO_INT
	};
	rc = asked->report->run(req->book, &asked->query, out, err);
	store_rollback(st);
	if (!out->columns) {
		out->columns = asked->report->columns;
		out->n_columns = asked->report->n_columns;
	}
	return rc;
}

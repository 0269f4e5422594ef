/*
 * POST /api/several: many reads in one request.  A screen needs a score of answers before it can be
 * drawn, and on a tablet each request costs more than its answer.  Each read runs through its own
 * route, with its own ETag; nothing is written here.
 */
#include <string.h>
#include <strings.h>

#include "api/answer_list.h"
#include "api/handlers.h"
#include "api/json_in.h"
#include "api/response.h"
#include "api/writes.h"

enum { QUESTIONS_MAX = 64 };

/* The query of one read, as its members are walked. */
struct questions {
	struct arena *arena;
	struct pair *pairs;
	size_t n;
};

static enum err_code take_question(const char *name, const char *text, size_t length, void *with,
				   struct err *err)
{
	struct questions *q = with;

	if (q->n == QUESTIONS_MAX)
		return err_set(err, ERR_MALFORMED, "query", "too_many_questions",
			       "A read has at most %d parameters.", QUESTIONS_MAX);
	q->pairs[q->n++] = (struct pair){
		.name = arena_strdup(q->arena, name),
		.value = arena_strndup(q->arena, text, length),
	};
	return ERR_NONE;
}

/* The outer request's headers, with the tag that this read has in place of If-None-Match. */
static void set_headers(struct request *read, const struct request *req, const char *etag)
{
	struct pair *headers = arena_array(req->arena, req->n_headers + 1, sizeof(*headers));
	size_t n = 0;

	for (size_t i = 0; i < req->n_headers; i++)
		if (strcasecmp(req->headers[i].name, "If-None-Match") != 0 &&
		    strcasecmp(req->headers[i].name, "Accept") != 0)
			headers[n++] = req->headers[i];
	if (etag)
		headers[n++] = (struct pair){ "If-None-Match", etag };
	read->headers = headers;
	read->n_headers = n;
}

static enum err_code read_ask(const struct request *req, const struct json_t *item,
			      struct request *read, struct err *err)
{
	static const char *const known[] = { "path", "query", "etag", NULL };
	struct questions q = { .arena = req->arena };
	const char *path = NULL, *etag = NULL;
	enum err_code rc = ERR_NONE;

	if (!item)
		return err_set(err, ERR_INPUT, "", "no_object", "A read must be an object.");
	if (json_in_known(item, known, err) || json_in_text(item, "path", &path, err) ||
	    json_in_text(item, "etag", &etag, err))
		return ERR_INPUT;
	if (!path)
		return err_set(err, ERR_INPUT, "path", "required",
			       "path is missing: what to read, as /api/tanks.");
	q.pairs = arena_array(req->arena, QUESTIONS_MAX, sizeof(*q.pairs));
	if (json_in_object(item, "query"))
		rc = json_in_each_text(json_in_object(item, "query"), take_question, &q, err);
	if (rc)
		return rc;
	*read = (struct request){
		.method = "GET",
		.path = arena_strdup(req->arena, path),
		.query = q.pairs,
		.n_query = q.n,
		.arena = req->arena,
		.app = req->app,
		.book = req->book,
		.now = req->now,
	};
	set_headers(read, req, etag ? arena_strdup(req->arena, etag) : NULL);
	return ERR_NONE;
}

/* Only what answers in JSON, and at once: no stream, no file. */
static bool can_stand_here(const struct response *part)
{
	return !part->events && !part->file && part->fd < 0 && strstr(part->content_type, "json");
}

static void refuse_form(struct response *part)
{
	struct err err;

	err_clear(&err);
	err_set(&err, ERR_INPUT, "path", "not_json",
		"What stands at this address is not read here: ask it by itself.");
	response_release(part);
	response_init(part);
	response_problem(part, &err);
}

static void run_ask(const struct request *req, const struct json_t *item, struct response *part)
{
	struct request read;
	struct err err;

	err_clear(&err);
	if (read_ask(req, item, &read, &err)) {
		response_problem(part, &err);
		return;
	}
	if (!strcmp(read.path, "/api/events")) /* a stream begins as it is asked for */
		refuse_form(part);
	else if (api_find(&read, part))
		answer_one(&read, part);
	if (!can_stand_here(part))
		refuse_form(part);
}

static void write_part(struct json_out *j, const struct response *part)
{
	json_out_open(j, '{');
	json_out_name(j, "status");
	json_out_int(j, part->status);
	if (part->etag) {
		json_out_name(j, "etag");
		json_out_text(j, part->etag);
	}
	if (part->body.length > 0) {
		json_out_name(j, "body");
		json_out_raw(j, part->body.text);
	}
	json_out_close(j, '}');
}

static void answer_ask(struct request *req, const struct json_t *item, struct json_out *j)
{
	struct response part;

	response_init(&part);
	run_ask(req, item, &part);
	write_part(j, &part);
	response_release(&part);
}

enum err_code post_several(struct request *req, struct response *res, struct err *err)
{
	static const struct list_asked asked = {
		.name = "asks",
		.most = 64,
		.missing = "asks is missing: a list of what to read.",
		.too_many = "At most 64 reads go together; ask the rest after them.",
		.answer = answer_ask,
	};

	return answer_list(req, res, &asked, err);
}

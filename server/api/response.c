/* Responses: their start and end, one row as an answer, and errors as problem details (RFC 9457). */
#include <unistd.h>

#include "api/cache.h"
#include "api/json_record.h"
#include "api/response.h"
#include "base/log.h"

static const struct {
	int status;
	const char *title;
} answers[ERR__MAX] = {
	[ERR_NONE] = { .status = 200, .title = "Fine" },
	[ERR_MALFORMED] = { .status = 400, .title = "The request cannot be read" },
	[ERR_UNAUTHORISED] = { .status = 401, .title = "Sign in first" },
	[ERR_FORBIDDEN] = { .status = 403, .title = "Not allowed" },
	[ERR_NOT_FOUND] = { .status = 404, .title = "There is nothing here" },
	[ERR_METHOD] = { .status = 405, .title = "This cannot be done here" },
	[ERR_CONFLICT] = { .status = 409, .title = "Something is in the way" },
	[ERR_STALE] = { .status = 412, .title = "The record has changed since" },
	[ERR_TOO_LARGE] = { .status = 413, .title = "Too large" },
	[ERR_MEDIA_TYPE] = { .status = 415, .title = "Not a content type that is taken here" },
	[ERR_MISDIRECTED] = { .status = 421, .title = "This host is not served here" },
	[ERR_INPUT] = { .status = 422, .title = "The entry breaks a rule" },
	[ERR_NEEDS_MATCH] = { .status = 428, .title = "If-Match is needed" },
	[ERR_TOO_MANY] = { .status = 429, .title = "Too many tries" },
	[ERR_UNAVAILABLE] = { .status = 503, .title = "Not possible just now" },
	[ERR_INTERNAL] = { .status = 500, .title = "Something went wrong in the service" },
};

int status_of(enum err_code code)
{
	return answers[code].status;
}

void response_init(struct response *res)
{
	*res = (struct response){
		.content_type = "application/json",
		.cache_control = "no-cache",
		.fd = -1,
	};
	strbuf_init(&res->body);
}

void response_release(struct response *res)
{
	strbuf_release(&res->body);
	if (res->fd >= 0)
		close(res->fd);
	res->fd = -1;
}

struct json_out response_json(struct response *res, int status)
{
	struct json_out j;

	res->status = status;
	strbuf_clear(&res->body);
	json_out_init(&j, &res->body);
	return j;
}

void response_write_record(struct request *req, struct response *res, int status,
			   const struct record *r)
{
	struct json_out j = response_json(res, status);

	json_record_write(&j, r, NULL);
	res->etag = etag_of_row(req->arena, r->version);
}

void problem_item_members(struct json_out *j, const struct err_item *item)
{
	json_out_name(j, "field");
	json_out_text(j, item->field);
	json_out_name(j, "code");
	json_out_text(j, item->code);
	json_out_name(j, "message");
	json_out_text(j, item->message);
	json_out_name(j, "args");
	json_out_open(j, '{');
	for (size_t i = 0; i < item->n_args; i++) {
		json_out_name(j, item->args[i].name);
		json_out_text(j, item->args[i].text);
	}
	json_out_close(j, '}');
}

/* What the client may know of an error of ours: that there was one.  The rest is for the log. */
static struct err own_mistake(const struct err *err)
{
	struct err told;

	for (size_t i = 0; i < err->n_items; i++)
		log_line("internal error: %s %s: %s", err->items[i].field, err->items[i].code,
			 err->items[i].message);
	err_clear(&told);
	err_set(&told, ERR_INTERNAL, "", "internal",
		"Something went wrong in the service; it is noted in its log. Nothing was kept.");
	return told;
}

void problem_head(struct json_out *j, const struct err *err)
{
	json_out_name(j, "type");
	json_out_text(j, "about:blank");
	json_out_name(j, "title");
	json_out_text(j, answers[err->code].title);
	json_out_name(j, "status");
	json_out_int(j, answers[err->code].status);
	if (err->n_items > 0) {
		json_out_name(j, "detail");
		json_out_text(j, err->items[0].message);
	}
}

static void write_problem(struct json_out *j, const struct err *err, const struct record *current)
{
	json_out_open(j, '{');
	problem_head(j, err);
	json_out_name(j, "errors");
	json_out_open(j, '[');
	for (size_t i = 0; i < err->n_items; i++) {
		json_out_open(j, '{');
		problem_item_members(j, &err->items[i]);
		json_out_close(j, '}');
	}
	json_out_close(j, ']');
	if (err->n_dropped) {
		json_out_name(j, "more_errors");
		json_out_int(j, (int64_t)err->n_dropped);
	}
	if (current) {
		json_out_name(j, "current");
		json_record_write(j, current, NULL);
	}
	json_out_close(j, '}');
}

void problem_write(struct json_out *j, const struct err *err, const struct record *current)
{
	if (err->code && err->code != ERR_INTERNAL) {
		write_problem(j, err, current);
		return;
	}

	const struct err told = own_mistake(err);

	write_problem(j, &told, current);
}

void response_problem_current(struct response *res, const struct err *err,
			      const struct record *current)
{
	struct json_out j = response_json(res, status_of(err->code ? err->code : ERR_INTERNAL));

	problem_write(&j, err, current);
	res->content_type = "application/problem+json";
	res->cache_control = "no-store";
	res->etag = NULL;
	res->location = NULL;
	res->file_name = NULL;
	if (res->fd >= 0)
		close(res->fd);
	res->fd = -1;
	if (err->code == ERR_UNAVAILABLE && !res->retry_after_s)
		res->retry_after_s = 5;
}

void response_problem(struct response *res, const struct err *err)
{
	response_problem_current(res, err, NULL);
}

void response_not_modified(struct response *res, const char *etag)
{
	res->status = 304;
	res->etag = etag;
	strbuf_clear(&res->body);
}

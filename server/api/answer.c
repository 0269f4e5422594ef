/*
 * One request through its handler: what all requests share is checked first, and an error becomes problem
 * details.  A page of another site must not write here with the browser of someone on the farm's network:
 * a write carries a header that such a page cannot set without asking, and an Origin that is our own.
 */
#include <string.h>
#include <strings.h>

#include "api/accept.h"
#include "api/app.h"
#include "api/handlers.h"
#include "api/request.h"
#include "api/writes.h"

static bool is_read(const struct request *req)
{
	return !strcmp(req->method, "GET") || !strcmp(req->method, "HEAD");
}

/* "https://farm.local:8080" names the same place as the Host "farm.local:8080". */
static bool origin_is_host(const struct request *req, const char *origin)
{
	const char *host = request_header(req, "Host");

	if (!strncasecmp(origin, "http://", 7))
		origin += 7;
	else if (!strncasecmp(origin, "https://", 8))
		origin += 8;
	else
		return false;
	return host && !strcasecmp(origin, host);
}

/* A logger writes what it has: a batch of readings may be rows of text too. */
static bool takes_rows(const struct route *route)
{
	return route->fn == post_readings;
}

static bool is_taken(const struct route *route, const char *type)
{
	if (media_type_is(type, "application/json"))
		return true;
	return takes_rows(route) &&
	       (media_type_is(type, "text/csv") || media_type_is(type, "application/x-ndjson"));
}

static enum err_code check_origin(const struct request *req, struct err *err)
{
	const size_t n = request_header_count(req, "Origin");

	if (n == 0)
		return ERR_NONE;
	if (n == 1 && origin_is_host(req, request_header(req, "Origin")))
		return ERR_NONE;
	return err_set(err, ERR_FORBIDDEN, "", "other_origin",
		       "This write comes from a page of another site and is refused.");
}

static enum err_code check_write(const struct request *req, struct err *err)
{
	const char *ours = request_header(req, "X-Weirbook");

	if (!ours || strcmp(ours, "1") != 0)
		return err_set(err, ERR_FORBIDDEN, "", "needs_header",
			       "A write carries the header X-Weirbook: 1.");
	if (check_origin(req, err))
		return err->code;
	if (request_header_count(req, "Content-Type") != 1 ||
	    !is_taken(req->route, request_header(req, "Content-Type")))
		return err_set(err, ERR_MEDIA_TYPE, "", "needs_json",
			       "A write is sent as Content-Type: application/json%s.",
			       takes_rows(req->route) ? ", text/csv or application/x-ndjson" : "");
	return ERR_NONE;
}

static enum err_code check_body(const struct request *req, struct err *err)
{
	const size_t limit = req->route->body_limit;

	if (req->body_length <= limit)
		return ERR_NONE;
	if (!limit)
		return err_set(err, ERR_MALFORMED, "", "no_body", "This address takes no body.");
	err_set(err, ERR_TOO_LARGE, "", "body_too_large",
		"The body is larger than the %zu bytes that are taken here.", limit);
	err_arg(err, "limit", "%zu", limit);
	return ERR_TOO_LARGE;
}

enum err_code answer_one(struct request *req, struct response *res)
{
	enum err_code rc = ERR_NONE;
	struct err err;

	err_clear(&err);
	if (is_read(req))
		res->cache_control = "private, no-cache";
	else
		res->cache_control = "no-store";
	if (!is_read(req))
		rc = check_write(req, &err);
	if (!rc)
		rc = check_body(req, &err);
	if (!rc)
		rc = req->route->fn(req, res, &err);
	if (!rc) {
		res->status = res->status ? res->status : 200;
		return rc;
	}
	if (!err.code)
		err.code = rc;
	if (res->status < 400) /* else the handler has told it better */
		response_problem(res, &err);
	return rc;
}

void api_answer(struct request *req, struct response *res)
{
	if (req->route->runs == RUNS_WRITER)
		api_answer_writes(req->book, &req, &res, 1);
	else
		answer_one(req, res);
}

/*
 * A request and its answer as plain structs, with no socket: http/ fills and sends them, tests make them.
 * A request owns an arena; handlers allocate from it and free nothing.
 */
#ifndef WEIRBOOK_API_REQUEST_H
#define WEIRBOOK_API_REQUEST_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/json_out.h"
#include "base/strbuf.h"
#include "book/book.h"

struct app; /* api/app.h: settings shared by all threads, const after start */
struct route;

struct pair {
	const char *name, *value;
};

struct request {
	const char *method;
	const char *path; /* decoded, starts with '/', valid UTF-8, no NUL */
	const struct pair
		*query; /* decoded, in order; a name may come twice (handlers refuse it) */
	size_t n_query;
	const struct pair *headers; /* names as sent; compared with case ignored */
	size_t n_headers;
	const char *body; /* body_length bytes; NULL without a body */
	size_t body_length;

	struct arena *arena; /* lives until the answer is sent */
	struct app *app;
	struct book *book; /* of the thread that answers */
	int64_t now;       /* Unix seconds */

	const struct route *route; /* set by api_find */
	const char *params[4];     /* values of {…} in the route's path, in order */
};

struct response {
	int status; /* 0: not answered yet */
	struct strbuf body;
	const char *content_type;  /* static text; default application/json */
	const char *etag;          /* quoted; in the request's arena */
	const char *cache_control; /* default no-cache for /api */
	const char *vary; /* a request header that chose this answer, beside Accept-Encoding */
	const char *location;
	const char *allow;
	int retry_after_s;     /* 0: none */
	const char *file_name; /* Content-Disposition: attachment */
	int fd; /* -1, or an unlinked file to send instead of body; http/ closes it */
	const struct static_file *file;   /* a built-in web file instead of body */
	const struct event_place *events; /* body begins a stream that goes on from here */
};

void request_init(struct request *req, struct arena *arena);
void response_init(struct response *res);
void response_release(struct response *res);

const char *request_header(const struct request *req, const char *name); /* NULL when absent */
size_t request_header_count(const struct request *req, const char *name);
const char *request_query(const struct request *req,
			  const char *name); /* first; NULL when absent */

/* Where a handler runs. */
enum runs {
	RUNS_INLINE, /* on the epoll thread with its read connection: short reads */
	RUNS_READER, /* on a pool thread: long reports, exports */
	RUNS_WRITER  /* on the one writer: everything that changes the record */
};

enum role { ROLE_ANYONE, ROLE_CREW, ROLE_SALES, ROLE_MANAGER }; /* staff sign-in comes later */

struct route {
	const char *method;
	const char *path; /* "/api/{kind}/{id}" : {…} matches one segment */
	enum runs runs;
	enum role role;
	const char *summary;
	size_t body_limit; /* 0: takes no body */
	enum err_code (*fn)(struct request *req, struct response *res, struct err *err);
};

/*
 * Finds the route and fills req->route and params, or answers 404, 405 with Allow itself (returns NULL).
 * HEAD finds GET.  A path outside /api, /healthz is a static file: res->file is set, or 404.
 */
const struct route *api_find(struct request *req, struct response *res);

/* Checks what all requests share (headers that writes need, body size, content type), runs the handler,
 * and turns an error into problem details.  Always leaves an answer in res. */
void api_answer(struct request *req, struct response *res);

/*
 * Answers n writing requests in one transaction on the writer's book: a savepoint each, then one COMMIT.
 * When the COMMIT fails every answer that changed something becomes 503 (code not_confirmed) and false is
 * returned: the caller must stop the process (the outcome is unknown until recovery).
 */
bool api_answer_writes(struct book *writer, struct request **reqs, struct response **ress,
		       size_t n);

/* Turns err into RFC 9457 problem details with its status. */
void response_problem(struct response *res, const struct err *err);

#endif

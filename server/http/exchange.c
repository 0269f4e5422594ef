/*
 * One request and its answer: takes headers and body from libmicrohttpd, has them checked, finds where
 * the handler runs, and sends what it made.  Every fault of the client ends here, before a handler sees it.
 */
#include "http/exchange.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "http/gate.h"
#include "http/inside.h"
#include "http/reply.h"
#include "http/uri.h"
#include "http/web_dir.h"

enum {
	HEADERS_MAX = 100,
	SPARE_MAX = 64,
	ARENA_KEPT = 64 * 1024, /* a larger arena is given back */
	BODY_FIRST = 4 * 1024,
	BODIES_MAX = 48 * 1024 * 1024, /* of all connections together */
	STEP = 128 * 1024, /* of a body: who sends so much gets STEP_MS more for the rest */
	STEP_MS = 1000,
	STREAM_LATER_S = 60,
	DRAIN_MAX = 1024 * 1024 /* of a refused body, read so that the answer is read */
};

struct deadline *deadline_of(struct MHD_Connection *connection)
{
	return MHD_get_connection_info(connection, MHD_CONNECTION_INFO_SOCKET_CONTEXT)
		->socket_context;
}

void *exchange_new(void *server, const char *target, struct MHD_Connection *connection)
{
	struct server *s = server;
	struct exchange *x = s->spare;
	struct arena arena;

	if (x) {
		s->spare = x->next;
		s->n_spare--;
		arena = x->arena;
	} else {
		x = xmalloc(sizeof(*x));
		arena_init(&arena);
	}
	*x = (struct exchange){ .server = s, .connection = connection, .arena = arena };
	request_init(&x->req, &x->arena);
	response_init(&x->res);
	x->target = arena_strdup(&x->arena, target);
	return x;
}

void exchange_free(struct exchange *x)
{
	arena_release(&x->arena);
	free(x);
}

void exchange_done(void *server, struct MHD_Connection *connection, void **exchange,
		   enum MHD_RequestTerminationCode why)
{
	struct server *s = server;
	struct exchange *x = *exchange;

	(void)why;
	if (!x)
		return;
	if (x->reply)
		MHD_destroy_response(x->reply);
	response_release(&x->res);
	s->bodies -= x->body_room;
	free(x->body);
	deadline_set(deadline_of(connection), s->set.request_ms);
	if (x->counted)
		atomic_fetch_sub(&s->open, 1);
	*exchange = NULL;
	if (s->n_spare >= SPARE_MAX) {
		exchange_free(x);
		return;
	}
	if (x->arena.used > ARENA_KEPT)
		arena_release(&x->arena);
	else
		arena_reset(&x->arena);
	x->next = s->spare;
	s->spare = x;
	s->n_spare++;
}

static void make_reply(struct exchange *x)
{
	x->reply = reply_build(&x->req, &x->res, x->close || atomic_load(&x->server->stopping),
			       &x->status);
}

static enum MHD_Result send_reply(struct exchange *x)
{
	x->stage = STAGE_SENDING;
	deadline_set(deadline_of(x->connection), x->server->set.sending_ms);
	return MHD_queue_response(x->connection, x->status, x->reply);
}

/*
 * The request is not answered by a handler: x->res says why.  libmicrohttpd ends the connection after an
 * answer that is queued before the request is complete.  So that happens only where it must: else the
 * answer waits for the end of the body, which is read up to a bound and dropped.
 */
static enum MHD_Result refuse(struct exchange *x, const struct framing *framing)
{
	bool expects = request_header(&x->req, "Expect") != NULL;

	make_reply(x);
	if (x->close || expects || framing->length > DRAIN_MAX)
		return send_reply(x);
	x->stage = STAGE_REFUSED;
	return MHD_YES;
}

static enum MHD_Result refuse_with(struct exchange *x, const struct framing *framing,
				   const struct err *err)
{
	response_problem(&x->res, err);
	if (err->code == ERR_METHOD)
		x->res.allow = GATE_METHODS;
	return refuse(x, framing);
}

struct header_list {
	struct pair *pairs;
	size_t n;
	bool bad;
};

static enum MHD_Result take_header(void *cls, enum MHD_ValueKind kind, const char *name,
				   size_t name_length, const char *value, size_t value_length)
{
	struct header_list *l = cls;

	(void)kind;
	if (l->n == HEADERS_MAX || !value || strlen(name) != name_length ||
	    strlen(value) != value_length) {
		l->bad = true;
		return MHD_NO;
	}
	l->pairs[l->n++] = (struct pair){ .name = name, .value = value };
	return MHD_YES;
}

/* The texts stay in libmicrohttpd's memory, which lives as long as the request. */
static enum err_code take_headers(struct exchange *x, struct err *err)
{
	struct header_list l = { 0 };

	l.pairs = arena_array(&x->arena, HEADERS_MAX, sizeof(*l.pairs));
	MHD_get_connection_values_n(x->connection, MHD_HEADER_KIND, take_header, &l);
	x->req.headers = l.pairs;
	x->req.n_headers = l.n;
	if (l.bad)
		return err_set(err, ERR_MALFORMED, "", "bad_headers",
			       "A request may have at most %d headers, without NUL.", HEADERS_MAX);
	return ERR_NONE;
}

static enum err_code too_large(struct err *err, size_t limit)
{
	err_set(err, ERR_TOO_LARGE, "", limit ? "body_too_large" : "no_body_taken",
		limit ? "The body is larger than the %zu bytes that this address takes."
		      : "This address takes no body (%zu bytes).",
		limit);
	err_arg(err, "limit", "%zu", limit);
	return ERR_TOO_LARGE;
}

/* True when the path is not the API's and --web DIR holds it: x->res is answered. */
static bool answered_from_web_dir(struct exchange *x)
{
	const char *dir = x->server->set.app->web_dir;

	return dir && web_dir_answer(dir, &x->req, &x->res);
}

/* Finds what answers, and how large a body it takes; false when nothing does, and x->res says why. */
static bool find_answer(struct exchange *x)
{
	if (answered_from_web_dir(x) || !api_find(&x->req, &x->res)) {
		x->body_limit = 0;
		return x->res.file != NULL;
	}
	x->body_limit = x->req.route->body_limit;
	return true;
}

/* All headers are there. */
static enum MHD_Result begin(struct exchange *x, const char *method)
{
	struct framing framing = { 0 };
	struct err err;

	err_clear(&err);
	x->req.method = method;
	x->req.path = "/";
	x->req.app = x->server->set.app;
	x->req.now = (int64_t)time(NULL);
	x->close = true; /* until we know where the next request begins */
	if (take_headers(x, &err) || gate_framing(&x->req, &framing, &err))
		return refuse_with(x, &framing, &err);
	x->close = false;
	if (gate_check(&x->req, x->req.app, &err) || uri_read(x->target, &x->req, &err))
		return refuse_with(x, &framing, &err);
	if (!find_answer(x))
		return refuse(x, &framing);
	if (framing.has_length && framing.length > x->body_limit) {
		x->res.file = NULL;
		too_large(&err, x->body_limit);
		return refuse_with(x, &framing, &err);
	}
	x->stage = STAGE_BODY;
	return MHD_YES;
}

/* Answers err in place of the handler; the rest of the body will be dropped. */
static void refuse_rest(struct exchange *x, const struct err *err)
{
	x->res.file = NULL;
	response_problem(&x->res, err);
	if (err->code == ERR_UNAVAILABLE)
		x->res.retry_after_s = 2;
	make_reply(x);
	x->stage = STAGE_REFUSED;
}

static bool make_room(struct exchange *x, size_t n)
{
	size_t room = x->body_room ? x->body_room : BODY_FIRST;

	while (room < x->body_length + n + 1)
		room *= 2;
	if (x->server->bodies - x->body_room + room > BODIES_MAX)
		return false;
	x->body = xrealloc(x->body, room);
	x->server->bodies += room - x->body_room;
	x->body_room = room;
	return true;
}

static enum MHD_Result take_body(struct exchange *x, const char *bytes, size_t n)
{
	struct err err;

	err_clear(&err);
	if (n > x->body_limit - x->body_length) {
		too_large(&err, x->body_limit);
	} else if (x->body_length + n + 1 > x->body_room && !make_room(x, n)) {
		err_set(&err, ERR_UNAVAILABLE, "", "busy",
			"Too much is being sent at once: try again in a moment.");
	} else {
		if (x->body_length / STEP != (x->body_length + n) / STEP)
			deadline_extend(deadline_of(x->connection), STEP_MS);
		memcpy(x->body + x->body_length, bytes, n);
		x->body_length += n;
		x->body[x->body_length] = '\0';
		return MHD_YES;
	}
	refuse_rest(x, &err);
	return MHD_YES;
}

static enum MHD_Result drop_body(struct exchange *x, size_t n)
{
	x->dropped += n;
	return x->dropped > DRAIN_MAX ? MHD_NO : MHD_YES;
}

/* HEAD gets the headers alone, by the ordinary way. */
static void make_stream(struct exchange *x)
{
	struct err err;

	if (strcmp(x->req.method, "HEAD") == 0) {
		strbuf_clear(&x->res.body);
		make_reply(x);
		return;
	}
	if (stream_open(x))
		return;
	err_clear(&err);
	err_set(&err, ERR_UNAVAILABLE, "", "too_many_streams",
		"No more event streams can be held: ask again from time to time instead.");
	response_problem(&x->res, &err);
	x->res.retry_after_s = STREAM_LATER_S;
	make_reply(x);
}

static enum MHD_Result answer_here(struct exchange *x)
{
	x->req.book = x->server->set.inline_book;
	if (!x->res.file)
		api_answer(&x->req, &x->res);
	if (x->res.events)
		make_stream(x);
	else
		make_reply(x);
	return send_reply(x);
}

static enum MHD_Result hand_over(struct exchange *x, struct queue *to)
{
	struct err err;

	/* No deadline while our own threads have it, and no touching x once it is in the queue. */
	deadline_off(deadline_of(x->connection));
	x->stage = STAGE_AWAY;
	MHD_suspend_connection(x->connection);
	if (queue_put(to, x))
		return MHD_YES;
	err_clear(&err);
	err_set(&err, ERR_UNAVAILABLE, "", "stopping",
		"The service is stopping: try again in a moment.");
	response_problem(&x->res, &err);
	x->res.retry_after_s = 2;
	exchange_finish(x);
	return MHD_YES;
}

/* The request is complete. */
static enum MHD_Result dispatch(struct exchange *x)
{
	x->counted = true;
	atomic_fetch_add(&x->server->open, 1);
	if (x->body_length > 0) {
		x->req.body = x->body;
		x->req.body_length = x->body_length;
	}
	if (!x->req.route || x->req.route->runs == RUNS_INLINE)
		return answer_here(x);
	return hand_over(x, x->req.route->runs == RUNS_WRITER ? &x->server->writes
							      : &x->server->reads);
}

void exchange_finish(struct exchange *x)
{
	struct MHD_Connection *connection = x->connection;

	make_reply(x);
	x->stage = STAGE_READY;
	MHD_resume_connection(connection);
}

enum MHD_Result exchange_step(void *server, struct MHD_Connection *connection, const char *url,
			      const char *method, const char *version, const char *upload,
			      size_t *upload_size, void **exchange)
{
	struct exchange *x = *exchange;
	size_t n = *upload_size;

	(void)server;
	(void)connection;
	(void)url;
	(void)version;
	*upload_size = 0;
	switch (x->stage) {
	case STAGE_LINE:
		return begin(x, method);
	case STAGE_BODY:
		return n ? take_body(x, upload, n) : dispatch(x);
	case STAGE_REFUSED:
		return n ? drop_body(x, n) : send_reply(x);
	case STAGE_READY:
		return send_reply(x);
	case STAGE_AWAY:
	case STAGE_SENDING:
		break;
	}
	return MHD_NO;
}

#include "fake_api.h"

#include <check.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <time.h>
#include <zlib.h>

#include "api/events.h"
#include "api/static_files.h"
#include "http/inside.h"

static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;
static pthread_cond_t released = PTHREAD_COND_INITIALIZER;
static bool held;
static _Atomic bool commit_fails, loud;
static _Atomic int writes, upkeeps;

static unsigned char packed[256];
static struct static_file file = { .path = "/index.html",
				   .content_type = "text/html; charset=utf-8",
				   .gzip = packed,
				   .etag = "\"file-1\"" };

static const struct route routes[] = {
	{ .method = "GET", .path = "/api/small", .runs = RUNS_INLINE },
	{ .method = "GET", .path = "/api/large", .runs = RUNS_INLINE },
	{ .method = "GET", .path = "/api/asked", .runs = RUNS_INLINE },
	{ .method = "GET", .path = "/api/long", .runs = RUNS_READER },
	{ .method = "POST", .path = "/api/echo", .runs = RUNS_INLINE, .body_limit = 256 * 1024 },
	{ .method = "POST", .path = "/api/bulk", .runs = RUNS_READER, .body_limit = 8 << 20 },
	{ .method = "POST", .path = "/api/write", .runs = RUNS_WRITER, .body_limit = 1024 },
	{ .method = "POST", .path = "/api/loud", .runs = RUNS_WRITER, .body_limit = 1024 },
	{ .method = "GET", .path = "/api/events", .runs = RUNS_INLINE },
};

void request_init(struct request *req, struct arena *arena)
{
	memset(req, 0, sizeof(*req));
	req->arena = arena;
}

void response_init(struct response *res)
{
	memset(res, 0, sizeof(*res));
	strbuf_init(&res->body);
	res->fd = -1;
}

void response_release(struct response *res)
{
	strbuf_release(&res->body);
}

size_t request_header_count(const struct request *req, const char *name)
{
	size_t n = 0;

	for (size_t i = 0; i < req->n_headers; i++)
		n += strcasecmp(req->headers[i].name, name) == 0;
	return n;
}

const char *request_header(const struct request *req, const char *name)
{
	for (size_t i = 0; i < req->n_headers; i++)
		if (strcasecmp(req->headers[i].name, name) == 0)
			return req->headers[i].value;
	return NULL;
}

void response_problem(struct response *res, const struct err *err)
{
	static const int statuses[ERR__MAX] = {
		[ERR_MALFORMED] = 400, [ERR_NOT_FOUND] = 404,   [ERR_METHOD] = 405,
		[ERR_TOO_LARGE] = 413, [ERR_MISDIRECTED] = 421, [ERR_UNAVAILABLE] = 503,
	};

	res->status = statuses[err->code];
	strbuf_clear(&res->body);
	strbuf_adds(&res->body, err->n_items ? err->items[0].code : "");
}

const struct route *api_find(struct request *req, struct response *res)
{
	if (strcmp(req->path, "/") == 0) {
		res->file = &file;
		res->status = 200;
		return NULL;
	}
	for (size_t i = 0; i < sizeof(routes) / sizeof(*routes); i++)
		if (strcmp(routes[i].path, req->path) == 0 &&
		    (strcmp(routes[i].method, req->method) == 0 ||
		     (strcmp(req->method, "HEAD") == 0 && strcmp(routes[i].method, "GET") == 0)))
			return req->route = &routes[i];
	res->status = 404;
	return NULL;
}

void events_tell(const struct app *app, struct event_place *place, struct strbuf *out)
{
	const int64_t version = atomic_load(&app->version);

	if (version == place->version)
		return;
	place->version = version;
	if (atomic_load(&loud))
		for (int i = 0; i < 1 << 20; i += 64)
			strbuf_addf(out, ": %060d\n\n", i);
	strbuf_adds(out, "data: moved\n\n");
}

void events_beat(struct strbuf *out)
{
	strbuf_adds(out, ":\n\n");
}

static void answer_events(struct request *req, struct response *res)
{
	struct event_place *place = arena_array(req->arena, 1, sizeof(*place));

	place->version = atomic_load(&req->app->version);
	strbuf_adds(&res->body, "data: hello\n\n");
	res->content_type = "text/event-stream";
	res->events = place;
}

static void nap(int ms)
{
	struct timespec t = { .tv_sec = ms / 1000, .tv_nsec = (ms % 1000) * 1000000L };

	nanosleep(&t, NULL);
}

void api_answer(struct request *req, struct response *res)
{
	const char *what = req->path + strlen("/api/");

	res->status = 200;
	if (strcmp(what, "large") == 0) {
		res->etag = "\"large-1\"";
		for (int i = 0; i < 20000; i++)
			strbuf_addf(&res->body, "%09d ", i);
	} else if (strcmp(what, "asked") == 0) {
		strbuf_adds(&res->body, req->path);
		for (size_t i = 0; i < req->n_query; i++)
			strbuf_addf(&res->body, "|%s=%s", req->query[i].name, req->query[i].value);
	} else if (strcmp(what, "events") == 0) {
		answer_events(req, res);
	} else if (strcmp(what, "echo") == 0) {
		strbuf_add(&res->body, req->body ? req->body : "", req->body_length);
	} else {
		if (strcmp(what, "long") == 0)
			nap(100);
		strbuf_adds(&res->body, "{\"n\":1}");
	}
}

bool api_answer_writes(struct book *writer, struct request **reqs, struct response **ress, size_t n)
{
	bool fails = atomic_load(&commit_fails);

	(void)writer;
	pthread_mutex_lock(&lock);
	while (held)
		pthread_cond_wait(&released, &lock);
	pthread_mutex_unlock(&lock);
	for (size_t i = 0; i < n; i++) {
		ress[i]->status = fails ? 503 : 201;
		strbuf_addf(&ress[i]->body, "{\"order\":%d,\"group\":%zu}",
			    atomic_fetch_add(&writes, 1), n);
		atomic_store(&loud, strcmp(reqs[i]->path, "/api/loud") == 0);
	}
	atomic_fetch_add(&reqs[0]->app->version, 1);
	return !fails;
}

void fake_hold_writer(bool hold)
{
	pthread_mutex_lock(&lock);
	held = hold;
	pthread_cond_broadcast(&released);
	pthread_mutex_unlock(&lock);
}

void fake_fail_commit(bool fail)
{
	atomic_store(&commit_fails, fail);
}

int fake_count_writes(void)
{
	return atomic_load(&writes);
}

int fake_count_upkeep(void)
{
	return atomic_load(&upkeeps);
}

/* Has three small steps to do whenever it is idle. */
static bool upkeep(void *with, bool idle)
{
	(void)with;
	return idle && atomic_fetch_add(&upkeeps, 1) % 4 < 3;
}

static void pack_file(void)
{
	z_stream z = { .next_in = (z_const Bytef *)FILE_TEXT,
		       .avail_in = sizeof(FILE_TEXT) - 1,
		       .next_out = packed,
		       .avail_out = sizeof(packed) };

	deflateInit2(&z, 9, Z_DEFLATED, 31, 8, Z_DEFAULT_STRATEGY);
	ck_assert_int_eq(deflate(&z, Z_FINISH), Z_STREAM_END);
	file.gzip_length = sizeof(packed) - z.avail_out;
	deflateEnd(&z);
}

void fake_start(struct fake *f, int request_ms, int sending_ms)
{
	const struct server_settings set = { .request_ms = request_ms, .sending_ms = sending_ms };

	fake_start_with(f, &set);
}

void fake_start_with(struct fake *f, const struct server_settings *settings)
{
	static const char *hosts[] = { "farm.example", NULL };
	struct server_settings set = *settings;
	struct err err;

	pack_file();
	err_clear(&err);
	memset(f, 0, sizeof(*f));
	f->app.hosts = hosts;
	set.app = &f->app;
	set.listen = "127.0.0.1:0";
	set.upkeep = upkeep;
	ck_assert_int_eq(server_start(&set, &f->server, &err), ERR_NONE);
	f->address = server_address(f->server);
}

int fake_count_streams(const struct fake *f)
{
	return streams_count(f->server->streams);
}

void fake_stop(struct fake *f)
{
	server_stop(f->server);
}

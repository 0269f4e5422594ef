/* Requests to the dispatcher without a socket, and what their answers must be. */
#include "api_tests.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

#include "store/store.h"

enum { KEPT_MAX = 8192, PAIRS_MAX = 64 };

struct bench bench;

static struct arena arena;
static json_t *kept[KEPT_MAX];
static size_t n_kept;

/* A request that must work: the farm is set up with it. */
static void must(const char *method, const char *target, const char *body)
{
	struct answer a = ask(method, target, body, "If-Match: *");

	ck_assert_msg(a.status == 200 || a.status == 201, "%s %s: %d %s", target, body, a.status,
		      a.body);
}

void bench_take(struct store *store, struct book *book, int64_t now)
{
	static const char *hosts[] = { "localhost", NULL };

	arena_init(&arena);
	bench.store = store;
	bench.book = book;
	bench.now = now;
	bench.app = (struct app){ .db_path = ":memory:", .build = "test", .hosts = hosts };
	atomic_store(&bench.app.version, store_version(bench.store));
}

void forget_answers(void)
{
	for (size_t i = 0; i < n_kept; i++)
		json_decref(kept[i]);
	n_kept = 0;
	arena_reset(&arena);
}

void api_setup(void)
{
	struct store *store;
	struct book *book;
	struct err err;

	err_clear(&err);
	ck_assert_int_eq(store_open(":memory:", STORE_WRITE, &store, &err), ERR_NONE);
	ck_assert_int_eq(book_open(store, &book, &err), ERR_NONE);
	bench_take(store, book, 1774944000);
	must("PATCH", "/api/farm", "{\"name\":\"Reed farm\",\"time_zone\":\"Europe/Madrid\"}");
	must("POST", "/api/loops", "{\"code\":\"L1\",\"water_volume_l\":80000}");
	must("POST", "/api/tanks", "{\"code\":\"T1\",\"loop_id\":1,\"volume_l\":7800}");
	must("POST", "/api/tanks", "{\"code\":\"T2\",\"loop_id\":1,\"volume_l\":7800}");
	must("POST", "/api/beds",
	     "{\"code\":\"B1\",\"loop_id\":1,\"role\":\"raft\",\"length_m\":30.5,\"width_m\":2.4}");
	must("POST", "/api/species", "{\"name\":\"Nile tilapia\"}");
	must("POST", "/api/feeds", "{\"name\":\"Grower 4 mm\",\"protein_pct\":32}");
	must("POST", "/api/fish-lots", "{\"code\":\"F1\",\"species_id\":1}");
}

void api_teardown(void)
{
	struct err err;

	err_clear(&err);
	ck_assert_int_eq(store_begin(bench.store, &err), ERR_NONE); /* none was left open */
	store_rollback(bench.store);
	forget_answers();
	book_close(bench.book);
	store_close(bench.store);
	arena_release(&arena);
}

static void add_pair(struct pair *pairs, size_t *n, const char *name, const char *value)
{
	ck_assert_uint_lt(*n, PAIRS_MAX);
	pairs[(*n)++] = (struct pair){ name, value };
}

static void drop_header(struct pair *headers, size_t *n, const char *name)
{
	for (size_t i = 0; i < *n; i++)
		if (!strcasecmp(headers[i].name, name))
			headers[i--] = headers[--*n];
}

static void add_headers(struct pair *headers, size_t *n, const char *lines)
{
	char *list = arena_strdup(&arena, lines ? lines : ""), *rest;

	for (char *line = strtok_r(list, "\n", &rest); line; line = strtok_r(NULL, "\n", &rest)) {
		char *colon = strchr(line, ':');

		if (*line == '-') {
			drop_header(headers, n, line + 1);
			continue;
		}
		ck_assert_ptr_nonnull(colon);
		*colon = '\0';
		add_pair(headers, n, line, colon + 1 + strspn(colon + 1, " "));
	}
}

static const char *split_query(const char *target, struct pair *query, size_t *n)
{
	char *path = arena_strdup(&arena, target), *rest;
	char *mark = strchr(path, '?');

	if (!mark)
		return path;
	*mark = '\0';
	for (char *part = strtok_r(mark + 1, "&", &rest); part; part = strtok_r(NULL, "&", &rest)) {
		char *equals = strchr(part, '=');

		if (equals)
			*equals = '\0';
		add_pair(query, n, part, equals ? equals + 1 : "");
	}
	return path;
}

/* The whole body, from memory or from the nameless file. */
static void take_body(struct answer *a, const struct response *res)
{
	struct strbuf all;
	char part[4096];
	ssize_t n;

	strbuf_init(&all);
	if (res->fd < 0)
		strbuf_add(&all, res->body.text, res->body.length);
	for (off_t at = 0; res->fd >= 0 && (n = pread(res->fd, part, sizeof(part), at)) > 0;
	     at += n)
		strbuf_add(&all, part, (size_t)n);
	a->body = arena_strndup(&arena, all.text, all.length);
	a->length = all.length;
	strbuf_release(&all);
	if (!strstr(res->content_type, "json") || !a->length)
		return;
	a->json = json_loadb(a->body, a->length, JSON_REJECT_DUPLICATES, NULL);
	ck_assert_msg(a->json, "not JSON: %s", a->body);
	ck_assert_uint_lt(n_kept, KEPT_MAX);
	kept[n_kept++] = a->json;
}

static struct answer answer_of(const struct request *req, const struct response *res)
{
	struct answer a = {
		.status = res->status,
		.content_type = res->content_type,
		.etag = res->etag,
		.cache_control = res->cache_control,
		.location = res->location,
		.allow = res->allow,
		.vary = res->vary,
		.file_name = res->file_name,
		.retry_after_s = res->retry_after_s,
		.route = req->route,
	};

	take_body(&a, res);
	return a;
}

struct answer ask_bytes(const char *method, const char *target, const char *body, size_t n,
			const char *headers)
{
	struct pair query[PAIRS_MAX], sent[PAIRS_MAX];
	struct response res;
	struct request req;

	request_init(&req, &arena);
	response_init(&res);
	req.method = method;
	req.path = split_query(target, query, &req.n_query);
	req.query = query;
	add_pair(sent, &req.n_headers, "Host", "localhost:8080");
	if (strcmp(method, "GET") != 0 && strcmp(method, "HEAD") != 0) {
		add_pair(sent, &req.n_headers, "X-Weirbook", "1");
		add_pair(sent, &req.n_headers, "Content-Type", "application/json");
	}
	add_headers(sent, &req.n_headers, headers);
	req.headers = sent;
	req.body = body;
	req.body_length = n;
	req.app = &bench.app;
	req.book = bench.book;
	req.now = bench.now;
	if (api_find(&req, &res))
		api_answer(&req, &res);
	ck_assert_int_ge(res.status, 200);

	struct answer a = answer_of(&req, &res);

	response_release(&res);
	return a;
}

struct answer ask(const char *method, const char *target, const char *body, const char *headers)
{
	return ask_bytes(method, target, body, body ? strlen(body) : 0, headers);
}

struct answer get(const char *target)
{
	return ask("GET", target, NULL, NULL);
}

struct answer post(const char *target, const char *format, ...)
{
	struct answer a;
	char *body;
	va_list args;

	va_start(args, format);
	ck_assert_int_ge(vasprintf(&body, format, args), 0);
	va_end(args);
	a = ask("POST", target, body, NULL);
	free(body);
	return a;
}

int64_t int_at(const struct answer *a, const char *name)
{
	const json_t *v = json_object_get(a->json, name);

	ck_assert_msg(json_is_integer(v), "no number %s in %s", name, a->body);
	return json_integer_value(v);
}

const char *text_at(const struct answer *a, const char *name)
{
	const char *text = json_string_value(json_object_get(a->json, name));

	ck_assert_msg(text != NULL, "no text %s in %s", name, a->body);
	return text;
}

size_t count_at(const struct answer *a, const char *name)
{
	const json_t *v = json_object_get(a->json, name);

	ck_assert_msg(json_is_array(v), "no list %s in %s", name, a->body);
	return json_array_size(v);
}

static const json_t *first_error(const struct answer *a)
{
	return json_array_get(json_object_get(a->json, "errors"), 0);
}

static const char *or_nothing(const json_t *v)
{
	return json_is_string(v) ? json_string_value(v) : "";
}

const char *problem_code(const struct answer *a)
{
	return or_nothing(json_object_get(first_error(a), "code"));
}

const char *problem_field(const struct answer *a)
{
	return or_nothing(json_object_get(first_error(a), "field"));
}

const char *problem_arg(const struct answer *a, const char *name)
{
	return or_nothing(json_object_get(json_object_get(first_error(a), "args"), name));
}

static void assert_no_insides(const char *body)
{
	static const char *const insides[] = { "SELECT", "INSERT",  "UPDATE ", "sqlite", "SQL",
					       ".c:",    "/server", "/tmp",    "memory:" };

	for (size_t i = 0; i < sizeof(insides) / sizeof(insides[0]); i++)
		ck_assert_msg(!strstr(body, insides[i]), "%s in %s", insides[i], body);
}

void assert_problem(const struct answer *a, int status, const char *code)
{
	const json_t *errors = json_object_get(a->json, "errors");

	ck_assert_msg(a->status == status && !strcmp(problem_code(a), code), "due %d %s, got %d %s",
		      status, code, a->status, a->body);
	ck_assert_str_eq(a->content_type, "application/problem+json");
	ck_assert_str_eq(a->cache_control, "no-store");
	ck_assert_ptr_null(a->etag);
	ck_assert_ptr_null(a->location);
	ck_assert_str_eq(text_at(a, "type"), "about:blank");
	ck_assert_int_eq(int_at(a, "status"), status);
	ck_assert_str_ne(text_at(a, "title"), "");
	ck_assert_str_ne(text_at(a, "detail"), "");
	for (size_t i = 0; i < json_array_size(errors); i++) {
		const json_t *e = json_array_get(errors, i);

		ck_assert(json_is_string(json_object_get(e, "field")));
		ck_assert(json_string_length(json_object_get(e, "code")) > 0);
		ck_assert(json_string_length(json_object_get(e, "message")) > 0);
		ck_assert(json_is_object(json_object_get(e, "args")));
	}
	assert_no_insides(a->body);
}

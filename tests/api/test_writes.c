/* Requests that are kept together in one commit, and what is told of our own mistakes. */
#include "api_tests.h"

#include <stdio.h>
#include <string.h>

#include "api/response.h"

enum { TOGETHER = 4 };

/* Writes that have queued up, as the writer gets them. */
struct queue {
	struct arena arena;
	struct request reqs[TOGETHER];
	struct response ress[TOGETHER];
	struct request *req[TOGETHER];
	struct response *res[TOGETHER];
};

static const struct pair headers[] = { { "Host", "localhost" },
				       { "X-Weirbook", "1" },
				       { "Content-Type", "application/json" } };

static void queue_one(struct queue *q, size_t i, const char *path, const char *body)
{
	struct request *req = q->req[i] = &q->reqs[i];

	q->res[i] = &q->ress[i];
	request_init(req, &q->arena);
	response_init(q->res[i]);
	req->method = "POST";
	req->path = path;
	req->headers = headers;
	req->n_headers = 3;
	req->body = body;
	req->body_length = strlen(body);
	req->app = &bench.app;
	req->now = bench.now;
	ck_assert(api_find(req, q->res[i]) != NULL);
}

START_TEST(one_commit_keeps_all_that_waited)
{
	const int64_t before = atomic_load(&bench.app.version);
	static const int due[TOGETHER] = { 201, 422, 201, 422 };
	struct queue q;

	arena_init(&q.arena);
	queue_one(&q, 0, "/api/species", "{\"name\":\"Trout\"}");
	queue_one(&q, 1, "/api/species", "{\"name\":5}");
	queue_one(&q, 2, "/api/feeds", "{\"name\":\"Floating\",\"protein_pct\":40}");
	queue_one(&q, 3, "/api/species",
		  "{\"name\":\"trout\",\"purge_days\":3}"); /* the first has it */
	ck_assert(api_answer_writes(bench.book, q.req, q.res, TOGETHER));
	for (size_t i = 0; i < TOGETHER; i++) {
		ck_assert_msg(q.ress[i].status == due[i], "%zu: %s", i, q.ress[i].body.text);
		response_release(&q.ress[i]);
	}
	arena_release(&q.arena);
	ck_assert_int_eq(atomic_load(&bench.app.version), before + 1);

	struct answer a = get("/api/species");

	ck_assert_uint_eq(count_at(&a, "items"), 2);
}
END_TEST

START_TEST(nothing_kept_leaves_the_version)
{
	const int64_t before = atomic_load(&bench.app.version);
	struct queue q;

	arena_init(&q.arena);
	queue_one(&q, 0, "/api/species", "{}");
	ck_assert(api_answer_writes(bench.book, q.req, q.res, 1));
	ck_assert_int_eq(q.ress[0].status, 422);
	response_release(&q.ress[0]);
	arena_release(&q.arena);
	ck_assert_int_eq(atomic_load(&bench.app.version), before);
}
END_TEST

START_TEST(our_own_mistakes_are_not_told)
{
	static const enum err_code codes[] = { ERR_INTERNAL, ERR_NONE };

	for (size_t i = 0; i < 2; i++) {
		struct response res;
		struct err err;

		err_clear(&err);
		err_set(&err, codes[i], "feedings", "store_fault",
			"SELECT secret FROM t at /var/lib/x.db: store.c:12");
		response_init(&res);
		response_problem(&res, &err);
		ck_assert_int_eq(res.status, 500);
		ck_assert_str_eq(res.content_type, "application/problem+json");
		ck_assert_ptr_nonnull(strstr(res.body.text, "\"code\":\"internal\""));
		ck_assert_ptr_null(strstr(res.body.text, "SELECT"));
		ck_assert_ptr_null(strstr(res.body.text, "/var"));
		ck_assert_ptr_null(strstr(res.body.text, "store_fault"));
		ck_assert_ptr_null(strstr(res.body.text, "feedings"));
		response_release(&res);
	}
}
END_TEST

START_TEST(every_error_has_its_status)
{
	static const int due[ERR__MAX] = {
		[ERR_NONE] = 200,        [ERR_MALFORMED] = 400,   [ERR_UNAUTHORISED] = 401,
		[ERR_FORBIDDEN] = 403,   [ERR_NOT_FOUND] = 404,   [ERR_METHOD] = 405,
		[ERR_CONFLICT] = 409,    [ERR_STALE] = 412,       [ERR_TOO_LARGE] = 413,
		[ERR_MEDIA_TYPE] = 415,  [ERR_MISDIRECTED] = 421, [ERR_INPUT] = 422,
		[ERR_NEEDS_MATCH] = 428, [ERR_TOO_MANY] = 429,    [ERR_INTERNAL] = 500,
		[ERR_UNAVAILABLE] = 503,
	};

	for (enum err_code code = 0; code < ERR__MAX; code++)
		ck_assert_int_eq(status_of(code), due[code]);
}
END_TEST

Suite *writes_suite(void)
{
	Suite *s = suite_create("writes");
	TCase *t = tcase_create("writes");

	tcase_add_checked_fixture(t, api_setup, api_teardown);
	tcase_add_test(t, one_commit_keeps_all_that_waited);
	tcase_add_test(t, nothing_kept_leaves_the_version);
	tcase_add_test(t, our_own_mistakes_are_not_told);
	tcase_add_test(t, every_error_has_its_status);
	suite_add_tcase(s, t);
	return s;
}

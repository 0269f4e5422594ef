/* What the tests of the API share: a migrated store in memory, and requests without a socket. */
#ifndef WEIRBOOK_TESTS_API_H
#define WEIRBOOK_TESTS_API_H

#include <check.h>
#include <jansson.h>
#include <stdbool.h>

#include "api/app.h"
#include "api/request.h"

/* Of the running test; opened by api_setup. */
struct bench {
	struct store *store;
	struct book *book;
	struct app app;
	int64_t now; /* 2026-03-31T08:00:00Z at first */
};
extern struct bench bench;

/* A farm with loop L1 (id 1), tanks T1 (2) and T2 (3), bed B1 (4), a species, a feed, a lot F1. */
void api_setup(void);
void api_teardown(void); /* asserts that no transaction is left open */

/* Asks an open farm instead of api_setup's; api_teardown closes it. */
void bench_take(struct store *store, struct book *book, int64_t now);
/* Drops the answers that were given: for tests that ask many thousand times. */
void forget_answers(void);

struct answer {
	int status;
	json_t *json; /* NULL when the body is not JSON; lives until api_teardown */
	const char *body;
	size_t length;
	const char *content_type, *etag, *cache_control, *location, *allow, *vary, *file_name;
	int retry_after_s;
	const struct route *route; /* NULL: none was found */
};

/*
 * Sends a request: target is a path with its query, already decoded.  body NULL is none.  headers are lines
 * "Name: value" separated by \n, beside those of a good write; a line "-Name" leaves one of these out.
 */
struct answer ask(const char *method, const char *target, const char *body, const char *headers);
struct answer ask_bytes(const char *method, const char *target, const char *body, size_t n,
			const char *headers);
struct answer get(const char *target);
struct answer post(const char *target, const char *format, ...)
	__attribute__((format(printf, 2, 3)));

/* Members of the answer's JSON; a missing one fails the test. */
int64_t int_at(const struct answer *a, const char *name);
const char *text_at(const struct answer *a, const char *name);
size_t count_at(const struct answer *a, const char *name);
/* The first item of problem details: its code, field and an argument; "" when there is none. */
const char *problem_code(const struct answer *a);
const char *problem_field(const struct answer *a);
const char *problem_arg(const struct answer *a, const char *name);

/* The answer is problem details of this status and code, whole and without anything of our insides. */
void assert_problem(const struct answer *a, int status, const char *code);

Suite *routes_suite(void);
Suite *headers_suite(void);
Suite *json_suite(void);
Suite *readings_suite(void);
Suite *records_suite(void);
Suite *labels_suite(void);
Suite *lists_suite(void);
Suite *batch_suite(void);
Suite *several_suite(void);
Suite *caching_suite(void);
Suite *csv_suite(void);
Suite *reports_suite(void);
Suite *import_suite(void);
Suite *writes_suite(void);
Suite *description_suite(void);

#endif

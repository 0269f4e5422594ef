/* What honest clients do: keep connections, send several requests at once, wait for the writer. */
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "fake_api.h"
#include "http_client.h"
#include "http_tests.h"

#define H     "Host: localhost\r\n"
#define SMALL "GET /api/small HTTP/1.1\r\n" H "\r\n"
#define WRITE "POST /api/write HTTP/1.1\r\n" H "Content-Length: 2\r\n\r\n{}"

enum { CLIENTS = 64 };

static struct fake fake;

static void start(void)
{
	fake_start(&fake, 0, 0);
}

static void stop(void)
{
	fake_stop(&fake);
}

static void nap(int ms)
{
	struct timespec t = { .tv_nsec = ms * 1000000L };

	nanosleep(&t, NULL);
}

static void read_status(struct client *c, int status)
{
	struct answer a;

	ck_assert(client_read(c, &a, false));
	ck_assert_int_eq(a.status, status);
	answer_release(&a);
}

static int number_after(const char *text, const char *name)
{
	const char *at = strstr(text, name);

	ck_assert_ptr_nonnull(at);
	return atoi(at + strlen(name));
}

START_TEST(page_carries_the_policy_and_keeps_it_when_unchanged)
{
	struct answer a;

	ask(fake.address, "GET / HTTP/1.1\r\n" H "\r\n", &a);
	ck_assert_ptr_nonnull(
		strstr(answer_header(&a, "Content-Security-Policy"), "script-src 'self'"));
	ck_assert_str_eq(answer_header(&a, "Referrer-Policy"), "no-referrer");
	answer_release(&a);
	ck_assert_int_eq(
		ask(fake.address, "GET / HTTP/1.1\r\n" H "If-None-Match: \"file-1\"\r\n\r\n", &a),
		304);
	ck_assert_ptr_nonnull(
		strstr(answer_header(&a, "Content-Security-Policy"), "script-src 'self'"));
	answer_release(&a);
	ask(fake.address, "GET /api/small HTTP/1.1\r\n" H "\r\n", &a);
	ck_assert_str_eq(answer_header(&a, "Content-Security-Policy"),
			 "default-src 'none'; frame-ancestors 'none'");
	answer_release(&a);
}
END_TEST

START_TEST(every_answer_has_the_protective_headers)
{
	static const char *const requests[] = {
		SMALL,
		"GET / HTTP/1.1\r\n" H "\r\n",
		"GET /none HTTP/1.1\r\n" H "\r\n",
		"GET /api/small HTTP/1.1\r\nHost: evil.example\r\n\r\n",
		WRITE,
	};
	struct answer a;

	ask(fake.address, requests[_i], &a);
	ck_assert_ptr_nonnull(strstr(a.head, "Content-Security-Policy: default-src 'none'; "));
	ck_assert_ptr_null(strstr(a.head, "unsafe"));
	ck_assert_str_eq(answer_header(&a, "X-Content-Type-Options"), "nosniff");
	ck_assert_str_eq(answer_header(&a, "Cross-Origin-Resource-Policy"), "same-origin");
	ck_assert_ptr_nonnull(answer_header(&a, "Cache-Control"));
	answer_release(&a);
}
END_TEST

START_TEST(one_connection_serves_many_requests)
{
	struct client c;

	client_open(&c, fake.address);
	for (int i = 0; i < 50; i++) {
		client_sends(&c, i % 3 == 2 ? WRITE : SMALL);
		read_status(&c, i % 3 == 2 ? 201 : 200);
	}
	client_close(&c);
}
END_TEST

START_TEST(requests_sent_at_once_are_answered_in_order)
{
	struct client c;

	client_open(&c, fake.address);
	client_sends(&c, SMALL WRITE "GET /api/none HTTP/1.1\r\n" H "\r\n"
				     "GET /api/long HTTP/1.1\r\n" H "\r\n" WRITE SMALL);
	read_status(&c, 200);
	read_status(&c, 201);
	read_status(&c, 404);
	read_status(&c, 200);
	read_status(&c, 201);
	read_status(&c, 200);
	client_close(&c);
}
END_TEST

START_TEST(large_body_arrives_whole)
{
	enum { N = 256 * 1024 };
	char *body = malloc(N + 1);
	struct client c;
	struct answer a;

	for (int i = 0; i < N; i++)
		body[i] = (char)('a' + i % 23);
	body[N] = '\0';
	client_open(&c, fake.address);
	client_sends(&c, "POST /api/echo HTTP/1.1\r\n" H "Content-Length: 262144\r\n\r\n");
	client_send(&c, body, N / 2);
	nap(20);
	client_send(&c, body + N / 2, N / 2);
	ck_assert(client_read(&c, &a, false));
	ck_assert_int_eq(a.status, 200);
	ck_assert_uint_eq(a.length, N);
	ck_assert_int_eq(memcmp(a.body, body, N), 0);
	answer_release(&a);
	client_close(&c);
	free(body);
}
END_TEST

START_TEST(path_and_query_arrive_decoded)
{
	struct answer a;

	ask(fake.address, "GET /api/asked?day=2026-11-25&only=T%201&x=a%3Db HTTP/1.1\r\n" H "\r\n",
	    &a);
	ck_assert_str_eq(a.body, "/api/asked|day=2026-11-25|only=T 1|x=a=b");
	answer_release(&a);
}
END_TEST

START_TEST(head_gets_the_head_alone)
{
	struct client c;
	struct answer a;

	client_open(&c, fake.address);
	client_sends(&c, "HEAD /api/small HTTP/1.1\r\n" H "\r\n" SMALL);
	ck_assert(client_read(&c, &a, true));
	ck_assert_int_eq(a.status, 200);
	ck_assert_str_eq(answer_header(&a, "Content-Length"), "7");
	answer_release(&a);
	read_status(&c, 200);
	client_close(&c);
}
END_TEST

START_TEST(large_answer_is_packed_for_who_takes_it)
{
	struct answer a;

	ask(fake.address, "GET /api/large HTTP/1.1\r\n" H "\r\n", &a);
	ck_assert_uint_eq(a.length, 200000);
	ck_assert_str_eq(answer_header(&a, "ETag"), "\"large-1\"");
	answer_release(&a);
	ask(fake.address, "GET /api/large HTTP/1.1\r\n" H "Accept-Encoding: br, gzip\r\n\r\n", &a);
	ck_assert_uint_lt(a.length, 100000);
	ck_assert_str_eq(answer_header(&a, "Content-Encoding"), "gzip");
	ck_assert_str_eq(answer_header(&a, "ETag"), "W/\"large-1\"");
	answer_release(&a);
	ask(fake.address, "GET /api/large HTTP/1.1\r\n" H "Accept-Encoding: gzip;q=0\r\n\r\n", &a);
	ck_assert_uint_eq(a.length, 200000);
	answer_release(&a);
}
END_TEST

START_TEST(answer_that_the_client_has_is_304)
{
	static const char *const tags[] = { "\"large-1\"", "W/\"large-1\"", "\"a\", \"large-1\"",
					    "*" };
	char request[256];
	struct client c;
	struct answer a;

	snprintf(request, sizeof(request),
		 "GET /api/large HTTP/1.1\r\n" H "If-None-Match: %s\r\n\r\n", tags[_i]);
	client_open(&c, fake.address);
	client_sends(&c, request);
	ck_assert(client_read(&c, &a, true));
	ck_assert_int_eq(a.status, 304);
	ck_assert_ptr_nonnull(answer_header(&a, "ETag"));
	answer_release(&a);
	client_sends(&c, "GET /api/large HTTP/1.1\r\n" H "If-None-Match: \"large-2\"\r\n\r\n");
	read_status(&c, 200);
	client_close(&c);
}
END_TEST

START_TEST(built_in_file_is_sent_packed_or_plain)
{
	struct answer a;

	ask(fake.address, "GET / HTTP/1.1\r\n" H "\r\n", &a);
	ck_assert_str_eq(a.body, FILE_TEXT);
	ck_assert_str_eq(answer_header(&a, "ETag"), "\"file-1\"");
	ck_assert_str_eq(answer_header(&a, "Content-Type"), "text/html; charset=utf-8");
	answer_release(&a);
	ask(fake.address, "GET / HTTP/1.1\r\n" H "Accept-Encoding: gzip\r\n\r\n", &a);
	ck_assert_str_eq(answer_header(&a, "Content-Encoding"), "gzip");
	ck_assert_str_eq(answer_header(&a, "Vary"), "Accept-Encoding");
	answer_release(&a);
	ask(fake.address, "GET / HTTP/1.1\r\n" H "If-None-Match: \"file-1\"\r\n\r\n", &a);
	ck_assert_int_eq(a.status, 304);
	answer_release(&a);
}
END_TEST

START_TEST(what_queues_is_kept_in_one_group_in_order)
{
	struct client c[10];
	struct answer a;
	int first = 0;

	for (int i = 0; i < 10; i++)
		client_open(&c[i], fake.address);
	fake_hold_writer(true);
	for (int i = 0; i < 10; i++) {
		client_sends(&c[i], WRITE);
		nap(20); /* so that the order of arrival is sure */
	}
	/* Reads are not held up. */
	ck_assert_int_eq(ask(fake.address, SMALL, &a), 200);
	answer_release(&a);
	fake_hold_writer(false);
	for (int i = 0; i < 10; i++) {
		ck_assert(client_read(&c[i], &a, false));
		ck_assert_int_eq(a.status, 201);
		if (i == 0)
			first = number_after(a.body, "\"order\":");
		ck_assert_int_eq(number_after(a.body, "\"order\":"), first + i);
		/* The writer took the first alone; the other nine had queued when it came back. */
		ck_assert_int_eq(number_after(a.body, "\"group\":"), i == 0 ? 1 : 9);
		answer_release(&a);
		client_close(&c[i]);
	}
}
END_TEST

static void *one_of_many(void *arg)
{
	struct client c;
	long done = 0;

	(void)arg;
	client_open(&c, fake.address);
	for (int i = 0; i < 30; i++) {
		struct answer a;

		client_sends(&c, i % 2 ? WRITE : SMALL);
		if (client_read(&c, &a, false) && a.status == (i % 2 ? 201 : 200))
			done++;
		answer_release(&a);
	}
	client_close(&c);
	return (void *)done;
}

START_TEST(sixty_four_connections_read_and_write_at_once)
{
	pthread_t threads[CLIENTS];
	int before = fake_count_writes();

	for (int i = 0; i < CLIENTS; i++)
		ck_assert_int_eq(pthread_create(&threads[i], NULL, one_of_many, NULL), 0);
	for (int i = 0; i < CLIENTS; i++) {
		void *done;

		pthread_join(threads[i], &done);
		ck_assert_int_eq((long)done, 30);
	}
	ck_assert_int_eq(fake_count_writes() - before, CLIENTS * 15);
}
END_TEST

START_TEST(client_that_hangs_up_harms_nobody)
{
	static const char *const parts[] = {
		"GET /api/sm",
		SMALL,
		WRITE,
		"GET /api/long HTTP/1.1\r\n" H "\r\n",
		"POST /api/echo HTTP/1.1\r\n" H "Content-Length: 100000\r\n\r\nabc",
		"GET /api/large HTTP/1.1\r\n" H "\r\n",
	};
	struct answer a;
	struct client c;

	for (int i = 0; i < 60; i++) {
		client_open(&c, fake.address);
		client_sends(&c, parts[i % 6]);
		client_close(&c);
	}
	ck_assert_int_eq(ask(fake.address, WRITE, &a), 201);
	answer_release(&a);
	ck_assert_int_eq(ask(fake.address, SMALL, &a), 200);
	answer_release(&a);
}
END_TEST

START_TEST(idle_writer_does_what_can_wait)
{
	struct answer a;
	int before;

	nap(200);
	before = fake_count_upkeep();
	ck_assert_int_eq(ask(fake.address, WRITE, &a), 201);
	answer_release(&a);
	for (int ms = 0; ms < 3000 && fake_count_upkeep() < before + 4; ms += 50)
		nap(50);
	ck_assert_int_ge(fake_count_upkeep(), before + 4);
	ck_assert_int_le(fake_count_upkeep(), before + 16);
}
END_TEST

Suite *flow_suite(void)
{
	Suite *suite = suite_create("flow");
	TCase *t = tcase_create("flow");

	tcase_set_timeout(t, 60);
	tcase_add_checked_fixture(t, start, stop);
	tcase_add_loop_test(t, every_answer_has_the_protective_headers, 0, 5);
	tcase_add_test(t, page_carries_the_policy_and_keeps_it_when_unchanged);
	tcase_add_test(t, one_connection_serves_many_requests);
	tcase_add_test(t, requests_sent_at_once_are_answered_in_order);
	tcase_add_test(t, large_body_arrives_whole);
	tcase_add_test(t, path_and_query_arrive_decoded);
	tcase_add_test(t, head_gets_the_head_alone);
	tcase_add_test(t, large_answer_is_packed_for_who_takes_it);
	tcase_add_loop_test(t, answer_that_the_client_has_is_304, 0, 4);
	tcase_add_test(t, built_in_file_is_sent_packed_or_plain);
	tcase_add_test(t, what_queues_is_kept_in_one_group_in_order);
	tcase_add_test(t, sixty_four_connections_read_and_write_at_once);
	tcase_add_test(t, client_that_hangs_up_harms_nobody);
	tcase_add_test(t, idle_writer_does_what_can_wait);
	suite_add_tcase(suite, t);
	return suite;
}

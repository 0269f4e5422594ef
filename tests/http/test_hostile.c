/* Requests that no browser sends, over a real socket: each gets its plain answer and harms nobody. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fake_api.h"
#include "http_client.h"
#include "http_tests.h"

#define H "Host: localhost\r\n"

static struct fake fake;

static void start(void)
{
	fake_start(&fake, 0, 0);
}

static void stop(void)
{
	fake_stop(&fake);
}

static const struct {
	const char *request;
	int status;
} cases[] = {
	{ "GET /api/small HTTP/1.1\r\n" H "\r\n", 200 },
	{ "GET /api/small HTTP/1.1\r\nHost: farm.example:80\r\n\r\n", 200 },
	{ "GET /api/none HTTP/1.1\r\n" H "\r\n", 404 },
	/* Host */
	{ "GET /api/small HTTP/1.1\r\n\r\n", 400 },
	{ "GET /api/small HTTP/1.0\r\n\r\n", 400 },
	{ "GET /api/small HTTP/1.1\r\n" H H "\r\n", 400 },
	{ "GET /api/small HTTP/1.1\r\nHost: evil.example\r\n" H "\r\n", 400 },
	{ "GET /api/small HTTP/1.1\r\nHost: evil.example\r\n\r\n", 421 },
	{ "GET / HTTP/1.1\r\nHost: evil.example\r\n\r\n", 421 },
	{ "GET /api/small HTTP/1.1\r\nHost: 192.168.1.7\r\n\r\n", 421 },
	/* framing */
	{ "POST /api/echo HTTP/1.1\r\n" H "Content-Length: 1\r\nContent-Length: 2\r\n\r\nab", 400 },
	{ "POST /api/echo HTTP/1.1\r\n" H "Content-Length: 1\r\nContent-Length: 1\r\n\r\na", 400 },
	{ "POST /api/echo HTTP/1.1\r\n" H
	  "Content-Length: 3\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n",
	  400 },
	{ "POST /api/echo HTTP/1.1\r\n" H "Content-Length: -1\r\n\r\n", 400 },
	{ "POST /api/echo HTTP/1.1\r\n" H "Content-Length: +1\r\n\r\na", 400 },
	{ "POST /api/echo HTTP/1.1\r\n" H "Content-Length: 99999999999999999999999\r\n\r\n", 413 },
	{ "POST /api/echo HTTP/1.1\r\n" H "Transfer-Encoding: chunked\r\n\r\nzz\r\n", 400 },
	/* the target */
	{ "GET /api%00/small HTTP/1.1\r\n" H "\r\n", 400 },
	{ "GET /api/asked?x=%00 HTTP/1.1\r\n" H "\r\n", 400 },
	{ "GET /api/\xff HTTP/1.1\r\n" H "\r\n", 400 },
	{ "GET /api/asked?x=\xc0\xaf HTTP/1.1\r\n" H "\r\n", 400 },
	{ "GET /api/%ed%a0%80 HTTP/1.1\r\n" H "\r\n", 400 },
	{ "GET http://localhost/api/small HTTP/1.1\r\n" H "\r\n", 400 },
	{ "GET /../../etc/passwd HTTP/1.1\r\n" H "\r\n", 404 },
	{ "GET /%2e%2e/%2e%2e/etc/passwd HTTP/1.1\r\n" H "\r\n", 404 },
	/* methods */
	{ "TRACE /api/small HTTP/1.1\r\n" H "\r\n", 405 },
	{ "get /api/small HTTP/1.1\r\n" H "\r\n", 405 },
	{ "DELETE /api/small HTTP/1.1\r\n" H "\r\n", 405 },
	{ "OPTIONS /api/small HTTP/1.1\r\n" H "\r\n", 405 },
	{ "GET /api/small HTTP/2.0\r\n" H "\r\n", 505 },
	/* bodies where none is taken */
	{ "GET /api/small HTTP/1.1\r\n" H "Content-Length: 1\r\n\r\na", 413 },
	{ "GET / HTTP/1.1\r\n" H "Content-Length: 1\r\n\r\na", 413 },
	{ "GET /api/small HTTP/1.1\r\n" H "Transfer-Encoding: chunked\r\n\r\n1\r\na\r\n0\r\n\r\n",
	  413 },
};

START_TEST(hostile_request_gets_its_status)
{
	struct answer a;

	ck_assert_msg(ask(fake.address, cases[_i].request, &a) == cases[_i].status,
		      "%d, not %d:\n%s", a.status, cases[_i].status, cases[_i].request);
	answer_release(&a);
	ck_assert_int_eq(ask(fake.address, cases[0].request, &a), 200);
	answer_release(&a);
}
END_TEST

START_TEST(refused_method_names_the_ones_that_are_taken)
{
	struct answer a;

	ask(fake.address, "BREW /api/small HTTP/1.1\r\n" H "\r\n", &a);
	ck_assert_int_eq(a.status, 405);
	ck_assert_str_eq(answer_header(&a, "Allow"), "GET, HEAD, POST, PATCH");
	answer_release(&a);
}
END_TEST

START_TEST(unsure_framing_ends_the_connection)
{
	struct client c;
	struct answer a;

	client_open(&c, fake.address);
	client_sends(&c, "POST /api/echo HTTP/1.1\r\n" H "Content-Length: 5\r\n"
			 "Transfer-Encoding: chunked\r\n\r\n0\r\n\r\n"
			 "GET /api/small HTTP/1.1\r\n" H "\r\n");
	ck_assert(client_read(&c, &a, false));
	ck_assert_int_eq(a.status, 400);
	ck_assert_str_eq(answer_header(&a, "Connection"), "close");
	answer_release(&a);
	ck_assert(!client_read(&c, &a, false));
	client_close(&c);
}
END_TEST

/* libmicrohttpd cuts the target at a raw NUL before we see it: no more than the cut one may be answered. */
START_TEST(raw_nul_hides_nothing_behind_it)
{
	static const char request[] = "GET /api/asked\0?x=1 HTTP/1.1\r\n" H "\r\n";
	struct client c;
	struct answer a;

	client_open(&c, fake.address);
	client_send(&c, request, sizeof(request) - 1);
	ck_assert(client_read(&c, &a, false));
	ck_assert(a.status == 400 || strcmp(a.body, "/api/asked") == 0);
	answer_release(&a);
	client_close(&c);
}
END_TEST

static char *long_request(size_t n_headers, size_t each)
{
	char *text = malloc(64 + n_headers * (each + 16));
	size_t n = (size_t)sprintf(text, "GET /api/small HTTP/1.1\r\n" H);

	for (size_t i = 0; i < n_headers; i++) {
		n += (size_t)sprintf(text + n, "X-%04zu: ", i);
		memset(text + n, 'a', each);
		n += each;
		n += (size_t)sprintf(text + n, "\r\n");
	}
	strcpy(text + n, "\r\n");
	return text;
}

static const struct {
	size_t n_headers, each;
	int status;
} header_cases[] = {
	{ 50, 10, 200 }, { 101, 10, 400 }, { 1, 12000, 200 }, { 1, 40000, 431 }, { 2000, 30, 431 },
};

START_TEST(headers_have_limits)
{
	char *request = long_request(header_cases[_i].n_headers, header_cases[_i].each);
	struct answer a;

	ask(fake.address, request, &a);
	ck_assert_int_eq(a.status, header_cases[_i].status);
	answer_release(&a);
	free(request);
}
END_TEST

START_TEST(long_target_is_refused)
{
	char *request = malloc(50000);
	struct answer a;
	size_t n = (size_t)sprintf(request, "GET /");

	memset(request + n, 'a', 40000);
	strcpy(request + n + 40000, " HTTP/1.1\r\n" H "\r\n");
	ask(fake.address, request, &a);
	ck_assert_int_eq(a.status, 414);
	answer_release(&a);
	free(request);
}
END_TEST

static void send_sized(struct client *c, const char *framing, size_t body)
{
	char *bytes = malloc(body + 1);

	memset(bytes, 'b', body);
	client_sends(c, "POST /api/echo HTTP/1.1\r\n" H);
	client_sends(c, framing);
	client_send(c, bytes, body);
	free(bytes);
}

START_TEST(body_a_little_too_large_gets_413_and_keeps_the_connection)
{
	struct client c;
	struct answer a;

	client_open(&c, fake.address);
	send_sized(&c, "Content-Length: 300000\r\n\r\n", 300000);
	ck_assert(client_read(&c, &a, false));
	ck_assert_int_eq(a.status, 413);
	answer_release(&a);
	client_sends(&c, cases[0].request);
	ck_assert(client_read(&c, &a, false));
	ck_assert_int_eq(a.status, 200);
	answer_release(&a);
	client_close(&c);
}
END_TEST

START_TEST(body_far_too_large_is_refused_before_it_is_sent)
{
	struct answer a;

	ask(fake.address, "POST /api/echo HTTP/1.1\r\n" H "Content-Length: 2000000000\r\n\r\n", &a);
	ck_assert_int_eq(a.status, 413);
	answer_release(&a);
	ask(fake.address,
	    "POST /api/echo HTTP/1.1\r\n" H
	    "Content-Length: 300000\r\nExpect: 100-continue\r\n\r\n",
	    &a);
	ck_assert_int_eq(a.status, 413);
	answer_release(&a);
}
END_TEST

START_TEST(chunked_body_too_large_is_drained_then_answered)
{
	struct client c;
	struct answer a;

	client_open(&c, fake.address);
	send_sized(&c, "Transfer-Encoding: chunked\r\n\r\n493e0\r\n", 300000); /* 0x493e0 */
	client_sends(&c, "\r\n0\r\n\r\n");
	ck_assert(client_read(&c, &a, false));
	ck_assert_int_eq(a.status, 413);
	answer_release(&a);
	client_close(&c);
}
END_TEST

START_TEST(chunked_body_without_end_is_cut_off)
{
	struct client c;
	char *chunk = malloc(65536 + 16);
	int sent = 0;

	memcpy(chunk, "10000\r\n", 7);
	memset(chunk + 7, 'c', 65536);
	memcpy(chunk + 7 + 65536, "\r\n", 2);
	client_open(&c, fake.address);
	client_sends(&c, "POST /api/echo HTTP/1.1\r\n" H "Transfer-Encoding: chunked\r\n\r\n");
	while (sent < 200 && !client_is_closed_within(&c, 0)) {
		client_send(&c, chunk, 7 + 65536 + 2);
		sent++;
	}
	ck_assert_int_lt(sent, 200);
	client_close(&c);
	free(chunk);
}
END_TEST

/* Eight bodies of almost 8 MiB that never end: more than the service holds of all connections together. */
START_TEST(bodies_of_all_clients_together_have_a_bound)
{
	enum { CLIENTS = 8, BYTES = (8 << 20) - 100 };
	static const char head[] =
		"POST /api/bulk HTTP/1.1\r\n" H "Content-Length: 8388608\r\n\r\n";
	char *bytes = malloc(BYTES);
	struct client c[CLIENTS];
	struct answer a;
	int refused = 0;

	memset(bytes, 'd', BYTES);
	for (int i = 0; i < CLIENTS; i++) {
		client_open(&c[i], fake.address);
		client_sends(&c[i], head);
		client_send(&c[i], bytes, BYTES);
	}
	for (int i = 0; i < CLIENTS; i++) {
		client_send(&c[i], bytes, 100);
		client_read(&c[i], &a, false);
		ck_assert(a.status == 200 || a.status == 503 || a.status == 0);
		refused += a.status != 200;
		answer_release(&a);
		client_close(&c[i]);
	}
	ck_assert_int_ge(refused, 2); /* six bodies fit */
	ck_assert_int_lt(refused, CLIENTS);
	ck_assert_int_eq(ask(fake.address, cases[0].request, &a), 200);
	answer_release(&a);
	free(bytes);
}
END_TEST

Suite *hostile_suite(void)
{
	Suite *suite = suite_create("hostile");
	TCase *t = tcase_create("hostile");

	tcase_set_timeout(t, 60);
	tcase_add_checked_fixture(t, start, stop);
	tcase_add_loop_test(t, hostile_request_gets_its_status, 0, sizeof(cases) / sizeof(*cases));
	tcase_add_test(t, refused_method_names_the_ones_that_are_taken);
	tcase_add_test(t, unsure_framing_ends_the_connection);
	tcase_add_test(t, raw_nul_hides_nothing_behind_it);
	tcase_add_loop_test(t, headers_have_limits, 0,
			    sizeof(header_cases) / sizeof(*header_cases));
	tcase_add_test(t, long_target_is_refused);
	tcase_add_test(t, body_a_little_too_large_gets_413_and_keeps_the_connection);
	tcase_add_test(t, body_far_too_large_is_refused_before_it_is_sent);
	tcase_add_test(t, chunked_body_too_large_is_drained_then_answered);
	tcase_add_test(t, chunked_body_without_end_is_cut_off);
	tcase_add_test(t, bodies_of_all_clients_together_have_a_bound);
	suite_add_tcase(suite, t);
	return suite;
}

/* Slow clients are cut by the total deadline, however busy they look, and others do not notice. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "fake_api.h"
#include "http_client.h"
#include "http_tests.h"

#define H     "Host: localhost\r\n"
#define SMALL "GET /api/small HTTP/1.1\r\n" H "\r\n"

enum { REQUEST_MS = 1500, SENDING_MS = 1000 };

static struct fake fake;

static void start(void)
{
	fake_start(&fake, REQUEST_MS, SENDING_MS);
}

static void stop(void)
{
	fake_stop(&fake);
}

static double seconds(void)
{
	struct timespec t;

	clock_gettime(CLOCK_MONOTONIC, &t);
	return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

/* Sends bytes one by one until cut; others are served meanwhile.  Seconds it took. */
static double trickle(const char *start_with, const char *bytes)
{
	double began = seconds();
	struct client slow, quick;
	struct answer a;

	client_open(&slow, fake.address);
	client_open(&quick, fake.address);
	client_sends(&slow, start_with);
	for (size_t i = 0; seconds() - began < 10; i++) {
		client_send(&slow, &bytes[i % strlen(bytes)], 1);
		client_sends(&quick, SMALL);
		ck_assert(client_read(&quick, &a, false));
		ck_assert_int_eq(a.status, 200);
		answer_release(&a);
		if (client_is_closed_within(&slow, 100))
			break;
	}
	client_close(&slow);
	client_close(&quick);
	return seconds() - began;
}

START_TEST(trickling_client_is_cut_at_the_deadline)
{
	static const struct {
		const char *start, *bytes;
	} cases[] = {
		{ "",
		  "GET /api/small?x=aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa" },
		{ "GET /api/small HTTP/1.1\r\n" H, "X-A: bbbbbbbbbbbbbbbbbbbbbbbb\r\n" },
		{ "POST /api/echo HTTP/1.1\r\n" H "Content-Length: 5000\r\n\r\n", "c" },
		{ "POST /api/echo HTTP/1.1\r\n" H "Transfer-Encoding: chunked\r\n\r\n1000\r\n",
		  "d" },
		/* refused already, and still sending */
		{ "POST /api/none HTTP/1.1\r\n" H "Content-Length: 5000\r\n\r\n", "e" },
	};
	double took = trickle(cases[_i].start, cases[_i].bytes);

	ck_assert_double_ge(took, REQUEST_MS / 1000.0 - 0.1);
	ck_assert_double_le(took, REQUEST_MS / 1000.0 + 1.0);
}
END_TEST

START_TEST(silent_connection_is_cut_at_the_deadline)
{
	struct client fresh, used;
	struct answer a;

	client_open(&fresh, fake.address);
	client_open(&used, fake.address);
	client_sends(&used, SMALL);
	ck_assert(client_read(&used, &a, false));
	answer_release(&a);
	ck_assert(!client_is_closed_within(&fresh, REQUEST_MS - 500));
	ck_assert(client_is_closed_within(&fresh, 1500));
	ck_assert(client_is_closed_within(&used, 1500));
	client_close(&fresh);
	client_close(&used);
}
END_TEST

START_TEST(each_request_has_its_own_time)
{
	struct timespec pause = { .tv_nsec = 800 * 1000000L };
	struct client c;
	struct answer a;

	client_open(&c, fake.address);
	for (int i = 0; i < 4; i++) {
		nanosleep(&pause, NULL);
		client_sends(&c, SMALL);
		ck_assert(client_read(&c, &a, false));
		ck_assert_int_eq(a.status, 200);
		answer_release(&a);
	}
	client_close(&c);
}
END_TEST

/* An import over a weak network: 8 MiB in about twice the time that a request has. */
START_TEST(large_body_that_keeps_coming_is_not_cut)
{
	enum { PIECE = 512 * 1024, PIECES = 16 };
	struct timespec pause = { .tv_nsec = 180 * 1000000L };
	char *piece = malloc(PIECE);
	double began = seconds();
	struct client c;
	struct answer a;

	memset(piece, 'e', PIECE);
	client_open(&c, fake.address);
	client_sends(&c, "POST /api/bulk HTTP/1.1\r\n" H "Content-Length: 8388608\r\n\r\n");
	for (int i = 0; i < PIECES; i++) {
		client_send(&c, piece, PIECE);
		nanosleep(&pause, NULL);
	}
	ck_assert(client_read(&c, &a, false));
	ck_assert_int_eq(a.status, 200);
	ck_assert_double_ge(seconds() - began, REQUEST_MS / 1000.0 + 0.5);
	answer_release(&a);
	client_close(&c);
	free(piece);
}
END_TEST

START_TEST(waiting_for_the_writer_is_not_the_clients_fault)
{
	struct timespec pause = { .tv_sec = 2, .tv_nsec = 500 * 1000000L };
	struct client c;
	struct answer a;

	client_open(&c, fake.address);
	fake_hold_writer(true);
	client_sends(&c, "POST /api/write HTTP/1.1\r\n" H "Content-Length: 2\r\n\r\n{}");
	nanosleep(&pause, NULL);
	fake_hold_writer(false);
	ck_assert(client_read(&c, &a, false));
	ck_assert_int_eq(a.status, 201);
	answer_release(&a);
	client_close(&c);
}
END_TEST

/* How many of the answers to many requests come whole to a client that reads nothing for a while. */
static int answers_after(double seconds, int requests)
{
	struct timespec pause = { .tv_sec = (time_t)seconds,
				  .tv_nsec = (long)((seconds - floor(seconds)) * 1e9) };
	struct client c;
	struct answer a;
	int whole = 0;

	client_open(&c, fake.address);
	for (int i = 0; i < requests; i++)
		client_sends(&c, "GET /api/large HTTP/1.1\r\n" H "\r\n");
	nanosleep(&pause, NULL);
	while (client_read(&c, &a, false)) {
		answer_release(&a);
		whole++;
	}
	client_close(&c);
	return whole;
}

START_TEST(client_that_does_not_read_its_answer_is_cut)
{
	enum { REQUESTS = 200 }; /* 40 MB of answers: more than the sockets' buffers hold */
	struct answer a;
	int whole = answers_after(2.5, REQUESTS);

	if (whole == REQUESTS) /* a busy machine has not yet come to write them all */
		whole = answers_after(20, REQUESTS);
	ck_assert_int_lt(whole, REQUESTS);
	ck_assert_int_eq(ask(fake.address, SMALL, &a), 200);
	answer_release(&a);
}
END_TEST

START_TEST(a_hundred_slow_connections_do_not_keep_others_out)
{
	struct client slow[100];
	struct answer a;

	for (int i = 0; i < 100; i++) {
		client_open(&slow[i], fake.address);
		client_sends(&slow[i], i % 2 ? "GET /api/sm"
					     : "POST /api/echo HTTP/1.1\r\n" H
					       "Content-Length: 9\r\n\r\nab");
	}
	for (int i = 0; i < 20; i++) {
		double began = seconds();

		ck_assert_int_eq(ask(fake.address, SMALL, &a), 200);
		answer_release(&a);
		ck_assert_double_le(seconds() - began, 0.5);
	}
	for (int i = 0; i < 100; i++) {
		ck_assert(client_is_closed_within(&slow[i], REQUEST_MS + 1500));
		client_close(&slow[i]);
	}
}
END_TEST

Suite *slow_suite(void)
{
	Suite *suite = suite_create("slow");
	TCase *t = tcase_create("slow");

	tcase_set_timeout(t, 60);
	tcase_add_checked_fixture(t, start, stop);
	tcase_add_loop_test(t, trickling_client_is_cut_at_the_deadline, 0, 5);
	tcase_add_test(t, silent_connection_is_cut_at_the_deadline);
	tcase_add_test(t, each_request_has_its_own_time);
	tcase_add_test(t, large_body_that_keeps_coming_is_not_cut);
	tcase_add_test(t, waiting_for_the_writer_is_not_the_clients_fault);
	tcase_add_test(t, client_that_does_not_read_its_answer_is_cut);
	tcase_add_test(t, a_hundred_slow_connections_do_not_keep_others_out);
	suite_add_tcase(suite, t);
	return suite;
}

/* Event streams: hundreds that idle cheaply, all told at once, none held up by one that does not read. */
#include <poll.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

#include "fake_api.h"
#include "http_client.h"
#include "http_tests.h"

#define H      "Host: localhost\r\n"
#define EVENTS "GET /api/events HTTP/1.1\r\n" H "\r\n"
#define SMALL  "GET /api/small HTTP/1.1\r\n" H "\r\n"
#define WRITE  "POST /api/write HTTP/1.1\r\n" H "Content-Length: 2\r\n\r\n{}"
#define LOUD   "POST /api/loud HTTP/1.1\r\n" H "Content-Length: 2\r\n\r\n{}"

enum { MANY = 300, REQUEST_MS = 1500, SENDING_MS = 1000, BEAT_MS = 700 };

static struct fake fake;

static void start(void)
{
	const struct server_settings set = { .request_ms = REQUEST_MS,
					     .sending_ms = SENDING_MS,
					     .beat_ms = BEAT_MS,
					     .connections = MANY + 20,
					     .connections_per_address = MANY + 20,
					     .streams = MANY };

	fake_start_with(&fake, &set);
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

/* Reads on until text has come, and forgets what came; false when it has not within ms, or at the end. */
static bool hears(struct client *c, const char *text, int ms)
{
	double end = seconds() + ms / 1000.0;
	char got[8192];
	size_t n = 0;

	while (seconds() < end) {
		struct pollfd p = { .fd = c->fd, .events = POLLIN };
		ssize_t more;

		if (poll(&p, 1, 20) <= 0)
			continue;
		if (n > sizeof(got) / 2) /* the end of what came may be the beginning of text */
			n = 0;
		more = recv(c->fd, got + n, sizeof(got) - 1 - n, 0);
		if (more <= 0)
			return false;
		n += (size_t)more;
		got[n] = '\0';
		if (strstr(got, text))
			return true;
	}
	return false;
}

static void open_stream(struct client *c)
{
	client_open(c, fake.address);
	client_sends(c, EVENTS);
	ck_assert(hears(c, "hello", 2000));
}

static int write_once(const char *request)
{
	struct answer a;
	int status = ask(fake.address, request, &a);

	answer_release(&a);
	return status;
}

static double cpu_seconds(void)
{
	struct rusage u;

	getrusage(RUSAGE_SELF, &u);
	return (double)(u.ru_utime.tv_sec + u.ru_stime.tv_sec) +
	       (double)(u.ru_utime.tv_usec + u.ru_stime.tv_usec) / 1e6;
}

START_TEST(hundreds_idle_cheaply_and_all_are_told_within_a_second)
{
	static struct client c[MANY];
	double began, cpu;

	for (int i = 0; i < MANY; i++)
		open_stream(&c[i]);
	cpu = cpu_seconds();
	began = seconds();
	while (seconds() - began < 1.0) {
		struct timespec t = { .tv_nsec = 50 * 1000000L };

		nanosleep(&t, NULL);
	}
	/* One beat for each in this second; a stream that is polled would take all of it. */
	ck_assert_double_lt(cpu_seconds() - cpu, 0.3);
	ck_assert_int_eq(write_once(WRITE), 201);
	began = seconds();
	for (int i = 0; i < MANY; i++)
		ck_assert_msg(hears(&c[i], "moved", 1000), "stream %d", i);
	ck_assert_double_lt(seconds() - began, 1.0);
	ck_assert_int_eq(write_once(SMALL), 200);
	for (int i = 0; i < MANY; i++)
		client_close(&c[i]);
}
END_TEST

START_TEST(stream_outlives_the_time_limit_of_requests)
{
	struct client c;
	double began = seconds();

	open_stream(&c);
	while (seconds() - began < 2 * REQUEST_MS / 1000.0)
		ck_assert(hears(&c, ":\n\n", 2 * BEAT_MS + 1200));
	ck_assert_int_eq(write_once(WRITE), 201);
	ck_assert(hears(&c, "moved", 1000));
	client_close(&c);
}
END_TEST

START_TEST(who_does_not_read_is_cut_and_holds_up_nobody)
{
	struct client slow, good;
	double began;
	int small = 4096;

	client_open(&slow, fake.address);
	setsockopt(slow.fd, SOL_SOCKET, SO_RCVBUF, &small, sizeof(small));
	client_sends(&slow, EVENTS);
	open_stream(&good);
	for (int i = 0; i < 8; i++) { /* a megabyte each */
		ck_assert_int_eq(write_once(LOUD), 201);
		ck_assert(hears(&good, "moved", 2000));
	}
	began = seconds();
	while (fake_count_streams(&fake) > 1 && seconds() - began < 5)
		ck_assert(hears(&good, ":\n\n", 3000));
	ck_assert_int_eq(fake_count_streams(&fake), 1);
	client_close(&slow);
	client_close(&good);
}
END_TEST

START_TEST(stream_more_than_may_be_is_sent_away_to_ask_by_itself)
{
	static struct client c[MANY];
	struct client one_more;
	struct answer a;
	double began;

	for (int i = 0; i < MANY; i++)
		open_stream(&c[i]);
	client_open(&one_more, fake.address);
	client_sends(&one_more, EVENTS);
	ck_assert(client_read(&one_more, &a, false));
	ck_assert_int_eq(a.status, 503);
	ck_assert_str_eq(answer_header(&a, "Retry-After"), "60");
	answer_release(&a);
	client_sends(&one_more, SMALL); /* and the connection is good for asking */
	ck_assert(client_read(&one_more, &a, false));
	ck_assert_int_eq(a.status, 200);
	answer_release(&a);
	/* A browser that went away is noticed by the next beats, and leaves its place. */
	client_close(&c[0]);
	began = seconds();
	while (fake_count_streams(&fake) == MANY && seconds() - began < 8)
		ck_assert(hears(&c[1], ":\n\n", 3000));
	ck_assert_int_lt(fake_count_streams(&fake), MANY);
	open_stream(&c[0]);
	client_close(&one_more);
	for (int i = 0; i < MANY; i++)
		client_close(&c[i]);
}
END_TEST

START_TEST(head_of_a_stream_ends_at_once)
{
	struct client c;
	struct answer a;

	client_open(&c, fake.address);
	client_sends(&c, "HEAD /api/events HTTP/1.1\r\n" H "\r\n");
	ck_assert(client_read(&c, &a, true));
	ck_assert_int_eq(a.status, 200);
	ck_assert_str_eq(answer_header(&a, "Content-Type"), "text/event-stream");
	answer_release(&a);
	ck_assert_int_eq(fake_count_streams(&fake), 0);
	client_close(&c);
}
END_TEST

START_TEST(stopping_ends_open_streams_whole)
{
	enum { N = 60 };
	struct client c[N];
	double began;

	start();
	for (int i = 0; i < N; i++)
		open_stream(&c[i]);
	ck_assert_int_eq(write_once(WRITE), 201);
	began = seconds();
	fake_stop(&fake);
	ck_assert_double_lt(seconds() - began, 3.0);
	for (int i = 0; i < N; i++) {
		ck_assert_msg(hears(&c[i], "0\r\n\r\n", 500), "stream %d was cut off", i);
		ck_assert(client_is_closed_within(&c[i], 500));
		client_close(&c[i]);
	}
}
END_TEST

START_TEST(stopping_while_streams_open_and_are_told_is_clean)
{
	enum { N = 40 };
	struct client c[N];

	start();
	for (int i = 0; i < N; i++) {
		client_open(&c[i], fake.address);
		client_sends(&c[i], i % 4 ? EVENTS : WRITE);
	}
	fake_stop(&fake);
	for (int i = 0; i < N; i++)
		client_close(&c[i]);
}
END_TEST

Suite *streams_suite(void)
{
	Suite *suite = suite_create("streams");
	TCase *t = tcase_create("streams");
	TCase *stops = tcase_create("stops");

	tcase_set_timeout(t, 60);
	tcase_add_checked_fixture(t, start, stop);
	tcase_add_test(t, hundreds_idle_cheaply_and_all_are_told_within_a_second);
	tcase_add_test(t, stream_outlives_the_time_limit_of_requests);
	tcase_add_test(t, who_does_not_read_is_cut_and_holds_up_nobody);
	tcase_add_test(t, stream_more_than_may_be_is_sent_away_to_ask_by_itself);
	tcase_add_test(t, head_of_a_stream_ends_at_once);
	suite_add_tcase(suite, t);
	tcase_set_timeout(stops, 60);
	tcase_add_test(stops, stopping_ends_open_streams_whole);
	tcase_add_loop_test(stops, stopping_while_streams_open_and_are_told_is_clean, 0, 5);
	suite_add_tcase(suite, stops);
	return suite;
}

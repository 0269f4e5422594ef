/* Stopping: what has come in is answered; what cannot be confirmed ends the process. */
#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "fake_api.h"
#include "http_client.h"
#include "http_tests.h"

#define H     "Host: localhost\r\n"
#define SMALL "GET /api/small HTTP/1.1\r\n" H "\r\n"
#define WRITE "POST /api/write HTTP/1.1\r\n" H "Content-Length: 2\r\n\r\n{}"

enum { WAITING = 12 };

static void nap(int ms)
{
	struct timespec t = { .tv_sec = ms / 1000, .tv_nsec = (ms % 1000) * 1000000L };

	nanosleep(&t, NULL);
}

static void *release_soon(void *arg)
{
	(void)arg;
	nap(300);
	fake_hold_writer(false);
	return NULL;
}

START_TEST(requests_that_wait_are_answered_before_it_stops)
{
	struct client c[WAITING], idle;
	struct answer a;
	struct fake fake;
	pthread_t releaser;

	fake_start(&fake, 0, 0);
	fake_hold_writer(true);
	client_open(&idle, fake.address);
	for (int i = 0; i < WAITING; i++) {
		client_open(&c[i], fake.address);
		client_sends(&c[i], i % 3 ? WRITE : "GET /api/long HTTP/1.1\r\n" H "\r\n");
	}
	nap(100);
	pthread_create(&releaser, NULL, release_soon, NULL);
	fake_stop(&fake);
	pthread_join(releaser, NULL);
	for (int i = 0; i < WAITING; i++) {
		ck_assert(client_read(&c[i], &a, false));
		ck_assert_int_eq(a.status, i % 3 ? 201 : 200);
		answer_release(&a);
		client_close(&c[i]);
	}
	ck_assert(client_is_closed_within(&idle, 500));
	client_close(&idle);
}
END_TEST

START_TEST(stopping_under_load_answers_or_closes_plainly)
{
	struct client c[WAITING];
	struct fake fake;

	fake_start(&fake, 0, 0);
	for (int i = 0; i < WAITING; i++) {
		client_open(&c[i], fake.address);
		client_sends(&c[i], WRITE SMALL WRITE "GET /api/large HTTP/1.1\r\n" H "\r\n");
	}
	fake_stop(&fake);
	for (int i = 0; i < WAITING; i++) {
		struct answer a;

		while (client_read(&c[i], &a, false)) {
			ck_assert(a.status == 200 || a.status == 201 || a.status == 503);
			answer_release(&a);
		}
		client_close(&c[i]);
	}
}
END_TEST

/* In a process of its own: serves, has a commit fail, and must be gone. */
static _Noreturn void serve_until_lost(int port_to)
{
	struct fake fake;

	fake_start(&fake, 0, 0);
	fake_fail_commit(true);
	if (write(port_to, fake.address, strlen(fake.address) + 1) < 0)
		_exit(1);
	nap(10000);
	_exit(0);
}

START_TEST(commit_that_fails_is_told_and_ends_the_process)
{
	char address[80] = "";
	struct answer a;
	int ends[2], status;
	pid_t child;

	ck_assert_int_eq(pipe(ends), 0);
	child = fork();
	if (child == 0)
		serve_until_lost(ends[1]);
	ck_assert_int_gt(read(ends[0], address, sizeof(address) - 1), 0);
	ck_assert_int_eq(ask(address, WRITE, &a), 503);
	answer_release(&a);
	ck_assert_int_eq(waitpid(child, &status, 0), child);
	ck_assert(WIFEXITED(status));
	ck_assert_int_eq(WEXITSTATUS(status), SERVER_LOST_STATUS);
	close(ends[0]);
	close(ends[1]);
}
END_TEST

START_TEST(address_that_cannot_be_used_is_said)
{
	static const char *const bad[] = { "",
					   "8080",
					   "localhost:8080",
					   "127.0.0.1:",
					   "127.0.0.1:99999",
					   "127.0.0.1:8x",
					   "[::1:80",
					   "1.2.3:80" };
	struct server_settings set = { .listen = bad[_i] };
	struct server *s = NULL;
	struct err err;

	err_clear(&err);
	ck_assert_int_eq(server_start(&set, &s, &err), ERR_INPUT);
	ck_assert_ptr_null(s);
}
END_TEST

START_TEST(address_that_is_taken_is_said)
{
	struct server_settings set = { 0 };
	struct server *s = NULL;
	struct fake fake;
	struct err err;

	fake_start(&fake, 0, 0);
	set.listen = fake.address;
	err_clear(&err);
	ck_assert_int_eq(server_start(&set, &s, &err), ERR_UNAVAILABLE);
	ck_assert_ptr_nonnull(strstr(err.items[0].message, "in use"));
	fake_stop(&fake);
}
END_TEST

Suite *stop_suite(void)
{
	Suite *suite = suite_create("stop");
	TCase *t = tcase_create("stop");

	tcase_set_timeout(t, 60);
	tcase_add_test(t, requests_that_wait_are_answered_before_it_stops);
	tcase_add_test(t, stopping_under_load_answers_or_closes_plainly);
	tcase_add_test(t, commit_that_fails_is_told_and_ends_the_process);
	tcase_add_loop_test(t, address_that_cannot_be_used_is_said, 0, 8);
	tcase_add_test(t, address_that_is_taken_is_said);
	suite_add_tcase(suite, t);
	return suite;
}

/* Alarms on the clock, and the command that is told of them: real scripts, which note what they were given. */
#include "jobs_tests.h"

#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "book/alarms.h"
#include "book/open_alarms.h"
#include "jobs/alarm_call.h"
#include "jobs/alarms.h"
#include "support/mini_farm.h"
#include "support/program.h"

static struct mini_farm f;
static struct alarm_calls calls;
static char folder[256], script[300], told[300];

static void open_farm(void)
{
	mini_farm_open(&f);
	mini_keep(&f, mini_row(&f, "species-limits", "species_id", "Tilapia", "quantity", "do_mg_l",
			       "low_stop", "3", "low", "5", NULL));
	ck_assert(!store_commit(f.store, &f.err));
	folder_new(folder);
	snprintf(script, sizeof(script), "%s/siren", folder);
	snprintf(told, sizeof(told), "%s/told", folder);
}

static void close_farm(void)
{
	alarm_calls_finish(&calls);
	ck_assert(!store_begin(f.store, &f.err));
	mini_farm_close(&f);
	folder_remove(folder);
}

static void write_script(const char *body)
{
	FILE *out = fopen(script, "w");

	ck_assert_ptr_nonnull(out);
	fprintf(out, "#!/bin/sh\n%s\n", body);
	fclose(out);
	ck_assert_int_eq(chmod(script, 0700), 0);
}

/* Notes its arguments, one call a line; its name apart. */
static void write_noting_script(void)
{
	char body[400];

	snprintf(body, sizeof(body), "echo \"$# $*\" >>%s", told);
	write_script(body);
	alarm_calls_init(&calls, script);
}

static void oxygen(const char *at, const char *mg_l)
{
	ck_assert(!store_begin(f.store, &f.err));
	mini_keep(&f,
		  mini_row(&f, "water-tests", "place_id", "T1", "at", at, "do_mg_l", mg_l, NULL));
	ck_assert(!store_commit(f.store, &f.err));
}

static void look(const char *now)
{
	bool changed;

	for (int i = 0; alarms_step(f.book, instant_of(now), &changed); i++)
		ck_assert_int_lt(i, 100);
}

static void nap(void)
{
	const struct timespec t = { .tv_nsec = 20 * 1000000L };

	nanosleep(&t, NULL);
}

static size_t running(void)
{
	size_t n = 0;

	for (int i = 0; i < CALLS_AT_ONCE; i++)
		n += calls.running[i].pid != 0;
	return n;
}

/* Steps at one time of the clock until no command runs. */
static void step_to_rest(int64_t now_s)
{
	alarm_calls_step(&calls, f.book, now_s);
	for (int i = 0; i < 300 && running(); i++) {
		nap();
		alarm_calls_step(&calls, f.book, now_s);
	}
	ck_assert_uint_eq(running(), 0);
}

static const char *what_was_told(void)
{
	static char text[8192];
	FILE *in = fopen(told, "r");
	size_t n = 0;

	if (in) {
		n = fread(text, 1, sizeof(text) - 1, in);
		fclose(in);
	}
	text[n] = '\0';
	return text;
}

START_TEST(a_place_is_looked_at_after_the_write_and_by_the_clock)
{
	struct open_alarm *open;
	size_t n;
	bool changed;

	oxygen("2026-03-19T06:00:00Z", "4.4");
	ck_assert(alarms_step(f.book, instant_of("2026-03-19T06:00:01Z"), &changed));
	ck_assert(changed);
	ck_assert(!open_alarms_load(f.book, &f.arena, &open, &n, &f.err));
	ck_assert_uint_eq(n, 1);
	look("2026-03-19T06:00:02Z");
	/* nothing to do: nothing is written */
	ck_assert(!alarms_step(f.book, instant_of("2026-03-19T06:00:03Z"), &changed));
	ck_assert(!changed);
	/* nobody measured for 26 hours: the clock alone raises that */
	look("2026-03-20T08:00:01Z");
	ck_assert(!open_alarms_load(f.book, &f.arena, &open, &n, &f.err));
	ck_assert_uint_eq(n, 2);
}
END_TEST

/* A minute-wise probe must not turn over every cached answer. */
START_TEST(looking_alone_leaves_the_records_version)
{
	oxygen("2026-03-19T06:00:00Z", "6.4");
	const int64_t version = store_version(f.store);

	look("2026-03-19T06:00:01Z");
	ck_assert_int_eq(store_version(f.store), version);
	oxygen("2026-03-19T06:10:00Z", "2.4");
	look("2026-03-19T06:10:01Z");
	ck_assert_int_gt(store_version(f.store), version + 1);
}
END_TEST

START_TEST(the_command_is_told_what_was_raised_and_cleared)
{
	write_noting_script();
	oxygen("2026-03-19T06:00:00Z", "2.6");
	look("2026-03-19T06:00:01Z");
	step_to_rest(1000);
	ck_assert_str_eq(what_was_told(), "5 raised T1 do_mg_l 2.6 stop_low\n");
	step_to_rest(1001); /* once */
	oxygen("2026-03-19T06:20:00Z", "6");
	look("2026-03-19T06:20:01Z");
	step_to_rest(1002);
	ck_assert_str_eq(what_was_told(), "5 raised T1 do_mg_l 2.6 stop_low\n"
					  "5 cleared T1 do_mg_l 2.6 stop_low\n");
}
END_TEST

START_TEST(silence_is_told_with_a_dash)
{
	write_noting_script();
	oxygen("2026-03-19T06:00:00Z", "6");
	look("2026-03-20T08:00:01Z");
	step_to_rest(1000);
	ck_assert_str_eq(what_was_told(), "5 raised T1 do_mg_l - old\n");
}
END_TEST

START_TEST(after_a_start_what_nobody_has_seen_is_told_again)
{
	struct open_alarm *open;
	struct record *row;
	size_t n;

	write_noting_script();
	oxygen("2026-03-19T06:00:00Z", "4");
	look("2026-03-19T06:00:01Z");
	step_to_rest(1000);
	alarm_calls_finish(&calls);
	alarm_calls_init(&calls, script);
	step_to_rest(5);
	ck_assert_str_eq(what_was_told(), "5 raised T1 do_mg_l 4 low\n5 raised T1 do_mg_l 4 low\n");
	ck_assert(!open_alarms_load(f.book, &f.arena, &open, &n, &f.err));
	ck_assert(!store_begin(f.store, &f.err));
	ck_assert(!store_get(f.store, kind_find("alarms"), open[0].id, &f.arena, &row, &f.err));
	ck_assert(!mini_patch(&f, row, "seen_by_id", "Nadia", &row));
	ck_assert(!store_commit(f.store, &f.err));
	unlink(told);
	alarm_calls_finish(&calls);
	alarm_calls_init(&calls, script);
	step_to_rest(5);
	ck_assert_str_eq(what_was_told(), "");
	/* that it is over is told all the same: something may be sounding still */
	oxygen("2026-03-19T06:30:00Z", "6");
	look("2026-03-19T06:30:01Z");
	step_to_rest(6);
	ck_assert_str_eq(what_was_told(), "5 cleared T1 do_mg_l 4 low\n");
}
END_TEST

/* It neither delays the writer nor stays: the command and what it started are ended. */
START_TEST(a_command_that_hangs_is_ended)
{
	char body[400];
	struct timespec before, after;

	snprintf(body, sizeof(body), "sleep 600 &\necho $! >%s\nsleep 600", told);
	write_script(body);
	alarm_calls_init(&calls, script);
	oxygen("2026-03-19T06:00:00Z", "2.6");
	look("2026-03-19T06:00:01Z");
	clock_gettime(CLOCK_MONOTONIC, &before);
	alarm_calls_step(&calls, f.book, 1000);
	clock_gettime(CLOCK_MONOTONIC, &after);
	ck_assert_int_lt(after.tv_sec - before.tv_sec, 3);
	for (int i = 0; i < 300 && !*what_was_told(); i++)
		nap();
	const pid_t child = (pid_t)atoi(what_was_told());
	ck_assert_int_gt(child, 0);
	alarm_calls_step(&calls, f.book, 1000 + CALL_LIMIT_S - 1);
	ck_assert_uint_eq(running(), 1);
	step_to_rest(1000 + CALL_LIMIT_S);
	for (int i = 0; i < 300 && kill(child, 0) == 0; i++)
		nap(); /* init reaps it */
	ck_assert(kill(child, 0) != 0 || errno == ESRCH);
}
END_TEST

START_TEST(a_command_that_is_gone_is_logged_and_nothing_more)
{
	alarm_calls_init(&calls, "/nowhere/siren");
	oxygen("2026-03-19T06:00:00Z", "2.6");
	look("2026-03-19T06:00:01Z");
	step_to_rest(1000);
	alarm_calls_finish(&calls);
	alarm_calls_init(&calls, NULL);
	alarm_calls_step(&calls, f.book, 1001);
	ck_assert_uint_eq(calls.n, 0); /* off: it does not even look */
}
END_TEST

/* A power cut raises many at once: some at a time, the rest later, none lost. */
START_TEST(many_alarms_are_told_a_few_at_a_time)
{
	size_t lines = 0;

	write_noting_script();
	ck_assert(!store_begin(f.store, &f.err));
	for (int i = 0; i < CALLS_A_MINUTE + 5; i++)
		mini_keep(&f, mini_row(&f, "alarms", "quantity",
				       arena_printf(&f.arena, "blower_%d", i), "raised_at",
				       "2026-03-19T06:00:00Z", "at", "2026-03-19T06:00:00Z", NULL));
	ck_assert(!store_commit(f.store, &f.err));
	alarm_calls_step(&calls, f.book, 1000);
	ck_assert_uint_eq(running(), CALLS_AT_ONCE);
	for (int i = 0; i < 100; i++) {
		nap();
		alarm_calls_step(&calls, f.book, 1000);
	}
	step_to_rest(1000);
	for (const char *at = what_was_told(); (at = strchr(at, '\n')); at++)
		lines++;
	ck_assert_uint_eq(lines, CALLS_A_MINUTE);
	for (int i = 0; i < 40; i++) {
		nap();
		alarm_calls_step(&calls, f.book, 1060);
	}
	step_to_rest(1060);
	lines = 0;
	for (const char *at = what_was_told(); (at = strchr(at, '\n')); at++)
		lines++;
	ck_assert_uint_eq(lines, CALLS_A_MINUTE + 5);
	for (int i = 0; i < CALLS_A_MINUTE + 5; i++)
		ck_assert_ptr_nonnull(
			strstr(what_was_told(),
			       arena_printf(&f.arena, "5 raised - blower_%d - noted\n", i)));
}
END_TEST

Suite *alarm_jobs_suite(void)
{
	Suite *s = suite_create("alarm_jobs");
	TCase *t = tcase_create("jobs");

	tcase_set_timeout(t, 30);
	tcase_add_checked_fixture(t, open_farm, close_farm);
	tcase_add_test(t, a_place_is_looked_at_after_the_write_and_by_the_clock);
	tcase_add_test(t, looking_alone_leaves_the_records_version);
	tcase_add_test(t, the_command_is_told_what_was_raised_and_cleared);
	tcase_add_test(t, silence_is_told_with_a_dash);
	tcase_add_test(t, after_a_start_what_nobody_has_seen_is_told_again);
	tcase_add_test(t, a_command_that_hangs_is_ended);
	tcase_add_test(t, a_command_that_is_gone_is_logged_and_nothing_more);
	tcase_add_test(t, many_alarms_are_told_a_few_at_a_time);
	suite_add_tcase(s, t);
	return s;
}

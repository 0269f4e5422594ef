/* Lines of the log: base/log.  Standard error is turned into a file for the time of a test (a process of its own). */
#include "unit_tests.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/log.h"
#include "base/zone.h"
#include "support.h"

static FILE *file;
static int error_was;

static void set_up(void)
{
	file = tmpfile();
	ck_assert_ptr_nonnull(file);
	fflush(stderr);
	error_was = dup(STDERR_FILENO);
	ck_assert_int_ge(dup2(fileno(file), STDERR_FILENO), 0);
}

static void tear_down(void)
{
	fflush(stderr);
	dup2(error_was, STDERR_FILENO);
	close(error_was);
	fclose(file);
}

/* What was written so far. */
static size_t written(char *out, size_t room)
{
	size_t n;

	fflush(stderr);
	rewind(file);
	n = fread(out, 1, room - 1, file);
	out[n] = '\0';
	return n;
}

START_TEST(a_line_has_its_time_and_no_control_characters)
{
	char text[500], at[TIME_TEXT_MAX];
	int64_t second;

	log_line("GET %s %d", "/a\nb\r\x1B[2J\x7F t\xC3\xA4nk", 200);
	written(text, sizeof(text));
	ck_assert_uint_gt(strlen(text), 21);
	memcpy(at, text, 20);
	at[20] = '\0';
	ck_assert_msg(time_read(at, &second), "%s", at);
	ck_assert_str_eq(text + 20, " GET /a\\x0ab\\x0d\\x1b[2J\\x7f t\xC3\xA4nk 200\n");
}
END_TEST

START_TEST(a_long_line_is_cut)
{
	char *text = malloc(5000), *line = malloc(3000);

	memset(line, 'a', 2999);
	line[2999] = '\0';
	log_line("%s", line);
	ck_assert_uint_lt(written(text, 5000), 1100);
	ck_assert_int_eq(text[strlen(text) - 1], '\n');
	free(text);
	free(line);
}
END_TEST

/* A flood is cut off: far fewer lines than were asked for, whatever second it is. */
START_TEST(a_flood_is_limited)
{
	char *text = malloc(100000);
	size_t lines = 0;

	for (int i = 0; i < 2000; i++)
		log_line("again");
	written(text, 100000);
	for (const char *p = text; (p = strchr(p, '\n')) != NULL; p++)
		lines++;
	ck_assert_uint_ge(lines, 200);
	ck_assert_uint_le(lines, 402);
	free(text);
}
END_TEST

Suite *log_suite(void)
{
	Suite *s = suite_create("log");
	TCase *tc = tcase_create("log");

	suite_add_tcase(s, tc);
	tcase_add_checked_fixture(tc, set_up, tear_down);
	tcase_add_test(tc, a_line_has_its_time_and_no_control_characters);
	tcase_add_test(tc, a_long_line_is_cut);
	tcase_add_test(tc, a_flood_is_limited);
	return s;
}

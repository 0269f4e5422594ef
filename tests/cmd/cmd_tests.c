/* The program from outside: its command line, its file, its lock, and that it stops when told to. */
#include <check.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "cmd/command.h"
#include "cmd/settings.h"
#include "http_client.h"
#include "program.h"
#include "run_suites.h"

enum { OUT = 8192 };

static char folder[256], file[300];

static void make_folder(void)
{
	folder_new(folder);
	snprintf(file, sizeof(file), "%s/weirbook.db", folder);
}

static void drop_folder(void)
{
	folder_remove(folder);
}

static int run(char out[OUT], const char *a, const char *b, const char *c, const char *d)
{
	char *arguments[] = { (char *)a, (char *)b, (char *)c, (char *)d, NULL };

	return program_run(arguments, out, OUT);
}

static size_t count_lines(const char *text)
{
	size_t n = 0;

	for (; *text; text++)
		n += *text == '\n';
	return n;
}

static const struct {
	const char *arguments[4];
	const char *says;
} bad[] = {
	{ { "sreve" }, "no command sreve" },
	{ { "serve", "--prot", "1" }, "no setting --prot" },
	{ { "serve", "--listen" }, "a value is missing after --listen" },
	{ { "serve", "--listen=" }, "a value is missing after --listen" },
	{ { "serve", "--open-lan=yes" }, "no value is taken by --open-lan" },
	{ { "serve", "--db=a", "--db=b" }, "once: --db" },
	{ { "serve", "extra" }, "one argument too many: extra" },
	{ { "version", "--db", "x" }, "no setting --db" },
	{ { "backup" }, "still needed: FILE" },
	{ { "serve", "--listen", "127.0.0.1:x" }, "write it like 127.0.0.1:8080" },
	{ { "serve", "--listen=8080" }, "write it like 127.0.0.1:8080" },
	{ { "serve", "--web=/no/such/folder" }, "is not a folder" },
	{ { "--db" }, "no command --db" },
};

START_TEST(bad_arguments_get_one_line_and_exit_2)
{
	const char *const *a = bad[_i].arguments;
	char out[OUT];

	ck_assert_int_eq(run(out, a[0], a[1], a[2], a[3]), EXIT_ARGUMENTS);
	ck_assert_msg(strstr(out, bad[_i].says) != NULL, "%s", out);
	ck_assert_uint_eq(count_lines(out), 1);
}
END_TEST

START_TEST(without_arguments_every_command_is_named)
{
	char out[OUT];

	ck_assert_int_eq(run(out, NULL, NULL, NULL, NULL), EXIT_FINE);
	for (size_t i = 0; commands[i]; i++)
		ck_assert_ptr_nonnull(strstr(out, commands[i]->name));
}
END_TEST

START_TEST(help_of_each_command_names_its_settings)
{
	for (size_t i = 0; commands[i]; i++) {
		char out[OUT];

		ck_assert_int_eq(run(out, commands[i]->name, "--help", NULL, NULL), EXIT_FINE);
		for (const enum setting *s = commands[i]->takes; *s != SETTING__MAX; s++) {
			ck_assert_msg(strstr(out, settings[*s].name) != NULL, "%s: %s",
				      commands[i]->name, settings[*s].name);
			ck_assert_ptr_nonnull(strstr(out, settings[*s].help));
		}
	}
}
END_TEST

START_TEST(file_stands_in_the_state_folder_for_its_owner_alone)
{
	struct stat st;
	char path[400];
	char out[OUT];

	/* 192.0.2.1 is nobody's (RFC 5737): it ends when the file is made and the socket is not. */
	setenv("STATE_DIRECTORY", folder, 1);
	ck_assert_int_eq(run(out, "serve", "--listen=192.0.2.1:1", "--open-lan", NULL),
			 EXIT_FAILED);
	ck_assert_int_eq(stat(file, &st), 0);
	ck_assert_int_eq(st.st_mode & 0777, 0600);
	unsetenv("STATE_DIRECTORY");

	snprintf(path, sizeof(path), "%s/made", folder);
	setenv("XDG_DATA_HOME", path, 1);
	ck_assert_int_eq(run(out, "serve", "--listen=192.0.2.1:1", "--open-lan", NULL),
			 EXIT_FAILED);
	ck_assert_int_eq(stat(path, &st), 0);
	ck_assert_int_eq(st.st_mode & 0777, 0700);
	snprintf(path, sizeof(path), "%s/made/weirbook", folder);
	ck_assert_int_eq(stat(path, &st), 0);
	ck_assert_int_eq(st.st_mode & 0777, 0700);
	folder_remove(path);
	snprintf(path, sizeof(path), "%s/made", folder);
	folder_remove(path);
}
END_TEST

START_TEST(told_to_stop_it_stops_cleanly)
{
	static const int signals[] = { SIGTERM, SIGINT };
	struct program p;
	struct stat log;
	struct answer a;
	char path[400];

	program_serve(&p, file);
	ck_assert_int_eq(ask(p.address, "GET /healthz HTTP/1.1\r\nHost: localhost\r\n\r\n", &a),
			 200);
	answer_release(&a);
	ck_assert_int_eq(program_end(&p, signals[_i]), 0);
	/* The last checkpoint leaves all in one file. */
	snprintf(path, sizeof(path), "%s-wal", file);
	ck_assert_int_ne(stat(path, &log), 0);
}
END_TEST

START_TEST(what_would_write_is_refused_while_the_service_runs)
{
	struct program p;
	char out[OUT];

	program_serve(&p, file);
	ck_assert_int_eq(run(out, "serve", "--db", file, "--listen=127.0.0.1:0"), EXIT_FAILED);
	ck_assert_msg(strstr(out, "stop it first") != NULL, "%s", out);
	ck_assert_int_eq(run(out, "rebuild", "--db", file, NULL), EXIT_FAILED);
	ck_assert_ptr_nonnull(strstr(out, "stop it first"));
	ck_assert_int_eq(run(out, "check", "--db", file, NULL), EXIT_FINE);
	ck_assert_int_eq(program_end(&p, SIGTERM), 0);
	ck_assert_int_eq(run(out, "rebuild", "--db", file, NULL), EXIT_FINE);
}
END_TEST

START_TEST(backup_is_a_record_and_never_writes_over_one)
{
	struct program p;
	char copy[400], out[OUT];

	snprintf(copy, sizeof(copy), "%s/copy.db", folder);
	program_serve(&p, file);
	ck_assert_int_eq(run(out, "backup", copy, "--db", file), EXIT_FINE);
	ck_assert_msg(run(out, "backup", copy, "--db", file) == EXIT_FAILED, "%s", out);
	ck_assert_int_eq(program_end(&p, SIGTERM), 0);
	ck_assert_msg(run(out, "check", "--db", copy, NULL) == EXIT_FINE, "%s", out);
}
END_TEST

START_TEST(file_that_is_no_record_is_refused_and_kept)
{
	static const char text[] = "A day's takings, not a record.\n";
	char back[64] = "", out[OUT];
	FILE *f = fopen(file, "w");

	fputs(text, f);
	fclose(f);
	ck_assert_int_eq(run(out, "serve", "--db", file, "--listen=127.0.0.1:0"), EXIT_FAILED);
	ck_assert_int_eq(run(out, "check", "--db", file, NULL), EXIT_FAILED);
	f = fopen(file, "r");
	ck_assert_uint_eq(fread(back, 1, sizeof(back) - 1, f), strlen(text));
	fclose(f);
	ck_assert_str_eq(back, text);
}
END_TEST

/* While no manager exists only this computer is served, whatever --listen says. */
START_TEST(other_addresses_are_served_only_when_told_outright)
{
	char *plain[] = { "serve", "--db", file, "--listen", "0.0.0.0:1", NULL };
	char *open[] = { "serve", "--db", file, "--listen", "192.0.2.1:1", "--open-lan", NULL };
	char out[OUT], port[32];
	struct program p;

	/* Both end by themselves: the first at a port that is taken, the second at a foreign address. */
	program_serve(&p, file);
	snprintf(port, sizeof(port), "0.0.0.0%s", strrchr(p.address, ':'));
	plain[4] = port;
	snprintf(file, sizeof(file), "%s/other.db", folder);
	ck_assert_int_eq(program_run(plain, out, sizeof(out)), EXIT_FAILED);
	ck_assert_msg(strstr(out, "only this computer is served") != NULL, "%s", out);
	ck_assert_msg(strstr(out, "Cannot listen on 127.0.0.1:") != NULL, "%s", out);
	ck_assert_int_eq(program_run(open, out, sizeof(out)), EXIT_FAILED);
	ck_assert_msg(strstr(out, "anybody on this network") != NULL, "%s", out);
	ck_assert_msg(strstr(out, "Cannot listen on 192.0.2.1:1") != NULL, "%s", out);
	ck_assert_int_eq(program_end(&p, SIGTERM), 0);
}
END_TEST

static Suite *commands_suite(void)
{
	Suite *suite = suite_create("commands");
	TCase *t = tcase_create("commands");

	tcase_set_timeout(t, 60);
	tcase_add_checked_fixture(t, make_folder, drop_folder);
	tcase_add_loop_test(t, bad_arguments_get_one_line_and_exit_2, 0,
			    sizeof(bad) / sizeof(*bad));
	tcase_add_test(t, without_arguments_every_command_is_named);
	tcase_add_test(t, help_of_each_command_names_its_settings);
	tcase_add_test(t, file_stands_in_the_state_folder_for_its_owner_alone);
	tcase_add_loop_test(t, told_to_stop_it_stops_cleanly, 0, 2);
	tcase_add_test(t, what_would_write_is_refused_while_the_service_runs);
	tcase_add_test(t, backup_is_a_record_and_never_writes_over_one);
	tcase_add_test(t, file_that_is_no_record_is_refused_and_kept);
	tcase_add_test(t, other_addresses_are_served_only_when_told_outright);
	suite_add_tcase(suite, t);
	return suite;
}

int main(void)
{
	static Suite *(*const suites[])(void) = {
		commands_suite,
		NULL,
	};

	return run_suites(suites);
}

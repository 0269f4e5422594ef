/* Runs the built program as a test's child. */
#include "program.h"

#include <check.h>
#include <dirent.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

enum { ARGUMENTS_MAX = 24 };

void folder_new(char path[256])
{
	const char *base = getenv("TMPDIR");

	snprintf(path, 256, "%s/weirbook-test-XXXXXX", base && *base ? base : P_tmpdir);
	ck_assert_ptr_nonnull(mkdtemp(path));
}

void folder_remove(const char *path)
{
	DIR *folder = opendir(path);
	const struct dirent *entry;

	ck_assert_ptr_nonnull(folder);
	while ((entry = readdir(folder)))
		unlinkat(dirfd(folder), entry->d_name, 0);
	closedir(folder);
	rmdir(path);
}

static long file_limit;

void program_limit_files(long bytes)
{
	file_limit = bytes;
}

static void set_file_limit(void)
{
	const struct rlimit limit = { .rlim_cur = (rlim_t)file_limit, .rlim_max = RLIM_INFINITY };

	if (file_limit == 0)
		return;
	setrlimit(RLIMIT_FSIZE, &limit);
}

static const char *program_path(char path[512])
{
	const char *folder = getenv("builddir");

	snprintf(path, 512, "%s/weirbook", folder ? folder : ".");
	return path;
}

static _Noreturn void become(char *const *arguments, int out, bool errors_too)
{
	char *argv[ARGUMENTS_MAX] = { "weirbook" };
	char path[512];
	size_t n = 1;

	/* When a test is cut short its program must not stay. */
	prctl(PR_SET_PDEATHSIG, SIGKILL);
	set_file_limit();
	while (arguments[n - 1] && n + 1 < ARGUMENTS_MAX) {
		argv[n] = arguments[n - 1];
		n++;
	}
	dup2(out, STDOUT_FILENO);
	if (errors_too)
		dup2(out, STDERR_FILENO);
	execv(program_path(path), argv);
	perror(path);
	_exit(127);
}

static pid_t start(char *const *arguments, int *out, bool errors_too)
{
	int ends[2];
	pid_t pid;

	ck_assert_int_eq(pipe2(ends, O_CLOEXEC), 0);
	pid = fork();
	ck_assert_int_ge(pid, 0);
	if (pid == 0)
		become(arguments, ends[1], errors_too);
	close(ends[1]);
	*out = ends[0];
	return pid;
}

/* "Weirbook serves http://localhost:41234/ from ..." */
static void read_address(int out, char address[64])
{
	static const char before[] = "http://localhost:";
	char text[1024] = "";
	size_t n = 0;
	const char *at;

	while (n + 1 < sizeof(text) && !strchr(text, '\n')) {
		ssize_t got = read(out, text + n, sizeof(text) - 1 - n);

		ck_assert_msg(got > 0, "the program ended before it served: %s", text);
		n += (size_t)got;
		text[n] = '\0';
	}
	at = strstr(text, before);
	ck_assert_msg(at != NULL, "no address in: %s", text);
	at += strlen(before);
	snprintf(address, 64, "127.0.0.1:%.*s", (int)strspn(at, "0123456789"), at);
}

void program_serve(struct program *p, const char *file)
{
	char *arguments[] = { "serve", "--db", (char *)file, "--listen", "127.0.0.1:0", NULL };
	int out;

	p->pid = start(arguments, &out, false);
	read_address(out, p->address);
	close(out);
}

int program_end(struct program *p, int signal_number)
{
	int status;

	ck_assert_int_eq(kill(p->pid, signal_number), 0);
	ck_assert_int_eq(waitpid(p->pid, &status, 0), p->pid);
	return status;
}

int program_run(char *const *arguments, char *out, size_t room)
{
	int from, status;
	pid_t pid = start(arguments, &from, true);
	size_t n = 0;
	ssize_t got;
	char rest[1024];

	while ((got = n + 1 < room ? read(from, out + n, room - 1 - n)
				   : read(from, rest, sizeof(rest))) > 0)
		if (n + 1 < room)
			n += (size_t)got;
	out[n] = '\0';
	close(from);
	ck_assert_int_eq(waitpid(pid, &status, 0), pid);
	return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

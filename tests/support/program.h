/* Runs the built program (weirbook in the build folder) as a test's child. */
#ifndef WEIRBOOK_TESTS_SUPPORT_PROGRAM_H
#define WEIRBOOK_TESTS_SUPPORT_PROGRAM_H

#include <stdbool.h>
#include <sys/types.h>

struct program {
	pid_t pid;
	char address[64]; /* "127.0.0.1:41234", once it serves */
};

/* A new empty folder under $TMPDIR, for files of one test. */
void folder_new(char path[256]);
void folder_remove(const char *path); /* with the files in it */

/* From now on each program that is started can make no file longer than this: its disk then fails with an
 * error that is not "full".  0: no limit. */
void program_limit_files(long bytes);

/* Starts weirbook serve on file, on a free port, and waits until it prints its address. */
void program_serve(struct program *p, const char *file);

/* Sends a signal and waits for the end; the status as from waitpid. */
int program_end(struct program *p, int signal_number);

/*
 * Runs weirbook with these arguments (NULL-ended) to its end.  Both its outputs go to out, NUL-ended and
 * cut at room; returns its exit status, or -1 when it was killed.
 */
int program_run(char *const *arguments, char *out, size_t room);

#endif

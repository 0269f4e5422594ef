/* What a command is, and what it is run with.  A new command is a file and a row in commands.c. */
#ifndef WEIRBOOK_CMD_COMMAND_H
#define WEIRBOOK_CMD_COMMAND_H

#include <stddef.h>

#include "base/err.h"
#include "cmd/settings.h"

enum { EXIT_FINE = 0, EXIT_FAILED = 1, EXIT_ARGUMENTS = 2 };

struct arguments {
	const char *given[SETTING__MAX]; /* NULL: not given; "" for one that stands alone */
	char **operands;
	size_t n_operands;
};

struct command {
	const char *name;
	const char *operands;      /* for --help: "FILE", or "" */
	size_t least, most;        /* how many operands it takes */
	const char *summary;       /* one line */
	const enum setting *takes; /* ended by SETTING__MAX; --help is taken always */
	int (*run)(const struct arguments *args); /* exit status */
};

extern const struct command *const commands[]; /* NULL-ended; the one list (commands.c) */

/* Finds the command, reads its arguments and runs it.  Bad ones: one line that says what to do, exit 2. */
int command_main(int argc, char **argv);

/* Prints each item of err as "weirbook: MESSAGE" to standard error; returns EXIT_FAILED. */
int command_failed(const struct err *err);

#endif

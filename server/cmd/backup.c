/* weirbook backup FILE: a copy in one piece, also while the service runs. */
#include <stdio.h>

#include "cmd/commands.h"
#include "cmd/db_file.h"
#include "store/store.h"

static void count(const char *text, void *with)
{
	fprintf(stderr, "weirbook: the copy: %s\n", text);
	++*(int *)with;
}

/* A copy that was never opened is no copy. */
static enum err_code prove(const char *path, struct err *err)
{
	struct store *copy = NULL;
	int found = 0;
	enum err_code rc = store_open(path, STORE_READ, &copy, err);

	if (!rc)
		rc = store_check(copy, false, count, &found, err);
	if (!rc && found > 0)
		rc = err_set(err, ERR_UNAVAILABLE, "", "file_damaged",
			     "The copy %s is not sound: do not rely on it, and run weirbook check.",
			     path);
	store_close(copy);
	return rc;
}

static int run(const struct arguments *args)
{
	const char *to = args->operands[0];
	struct store *store = NULL;
	struct arena arena;
	struct err err;
	const char *from;
	enum err_code rc;

	arena_init(&arena);
	err_clear(&err);
	from = db_file(args, "weirbook.db", &arena, &err);
	rc = from ? store_open(from, STORE_READ, &store, &err) : err.code;
	if (!rc)
		rc = store_copy(store, to, &err);
	if (!rc)
		rc = prove(to, &err);
	if (!rc)
		printf("%s is a checked copy of %s\n", to, from);
	store_close(store);
	arena_release(&arena);
	return rc ? command_failed(&err) : EXIT_FINE;
}

static const enum setting takes[] = { SETTING_DB, SETTING__MAX };

const struct command command_backup = { .name = "backup",
					.operands = "FILE",
					.least = 1,
					.most = 1,
					.summary = "copies the record to FILE and checks the copy; "
						   "the service may run meanwhile",
					.takes = takes,
					.run = run };

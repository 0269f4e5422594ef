/* weirbook check: is the file sound, and does the record keep to its own rules? */
#include <stdio.h>

#include "book/book.h"
#include "cmd/commands.h"
#include "cmd/db_file.h"

static void print(const char *text, void *with)
{
	puts(text);
	++*(size_t *)with;
}

static enum err_code check(struct store *store, size_t *found, struct err *err)
{
	struct book *book = NULL;
	enum err_code rc = store_check(store, false, print, found, err);

	/* The ledger's rules mean nothing on a damaged file. */
	if (!rc && *found == 0)
		rc = book_open(store, &book, err);
	if (!rc && book)
		rc = book_check(book, print, found, err);
	book_close(book);
	return rc;
}

static int run(const struct arguments *args)
{
	struct store *store = NULL;
	struct arena arena;
	struct err err;
	size_t found = 0;
	const char *path;
	enum err_code rc;

	arena_init(&arena);
	err_clear(&err);
	path = db_file(args, "weirbook.db", &arena, &err);
	rc = path ? store_open(path, STORE_READ, &store, &err) : err.code;
	if (!rc)
		rc = check(store, &found, &err);
	if (!rc)
		printf("%s: %zu findings\n", path, found);
	store_close(store);
	arena_release(&arena);
	if (rc)
		return command_failed(&err);
	return found ? EXIT_FAILED : EXIT_FINE;
}

static const enum setting takes[] = { SETTING_DB, SETTING__MAX };

const struct command command_check = {
	.name = "check",
	.operands = "",
	.summary = "checks the file and the ledger's rules; prints what "
		   "it finds",
	.takes = takes,
	.run = run
};

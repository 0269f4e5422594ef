/* weirbook rebuild: days, instants and all derived tables, computed again from the entries. */
#include <stdio.h>

#include "book/book.h"
#include "cmd/commands.h"
#include "cmd/db_file.h"

static enum err_code rebuild(struct store *store, struct err *err)
{
	struct book *book = NULL;
	enum err_code rc = book_open(store, &book, err);

	if (!rc)
		rc = store_begin(store, err);
	if (!rc)
		rc = book_rebuild(book, err);
	if (!rc)
		rc = store_commit(store, err);
	store_rollback(store); /* nothing when it was committed */
	while (!rc && book_settle(book))
		;
	book_close(book);
	return rc;
}

static int run(const struct arguments *args)
{
	struct store *store = NULL;
	struct arena arena;
	struct err err;
	const char *path;
	int lock = -1;
	enum err_code rc;

	arena_init(&arena);
	err_clear(&err);
	path = db_file(args, "weirbook.db", &arena, &err);
	if (path)
		lock = db_lock(path, &arena, &err);
	rc = lock >= 0 ? store_open(path, STORE_WRITE, &store, &err) : err.code;
	if (!rc)
		rc = rebuild(store, &err);
	if (!rc)
		printf("%s is rebuilt\n", path);
	store_close(store);
	db_unlock(lock);
	arena_release(&arena);
	return rc ? command_failed(&err) : EXIT_FINE;
}

static const enum setting takes[] = { SETTING_DB, SETTING__MAX };

const struct command command_rebuild = { .name = "rebuild",
					 .operands = "",
					 .summary =
						 "computes days and derived tables again from the "
						 "entries; the service must be stopped",
					 .takes = takes,
					 .run = run };

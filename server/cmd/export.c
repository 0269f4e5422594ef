/* weirbook export DIR: every kind as exchange CSV, struck entries and changes included. */
#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

#include "book/exchange.h"
#include "book/readings_csv.h"
#include "cmd/commands.h"
#include "cmd/db_file.h"
#include "model/kinds.h"

enum { FLUSH_AT = 1 << 16 };

static enum err_code flush(FILE *out, struct strbuf *text, const char *path, struct err *err)
{
	const size_t n = text->length;

	if (n > 0 && fwrite(text->text, 1, n, out) != n)
		return err_set(err, ERR_UNAVAILABLE, "", "not_written", "%.200s: %s.", path,
			       strerror(errno));
	strbuf_clear(text);
	return ERR_NONE;
}

/* Where rows go on their way out. */
struct outgoing {
	FILE *out;
	struct strbuf *text;
	const char *path;
};

static enum err_code flush_readings(void *with, struct err *err)
{
	const struct outgoing *o = with;

	return flush(o->out, o->text, o->path, err);
}

/* Those of wrong stretches too: the stretches are a kind of their own. */
static enum err_code write_readings(struct store *st, FILE *out, const char *path, struct err *err)
{
	static const struct readings_wanted all = { .begin = INT64_MIN,
						    .end = INT64_MAX,
						    .wrong_too = true };
	struct book *book = NULL;
	struct strbuf text;
	struct outgoing o = { out, &text, path };
	enum err_code rc = book_open(st, &book, err);

	strbuf_init(&text);
	if (!rc)
		rc = readings_csv_write(book, &all, &text, flush_readings, &o, err);
	strbuf_release(&text);
	book_close(book);
	return rc;
}

static enum err_code write_rows(struct store *st, const struct kind *k, FILE *out, const char *path,
				struct err *err)
{
	const struct list_query q = exchange_query(k);
	struct record_list *list = NULL;
	const struct record *r;
	struct strbuf text;
	struct arena arena;
	enum err_code rc = record_list_open(st, &q, &list, err);

	arena_init(&arena);
	strbuf_init(&text);
	exchange_write_head(&text, k);
	while (!rc && !(rc = record_list_next(list, &r, err))) {
		arena_reset(&arena);
		if (exchange_own_row(r))
			exchange_write_row(&text, st, r, &arena);
		if (text.length >= FLUSH_AT)
			rc = flush(out, &text, path, err);
	}
	if (rc == ERR_NOT_FOUND) /* the end */
		rc = flush(out, &text, path, err);
	record_list_close(list);
	strbuf_release(&text);
	arena_release(&arena);
	return rc;
}

static enum err_code write_kind(struct store *st, const struct kind *k, const char *folder,
				struct arena *arena, struct err *err)
{
	const char *path = arena_printf(arena, "%s/%s.csv", folder, k->name);
	FILE *out = fopen(path, "wx"); /* never over a file that is there */
	enum err_code rc;

	if (!out)
		return err_set(err, ERR_INPUT, "", "not_written",
			       "%.200s: %s; give a new or empty folder.", path, strerror(errno));
	rc = k == &readings_kind ? write_readings(st, out, path, err)
				 : write_rows(st, k, out, path, err);
	if (fclose(out) != 0 && !rc)
		rc = err_set(err, ERR_UNAVAILABLE, "", "not_written", "%.200s: %s.", path,
			     strerror(errno));
	return rc;
}

/* All kinds of one snapshot. */
static enum err_code write_all(struct store *st, const char *folder, struct arena *arena,
			       struct err *err)
{
	enum err_code rc = store_begin(st, err);

	if (rc)
		return rc;
	for (size_t i = 0; !rc && kinds[i]; i++)
		rc = write_kind(st, kinds[i], folder, arena, err);
	store_rollback(st);
	return rc;
}

static int run(const struct arguments *args)
{
	const char *folder = args->operands[0];
	struct store *store = NULL;
	struct arena arena;
	struct err err;

	arena_init(&arena);
	err_clear(&err);
	const char *path = db_file(args, "weirbook.db", &arena, &err);
	enum err_code rc = path ? store_open(path, STORE_READ, &store, &err) : err.code;
	if (!rc && mkdir(folder, 0700) != 0 && errno != EEXIST)
		rc = err_set(&err, ERR_INPUT, "", "no_folder", "%.200s cannot be made: %s.", folder,
			     strerror(errno));
	if (!rc)
		rc = write_all(store, folder, &arena, &err);
	store_close(store);
	arena_release(&arena);
	return rc ? command_failed(&err) : EXIT_FINE;
}

static const enum setting takes[] = { SETTING_DB, SETTING__MAX };

const struct command command_export = { .name = "export",
					.operands = "DIR",
					.least = 1,
					.most = 1,
					.summary = "writes the whole record as exchange CSV files "
						   "into a new or empty folder",
					.takes = takes,
					.run = run };

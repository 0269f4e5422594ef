/* A farm in memory that takes folders of CSV files: see farm_files.h. */
#include "farm_files.h"

#include <check.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/zone.h"
#include "store/record.h"
#include "support/support.h"

void farm_open(struct farm *f, const char *now)
{
	memset(f, 0, sizeof(*f));
	arena_init(&f->arena);
	f->options.separator = ',';
	f->options.decimal = '.';
	ck_assert(time_read(now, &f->options.now));
	check_ok(store_open(":memory:", STORE_WRITE, &f->store, &f->err), &f->err);
	check_ok(book_open(f->store, &f->book, &f->err), &f->err);
	check_ok(store_begin(f->store, &f->err), &f->err);
}

void farm_close(struct farm *f)
{
	store_rollback(f->store);
	book_close(f->book);
	store_close(f->store);
	arena_release(&f->arena);
}

const char *fixture_path(struct arena *arena, const char *name)
{
	const char *source = getenv("srcdir");

	return arena_printf(arena, "%s/fixtures/%s", source ? source : ".", name);
}

static const char *read_whole(struct arena *arena, const char *path, size_t *length)
{
	FILE *in = fopen(path, "rb");

	*length = 0;
	if (!in)
		return "";
	ck_assert_int_eq(fseek(in, 0, SEEK_END), 0);

	const size_t size = (size_t)ftell(in);
	char *text = arena_array(arena, size + 1, 1);

	rewind(in);
	*length = fread(text, 1, size, in);
	fclose(in);
	ck_assert_uint_eq(*length, size);
	text[size] = '\0';
	return text;
}

const char *fixture_text(struct arena *arena, const char *name)
{
	size_t length;

	return read_whole(arena, fixture_path(arena, name), &length);
}

static int is_csv(const struct dirent *entry)
{
	const size_t n = strlen(entry->d_name);

	return n > 4 && strcmp(entry->d_name + n - 4, ".csv") == 0;
}

enum err_code farm_import(struct farm *f, const char *folder)
{
	const char *path = fixture_path(&f->arena, folder);
	struct dirent **names = NULL;
	const int n = scandir(path, &names, is_csv, alphasort);

	ck_assert_msg(n > 0, "no CSV file in %s", path);

	struct import_file *files = arena_array(&f->arena, (size_t)n, sizeof(*files));

	for (int i = 0; i < n; i++) {
		files[i].name = arena_strdup(&f->arena, names[i]->d_name);
		files[i].text =
			read_whole(&f->arena, arena_printf(&f->arena, "%s/%s", path, files[i].name),
				   &files[i].length);
		free(names[i]);
	}
	free(names);
	err_clear(&f->err);
	return book_import(f->book, files, (size_t)n, &f->options, &f->arena, &f->result, &f->err);
}

enum err_code farm_import_text(struct farm *f, const char *name, const char *text)
{
	const struct import_file file = { .name = name, .text = text, .length = strlen(text) };

	err_clear(&f->err);
	return book_import(f->book, &file, 1, &f->options, &f->arena, &f->result, &f->err);
}

void farm_must_import(struct farm *f, const char *folder)
{
	const enum err_code rc = farm_import(f, folder);
	const char *first = f->result.n_errors > 0 ? f->result.errors[0].item.message : "";

	ck_assert_msg(!rc && f->result.n_faults == 0, "%s: %s: %zu faults:\n%s%s", folder,
		      err_text(&f->err), f->result.n_faults, farm_errors(f), first);
}

int farm_rows(struct farm *f, const char *kind)
{
	const struct list_query q = { .kind = kind_find(kind),
				      .from_day = INT64_MIN,
				      .to_day = INT64_MAX };
	struct record_list *list = NULL;
	const struct record *r;
	int n = 0;

	check_ok(record_list_open(f->store, &q, &list, &f->err), &f->err);
	while (!record_list_next(list, &r, &f->err))
		n++;
	record_list_close(list);
	return n;
}

const char *farm_errors(struct farm *f)
{
	const char *text = "";

	for (size_t i = 0; i < f->result.n_errors && i < 20; i++) {
		const struct import_error *e = &f->result.errors[i];

		text = arena_printf(&f->arena, "%s%s %zu %s %s\n", text, e->file, e->line,
				    e->item.field[0] ? e->item.field : "-", e->item.code);
	}
	return text;
}

/* See csv_farm.h. */
#include "support/csv_farm.h"

#include <check.h>
#include <stdlib.h>

#include "cmd/csv_folder.h"

const char *fixture_path(struct arena *arena, const char *name)
{
	const char *source = getenv("srcdir"); /* set by make check */

	return arena_printf(arena, "%s/fixtures/%s", source ? source : ".", name);
}

void csv_farm_new(struct csv_farm *f)
{
	struct err err;

	*f = (struct csv_farm){ 0 };
	err_clear(&err);
	arena_init(&f->arena);
	ck_assert_int_eq(store_open(":memory:", STORE_WRITE, &f->store, &err), ERR_NONE);
	ck_assert_int_eq(book_open(f->store, &f->book, &err), ERR_NONE);
}

void csv_farm_import(struct csv_farm *f, const char *folder, int64_t now)
{
	const struct import_options options = {
		.separator = ',', .decimal = '.', .now = now, .leave_out_future = true
	};
	struct csv_folder files;
	struct import_result result = { 0 };
	struct err err;

	err_clear(&err);
	ck_assert_int_eq(csv_folder_open(fixture_path(&f->arena, folder), &f->arena, &files, &err),
			 ERR_NONE);
	ck_assert_int_eq(store_begin(f->store, &err), ERR_NONE);
	const enum err_code rc =
		book_import(f->book, files.files, files.n, &options, &f->arena, &result, &err);
	if (result.n_errors)
		ck_abort_msg("%s:%zu: %s", result.errors[0].file, result.errors[0].line,
			     result.errors[0].item.message);
	ck_assert_int_eq(rc, ERR_NONE);
	ck_assert_int_eq(store_commit(f->store, &err), ERR_NONE);
	csv_folder_close(&files);
	while (book_settle(f->book))
		;
}

void csv_farm_open(struct csv_farm *f, const char *folder, int64_t now)
{
	csv_farm_new(f);
	csv_farm_import(f, folder, now);
}

void csv_farm_close(struct csv_farm *f)
{
	book_close(f->book);
	store_close(f->store);
	arena_release(&f->arena);
}

/* Runs an import: files in the order of dependence, rows that wait for others again at the end.
 * See import.h.  How a file is read is in import_row.c. */
#include "book/import.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "book/import_keep.h"
#include "book/inside.h"
#include "book/readings_csv.h"
#include "model/kinds.h"
#include "store/record.h"

enum { TELL_EVERY = 1 << 20 };

/* A row that refers to one not there yet. */
struct waiting {
	size_t file;
	size_t at, line; /* where it stands in the text */
};

struct importing {
	struct book *b;
	const struct import_file *files;
	size_t n_files;
	const struct import_options *options;
	struct import_head *heads; /* one a file; kind NULL: not readable */
	struct occurrences *seen;  /* one a file */
	struct arena *arena;       /* of the whole import */
	struct arena row_arena;    /* of one row */
	struct import_result *result;
	struct waiting *waiting;
	size_t n_waiting, waiting_room;
	size_t readings_file; /* SIZE_MAX: there is none */
	bool last_try;        /* nothing waits any more: what is missing is an error */
	struct import_keeper keeper;
	size_t errors_room;
};

static void add_fault(struct importing *im, size_t file, size_t line, const struct err_item *item)
{
	struct import_result *r = im->result;

	r->n_faults++;
	if (r->n_errors == IMPORT_ERRORS_MAX)
		return;
	r->errors =
		arena_grow(im->arena, r->errors, r->n_errors, &im->errors_room, sizeof(*r->errors));
	r->errors[r->n_errors++] =
		(struct import_error){ .file = im->files[file].name, .line = line, .item = *item };
}

/* A file has columns: a reference's fault is named by its column, tank and not tank_id. */
static void name_by_column(const struct kind *k, struct err_item *item)
{
	const size_t i = k ? kind_field_index(k, item->field) : SIZE_MAX;
	char column[64];

	if (i != SIZE_MAX)
		snprintf(item->field, sizeof(item->field), "%s",
			 field_column(kind_field(k, i), column));
}

static void add_faults(struct importing *im, size_t file, size_t line, const struct err *err)
{
	for (size_t i = 0; i < err->n_items; i++) {
		struct err_item item = err->items[i];

		name_by_column(im->heads[file].kind, &item);
		add_fault(im, file, line, &item);
	}
}

/* True for a fault of the files; anything else ends the import. */
static bool is_fault(enum err_code rc)
{
	return rc == ERR_INPUT || rc == ERR_CONFLICT || rc == ERR_MALFORMED || rc == ERR_NOT_FOUND;
}

/* Whether what the row refers to may still come: a kind not read yet, its own, or any place. */
static bool may_still_come(const struct importing *im, const struct record *r)
{
	if (im->last_try)
		return false;
	for (size_t i = 0; i < kind_field_count(r->kind); i++) {
		const struct field *f = kind_field(r->kind, i);
		if (r->values[i].type != VALUE_TEXT || f->kind != KIND_REFERENCE)
			continue;
		const struct kind *to = kind_find(f->refers_to);
		if (to == &places_kind || kind_index(to) >= kind_index(r->kind))
			return true;
	}
	return false;
}

static void wait_for_others(struct importing *im, size_t file, size_t at, size_t line)
{
	im->waiting = arena_grow(im->arena, im->waiting, im->n_waiting, &im->waiting_room,
				 sizeof(*im->waiting));
	im->waiting[im->n_waiting++] = (struct waiting){ file, at, line };
}

/* An entry of the demo farm that lies ahead. */
static bool lies_ahead(const struct importing *im, const struct record *r)
{
	if (!im->options->leave_out_future || !kind_has_time(r->kind))
		return false;
	const int64_t day = record_int(r, "day", INT64_MIN);
	return record_int(r, "at", INT64_MIN) > im->options->now ||
	       (!record_has(r, "at") && day > book_day(im->b, im->options->now));
}

static enum err_code take_row(struct importing *im, size_t file, const struct csv_row *row,
			      size_t at, struct err *err)
{
	const struct import_head *head = &im->heads[file];
	struct import_count *count = &im->result->counts[kind_index(head->kind)];
	struct record *r = NULL;
	bool repeat = false;
	enum err_code rc = import_row_read(im->b, head, row, im->options, &im->row_arena, &r, err);

	if (!rc && lies_ahead(im, r)) {
		count->left_out++;
		return ERR_NONE;
	}
	if (!rc) {
		struct err unresolved;
		err_clear(&unresolved);
		rc = book_resolve(im->b, r, false, &unresolved);
		if (rc && is_fault(rc) && may_still_come(im, r)) {
			wait_for_others(im, file, at, row->line);
			return ERR_NONE;
		}
		if (rc && is_fault(rc) && im->options->leave_out_future) {
			count->left_out++; /* it is of an entry that was left out */
			return ERR_NONE;
		}
		if (rc)
			*err = unresolved;
	}
	if (!rc)
		rc = import_keep(&im->keeper, head, &im->seen[file], r, row, &repeat, err);
	if (!rc) {
		count->added += !repeat;
		count->same += repeat;
	}
	return rc;
}

/* Reads one row at the reader's place and takes it.  ERR_NOT_FOUND at the end of the text. */
static enum err_code next_row(struct importing *im, size_t file, struct csv_reader *reader)
{
	struct csv_row row = { .line = reader->next_line };
	struct err err;
	const size_t at = reader->at;

	err_clear(&err);
	arena_reset(&im->row_arena);
	enum err_code rc = csv_read(reader, &im->row_arena, &row, &err);
	if (rc == ERR_NOT_FOUND)
		return rc;
	if (!rc)
		rc = take_row(im, file, &row, at, &err);
	if (rc && is_fault(rc)) {
		add_faults(im, file, row.line, &err);
		return ERR_NONE;
	}
	return rc;
}

/* No more rows than lines.  What is read is given back: the file may be large. */
static size_t count_lines(const struct import_file *f)
{
	size_t lines = 1;

	for (size_t at = 0; at < f->length; at += TELL_EVERY) {
		const size_t n = f->length - at < TELL_EVERY ? f->length - at : TELL_EVERY;
		for (size_t i = 0; i < n; i++)
			lines += f->text[at + i] == '\n';
		if (f->read_upto)
			f->read_upto(f, at + n);
	}
	return lines;
}

static enum err_code take_file(struct importing *im, size_t file, struct err *err)
{
	const size_t waited = im->n_waiting;
	struct csv_reader reader;
	struct err fault;
	enum err_code rc;

	err_clear(&fault);
	rc = import_head_read(&im->files[file], im->options, &reader, im->arena, &im->heads[file],
			      &fault);
	if (rc) {
		im->heads[file].kind = NULL;
		add_faults(im, file, 1, &fault);
		return is_fault(rc) ? ERR_NONE : rc;
	}
	occurrences_init(&im->seen[file], count_lines(&im->files[file]));
	size_t told = 0;
	while (!(rc = next_row(im, file, &reader)))
		if (reader.at - told >= TELL_EVERY && im->files[file].read_upto) {
			told = reader.at;
			im->files[file].read_upto(&im->files[file], told);
		}
	if (im->n_waiting == waited)
		occurrences_release(&im->seen[file]);
	if (rc != ERR_NOT_FOUND)
		return err_set(err, rc, "", "import_failed", "The import stopped at %s, line %zu.",
			       im->files[file].name, reader.line);
	return ERR_NONE;
}

static void refuse_reading(size_t line, const struct err *err, void *with)
{
	struct importing *im = with;

	for (size_t i = 0; i < err->n_items; i++)
		add_fault(im, im->readings_file, line, &err->items[i]);
}

/* Readings come by the million and need nothing of what other rows need.  After all others: a probe
 * may have waited. */
static enum err_code take_readings(struct importing *im, struct err *err)
{
	struct import_count *count = &im->result->counts[kind_index(&readings_kind)];
	struct readings_file file = { .file = &im->files[im->readings_file],
				      .options = im->options,
				      .refuse = refuse_reading,
				      .with = im };
	struct readings_in in;

	readings_begin(&in, im->b, im->options->now);
	const enum err_code rc = readings_end(&in, readings_csv_take(&in, &file, err), err);
	count->added = in.kept;
	count->same = in.same;
	count->left_out = file.left_out;
	return rc;
}

/* Rows that waited, again and again while that helps; at last what is missing is an error. */
static enum err_code take_waiting(struct importing *im, struct err *err)
{
	enum err_code rc = ERR_NONE;

	while (!rc && im->n_waiting > 0) {
		const struct waiting *rows = im->waiting;
		const size_t n = im->n_waiting;
		im->waiting = NULL;
		im->n_waiting = im->waiting_room = 0;
		for (size_t i = 0; !rc && i < n; i++) {
			const struct import_file *f = &im->files[rows[i].file];
			struct csv_reader reader;
			csv_reader_init(&reader, f->text, f->length, im->options->separator);
			reader.at = rows[i].at;
			reader.line = reader.next_line = rows[i].line;
			rc = next_row(im, rows[i].file, &reader);
		}
		if (rc)
			return err_set(err, rc, "", "import_failed", "The import stopped.");
		im->last_try = im->n_waiting == n; /* none found what it waited for */
	}
	return rc;
}

/* Where a file's kind stands in the order of dependence; after all of them when its name is of
 * none. */
static size_t rank_of(const struct import_file *file)
{
	const size_t length = strlen(file->name);
	char stem[64];

	snprintf(stem, sizeof(stem), "%.*s", length > 4 ? (int)(length - 4) : 0, file->name);
	const struct kind *kind = kind_find(stem);

	return kind ? kind_index(kind) : kind_count();
}

/* Files by the order of their kinds, those of one as they came. */
static size_t *order_files(struct importing *im)
{
	size_t *order = arena_array(im->arena, im->n_files + 1, sizeof(*order));
	size_t n = 0;

	for (size_t rank = 0; rank <= kind_count(); rank++)
		for (size_t i = 0; i < im->n_files; i++)
			if (rank_of(&im->files[i]) == rank)
				order[n++] = i;
	return order;
}

static bool is_readings(const struct import_file *file)
{
	const size_t n = strlen(readings_kind.name);

	return strncmp(file->name, readings_kind.name, n) == 0 &&
	       strcmp(file->name + n, ".csv") == 0;
}

/* All files, then what waits for all of them: rows, readings, slips.  ERR_INPUT when a fault was
 * met. */
static enum err_code take_all(struct importing *im, struct err *err)
{
	const size_t *order = order_files(im);
	enum err_code rc = ERR_NONE;

	for (size_t i = 0; !rc && i < im->n_files; i++)
		if (is_readings(&im->files[order[i]]))
			im->readings_file = order[i];
		else
			rc = take_file(im, order[i], err);
	if (!rc)
		rc = take_waiting(im, err);
	if (!rc && im->readings_file != SIZE_MAX)
		rc = take_readings(im, err);
	if (!rc && im->result->n_faults > 0)
		rc = err_set(err, ERR_INPUT, "", "import_refused",
			     "Nothing was imported: %zu faults were found.", im->result->n_faults);
	return rc ? rc : import_keep_end(&im->keeper, err);
}

enum err_code book_import(struct book *b, const struct import_file *files, size_t n,
			  const struct import_options *options, struct arena *arena,
			  struct import_result *result, struct err *err)
{
	struct importing im = { .b = b,
				.files = files,
				.n_files = n,
				.options = options,
				.heads = arena_array(arena, n + 1, sizeof(*im.heads)),
				.seen = arena_array(arena, n + 1, sizeof(*im.seen)),
				.arena = arena,
				.result = result,
				.readings_file = SIZE_MAX };
	enum err_code rc = store_savepoint(book_store(b), err);

	if (rc)
		return rc;
	*result = (struct import_result){ .counts = arena_array(arena, kind_count() + 1,
								sizeof(*result->counts)) };
	arena_init(&im.row_arena);
	im.keeper = (struct import_keeper){
		.b = b, .now = options->now, .arena = arena, .row_arena = &im.row_arena
	};
	rc = take_all(&im, err);
	result->looks = im.keeper.looks;
	if (rc || options->dry_run)
		store_undo(book_store(b));
	else
		rc = store_release(book_store(b), err);
	if (rc || options->dry_run)
		book_forget(b);
	arena_release(&im.row_arena);
	for (size_t i = 0; i < n; i++)
		occurrences_release(&im.seen[i]);
	return rc;
}

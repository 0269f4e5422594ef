/* See import_row.h. */
#include "book/import_row.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/nearest.h"
#include "model/kinds.h"

static const char *kind_word(size_t i, const void *with)
{
	(void)with;
	return kinds[i]->name;
}

/* "feedings.csv" to its kind; what only the service writes is no file to import. */
static const struct kind *kind_of_file(const char *name, struct err *err)
{
	char stem[64];
	const size_t length = strlen(name);
	const bool is_csv =
		length > 4 && length - 4 < sizeof(stem) && strcmp(name + length - 4, ".csv") == 0;

	snprintf(stem, sizeof(stem), "%.*s", is_csv ? (int)(length - 4) : 0, name);
	const struct kind *k = kind_find(stem);
	if (is_csv && k)
		return k;
	const char *near = nearest_word(stem, kind_count(), kind_word, NULL);
	err_set(err, ERR_INPUT, "", "unknown_file",
		"No kind of record is called \"%.60s\"; a file is named after its kind%s%s%s.",
		name, near ? ", such as " : "", near ? near : "", near ? ".csv" : "");
	if (near)
		err_arg(err, "nearest", "%s.csv", near);
	return NULL;
}

static const char *column_word(size_t i, const void *with)
{
	static _Thread_local char column[64];

	return field_column(kind_field(with, i), column);
}

static enum err_code unknown_column(const struct kind *k, const char *name, struct err *err)
{
	const char *near = nearest_word(name, kind_field_count(k), column_word, k);

	err_set(err, ERR_INPUT, name, "unknown_column", "%s have no column \"%.60s\"%s%s%s.",
		k->name, name, near ? "; the nearest is \"" : "", near ? near : "",
		near ? "\"" : "");
	if (near)
		err_arg(err, "nearest", "%s", near);
	return ERR_INPUT;
}

static enum err_code read_column(struct import_head *head, const char *name, struct err *err)
{
	int column;

	if (strcmp(name, "key") == 0) {
		column = COLUMN_KEY;
	} else if (strcmp(name, "version") == 0) {
		column = COLUMN_VERSION;
	} else {
		const size_t at = kind_column_index(head->kind, name);
		if (at == SIZE_MAX)
			return unknown_column(head->kind, name, err);
		column = (int)at;
	}
	for (size_t i = 0; i < head->n; i++)
		if (head->column[i] == column)
			return err_set(err, ERR_INPUT, name, "doubled_column",
				       "The column \"%.60s\" stands twice.", name);
	head->names[head->n] = name;
	head->column[head->n++] = column;
	return ERR_NONE;
}

static enum err_code find_missing(const struct import_head *head, struct err *err)
{
	enum err_code rc = ERR_NONE;

	for (size_t f = 0; f < head->kind->n_fields; f++) {
		const struct field *field = &head->kind->fields[f];
		bool there = !field->required;
		char buffer[64];
		for (size_t i = 0; !there && i < head->n; i++)
			there = head->column[i] == (int)f;
		if (there)
			continue;
		const char *column = field_column(field, buffer);
		rc = err_set(err, ERR_INPUT, column, "missing_column",
			     "The column \"%s\" is missing; %s cannot do without it.", column,
			     head->kind->name);
	}
	return rc;
}

static void sort_names(struct import_head *head)
{
	for (size_t i = 0; i < head->n; i++) {
		size_t at = i;
		for (; at > 0 && strcmp(head->names[head->by_name[at - 1]], head->names[i]) > 0;
		     at--)
			head->by_name[at] = head->by_name[at - 1];
		head->by_name[at] = i;
	}
}

/* A file with other separators than were told is one long column: say what to do. */
static enum err_code check_separator(const struct import_file *file, char separator,
				     struct err *err)
{
	const char guess = csv_guess_separator(file->text, file->length);

	if (guess == separator)
		return ERR_NONE;
	err_set(err, ERR_INPUT, "", "other_separator",
		"The columns seem to be separated by %s: say so (--separator '%s' --decimal ','), "
		"or "
		"save the file with commas.",
		guess == ';'    ? "semicolons"
		: guess == '\t' ? "tabs"
				: "commas",
		guess == '\t'  ? "\\t"
		: guess == ';' ? ";"
			       : ",");
	err_arg(err, "separator", "%c", guess);
	return ERR_INPUT;
}

enum err_code import_head_read(const struct import_file *file, const struct import_options *options,
			       struct csv_reader *reader, struct arena *arena,
			       struct import_head *out, struct err *err)
{
	struct csv_row row;

	*out = (struct import_head){ .kind = kind_of_file(file->name, err) };
	if (!out->kind)
		return ERR_INPUT;
	csv_reader_init(reader, file->text, file->length, options->separator);
	enum err_code rc = csv_read(reader, arena, &row, err);
	if (rc == ERR_NOT_FOUND)
		return err_set(err, ERR_INPUT, "", "no_head",
			       "The file is empty; its first line names the columns.");
	if (rc)
		return rc;
	if (row.n == 1)
		rc = check_separator(file, options->separator, err);
	for (size_t i = 0; !rc && i < row.n; i++) {
		const enum err_code one = read_column(out, row.cells[i], err);
		rc = rc ? rc : one;
	}
	if (!rc)
		rc = find_missing(out, err);
	sort_names(out);
	return rc;
}

/* "YYYY-MM-DD HH:MM[:SS]" by the farm's clock: an RFC 3339 time but for its offset. */
static bool read_civil(const char *text, struct civil *out, int64_t *day)
{
	const size_t n = strlen(text);
	char time[TIME_TEXT_MAX];
	int64_t at;

	if ((n != 16 && n != 19) || (text[10] != ' ' && text[10] != 'T'))
		return false;
	snprintf(time, sizeof(time), "%.10sT%s%sZ", text, text + 11, n == 16 ? ":00" : "");
	if (!time_read(time, &at))
		return false;
	time[10] = '\0';
	day_read(time, day);
	at -= *day * 86400;
	*out = (struct civil){ .hour = (int)(at / 3600),
			       .minute = (int)(at / 60 % 60),
			       .second = (int)(at % 60) };
	return true;
}

/* "2026-10-25T02:30:00+02:00": an instant as the farm's clock shows it, which tells two that look
 * alike apart. */
static const char *with_offset(const struct zone *z, int64_t at, char out[TIME_TEXT_MAX])
{
	const int offset_s = zone_offset_s(z, at), offset_min = abs(offset_s) / 60;
	char local[TIME_TEXT_MAX];

	time_write(local, at + offset_s);
	snprintf(out, TIME_TEXT_MAX, "%.19s%c%02d:%02d", local, offset_s < 0 ? '-' : '+',
		 offset_min / 60, offset_min % 60);
	return out;
}

static enum err_code came_twice(const struct zone *z, const struct field *f, const char *text,
				int64_t first, int64_t second, struct err *err)
{
	char one[TIME_TEXT_MAX], other[TIME_TEXT_MAX];

	return err_set(err, ERR_INPUT, f->name, "repeated_hour",
		       "%.40s came twice that day: write it with its offset, %s or %s.", text,
		       with_offset(z, first, one), with_offset(z, second, other));
}

static enum err_code local_time(struct book *b, const struct field *f, const char *text,
				int64_t shift_days, int64_t *at, struct err *err)
{
	struct civil clock, date;
	int64_t day, later;

	if (!read_civil(text, &clock, &day))
		return err_set(
			err, ERR_INPUT, f->name, "not_a_time",
			"\"%.40s\" is no time; write it as 2026-11-25T07:58:00Z or, by the farm's "
			"clock, 2026-11-25 07:58.",
			text);
	day_to_civil(day + shift_days, &date);
	date.hour = clock.hour;
	date.minute = clock.minute;
	date.second = clock.second;
	switch (zone_to_utc(book_zone(b), &date, at, &later)) {
	case LOCAL_SKIPPED:
		if (shift_days)
			break; /* the demo farm's clock steps over it */
		return err_set(err, ERR_INPUT, f->name, "skipped_hour",
			       "The clocks went over %.40s: there was no such time.", text);
	case LOCAL_REPEATED:
		if (shift_days)
			break;
		return came_twice(book_zone(b), f, text, *at, later, err);
	case LOCAL_ONE:
		break;
	}
	return ERR_NONE;
}

enum err_code import_time_read(struct book *b, const struct field *f, const char *text,
			       int64_t shift_days, struct value *out, struct err *err)
{
	int64_t at;

	if (time_read(text, &at)) {
		at += shift_days * 86400;
	} else {
		const enum err_code rc = local_time(b, f, text, shift_days, &at, err);
		if (rc)
			return rc;
	}
	*out = (struct value){ .type = VALUE_INT, .i = at };
	return ERR_NONE;
}

static enum err_code read_cell(struct book *b, const struct field *f, const char *text,
			       const struct import_options *options, struct arena *arena,
			       struct value *out, struct err *err)
{
	if (text[0] == '\0')
		return ERR_NONE;
	if (f->kind == KIND_TIME)
		return import_time_read(b, f, text, options->shift_days, out, err);
	if (f->kind == KIND_TEXT || f->kind == KIND_NAME || f->kind == KIND_REFERENCE)
		text = csv_unguard(text);
	if (f->kind == KIND_REFERENCE) {
		*out = (struct value){ .type = VALUE_TEXT, .text = text };
		return ERR_NONE;
	}
	const enum err_code rc = field_read(f, text, options->decimal, arena, out, err);
	if (!rc && f->kind == KIND_DAY)
		out->i += options->shift_days;
	return rc;
}

/* No entry is corrected so often, and the next correction must still count on. */
enum { VERSION_MAX = 1000000000 };

static enum err_code read_head_cell(int column, const char *text, struct record *r, struct err *err)
{
	if (text[0] == '\0')
		return ERR_NONE;
	if (column == COLUMN_KEY) {
		if (!uuid_read(text, &r->key))
			return err_set(err, ERR_INPUT, "key", "not_a_key",
				       "\"%.40s\" is no UUID (RFC 9562).", text);
		return ERR_NONE;
	}
	char *end = NULL;
	r->version = strtoll(text, &end, 10);
	if (*end || r->version < 1)
		return err_set(err, ERR_INPUT, "version", "not_whole",
			       "\"%.40s\" is no whole number above 0.", text);
	if (r->version > VERSION_MAX) {
		err_set(err, ERR_INPUT, "version", "out_of_range", "A version is between 1 and %d.",
			VERSION_MAX);
		err_arg(err, "low", "1");
		err_arg(err, "high", "%d", VERSION_MAX);
		return ERR_INPUT;
	}
	return ERR_NONE;
}

enum err_code import_row_read(struct book *b, const struct import_head *head,
			      const struct csv_row *row, const struct import_options *options,
			      struct arena *arena, struct record **out, struct err *err)
{
	struct record *r = record_new(head->kind, arena);
	enum err_code rc = ERR_NONE;

	if (row->n != head->n) {
		err_set(err, ERR_INPUT, "", "cell_count",
			"The line has %zu cells; the head has %zu.", row->n, head->n);
		err_arg(err, "there", "%zu", row->n);
		err_arg(err, "head", "%zu", head->n);
		return ERR_INPUT;
	}
	for (size_t i = 0; i < head->n; i++) {
		const int column = head->column[i];
		const enum err_code one =
			column < 0
				? read_head_cell(column, row->cells[i], r, err)
				: read_cell(b, kind_field(head->kind, (size_t)column),
					    row->cells[i], options, arena, &r->values[column], err);
		rc = rc ? rc : one;
	}
	*out = r;
	return rc;
}

const char *import_row_identity(const struct import_head *head, const struct record *r,
				const struct csv_row *row, struct arena *arena, size_t *length)
{
	struct strbuf text;

	strbuf_init(&text);
	strbuf_adds(&text, head->kind->name);
	for (size_t i = 0; i < head->n; i++) {
		const size_t c = head->by_name[i];
		const int column = head->column[c];
		if (column < 0 || row->cells[c][0] == '\0')
			continue;
		const struct field *f = kind_field(head->kind, (size_t)column);
		strbuf_addc(&text, '\x1e');
		strbuf_adds(&text, head->names[c]);
		strbuf_addc(&text, '\x1f');
		strbuf_adds(&text, f->kind == KIND_REFERENCE
					   ? row->cells[c]
					   : field_write(f, &r->values[column], arena));
	}
	*length = text.length;
	const char *kept = arena_strndup(arena, text.text, text.length);
	strbuf_release(&text);
	return kept;
}

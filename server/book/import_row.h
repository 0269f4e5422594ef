/* Inside the import: one CSV file, its head, and its rows as records. */
#ifndef WEIRBOOK_BOOK_IMPORT_ROW_H
#define WEIRBOOK_BOOK_IMPORT_ROW_H

#include "base/csv.h"
#include "book/import.h"

/* What a column of the file holds. */
enum { COLUMN_KEY = -1, COLUMN_VERSION = -2 };

struct import_head {
	const struct kind *kind;
	size_t n;
	int column[CSV_COLUMNS_MAX]; /* index of the field, or COLUMN_* */
	/* columns in the order of their names: keys do not depend on their order in the file */
	size_t by_name[CSV_COLUMNS_MAX];
	const char *names[CSV_COLUMNS_MAX];
};

/* Reads the head of a file.  Faults: unknown_file, no_head, other_separator, unknown_column (arg
 * nearest), doubled_column, missing_column. */
enum err_code import_head_read(const struct import_file *file, const struct import_options *options,
			       struct csv_reader *reader, struct arena *arena,
			       struct import_head *out, struct err *err);

/* Turns a row's cells into a record: values by their fields, references as text, key and version.
 * Adds every fault of the row.  *out belongs to the arena. */
enum err_code import_row_read(struct book *b, const struct import_head *head,
			      const struct csv_row *row, const struct import_options *options,
			      struct arena *arena, struct record **out, struct err *err);

/* A time of a cell: RFC 3339, or by the farm's clock, moved by shift_days.  ERR_INPUT on f:
 * not_a_time, skipped_hour, repeated_hour; the last two not of a time that is moved. */
enum err_code import_time_read(struct book *b, const struct field *f, const char *text,
			       int64_t shift_days, struct value *out, struct err *err);

/* The row's identity without its occurrence: kind and cells, by column name.  Owned by the arena,
 * *length bytes; a NUL follows. */
const char *import_row_identity(const struct import_head *head, const struct record *r,
				const struct csv_row *row, struct arena *arena, size_t *length);

#endif

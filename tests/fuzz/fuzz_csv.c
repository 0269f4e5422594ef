/* Any bytes as CSV: the reading ends, faults name a place, and rows written and read again are the same. */
#include <string.h>

#include "base/csv.h"
#include "base/utf8.h"
#include "fuzz.h"

static void write_row(struct strbuf *out, const struct csv_row *row, char separator)
{
	for (size_t i = 0; i < row->n; i++)
		csv_write_cell(out, row->cells[i], separator, i == 0);
	csv_write_end(out);
}

static void want_same(const struct csv_row *row, char separator, struct arena *arena)
{
	struct strbuf text;
	struct csv_reader r;
	struct csv_row again;

	if (row->n == 1 && !row->cells[0][0]) /* an empty line: passed over */
		return;
	strbuf_init(&text);
	write_row(&text, row, separator);
	csv_reader_init(&r, text.text, text.length, separator);
	if (memcmp(text.text, "\xEF\xBB\xBF", 3) == 0) /* data here, not a mark */
		r.at = r.from = 0;
	fuzz_want(csv_read(&r, arena, &again, NULL) == ERR_NONE);
	fuzz_want(again.n == row->n);
	for (size_t i = 0; i < row->n; i++)
		fuzz_want(strcmp(again.cells[i], row->cells[i]) == 0);
	strbuf_release(&text);
}

FUZZ_TARGET(csv)
{
	const char *text = (const char *)data;
	char separator = csv_guess_separator(text, size);
	struct arena arena;
	struct csv_reader r;
	size_t last_line = 0;
	enum err_code rc;

	arena_init(&arena);
	csv_reader_init(&r, text, size, separator);
	do {
		struct csv_row row;
		struct err err;
		size_t from = r.at;

		err_clear(&err);
		rc = csv_read(&r, &arena, &row, &err);
		fuzz_want(rc == ERR_NONE || rc == ERR_NOT_FOUND || rc == ERR_MALFORMED);
		fuzz_want(r.at > from || rc == ERR_NOT_FOUND);
		fuzz_want(r.at <= size);
		fuzz_want((rc == ERR_MALFORMED) == (err.n_items == 1));
		if (rc == ERR_NONE) {
			fuzz_want(row.n >= 1 && row.n <= CSV_COLUMNS_MAX);
			fuzz_want(row.line > last_line);
			for (size_t i = 0; i < row.n; i++)
				fuzz_want(utf8_valid(row.cells[i], strlen(row.cells[i])));
			want_same(&row, separator, &arena);
			last_line = row.line;
		}
		arena_reset(&arena);
	} while (rc != ERR_NOT_FOUND);
	arena_release(&arena);
	return 0;
}

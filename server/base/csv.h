/*
 * CSV text as RFC 4180 has it, read with line numbers and exact positions.  Takes LF or CRLF, a
 * UTF-8 byte-order mark, and another separator when told.  Small, bounded, fuzzed.
 */
#ifndef WEIRBOOK_BASE_CSV_H
#define WEIRBOOK_BASE_CSV_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/strbuf.h"

enum { CSV_COLUMNS_MAX = 100, CSV_CELL_MAX = 1 << 20 };

struct csv_reader {
	const char *text;        /* borrowed, need not end in NUL */
	size_t length, at, from; /* from: behind a byte-order mark */
	char separator;          /* ',' or ';' or tab */
	size_t line;             /* line on which the last row began, from 1 */
	size_t next_line;
};

struct csv_row {
	size_t n;
	const char **cells; /* owned by the arena; "" for an empty cell */
	const bool *quoted; /* whether the cell stood in quotes */
	size_t line;
};

/* Skips a byte-order mark.  text must stay alive while it is read. */
void csv_reader_init(struct csv_reader *r, const char *text, size_t length, char separator);

/*
 * Reads the next row.  ERR_NOT_FOUND at the end of the text.  ERR_MALFORMED (codes csv_quote,
 * csv_open_quote, csv_lone_cr, csv_nul, csv_utf8, csv_too_wide, csv_cell_too_long) names the line
 * in args line and column; reading goes on with the next line.  A line with nothing on it is passed
 * over.
 */
enum err_code csv_read(struct csv_reader *r, struct arena *arena, struct csv_row *row,
		       struct err *err);

/* What the first line seems to separate its cells by: ';', tab, else ','. */
char csv_guess_separator(const char *text, size_t length);

/* Appends one cell, quoted where RFC 4180 needs it; first says that no separator stands before. */
void csv_write_cell(struct strbuf *out, const char *text, char separator, bool first);
void csv_write_end(struct strbuf *out); /* CRLF */

/* Free text only: one ' in front of what begins with = + - @ tab or '; and off again. */
const char *csv_guard(struct arena *arena, const char *text);
const char *csv_unguard(const char *text);

#endif

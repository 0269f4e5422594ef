/* CSV text as RFC 4180 has it: see csv.h. */
#include "base/csv.h"

#include <string.h>

#include "base/utf8.h"

void csv_reader_init(struct csv_reader *r, const char *text, size_t length, char separator)
{
	*r = (struct csv_reader){
		.text = text, .length = length, .separator = separator, .line = 1, .next_line = 1
	};
	if (length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0)
		r->from = r->at = 3;
}

static bool at_end(const struct csv_reader *r)
{
	return r->at >= r->length;
}

/* Bytes of the line end here: 0, 1 or 2. */
static size_t line_end_size(const struct csv_reader *r)
{
	if (at_end(r))
		return 0;
	if (r->text[r->at] == '\n')
		return 1;
	if (r->text[r->at] == '\r' && r->at + 1 < r->length && r->text[r->at + 1] == '\n')
		return 2;
	return 0;
}

static bool at_cell_end(const struct csv_reader *r)
{
	return at_end(r) || r->text[r->at] == r->separator || line_end_size(r) > 0;
}

static void skip_line(struct csv_reader *r)
{
	const char *end = at_end(r) ? NULL : memchr(r->text + r->at, '\n', r->length - r->at);

	r->at = end ? (size_t)(end - r->text) + 1 : r->length;
	r->next_line++;
}

/* Characters from the start of the line to here, counted from 1. */
static size_t column_of(const struct csv_reader *r, size_t at)
{
	size_t column = 1;

	for (size_t i = at; i > r->from && r->text[i - 1] != '\n'; i--)
		if (((unsigned char)r->text[i - 1] & 0xC0) != 0x80)
			column++;
	return column;
}

static enum err_code fault(const struct csv_reader *r, size_t at, size_t line, const char *code,
			   const char *what, struct err *err)
{
	size_t column = column_of(r, at);

	err_set(err, ERR_MALFORMED, "", code, "Line %zu, character %zu: %s", line, column, what);
	err_arg(err, "line", "%zu", line);
	err_arg(err, "column", "%zu", column);
	return ERR_MALFORMED;
}

/* Takes one character into the cell. */
static enum err_code take_character(struct csv_reader *r, struct strbuf *cell, struct err *err)
{
	size_t size = utf8_size(r->text + r->at, r->length - r->at);

	if (size == 0 && r->text[r->at] == '\0')
		return fault(r, r->at, r->next_line, "csv_nul",
			     "a NUL byte stands here. Save the file as UTF-8 text.", err);
	if (size == 0)
		return fault(r, r->at, r->next_line, "csv_utf8",
			     "these bytes are not UTF-8. Save the file as UTF-8 text.", err);
	if (cell->length + size > CSV_CELL_MAX)
		return fault(r, r->at, r->next_line, "csv_cell_too_long",
			     "the cell is longer than 1 MiB. A quote may be missing.", err);
	strbuf_add(cell, r->text + r->at, size);
	if (r->text[r->at] == '\n')
		r->next_line++;
	r->at += size;
	return ERR_NONE;
}

/* Only LF and CR LF end a line; some spreadsheets still offer files in which CR alone does. */
static enum err_code lone_cr(const struct csv_reader *r, struct err *err)
{
	return fault(r, r->at, r->next_line, "csv_lone_cr",
		     "CR alone ends no line. Save the file as CSV UTF-8.", err);
}

/* From an opening quote to behind the closing one.  An open quote goes back to its own line, so
 * that the lines it swallowed are read. */
static enum err_code read_quoted(struct csv_reader *r, struct strbuf *cell, struct err *err)
{
	const size_t opened_at = r->at, opened_line = r->next_line;
	bool closed = false;

	r->at++;
	while (!at_end(r)) {
		if (r->text[r->at] == '"') {
			r->at++;
			closed = at_end(r) || r->text[r->at] != '"';
			if (closed)
				break;
		}

		enum err_code rc = take_character(r, cell, err);

		if (rc)
			return rc;
	}
	if (!closed) {
		r->at = opened_at;
		r->next_line = opened_line;
		return fault(r, opened_at, opened_line, "csv_open_quote",
			     "this quote is never closed.", err);
	}
	if (!at_cell_end(r) && r->text[r->at] == '\r')
		return lone_cr(r, err);
	if (!at_cell_end(r))
		return fault(r, r->at, r->next_line, "csv_quote",
			     "a cell goes on behind its closing quote. Write a quote within a "
			     "quoted cell twice.",
			     err);
	return ERR_NONE;
}

static enum err_code read_bare(struct csv_reader *r, struct strbuf *cell, struct err *err)
{
	while (!at_cell_end(r)) {
		if (r->text[r->at] == '\r')
			return lone_cr(r, err);
		if (r->text[r->at] == '"')
			return fault(r, r->at, r->next_line, "csv_quote",
				     "a quote stands within a cell that is not quoted. Put the "
				     "whole cell in quotes and write this one twice.",
				     err);

		enum err_code rc = take_character(r, cell, err);

		if (rc)
			return rc;
	}
	return ERR_NONE;
}

/* The cells of a row while it is read. */
struct cells {
	const char *text[CSV_COLUMNS_MAX];
	bool quoted[CSV_COLUMNS_MAX];
	size_t n;
};

static enum err_code read_cells(struct csv_reader *r, struct arena *arena, struct strbuf *cell,
				struct cells *cells, struct err *err)
{
	for (;;) {
		bool quoted = !at_end(r) && r->text[r->at] == '"';
		enum err_code rc;

		if (cells->n == CSV_COLUMNS_MAX)
			return fault(r, r->at, r->next_line, "csv_too_wide",
				     "the line has more than 100 cells.", err);
		strbuf_clear(cell);
		rc = quoted ? read_quoted(r, cell, err) : read_bare(r, cell, err);
		if (rc)
			return rc;
		cells->text[cells->n] = arena_strndup(arena, cell->text, cell->length);
		cells->quoted[cells->n++] = quoted;
		if (at_end(r) || r->text[r->at] != r->separator)
			return ERR_NONE;
		r->at++;
	}
}

enum err_code csv_read(struct csv_reader *r, struct arena *arena, struct csv_row *row,
		       struct err *err)
{
	struct cells cells = { .n = 0 };
	struct strbuf cell;
	enum err_code rc;

	while (line_end_size(r) > 0)
		skip_line(r);
	if (at_end(r))
		return ERR_NOT_FOUND;
	r->line = r->next_line;
	strbuf_init(&cell);
	rc = read_cells(r, arena, &cell, &cells, err);
	strbuf_release(&cell);
	skip_line(r);
	if (rc)
		return rc;

	const char **texts = arena_array(arena, cells.n, sizeof(texts[0]));
	bool *quoted = arena_array(arena, cells.n, sizeof(quoted[0]));

	memcpy(texts, cells.text, cells.n * sizeof(texts[0]));
	memcpy(quoted, cells.quoted, cells.n * sizeof(quoted[0]));
	*row = (struct csv_row){ .n = cells.n, .cells = texts, .quoted = quoted, .line = r->line };
	return ERR_NONE;
}

char csv_guess_separator(const char *text, size_t length)
{
	size_t commas = 0, semicolons = 0, tabs = 0;
	bool in_quotes = false;

	for (size_t i = 0; i < length && (in_quotes || text[i] != '\n'); i++) {
		if (text[i] == '"')
			in_quotes = !in_quotes;
		if (in_quotes)
			continue;
		commas += text[i] == ',';
		semicolons += text[i] == ';';
		tabs += text[i] == '\t';
	}
	if (semicolons > commas && semicolons >= tabs)
		return ';';
	return tabs > commas ? '\t' : ',';
}

void csv_write_cell(struct strbuf *out, const char *text, char separator, bool first)
{
	const char special[] = { '"', '\r', '\n', separator, '\0' };

	if (!first)
		strbuf_addc(out, separator);
	if (!strpbrk(text, special)) {
		strbuf_adds(out, text);
		return;
	}
	strbuf_addc(out, '"');
	for (; *text; text++) {
		if (*text == '"')
			strbuf_addc(out, '"');
		strbuf_addc(out, *text);
	}
	strbuf_addc(out, '"');
}

void csv_write_end(struct strbuf *out)
{
	strbuf_adds(out, "\r\n");
}

/* What a spreadsheet could take for a formula, and the guard itself. */
static bool needs_guard(char c)
{
	return c != '\0' && strchr("=+-@\t'", c) != NULL;
}

const char *csv_guard(struct arena *arena, const char *text)
{
	return needs_guard(text[0]) ? arena_printf(arena, "'%s", text) : text;
}

const char *csv_unguard(const char *text)
{
	return text[0] == '\'' && needs_guard(text[1]) ? text + 1 : text;
}

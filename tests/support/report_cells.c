/* Runs a report and reads its rows by column. */
#include "support/report_cells.h"

#include <check.h>
#include <string.h>

static size_t row_size; /* of the report that ran last */

struct report_query report_query_at(int64_t now)
{
	return (struct report_query){
		.from_day = NO_INT, .to_day = NO_INT, .day = NO_INT, .at = NO_INT, .now = now
	};
}

void report_run(struct book *book, const char *name, const struct report_query *q,
		struct arena *arena, struct report_result *out)
{
	const struct report *report = report_find(name);
	struct err err;

	ck_assert_ptr_nonnull(report);
	err_clear(&err);
	*out = (struct report_result){ .arena = arena };
	ck_assert_msg(!report->run(book, q, out, &err), "%s", err.items[0].message);
	if (!out->columns) {
		out->columns = report->columns;
		out->n_columns = report->n_columns;
	}
	row_size = report->row_size;
}

static const void *cell(const struct report_result *r, size_t row, const char *column,
			enum field_type type)
{
	ck_assert_uint_lt(row, r->n_rows);
	for (size_t i = 0; i < r->n_columns; i++)
		if (strcmp(r->columns[i].name, column) == 0) {
			ck_assert_int_eq(r->columns[i].type, type);
			return r->rows + row * row_size + r->columns[i].offset;
		}
	ck_abort_msg("no column %s", column);
}

int64_t report_int(const struct report_result *r, size_t row, const char *column)
{
	return *(const int64_t *)cell(r, row, column, FIELD_INT);
}

double report_real(const struct report_result *r, size_t row, const char *column)
{
	return *(const double *)cell(r, row, column, FIELD_DOUBLE);
}

const char *report_text(const struct report_result *r, size_t row, const char *column)
{
	return *(const char *const *)cell(r, row, column, FIELD_STRING);
}

static bool has_text(const struct report_result *r, size_t row, const char *column,
		     const char *text)
{
	const char *there = report_text(r, row, column);

	return there && strcmp(there, text) == 0;
}

size_t report_count(const struct report_result *r, const char *column, const char *text)
{
	size_t n = 0;

	for (size_t i = 0; i < r->n_rows; i++)
		n += has_text(r, i, column, text);
	return n;
}

size_t report_row(const struct report_result *r, const char *column, const char *text)
{
	for (size_t i = 0; i < r->n_rows; i++)
		if (has_text(r, i, column, text))
			return i;
	ck_abort_msg("no row with %s %s", column, text);
}

size_t report_row2(const struct report_result *r, const char *column, const char *text,
		   const char *column2, const char *text2)
{
	for (size_t i = 0; i < r->n_rows; i++)
		if (has_text(r, i, column, text) && has_text(r, i, column2, text2))
			return i;
	ck_abort_msg("no row with %s %s and %s %s", column, text, column2, text2);
}

const struct explanation *report_explanation(const char *name, const struct report_result *r,
					     size_t row)
{
	ck_assert_uint_lt(row, r->n_rows);
	return *(
		const struct explanation *const *)(const void *)(r->rows + row * row_size +
								 report_find(name)->explain_offset);
}

static const char *cell_text(const struct report_result *r, size_t row, const struct field *c,
			     struct arena *arena)
{
	const char *text;

	switch (c->type) {
	case FIELD_INT:
		return arena_printf(arena, "%lld", (long long)report_int(r, row, c->name));
	case FIELD_DOUBLE:
		return arena_printf(arena, "%.15g", report_real(r, row, c->name));
	case FIELD_STRING:
		break;
	}
	text = report_text(r, row, c->name);
	return text ? text : "-";
}

static void add_explanation(const struct explanation *e, struct strbuf *out)
{
	if (!e)
		return;
	for (size_t i = 0; i < e->n_inputs; i++)
		strbuf_addf(out, "  %s %.15g\n", e->inputs[i].name, e->inputs[i].value);
	for (size_t i = 0; i < e->n_entries; i++)
		strbuf_addf(out, "  %lld %s %.15g\n", (long long)e->entries[i].count,
			    e->entries[i].kind, e->entries[i].sum);
}

void report_add_text(const struct report *explained, const struct report_result *r,
		     struct strbuf *out)
{
	struct arena arena;

	arena_init(&arena);
	for (size_t i = 0; i < r->n_rows; i++) {
		for (size_t c = 0; c < r->n_columns; c++)
			strbuf_addf(out, "%s ", cell_text(r, i, &r->columns[c], &arena));
		strbuf_addc(out, '\n');
		if (explained)
			add_explanation(report_explanation(explained->name, r, i), out);
	}
	for (size_t i = 0; i < r->n_notes; i++)
		strbuf_addf(out, "%s %s\n", r->notes[i].code,
			    r->notes[i].of ? r->notes[i].of : "-");
	arena_release(&arena);
}

const char *report_as_text(const struct report_result *r, struct arena *arena)
{
	struct strbuf text;
	const char *kept;

	strbuf_init(&text);
	report_add_text(NULL, r, &text);
	kept = arena_strdup(arena, text.text);
	strbuf_release(&text);
	return kept;
}

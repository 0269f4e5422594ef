/* Runs a report and reads its rows by column, as the API does: a row's struct is its report's own. */
#ifndef WEIRBOOK_TESTS_REPORT_CELLS_H
#define WEIRBOOK_TESTS_REPORT_CELLS_H

#include "base/strbuf.h"
#include "book/report.h"

/* A query that asks nothing, at this clock. */
struct report_query report_query_at(int64_t now);

/* Fails the test when the report is not there or cannot be run.  *out's columns are always set. */
void report_run(struct book *book, const char *name, const struct report_query *q,
		struct arena *arena, struct report_result *out);

int64_t report_int(const struct report_result *r, size_t row, const char *column);
double report_real(const struct report_result *r, size_t row, const char *column);
const char *report_text(const struct report_result *r, size_t row, const char *column);

/* How many rows have this text in a column; the first that has it (fails the test when none has). */
size_t report_count(const struct report_result *r, const char *column, const char *text);
size_t report_row(const struct report_result *r, const char *column, const char *text);
/* The row that has two texts. */
size_t report_row2(const struct report_result *r, const char *column, const char *text,
		   const char *column2, const char *text2);

const struct explanation *report_explanation(const char *name, const struct report_result *r,
					     size_t row);

/*
 * All rows and notes as text, to compare whole, without ids, which differ between two files.  explained: the report
 * they are of, when what explains each row is to be there too; else NULL.
 */
void report_add_text(const struct report *explained, const struct report_result *r,
		     struct strbuf *out);
const char *report_as_text(const struct report_result *r, struct arena *arena);

#endif

/*
 * What every report is: a name, its columns, its questions, and the function that answers.  The
 * API, CSV, the API description and the screens walk this table, as they walk the dictionary.
 */
#ifndef WEIRBOOK_BOOK_REPORT_H
#define WEIRBOOK_BOOK_REPORT_H

#include <stdbool.h>
#include <stdint.h>

#include "book/book.h"
#include "model/record.h"

#define NO_INT INT64_MIN /* an integer or day in a row that is not known: null */

/* What a query asked.  Days are farm days; NO_INT where not given (the report sets its default). */
struct report_query {
	int64_t from_day, to_day;
	int64_t day;      /* stock, beds */
	int64_t at;       /* beds: an instant instead of a day */
	const char *by;   /* "tank", "week,variety" ... ; NULL: the report's default */
	const char *step; /* all, weighing, week, month */
	const char *only; /* a code or name: only rows of it */
	const char *size; /* nitrate: a number, as text */
	bool explain;
	int64_t now;
};

/* The entries under a number: how many, what they add up to, and where the list is. */
struct explained_entries {
	const char *kind; /* name of the kind */
	int64_t count;
	double sum;          /* NAN: no sum makes sense */
	const char *sum_of;  /* the field that was summed */
	const char *address; /* "/api/feedings?tank_id=3&from=..." */
	const char *part; /* which of the kind: in, out, ends (outside the row's time) ...; NULL */
	const char *of;   /* code or name of what the list is of, where there are several; NULL */
};
struct explained_input {
	const char *name; /* a column of this report, or a word of its own with a unit in it */
	double value;
};
struct explanation {
	const char *formula; /* as written in docs/formulas */
	const char *source;
	const struct explained_input *inputs;
	size_t n_inputs;
	const struct explained_entries *entries;
	size_t n_entries;
};

struct report_note {
	const char *code;    /* stable; the screen's key to its own words */
	const char *message; /* English */
	const char *of;      /* code of the tank, lot, bed it is about, or NULL */
};

struct report_result {
	struct arena *arena; /* in: owns everything below */
	int64_t from_day, to_day, as_of;
	const char *rows; /* n_rows structs of row_size bytes; columns[] describes them */
	size_t n_rows;
	struct report_note *notes;
	size_t n_notes, notes_room;  /* see report_add_note */
	const struct field *columns; /* set by run when they depend on by=; else the report's own */
	size_t n_columns;
};

struct report_question {
	const char *name;         /* query parameter */
	const char *const *words; /* allowed words, NULL-ended; NULL: a day, instant, or code */
	bool list;                /* several words, separated by commas */
	const char *help;
};

struct report {
	const char *name; /* "stock": GET /api/reports/stock */
	const char *summary;
	const struct field *columns; /* FIELD() of the row's struct */
	size_t n_columns;
	size_t row_size;
	size_t explain_offset; /* of a const struct explanation * in the row */
	const struct report_question *questions;
	size_t n_questions;
	bool changes_by_clock; /* the answer may differ a minute later */
	bool uses_readings;    /* of probes: they have a version of their own */
	enum err_code (*run)(struct book *book, const struct report_query *q,
			     struct report_result *result, struct err *err);
};

extern const struct report *const reports[]; /* NULL-ended; the one list (book/reports.c) */
const struct report *report_find(const char *name);

/* Adds a note; the texts live as long as the result, of may be NULL. */
void report_add_note(struct report_result *r, const char *code, const char *of,
		     const char *message);

/* A member of a row's struct as a value of the dictionary; what is not known is VALUE_NONE. */
struct value report_cell(const struct report_result *result, const struct report *report,
			 size_t row, const struct field *column);
/* The same by the column's name; VALUE_NONE when the answer has no such column. */
struct value report_named_cell(const struct report_result *result, const struct report *report,
			       size_t row, const char *column);

#endif

/*
 * A set of exchange CSV files into the record: all or nothing (rule 10 of docs/rules.md).  Files
 * are named after their kinds and may come in any order; so may rows that refer to each other.  A
 * row without a key gets one from its kind, its cells and how often it has occurred, so that the
 * same files twice add nothing.
 */
#ifndef WEIRBOOK_BOOK_IMPORT_H
#define WEIRBOOK_BOOK_IMPORT_H

#include "book/book.h"

struct import_file {
	const char *name; /* "feedings.csv" */
	const char *text; /* need not end in NUL; borrowed */
	size_t length;
	/* Told now and then that the text before `upto` has been read; may be NULL.  What is mapped
	 * can be given back (it stays readable). */
	void (*read_upto)(const struct import_file *file, size_t upto);
};

struct import_options {
	bool dry_run;
	char separator; /* ',', ';' or tab */
	char decimal;   /* '.' or ',' */
	int64_t now;    /* Unix seconds */
	/* For the demo farm: every day and time is moved by so many days, and entries that would
	 * lie after now are left out. */
	int64_t shift_days;
	bool leave_out_future;
};

struct import_error {
	const char *file;
	size_t line; /* 0: the file as a whole */
	struct err_item item;
};

struct import_count {
	int64_t added, same, left_out;
};

enum { IMPORT_ERRORS_MAX = 1000 };

/* Everything belongs to the arena that book_import was given. */
struct import_result {
	struct import_count *counts; /* one a kind, by kind_index */
	struct import_error *errors; /* the first IMPORT_ERRORS_MAX */
	size_t n_errors;             /* kept */
	size_t n_faults;             /* met */
	int64_t looks;               /* rows that were marked to look at */
};

/*
 * ERR_NONE: all rows stand (or would, in a dry run, which leaves nothing).  ERR_INPUT: nothing was
 * changed; the errors say why, by file, line, field.  Other codes: the store failed.  The caller
 * holds a write transaction.
 */
enum err_code book_import(struct book *b, const struct import_file *files, size_t n,
			  const struct import_options *options, struct arena *arena,
			  struct import_result *result, struct err *err);

#endif

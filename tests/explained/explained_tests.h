/*
 * Each figure of a report leads to exactly the entries that it was computed from: every report is asked in
 * every way, and behind each row every list is opened and held against the row.
 *
 * walk.c asks, follow.c opens lists and rows, checks.c judges them, footing.c what the figures stand on.
 */
#ifndef WEIRBOOK_TESTS_EXPLAINED_H
#define WEIRBOOK_TESTS_EXPLAINED_H

#include <jansson.h>
#include <stddef.h>

#include "book/report.h"

/* One row of one answer. */
struct row_asked {
	const struct report *report;
	const char *target; /* the address that was asked */
	const char *by;     /* what it was grouped by; "" for the report's own way */
	const json_t *answer, *row;
};

/* Asks a report in all its ways and judges each row.  Returns how many lists were opened; says on standard error
 * what is wrong, and adds it to *faults. */
size_t walk_report(const struct report *report, size_t *faults);

/* All entries of a list, page by page; NULL when it cannot be opened.  Borrowed until forget_lists(). */
const json_t *entries_at(const char *address);
/* A row of a kind by id, kept until forget_rows(). */
const json_t *row_of_kind(const char *kind, json_int_t id);
void forget_lists(void);
void forget_rows(void);

/* NULL, or what is wrong with the lists behind the row, in one sentence; static, until the next call.  *opened counts. */
const char *wrong_with(const struct row_asked *asked, size_t *opened);

/* The same of what the row's figures stand on: measured, estimated, unknown. */
const char *wrong_footing(const struct row_asked *asked);
/* Whether footing.c knows the report. */
bool says_footing(const struct report *report);

#endif

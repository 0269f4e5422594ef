/* Rows by their ids alone, as most questions of the ledger begin. */
#ifndef WEIRBOOK_BOOK_READ_IDS_H
#define WEIRBOOK_BOOK_READ_IDS_H

#include "base/id_set.h"
#include "book/book.h"

/*
 * Adds the first column of every row of a query to *out; NULL is left out.  name: of the query's
 * one parameter, which gets value; NULL: it has none.  What was read before a failure stays in
 * *out, whose memory is the arena's.
 */
enum err_code read_ids(struct book *b, enum query query, const char *name, int64_t value,
		       struct arena *arena, struct id_set *out, struct err *err);

#endif

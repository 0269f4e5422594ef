/* Set-up that changes in time: entries of the kind set-up-changes. */
#ifndef WEIRBOOK_BOOK_DATED_H
#define WEIRBOOK_BOOK_DATED_H

#include "book/book.h"

/*
 * Writes one set-up-changes row for each field given: from that day on it has the new value; the
 * base value stays.  A change of the same field from the same day is corrected instead.  ERR_INPUT
 * not_dated for a field whose past figures do not rest on it.
 */
enum err_code dated_change(struct book *b, const struct record *now, const struct record *values,
			   const bool *given, int64_t from_day, const struct hand *hand,
			   struct arena *arena, struct err *err);

#endif

/* Which rows refer to which: what a strike takes along, and what stands in its way. */
#ifndef WEIRBOOK_BOOK_REFERENCES_H
#define WEIRBOOK_BOOK_REFERENCES_H

#include "book/book.h"

/*
 * The row itself and all rows that cannot stand without it, theirs too, in that order.  A row leans
 * on another when it refers to it by a required field or by one of a choice that must be given;
 * what merely names it (an incident, the order of a shipment) stays.  Array and rows belong to the
 * arena.
 */
enum err_code references_gather(struct book *b, struct record *row, struct arena *arena,
				struct record ***rows, size_t *n, struct err *err);

/* ERR_CONFLICT still_used (args kind, count) for each kind with rows, not struck, that refer to the
 * row. */
enum err_code references_none(struct book *b, const struct record *row, struct arena *arena,
			      struct err *err);

/* ERR_CONFLICT refers_to_struck (args kind, label) when the row leans on one that is struck out and
 * not among rows. */
enum err_code references_stand(struct book *b, const struct record *row, struct record *const *rows,
			       size_t n, struct arena *arena, struct err *err);

#endif

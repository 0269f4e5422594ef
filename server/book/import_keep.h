/* Inside the import: one row, read and resolved, on its way into the record. */
#ifndef WEIRBOOK_BOOK_IMPORT_KEEP_H
#define WEIRBOOK_BOOK_IMPORT_KEEP_H

#include "book/import_row.h"
#include "book/occurrences.h"

/* An entry whose slips can be told only when all rows are there. */
struct unjudged_row {
	const struct kind *kind;
	int64_t id;
};

struct import_keeper {
	struct book *b;
	int64_t now;             /* Unix seconds */
	struct arena *arena;     /* of the whole import; borrowed */
	struct arena *row_arena; /* of one row; borrowed, and reset by import_keep_end */
	int64_t looks;           /* out: rows that were marked to look at */
	struct unjudged_row *unjudged;
	size_t n_unjudged, unjudged_room;
};

/*
 * Keeps a row that was read with this head.  One without a key gets its own from what it says, and
 * from how often seen has met that.  *repeat: it was there already, equal.  A line of history is
 * taken as it stands.  ERR_INPUT and ERR_CONFLICT as book_create and repeat_find_named have them;
 * key_used and, of a line of history, unknown_kind and bad_history.
 */
enum err_code import_keep(struct import_keeper *k, const struct import_head *head,
			  struct occurrences *seen, struct record *r, const struct csv_row *row,
			  bool *repeat, struct err *err);

/* When all rows are there, so that their order never matters: marks the slips that could not be
 * told before. */
enum err_code import_keep_end(struct import_keeper *k, struct err *err);

#endif

/* The lines in `changes`: what an entry was before each correction, completion, strike and
 * restore. */
#ifndef WEIRBOOK_BOOK_HISTORY_H
#define WEIRBOOK_BOOK_HISTORY_H

#include "book/book.h"

enum history_act {
	HISTORY_CORRECT,
	HISTORY_COMPLETE,
	HISTORY_STRIKE,
	HISTORY_RESTORE,
	HISTORY_SET_UP,
	HISTORY__MAX
};

/* Adds a line: the fields in which before and after differ, with what they were.  act_id is shared
 * by what was struck or restored together; NULL when it stands alone. */
enum err_code history_note(struct book *b, const struct record *before, const struct record *after,
			   enum history_act act, const struct uuid *act_id, const struct hand *hand,
			   struct err *err);

/*
 * Turns r back into what it was one version earlier.  r must stand at r->version as the lines say;
 * it is changed in place.  ERR_NOT_FOUND (no item) when there is no line for that version.
 */
enum err_code history_step_back(struct book *b, struct record *r, struct arena *arena,
				struct err *err);

/* The act under which the row was last struck.  ERR_NOT_FOUND (no item) when no line says so. */
enum err_code history_last_strike(struct book *b, const struct record *r, struct uuid *act,
				  struct err *err);

/* A row that an act struck. */
struct struck_row {
	const struct kind *kind;
	int64_t id;
};
/* All rows struck under this act, in the order in which they were struck.  Owned by the arena. */
enum err_code history_struck_by(struct book *b, const struct uuid *act, struct arena *arena,
				struct struck_row **out, size_t *n, struct err *err);

#endif

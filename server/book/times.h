/* When an entry happened and where it stands in the ledger: docs/rules.md, "Order and time". */
#ifndef WEIRBOOK_BOOK_TIMES_H
#define WEIRBOOK_BOOK_TIMES_H

#include "book/book.h"

enum {
	TIMES_FUTURE_S = 600 /* an entry may be so far ahead of the corrected clock, seconds */
};

/*
 * Fills at, day, tablet_at, unsure and r->instant of an entry from the at or day that was given.
 * at comes by the tablet's clock and is corrected by the hand's offset; without an offset, or while
 * the service's own clock is behind the last entry received, it is kept as it came and marked
 * unsure.  Imported times are taken as they stand.  Kinds without a time are left as they are.
 * ERR_INPUT: required (neither given), day_disagrees, in_future.
 */
enum err_code times_set(struct book *b, struct record *r, const struct hand *hand, struct err *err);

/* Sets received_at: now, but for an import that brought its own. */
void times_set_received(struct record *r, const struct hand *hand);

/* Works out day and instant again, after the zone or the hour the day begins has changed.  An entry
 * by day alone keeps its day.  True when something changed. */
bool times_restand(struct book *b, struct record *r);

/* Remembers that an entry was received now, by which a clock that runs behind is known. */
enum err_code times_note_received(struct book *b, const struct hand *hand, struct err *err);

#endif

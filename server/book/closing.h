/* Closed months: what the book says of each tank in a month, and keeping it. */
#ifndef WEIRBOOK_BOOK_CLOSING_H
#define WEIRBOOK_BOOK_CLOSING_H

#include "book/book.h"

/* A tank's month as the book has it now. */
struct tank_month {
	int64_t tank_id;
	const char *tank;                                    /* its code; owned by the arena */
	double feed_g, gain_g, fcr_economic, fcr_biological; /* NAN: not known */
};

/* Every tank that held fish in the month that begins on farm day `month`, in walking order, as of
 * instant now.  Array and texts are the arena's. */
enum err_code closing_figures(struct book *b, int64_t month, int64_t now, struct arena *arena,
			      struct tank_month **out, size_t *n, struct err *err);

/* The first farm day of the month after the one that begins on farm day `month`. */
int64_t closing_next_month(int64_t month);

/* Writes the lines of a closing that was just made.  An import brings its own.  In a write
 * transaction. */
enum err_code closing_keep(struct book *b, const struct record *closing, const struct hand *hand,
			   struct arena *arena, struct err *err);

#endif

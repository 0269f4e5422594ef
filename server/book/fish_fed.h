/* What the feed allows: growth after the last weighing never beyond what was fed could make. */
#ifndef WEIRBOOK_BOOK_FISH_FED_H
#define WEIRBOOK_BOOK_FISH_FED_H

#include "book/fish_view.h"

/* Loads the daily feed of tanks in which fish stand that were not weighed since. */
enum err_code fish_feeds_load(struct book *b, int64_t begin, int64_t end, struct arena *arena,
			      struct fish_view *v, struct err *err);

/*
 * Holds the mean of a standing at instant `at` to the feed: on each farm day with a recorded
 * feeding since the stretch began in this tank, the cell's fish gain at most their share of the
 * feed (less uneaten) over the species' conversion_floor; the share is by biomass as it stands at
 * `at`.  Days without a recorded feeding are not held, and widen se_g (may be NULL).  Without a
 * floor, or between two weighings: as it is.
 */
void fish_hold_to_feed(const struct fish_view *v, const struct fish_view_cell *c,
		       const struct fish_standing *st, int64_t at, double *mean_g, double *se_g);

/* Since when the feed holds the mean at row r: its open stretch's beginning in this tank;
 * NO_INSTANT: it does not. */
int64_t fish_held_since(const struct fish_view *v, const struct fish_view_cell *c,
			const struct fish_row *r);

#endif

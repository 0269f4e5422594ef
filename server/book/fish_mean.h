/* The mean weight of fish some time after an entry, and how far it may be off, from what the replay
 * gave. */
#ifndef WEIRBOOK_BOOK_FISH_MEAN_H
#define WEIRBOOK_BOOK_FISH_MEAN_H

#include "book/fish_replay.h"

/*
 * Mean weight, g, of row's cell at instant at >= row->instant, before the cell's next row; NAN: not
 * known.  s: its stretch; t: the temperatures of its tank.  *se_g (may be NULL): its standard
 * error, g; NAN where no growth is known.
 */
double fish_mean_at(const struct fish_row *row, const struct fish_stretch *s,
		    const struct fish_lot_info *lot, const struct temperature_days *t, int64_t at,
		    double *se_g);

/* The growth span of a stretch from its start to instant `at`, in the tank of t: what
 * fish_stretch.x is for the whole. */
double stretch_span(const struct fish_stretch *s, const struct fish_lot_info *lot,
		    const struct temperature_days *t, int64_t at);

/* Standard error on the growth scale at growth span x from the start. */
double stretch_scale_se(const struct fish_stretch *s, double x);

#endif

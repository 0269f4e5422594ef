/* The area of rafts that carry a living plant, of each lot in a bed. */
#ifndef WEIRBOOK_BOOK_CROP_PLANTED_H
#define WEIRBOOK_BOOK_CROP_PLANTED_H

#include "book/crop_replay.h"

/* Calls each for every stretch of a raft bed that has plants, with its m2 (NAN without measures);
 * other beds: never. */
void crop_planted_each(const struct crop_state *s, const struct crop_bed *bed,
		       void (*each)(int64_t lot, int64_t bed, double m2, void *with), void *with);

#endif

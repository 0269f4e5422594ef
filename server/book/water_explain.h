/* Why a value of water is what it is: its formula, what went into it, and the tests of its day. */
#ifndef WEIRBOOK_BOOK_WATER_EXPLAIN_H
#define WEIRBOOK_BOOK_WATER_EXPLAIN_H

#include "book/report.h"
#include "book/water.h"

/* Of a reading that is there, of this place; what its basis does not say is left out.  Owned by the
 * arena. */
const struct explanation *water_explain(struct book *b, int64_t place_id, enum quantity q,
					const struct reading *r, struct arena *arena);

#endif

/* Inside the fish view: the ledger of some lots computed from their entries, lot by lot and cell by
 * cell. */
#ifndef WEIRBOOK_BOOK_FISH_COMPUTE_H
#define WEIRBOOK_BOOK_FISH_COMPUTE_H

#include "book/fish_view.h"

/*
 * Lots (stretches alone, no facts) and cells of these lots, which must be closed under sharing
 * (fish_group.h); neither temperatures nor feeds.  All of it is the arena's.  Untouched on failure.
 */
enum err_code fish_compute(struct book *b, const struct id_set *lots, struct arena *arena,
			   struct fish_view *out, struct err *err);

#endif

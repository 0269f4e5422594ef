/* Inside the fish view: keeping what was computed of the lots, and reading it back
 * (sql/migrations/0002). */
#ifndef WEIRBOOK_BOOK_FISH_KEEP_H
#define WEIRBOOK_BOOK_FISH_KEEP_H

#include "book/fish_view.h"

/* Computes the rows of these lots, closed under sharing, from the entries and keeps them; they are
 * dirty no longer.  In a write transaction. */
enum err_code fish_keep(struct book *b, const struct id_set *lots, struct arena *arena,
			struct err *err);

/* Adds the kept stretches of a lot to out, in order; none: no error.  The arena's. */
enum err_code fish_read_stretches(struct book *b, int64_t lot_id, struct arena *arena,
				  struct fish_view_lot *out, struct err *err);

/* Adds the kept rows of a cell to out, in order; none: no error.  Lots and tanks in them are ids.
 * The arena's. */
enum err_code fish_read_rows(struct book *b, int64_t lot_id, int64_t tank_id, struct arena *arena,
			     struct fish_view_cell *out, struct err *err);

#endif

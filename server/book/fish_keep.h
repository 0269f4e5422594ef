/* Inside the fish view: computing rows, and reading the kept ones. */
#ifndef WEIRBOOK_BOOK_FISH_KEEP_H
#define WEIRBOOK_BOOK_FISH_KEEP_H

#include "book/fish_view.h"

/* Lots, stretches and cells of a closed set of lots, computed from the entries (no temperatures). */
enum err_code fish_compute(struct book *b, const struct id_set *lots, struct arena *arena,
			   struct fish_view *out, struct err *err);

/* The kept stretches of a lot, and the kept rows of a cell. */
enum err_code fish_read_stretches(struct book *b, int64_t lot_id, struct arena *arena,
				  struct fish_view_lot *out, struct err *err);
enum err_code fish_read_rows(struct book *b, int64_t lot_id, int64_t tank_id, struct arena *arena,
			     struct fish_view_cell *out, struct err *err);

#endif

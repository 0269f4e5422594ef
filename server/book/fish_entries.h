/* The entries that rows of the fish ledger come from, for the lists behind a figure. */
#ifndef WEIRBOOK_BOOK_FISH_ENTRIES_H
#define WEIRBOOK_BOOK_FISH_ENTRIES_H

#include "book/explained.h"
#include "book/fish_view.h"

/* The entry of a row; moves are told apart by their way, in or out. */
void fish_choose(const struct fish_row *r, struct chosen_entries *c, struct arena *arena);

/* All that was entered about a cell up to and with instant `at`. */
void fish_choose_cell(const struct fish_view_cell *cell, int64_t at, struct chosen_entries *c,
		      struct arena *arena);

/* The weighings of the whole up to and with instant `at` (fish_replay.h), by whichever entry. */
void fish_choose_weighed(const struct fish_view_cell *cell, int64_t at, const char *part,
			 struct chosen_entries *c, struct arena *arena);

/* Whether row i of a cell is such a weighing. */
bool fish_is_weighed(const struct fish_view_cell *cell, size_t i);

#endif

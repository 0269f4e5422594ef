/* The entries that a row of report feed-conversion was computed from, and no others, as lists. */
#ifndef WEIRBOOK_BOOK_CONVERSION_WHY_H
#define WEIRBOOK_BOOK_CONVERSION_WHY_H

#include "book/conversion.h"
#include "book/explained.h"
#include "book/tank_facts.h"

/*
 * Feedings of its time, tank by tank where they are shared; what came in and went out across its
 * border; deaths, counts, harvests; and the weighings that the mass at either end rests on, some of
 * which lie outside its time. tanks: one a tank of the view.
 */
enum err_code conversion_lists(struct book *b, const struct fish_view *v,
			       const struct conversion_groups *groups, size_t g,
			       const struct conversion *f, const struct tank_facts *tanks,
			       struct explained_lists *out, struct err *err);

/* The weighings outside [begin, end) that a cell's mass at either end rests on. */
void conversion_choose_ends(const struct fish_view *v, const struct fish_view_cell *cell,
			    int64_t begin, int64_t end, struct chosen_entries *c,
			    struct arena *arena);

/* Of a tank in which the book never had fish in the time: its feedings. */
void conversion_lists_of_empty_tank(struct book *b, int64_t tank_id, const struct conversion *f,
				    struct explained_lists *out);

#endif

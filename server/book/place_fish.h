/* Which fish live in the water of a place: what limits hold there rests on it. */
#ifndef WEIRBOOK_BOOK_PLACE_FISH_H
#define WEIRBOOK_BOOK_PLACE_FISH_H

#include "book/fish_view.h"

/* A tank itself; of a unit, a bed or a loop all tanks of that water.  Owned by the arena. */
enum err_code place_tanks(struct book *b, int64_t place_id, struct arena *arena, struct id_set *out,
			  struct err *err);

/* Species that stand in these tanks at an instant, which v holds.  Owned by the arena. */
void species_in_tanks(const struct fish_view *v, const struct id_set *tanks, int64_t at,
		      struct arena *arena, struct id_set *out);

#endif

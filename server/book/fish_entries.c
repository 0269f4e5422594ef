/* See fish_entries.h. */
#include "book/fish_entries.h"

#include <math.h>

#include "model/kinds.h"

/* Which of the moves a row comes from; NULL for what is no move. */
static const char *way_of(const struct fish_row *r)
{
	if (r->kind != &fish_moves_kind)
		return NULL;
	return r->effect == EFFECT_ARRIVED || r->effect == EFFECT_MOVED_IN ? "in" : "out";
}

void fish_choose(const struct fish_row *r, struct chosen_entries *c, struct arena *arena)
{
	chosen_add(c, r->kind, way_of(r), r->id, arena);
}

void fish_choose_cell(const struct fish_view_cell *cell, int64_t at, struct chosen_entries *c,
		      struct arena *arena)
{
	for (size_t i = 0; i < fish_rows_until(cell, at); i++)
		fish_choose(&cell->rows[i], c, arena);
}

bool fish_is_weighed(const struct fish_view_cell *cell, size_t i)
{
	const struct fish_row *r = &cell->rows[i];

	if (r->weighed_at != r->instant || isnan(r->mean_g))
		return false;
	return i == 0 || r[-1].weighed_at != r->weighed_at || r[-1].fish_after == 0;
}

void fish_choose_weighed(const struct fish_view_cell *cell, int64_t at, const char *part,
			 struct chosen_entries *c, struct arena *arena)
{
	for (size_t i = 0; i < fish_rows_until(cell, at); i++)
		if (fish_is_weighed(cell, i))
			chosen_add(c, cell->rows[i].kind, part, cell->rows[i].id, arena);
}

/* See place_fish.h. */
#include "book/place_fish.h"

#include "book/read_ids.h"

enum err_code place_tanks(struct book *b, int64_t place_id, struct arena *arena, struct id_set *out,
			  struct err *err)
{
	*out = (struct id_set){ 0 };
	return read_ids(b, Q_TANKS_OF_PLACE_WATER, ":place_id", place_id, arena, out, err);
}

void species_in_tanks(const struct fish_view *v, const struct id_set *tanks, int64_t at,
		      struct arena *arena, struct id_set *out)
{
	*out = (struct id_set){ 0 };
	for (size_t i = 0; i < v->n_cells; i++) {
		const struct fish_view_cell *c = &v->cells[i];

		if (id_set_find(tanks, v->tank_ids.ids[c->tank]) < 0)
			continue;
		if (fish_standing_at(v, c, at, false).fish > 0)
			id_set_add(out, v->lots[c->lot].facts.species_id, arena);
	}
}

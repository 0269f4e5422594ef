/* See fish_pass.h. */
#include "book/fish_pass.h"

#include <math.h>

void fish_pass_init(struct fish_pass *p, struct fish_world *w, struct arena *arena)
{
	const size_t stretches = w->n_lots + w->n_events / 16 + 16;
	const size_t rows = w->n_events + w->n_events / 4 + 16;

	*p = (struct fish_pass){
		.w = w,
		.arena = arena,
		.cells = arena_array(arena, w->n_lots * w->n_tanks + 1, sizeof(*p->cells)),
		.first_of_lot = arena_array(arena, w->n_lots + 1, sizeof(*p->first_of_lot)),
		.rows = arena_array(arena, rows, sizeof(*p->rows)),
		.rows_room = rows,
		.means_before = arena_array(arena, rows, sizeof(*p->means_before)),
	};
	p->stretches = arena_array(arena, stretches, sizeof(*p->stretches));
	p->answers = arena_array(arena, stretches, sizeof(*p->answers));
	p->stretches_room = stretches;
}

void fish_pass_reset(struct fish_pass *p)
{
	const size_t cells = p->w->n_lots * p->w->n_tanks;

	for (size_t i = 0; i < cells; i++)
		p->cells[i] = (struct fish_cell){ .lot = (int)(i / p->w->n_tanks),
						  .tank = (int)(i % p->w->n_tanks),
						  .mean_g = NAN,
						  .stretch = -1,
						  .weighed_at = NO_INSTANT,
						  .emptied_by = -1 };
	for (size_t i = 0; i < p->w->n_lots; i++)
		p->first_of_lot[i] = -1;
	p->n_rows = p->n_stretches = p->n_shortfalls = 0;
	p->moved_event = false;
}

struct fish_row *fish_pass_row(struct fish_pass *p)
{
	size_t room = p->rows_room;

	p->means_before =
		arena_grow(p->arena, p->means_before, p->n_rows, &room, sizeof(*p->means_before));
	p->rows = arena_grow(p->arena, p->rows, p->n_rows, &p->rows_room, sizeof(*p->rows));
	return &p->rows[p->n_rows++];
}

struct fish_shortfall *fish_pass_shortfall(struct fish_pass *p)
{
	p->shortfalls = arena_grow(p->arena, p->shortfalls, p->n_shortfalls, &p->shortfalls_room,
				   sizeof(*p->shortfalls));
	return &p->shortfalls[p->n_shortfalls++];
}

struct open_stretch *fish_pass_stretch(struct fish_pass *p)
{
	size_t room = p->stretches_room;

	p->answers = arena_grow(p->arena, p->answers, p->n_stretches, &room, sizeof(*p->answers));
	p->stretches = arena_grow(p->arena, p->stretches, p->n_stretches, &p->stretches_room,
				  sizeof(*p->stretches));
	return &p->stretches[p->n_stretches++];
}

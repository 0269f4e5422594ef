/* Inside the fish replay: the state of one pass over the entries. */
#ifndef WEIRBOOK_BOOK_FISH_PASS_H
#define WEIRBOOK_BOOK_FISH_PASS_H

#include "book/fish_replay.h"
#include "book/fish_stretch.h"

/* One lot in one tank, after the entries that were played. */
struct fish_cell {
	int lot, tank; /* indexes in the world */
	int64_t fish;
	double mean_g;      /* NAN: not known, or no fish */
	int64_t since;      /* instant up to which mean_g is carried */
	int stretch;        /* that it is in; -1 */
	int64_t weighed_at; /* last weighing of the whole; NO_INSTANT */
	long emptied_by;    /* index of the event that left no fish; -1 */
};

struct fish_pass {
	struct fish_world *w;
	struct arena *arena;
	size_t event;            /* index of the one at hand */
	bool moved_event;        /* its order was changed: this pass is void */
	struct fish_cell *cells; /* lot * n_tanks + tank */
	int *first_of_lot;
	struct fish_row *rows;
	size_t n_rows, rows_room;
	double *means_before; /* of the pass before, row by row */
	struct open_stretch *stretches;
	size_t n_stretches, stretches_room;
	struct stretch_answer *answers; /* of the pass before, for the first `answered` stretches */
	size_t answered;
	struct fish_shortfall *shortfalls;
	size_t n_shortfalls, shortfalls_room;
};

/* Room for a pass over the entries of w; all of it is the arena's. */
void fish_pass_init(struct fish_pass *p, struct fish_world *w, struct arena *arena);

/* Empties cells, rows, stretches and shortfalls for a new pass; keeps what the pass before has
 * answered. */
void fish_pass_reset(struct fish_pass *p);

/* Room for one more; what the calls gave before may move. */
struct fish_row *fish_pass_row(struct fish_pass *p);
struct fish_shortfall *fish_pass_shortfall(struct fish_pass *p);
struct open_stretch *fish_pass_stretch(struct fish_pass *p);

#endif

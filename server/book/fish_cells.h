/*
 * Inside the fish replay: what can happen to one cell, and the rows and stretches that it leaves.
 * Which entry does what is fish_acts.c's and fish_moves.c's.  A cell's mean is that of the instant
 * up to which it was advanced.
 */
#ifndef WEIRBOOK_BOOK_FISH_CELLS_H
#define WEIRBOOK_BOOK_FISH_CELLS_H

#include "book/fish_pass.h"

/* The cell of a lot in a tank, both indexes in the world; it stays where it is for the whole
 * pass. */
struct fish_cell *fish_cell_of(struct fish_pass *p, int lot, int tank);

/* Grows the cell's fish up to instant `at`; nothing when it is there already, or in no stretch. */
void fish_cell_advance(struct fish_pass *p, struct fish_cell *c, int64_t at);

/* A new stretch for a cell whose mean is weighed or taken over (NAN: not known), with its standard
 * error in g (NAN: not known).  previous: the stretch that the same weighing ended; -1. */
void fish_cell_begin_stretch(struct fish_pass *p, struct fish_cell *c, int64_t at, double mean_g,
			     double se_g, int previous);

/* All of the cell's fish were weighed: its stretch, if it is in one, ends at this mean. */
void fish_cell_end_stretch(struct fish_pass *p, struct fish_cell *c, int64_t at, double mean_g,
			   double se_g);

/* Adds a row: what happened (signed fish and mass), and how the cell stands after it.  Valid until
 * the next one. */
struct fish_row *fish_cell_row(struct fish_pass *p, const struct fish_event *e,
			       const struct fish_cell *c, enum fish_effect effect, int64_t fish,
			       double mass_g, bool estimated);

/* Closes the cell's account when no fish are left. */
void fish_cell_note_empty(struct fish_pass *p, struct fish_cell *c);

/* The mean that fish found in a cell without one are taken to have: that of the lot where most of
 * it are, else the supplier's; NAN: none is known. */
double fish_mean_elsewhere(struct fish_pass *p, int lot);

/* Fish that nobody entered (above 0), or that are gone and nobody knows how (below 0; rules 1 and
 * 4), at the mean of now.  0: nothing. */
void fish_cell_unexplained(struct fish_pass *p, const struct fish_event *e, struct fish_cell *c,
			   int64_t fish);

/* Rule 1: when more leave than the book has, the gap is entered as found, and noted. */
void fish_cell_make_room(struct fish_pass *p, const struct fish_event *e, struct fish_cell *c,
			 int64_t fish);

/*
 * Takes fish out of a cell (rule 3): with mass_g that mass goes and what remains keeps the rest;
 * with NAN they go at the mean.  A weight that would leave nothing for those that stay is kept in
 * the row, but they stay at their mean.  Returns the mass taken.  The caller has made room.
 */
double fish_cell_take(struct fish_pass *p, struct fish_cell *c, int64_t fish, double mass_g);

/* Puts fish of mean weight mean_g (NAN: not known) into a cell that has fish. */
void fish_cell_mix_in(struct fish_pass *p, struct fish_cell *c, int64_t fish, double mean_g);

/* Fish that a weight alone stands for: weight over mean, 1 to 100 million (docs/rules.md); 1 when
 * either is not known. */
int64_t fish_of_weight(double mass_g, double mean_g);

#endif

/* How many fish of each lot stand in one tank, entry by entry: whole numbers alone, for the
 * judgment at write.  Weights and growth are the fish replay's. */
#ifndef WEIRBOOK_BOOK_TANK_NUMBERS_H
#define WEIRBOOK_BOOK_TANK_NUMBERS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

#define NO_COUNT INT64_MIN

/* One entry's doing in the tank. */
struct tank_step {
	int64_t lot;    /* 0: split over the lots in the tank by number */
	int64_t change; /* fish that come (above 0) or leave */
	int64_t set_to; /* counted; NO_COUNT: not */
	bool empties;
	int64_t day;
	bool by_day_death;
};

/* A step that took more than stood there. */
struct tank_gap {
	int64_t lot; /* 0: of the whole tank */
	int64_t day;
	int64_t there, asked;
};

/*
 * Plays the steps, which stand in the ledger's order, from an empty tank.  Deaths without a lot go
 * to the lots by number: largest remainder, ties to the lot that came first.  A death by day in a
 * place emptied earlier that day stands just before the emptying: steps are moved so.  Gaps belong
 * to the arena.
 */
void tank_numbers(struct tank_step *steps, size_t n, struct arena *arena, struct tank_gap **gaps,
		  size_t *n_gaps);

#endif

/*
 * Sums of harvests by a key of whole numbers: a table that grows as keys come.  Weights are summed
 * in whole milligrams, so that no order of rows changes a digit.  What the numbers of a key mean is
 * the report's.
 */
#ifndef WEIRBOOK_BOOK_HARVEST_SUMS_H
#define WEIRBOOK_BOOK_HARVEST_SUMS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

enum { HARVEST_PARTS_MAX = 7 };

struct harvest_key {
	int64_t period;
	int64_t parts[HARVEST_PARTS_MAX]; /* unused ones 0 */
};

struct harvest_sum {
	struct harvest_key key;
	int64_t harvests;
	int64_t counted, pieces;    /* harvests that have pieces, and how many */
	int64_t weighed, weight_mg; /* harvests that have a weight, and how much */
	int64_t estimated_mg;       /* of those that have none */
	int64_t not_estimated;      /* harvests without weight whose weight nobody can tell */
	int64_t culled_pieces, culled_mg;
	int64_t packs; /* of packings, where these are summed */
};

struct harvest_sums {
	struct arena *arena;
	struct harvest_sum *rows; /* in the order in which their keys came */
	size_t n, room;
	size_t *slots; /* index + 1 into rows; 0: free */
	size_t n_slots;
};

/* Makes s empty.  The arena is borrowed, and holds all that s grows to. */
void harvest_sums_init(struct harvest_sums *s, struct arena *arena);

/* The row of this key, made when it is new.  Valid until the next call. */
struct harvest_sum *harvest_sums_row(struct harvest_sums *s, const struct harvest_key *key);

/* Grams to whole milligrams, to the nearest; NAN is 0, and what lies beyond a million tonnes counts
 * as those. */
int64_t harvest_mg(double weight_g);

#endif

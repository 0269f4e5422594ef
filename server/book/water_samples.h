/* All readings of a place over a time, from tests and probes, with what is computed from them. */
#ifndef WEIRBOOK_BOOK_WATER_SAMPLES_H
#define WEIRBOOK_BOOK_WATER_SAMPLES_H

#include "book/water.h"

/* A pH or temperature counts for a TAN or oxygen read so much later, and for one read so much
 * before it (a round takes one after the other). */
enum { PAIR_S = 12 * 3600, LATE_PAIR_S = 3600 };

struct water_sample {
	int64_t at;
	double value;
	uint8_t quantity, bound; /* enum quantity, enum bound */
};

enum water_sources { WATER_TESTS = 1, WATER_PROBES = 2 };

/*
 * Readings of instants [from, to] in order of time, then quantity, of these sources.  Owned by the
 * arena.
 *
 * A computed one stands where TAN (oxygen) was read with a pH and temperature (temperature) of at
 * most PAIR_S before, or where one of these came at most LATE_PAIR_S after it.  Without a
 * temperature of the place, the mean of its loop's tests over PAIR_S before.  Salinity: the last
 * one of 30 days, else fresh water.  Pressure: of the farm's altitude, else of sea level.
 */
enum err_code water_samples(struct book *b, int64_t place_id, unsigned sources, int64_t from,
			    int64_t to, struct arena *arena, struct water_sample **out, size_t *n,
			    struct err *err);

/* Fills out[] of the computed quantities with their newest values at or before `at`, and what they
 * rest on.  out[] holds the newest measured ones; what they pair with is read again. */
enum err_code water_compute_newest(struct book *b, int64_t place_id,
				   struct reading out[QUANTITY__MAX], int64_t at, struct err *err);

#endif

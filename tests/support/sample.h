/* Records of any kind with every field filled, made from the dictionary: for tests that want all of them. */
#ifndef WEIRBOOK_TESTS_SAMPLE_H
#define WEIRBOOK_TESTS_SAMPLE_H

#include "model/record.h"
#include "store/store.h"

enum { SAMPLE_KINDS_MAX = 128 };

/* A row of every kind in a store, by kind_index(); 0 where there is none yet. */
struct samples {
	int64_t ids[SAMPLE_KINDS_MAX];
};

/* A key that only this number has. */
struct uuid sample_key(uint64_t number);

/*
 * A record of kind k in which each field has a value of its kind that differs with seed; struck_at stays
 * empty.  References lead to the rows in samples, or to own_id when they are to k itself and there is none.
 * Choices such as "tank or bed" are all filled: the store does not judge.
 */
struct record *sample_record(const struct kind *k, int seed, const struct samples *samples,
			     int64_t own_id, struct arena *arena);

/* Keeps one row of every kind before k in the order of the dictionary (k NULL: of every kind). */
void sample_rows(struct store *st, const struct kind *k, struct samples *samples,
		 struct arena *arena);

extern const uint8_t sample_fingerprint[32];

#endif

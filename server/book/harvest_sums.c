/* A table of sums by key, open addressing.  See harvest_sums.h. */
#include "book/harvest_sums.h"

#include <math.h>
#include <string.h>

enum { FIRST_SLOTS = 64 }; /* a power of two */

void harvest_sums_init(struct harvest_sums *s, struct arena *arena)
{
	*s = (struct harvest_sums){ .arena = arena,
				    .n_slots = FIRST_SLOTS,
				    .room = FIRST_SLOTS / 2 };
	s->rows = arena_array(arena, s->room, sizeof(*s->rows));
	s->slots = arena_array(arena, s->n_slots, sizeof(*s->slots));
}

static uint64_t mix(uint64_t hash, int64_t part)
{
	hash = (hash ^ (uint64_t)part) * 0x9e3779b97f4a7c15u; /* 2^64 / golden ratio, odd */
	return hash ^ (hash >> 29);
}

static uint64_t hash_of(const struct harvest_key *key)
{
	uint64_t hash = mix(0, key->period);

	for (size_t i = 0; i < HARVEST_PARTS_MAX; i++)
		hash = mix(hash, key->parts[i]);
	return hash;
}

/* The slot that holds key, or the free one where it belongs. */
static size_t *slot_of(const struct harvest_sums *s, const struct harvest_key *key)
{
	size_t i = (size_t)hash_of(key) & (s->n_slots - 1);

	while (s->slots[i] && memcmp(&s->rows[s->slots[i] - 1].key, key, sizeof(*key)) != 0)
		i = (i + 1) & (s->n_slots - 1);
	return &s->slots[i];
}

static void grow(struct harvest_sums *s)
{
	struct harvest_sum *wider = arena_array(s->arena, s->room * 2, sizeof(*wider));

	memcpy(wider, s->rows, s->n * sizeof(*wider));
	s->rows = wider;
	s->room *= 2;
	s->n_slots *= 2;
	s->slots = arena_array(s->arena, s->n_slots, sizeof(*s->slots));
	for (size_t i = 0; i < s->n; i++)
		*slot_of(s, &s->rows[i].key) = i + 1;
}

struct harvest_sum *harvest_sums_row(struct harvest_sums *s, const struct harvest_key *key)
{
	size_t *slot = slot_of(s, key);

	if (!*slot) {
		if (s->n == s->room) {
			grow(s);
			slot = slot_of(s, key);
		}
		s->rows[s->n] = (struct harvest_sum){ .key = *key };
		*slot = ++s->n;
	}
	return &s->rows[*slot - 1];
}

/* Of one row: more is a slip, and thousands of them must still add up. */
static const double most_g = 1e12;

int64_t harvest_mg(double weight_g)
{
	return isnan(weight_g) ? 0 : llround(fmax(fmin(weight_g, most_g), -most_g) * 1000.0);
}

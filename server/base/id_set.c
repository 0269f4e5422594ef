/* An ascending set of row ids: see id_set.h. */
#include "base/id_set.h"

#include <string.h>

/* Index of the first id that is not less than the one sought. */
static size_t lower_bound(const struct id_set *s, int64_t id)
{
	size_t low = 0, high = s->n;

	while (low < high) {
		const size_t mid = low + (high - low) / 2;
		if (s->ids[mid] < id)
			low = mid + 1;
		else
			high = mid;
	}
	return low;
}

bool id_set_add(struct id_set *s, int64_t id, struct arena *arena)
{
	const size_t at = lower_bound(s, id);

	if (at < s->n && s->ids[at] == id)
		return false;
	s->ids = arena_grow(arena, s->ids, s->n, &s->room, sizeof(*s->ids));
	memmove(&s->ids[at + 1], &s->ids[at], (s->n - at) * sizeof(*s->ids));
	s->ids[at] = id;
	s->n++;
	return true;
}

int id_set_find(const struct id_set *s, int64_t id)
{
	const size_t at = lower_bound(s, id);

	return at < s->n && s->ids[at] == id ? (int)at : -1;
}

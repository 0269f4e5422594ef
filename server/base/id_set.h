/* A small ascending set of row ids in an arena: adding is linear in its size.  One with all members
 * zero is empty. */
#ifndef WEIRBOOK_BASE_ID_SET_H
#define WEIRBOOK_BASE_ID_SET_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

struct id_set {
	int64_t *ids; /* ascending; owned by the arena */
	size_t n, room;
};

/* True when id was not there yet.  Always the same arena for one set. */
bool id_set_add(struct id_set *s, int64_t id, struct arena *arena);

/* Index of id, or -1. */
int id_set_find(const struct id_set *s, int64_t id);

#endif

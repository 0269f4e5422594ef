/* See occurrences.h. */
#include "book/occurrences.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "base/uuid.h"

void occurrences_init(struct occurrences *o, size_t rows)
{
	*o = (struct occurrences){ .room = rows + rows / 3 + 1 };
	o->hash = calloc(o->room, sizeof(*o->hash));
	o->count = calloc(o->room, sizeof(*o->count));
	if (!o->hash || !o->count)
		abort();
}

void occurrences_release(struct occurrences *o)
{
	free(o->hash);
	free(o->count);
	*o = (struct occurrences){ 0 };
}

uint32_t occurrences_before(struct occurrences *o, const char *identity, size_t length)
{
	uint8_t digest[32];
	uint64_t hash;

	sha256(digest, identity, length);
	memcpy(&hash, digest, sizeof(hash));
	hash |= 1; /* never 0 */
	size_t at = hash / 2 % o->room;
	while (o->hash[at] && o->hash[at] != hash)
		at = at + 1 < o->room ? at + 1 : 0;
	if (!o->hash[at]) {
		assert(o->n + 1 < o->room);
		o->hash[at] = hash;
		o->n++;
	}
	return o->count[at]++;
}

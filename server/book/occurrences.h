/* Inside the import: how often a row with the same cells has been met before in its file. */
#ifndef WEIRBOOK_BOOK_OCCURRENCES_H
#define WEIRBOOK_BOOK_OCCURRENCES_H

#include <stddef.h>
#include <stdint.h>

/* An open table of fingerprints, made once for all rows that may come.  Zeroed: made for none. */
struct occurrences {
	uint64_t *hash; /* 0: free */
	uint32_t *count;
	size_t n, room;
};

/* Room for so many rows.  12 bytes each, and a third more. */
void occurrences_init(struct occurrences *o, size_t rows);
/* Frees all; o is made for none then. */
void occurrences_release(struct occurrences *o);

/* How often this identity was met before.  At most as many identities as rows were told
 * (asserted). */
uint32_t occurrences_before(struct occurrences *o, const char *identity, size_t length);

#endif

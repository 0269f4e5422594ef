/*
 * Memory that is given back all at once: a request, an import row or a report owns one.
 * Running out of memory aborts the process (input is bounded first, commits are atomic).
 */
#ifndef WEIRBOOK_BASE_ARENA_H
#define WEIRBOOK_BASE_ARENA_H

#include <stddef.h>

struct arena_block;

struct arena {
	struct arena_block *head; /* newest block, owned */
	size_t used;              /* bytes handed out since the last reset */
};

void arena_init(struct arena *a);

/* Frees everything.  The arena is empty and usable afterwards. */
void arena_release(struct arena *a);

/* Forgets everything but keeps one block, so that a loop does not call malloc each time. */
void arena_reset(struct arena *a);

/* size bytes, zeroed, aligned for any type.  Owned by the arena; never NULL. */
void *arena_alloc(struct arena *a, size_t size);

/* arena_alloc of n * size with the product checked. */
void *arena_array(struct arena *a, size_t n, size_t size);

/*
 * Room for element n of an array in the arena: the array itself, or one twice as long when *room is
 * used up (16 at first), where it stands if nothing came after it, else a copy.  Pointers into the
 * old one stay readable and may be stale.
 */
void *arena_grow(struct arena *a, void *array, size_t n, size_t *room, size_t size);

/* Copies of text that end in NUL, owned by the arena; of the first length bytes; and printed as by
 * printf. */
char *arena_strdup(struct arena *a, const char *text);
char *arena_strndup(struct arena *a, const char *text, size_t length);
char *arena_printf(struct arena *a, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* malloc, realloc that abort on failure, for what outlives an arena. */
void *xmalloc(size_t size);
void *xrealloc(void *p, size_t size);

#endif

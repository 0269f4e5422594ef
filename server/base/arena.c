/* Memory given back all at once: see arena.h.  Blocks grow from 4 KiB to 256 KiB; what is larger
 * than the next block gets one of its own. */
#include "base/arena.h"

#include <stdarg.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { BLOCK_FIRST = 4096, BLOCK_MAX = 256 * 1024 };

struct arena_block {
	struct arena_block *older; /* owned */
	size_t size, at;
	max_align_t bytes[];
};

static void out_of_memory(size_t size)
{
	fprintf(stderr, "weirbook: out of memory (%zu bytes asked)\n", size);
	abort();
}

void *xmalloc(size_t size)
{
	void *p = malloc(size ? size : 1);

	if (!p)
		out_of_memory(size);
	return p;
}

void *xrealloc(void *p, size_t size)
{
	void *q = realloc(p, size ? size : 1);

	if (!q)
		out_of_memory(size);
	return q;
}

void arena_init(struct arena *a)
{
	a->head = NULL;
	a->used = 0;
}

static void free_from(struct arena_block *b)
{
	while (b) {
		struct arena_block *older = b->older;

		free(b);
		b = older;
	}
}

void arena_release(struct arena *a)
{
	free_from(a->head);
	arena_init(a);
}

void arena_reset(struct arena *a)
{
	if (a->head) {
		free_from(a->head->older);
		a->head->older = NULL;
		a->head->at = 0;
	}
	a->used = 0;
}

static struct arena_block *add_block(struct arena *a, size_t size)
{
	size_t room = a->head ? a->head->size * 2 : BLOCK_FIRST;

	if (room > BLOCK_MAX)
		room = BLOCK_MAX;
	if (room < size)
		room = size;
	if (room > SIZE_MAX - sizeof(struct arena_block))
		out_of_memory(room);

	struct arena_block *b = xmalloc(sizeof(*b) + room);

	b->older = a->head;
	b->size = room;
	b->at = 0;
	a->head = b;
	return b;
}

/* To the next unit of alignment; never 0, so that two things never have the same address. */
static size_t round_up(size_t size)
{
	const size_t unit = sizeof(max_align_t);

	if (size > SIZE_MAX - unit)
		out_of_memory(size);
	return size ? (size + unit - 1) / unit * unit : unit;
}

void *arena_alloc(struct arena *a, size_t size)
{
	size = round_up(size);

	struct arena_block *b = a->head;

	if (!b || b->size - b->at < size)
		b = add_block(a, size);

	void *p = (char *)b->bytes + b->at;

	b->at += size;
	a->used += size;
	return memset(p, 0, size);
}

void *arena_array(struct arena *a, size_t n, size_t size)
{
	if (size != 0 && n > SIZE_MAX / size)
		out_of_memory(n);
	return arena_alloc(a, n * size);
}

char *arena_strndup(struct arena *a, const char *text, size_t length)
{
	char *copy = arena_alloc(a, length + 1);

	memcpy(copy, text, length);
	return copy;
}

char *arena_strdup(struct arena *a, const char *text)
{
	return arena_strndup(a, text, strlen(text));
}

char *arena_printf(struct arena *a, const char *format, ...)
{
	va_list args, again;

	va_start(args, format);
	va_copy(again, args);

	int n = vsnprintf(NULL, 0, format, args);
	char *text = arena_alloc(a, n < 0 ? 1 : (size_t)n + 1);

	if (n > 0)
		vsnprintf(text, (size_t)n + 1, format, again);
	va_end(again);
	va_end(args);
	return text;
}

/* Makes the newest thing in the arena longer where it stands; false when it is not the newest, or
 * its block is full. */
static bool stretch(struct arena *a, const void *thing, size_t size, size_t wanted)
{
	struct arena_block *b = a->head;

	size = round_up(size);
	wanted = round_up(wanted);
	if (!b || !thing || (const char *)thing + size != (char *)b->bytes + b->at ||
	    b->size - b->at < wanted - size)
		return false;
	memset((char *)b->bytes + b->at, 0, wanted - size);
	b->at += wanted - size;
	a->used += wanted - size;
	return true;
}

void *arena_grow(struct arena *a, void *array, size_t n, size_t *room, size_t size)
{
	if (n < *room)
		return array;
	if (*room > SIZE_MAX / 4 / size)
		out_of_memory(*room);
	const size_t before = *room;
	*room = before ? 2 * before : 16;
	if (before && stretch(a, array, before * size, *room * size))
		return array;
	void *p = arena_array(a, *room, size);
	if (n)
		memcpy(p, array, n * size);
	return p;
}

/* The nearest known word to one that is not known, for messages. */
#ifndef WEIRBOOK_BASE_NEAREST_H
#define WEIRBOOK_BASE_NEAREST_H

#include <stddef.h>

#include "base/err.h"

/* Edit distance of the first 64 bytes of each: a byte more, less or other, or two neighbours
 * swapped (the slip that typing makes most), counts one. */
size_t word_distance(const char *a, const char *b);

/* Of n words the one at the smallest distance from unknown, or NULL when none is nearer than half
 * of its length.  word(i, with) gives the i-th. */
const char *nearest_word(const char *unknown, size_t n,
			 const char *(*word)(size_t i, const void *with), const void *with);

/*
 * Refuses an unknown word: one item whose message is the sentence that format makes, without its
 * full stop, and "; perhaps NEAR" when there is one (may be NULL), which argument nearest then
 * names.  Returns code.
 */
enum err_code nearest_refuse(struct err *err, enum err_code code, const char *field,
			     const char *item_code, const char *near, const char *format, ...)
	__attribute__((format(printf, 6, 7)));

/* As for err_set: the analyzer looks into one file at a time. */
#ifdef __clang_analyzer__
#define nearest_refuse(err, code, ...) (nearest_refuse(err, code, __VA_ARGS__), (code))
#endif

#endif

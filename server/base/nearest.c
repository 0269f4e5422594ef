/* The nearest known word: see nearest.h.  Counts bytes: the words it knows are ASCII. */
#include "base/nearest.h"

#include <stdint.h>
#include <string.h>

enum { LENGTH_MAX = 64 };

static size_t least(size_t a, size_t b)
{
	return a < b ? a : b;
}

size_t word_distance(const char *a, const char *b)
{
	size_t n = strnlen(a, LENGTH_MAX), m = strnlen(b, LENGTH_MAX);
	size_t row[LENGTH_MAX + 1]; /* distances from the first i bytes of a to each start of b */

	for (size_t j = 0; j <= m; j++)
		row[j] = j;
	for (size_t i = 1; i <= n; i++) {
		size_t diagonal = row[0];

		row[0] = i;
		for (size_t j = 1; j <= m; j++) {
			size_t changed = diagonal + (a[i - 1] != b[j - 1]);

			diagonal = row[j];
			row[j] = least(changed, least(row[j], row[j - 1]) + 1);
		}
	}
	return row[m];
}

const char *nearest_word(const char *unknown, size_t n,
			 const char *(*word)(size_t i, const void *with), const void *with)
{
	const char *best = NULL;
	size_t best_distance = SIZE_MAX;

	for (size_t i = 0; i < n; i++) {
		const char *candidate = word(i, with);
		size_t distance = word_distance(unknown, candidate);

		if (distance < best_distance) {
			best_distance = distance;
			best = candidate;
		}
	}
	return best && best_distance * 2 < strnlen(unknown, LENGTH_MAX) ? best : NULL;
}

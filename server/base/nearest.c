/* The nearest known word: see nearest.h.  Counts bytes: the words it knows are ASCII. */
#include "base/nearest.h"

#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

enum { LENGTH_MAX = 64 };

static size_t least(size_t a, size_t b)
{
	return a < b ? a : b;
}

size_t word_distance(const char *a, const char *b)
{
	size_t n = strnlen(a, LENGTH_MAX), m = strnlen(b, LENGTH_MAX);
	/* distances from the first i bytes of a to each start of b: i - 2, i - 1 and i */
	size_t rows[3][LENGTH_MAX + 1];

	for (size_t j = 0; j <= m; j++)
		rows[0][j] = j;
	for (size_t i = 1; i <= n; i++) {
		size_t *row = rows[i % 3];
		const size_t *above = rows[(i + 2) % 3], *swapped = rows[(i + 1) % 3];

		row[0] = i;
		for (size_t j = 1; j <= m; j++) {
			row[j] = least(above[j - 1] + (a[i - 1] != b[j - 1]),
				       least(above[j], row[j - 1]) + 1);
			if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
				row[j] = least(row[j], swapped[j - 2] + 1);
		}
	}
	return rows[n % 3][m];
}

const char *nearest_word(const char *unknown, size_t n,
			 const char *(*word)(size_t i, const void *with), const void *with)
{
	size_t best = 0, best_distance = SIZE_MAX;

	for (size_t i = 0; i < n; i++) {
		size_t distance = word_distance(unknown, word(i, with));

		if (distance < best_distance) {
			best_distance = distance;
			best = i;
		}
	}
	if (!n || best_distance * 2 >= strnlen(unknown, LENGTH_MAX))
		return NULL;
	return word(best, with); /* asked again: word may write each into the same place */
}

#undef nearest_refuse /* the analyzer's */
enum err_code nearest_refuse(struct err *err, enum err_code code, const char *field,
			     const char *item_code, const char *near, const char *format, ...)
{
	char sentence[sizeof(err->items[0].message)];
	va_list args;

	va_start(args, format);
	vsnprintf(sentence, sizeof(sentence), format, args);
	va_end(args);
	err_set(err, code, field, item_code, "%s%s%s.", sentence, near ? "; perhaps " : "",
		near ? near : "");
	if (near)
		err_arg(err, "nearest", "%s", near);
	return code;
}

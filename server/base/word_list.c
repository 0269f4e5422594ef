/* See word_list.h. */
#include "base/word_list.h"

#include <string.h>

const char *word_list_next(const char *at, size_t *n)
{
	if (!at)
		return NULL;
	at += strspn(at, " ");
	*n = strcspn(at, " ");
	return *n ? at : NULL;
}

size_t word_list_count(const char *list)
{
	size_t count = 0, n;

	for (const char *at = list; (at = word_list_next(at, &n)); at += n)
		count++;
	return count;
}

bool word_list_has(const char *list, const char *word)
{
	const size_t wanted = strlen(word);
	size_t n;

	for (const char *at = list; (at = word_list_next(at, &n)); at += n)
		if (n == wanted && memcmp(at, word, n) == 0)
			return true;
	return false;
}

/* Lists of words in one text, with spaces between them, as the record keeps them: "tan_mg_l
 * nitrite_n_mg_l". */
#ifndef WEIRBOOK_BASE_WORD_LIST_H
#define WEIRBOOK_BASE_WORD_LIST_H

#include <stdbool.h>
#include <stddef.h>

/* The first word at or after a place in a list: *n bytes, without a NUL.  NULL when none is left;
 * at may be NULL.  The next one is looked for from its end. */
const char *word_list_next(const char *at, size_t *n);

/* How many words; NULL has none. */
size_t word_list_count(const char *list);

/* Whether one of the words is this one, case and all; NULL has none. */
bool word_list_has(const char *list, const char *word);

#endif

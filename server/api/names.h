/* The dictionary's own words in JSON and in the descriptions. */
#ifndef WEIRBOOK_API_NAMES_H
#define WEIRBOOK_API_NAMES_H

#include "model/record.h"

const char *kind_class_name(enum kind_class class); /* "set_up", "lot", "entry", "system" */
const char *field_kind_name(enum field_kind kind);  /* "text", "code", "reference" ... */

/* The field that CSV calls by this other name ("tank" for tank_id), or NULL: what was meant by it. */
const char *field_of_column(const struct kind *k, const char *column);

/* True when clients can add and change rows of k at /api/KIND. */
bool kind_is_written(const struct kind *k);

#endif

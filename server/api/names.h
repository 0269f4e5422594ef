/* The dictionary's own words in JSON and in the descriptions. */
#ifndef WEIRBOOK_API_NAMES_H
#define WEIRBOOK_API_NAMES_H

#include "model/record.h"

const char *kind_class_name(enum kind_class class); /* "set_up", "lot", "entry", "system" */
const char *field_kind_name(enum field_kind kind);  /* "text", "code", "reference" ... */

/* True when clients can add and change rows of k at /api/KIND. */
bool kind_is_written(const struct kind *k);

#endif

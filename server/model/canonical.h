/*
 * The one canonical form of each kind of text value, and the faults that keep a text from having one.
 * Shared by field_read (text that comes in) and record_check (values from anywhere).
 */
#ifndef WEIRBOOK_MODEL_CANONICAL_H
#define WEIRBOOK_MODEL_CANONICAL_H

#include "model/record.h"

/*
 * Puts the canonical form of text into *out (the arena's, or text itself), for a field whose values are
 * VALUE_TEXT or an unresolved reference.  decimal is the decimal point within KIND_NUMBERS.  "" comes out
 * as "" (also for a list of spaces alone).  On fault adds one item and returns ERR_INPUT.
 */
enum err_code field_canonical(const struct field *f, const char *text, char decimal,
			      struct arena *arena, const char **out, struct err *err);

/* Checks a number against the field's range: code out_of_range with args low, high; NAN is outside. */
enum err_code field_check_range(const struct field *f, double value, struct err *err);

#endif

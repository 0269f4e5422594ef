/* A row as JSON, straight from its values. */
#ifndef WEIRBOOK_API_JSON_RECORD_H
#define WEIRBOOK_API_JSON_RECORD_H

#include "base/json_out.h"
#include "model/record.h"

/* One value as the field's kind is written in JSON; a value that is not given is null. */
void json_value_write(struct json_out *j, const struct field *f, const struct value *v);

/*
 * An object: id, key, version, and each field that is given.  A set only[i] says which fields of
 * kind_field(kind, i) are wanted; NULL is all of them.
 */
void json_record_write(struct json_out *j, const struct record *r, const bool *only);

#endif

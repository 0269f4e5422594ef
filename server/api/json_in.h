/*
 * The only reader of JSON that comes in.  Strict: one object, RFC 8259, valid UTF-8, no name twice, at most
 * JSON_DEPTH_MAX deep, no NaN, no number that a double or a 64-bit integer cannot hold, no byte-order mark.
 */
#ifndef WEIRBOOK_API_JSON_IN_H
#define WEIRBOOK_API_JSON_IN_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/err.h"

struct json_t; /* jansson's */

enum { JSON_DEPTH_MAX = 32 };

/*
 * Reads n bytes (the caller has bounded them) that must hold one object.  *out is a new reference, given
 * back with json_in_free.  ERR_MALFORMED with codes bad_json (args line, column), too_deep, no_object,
 * name_twice, number_too_large, bad_utf8, byte_order_mark, nul_in_text.
 */
enum err_code json_in_read(const char *bytes, size_t n, struct json_t **out, struct err *err);
void json_in_free(struct json_t *object); /* NULL is fine */

/* That a body has nothing to say: no bytes, or an empty object.  ERR_INPUT names what is not known; ERR_MALFORMED as
 * json_in_read. */
enum err_code json_in_nothing(const char *bytes, size_t n, struct err *err);

/* Members of an object by name.  A member that is missing or null leaves *out as it is.  The wrong type adds
 * an item (wrong_type) and returns ERR_INPUT.  Borrowed from the object. */
enum err_code json_in_text(const struct json_t *object, const char *name, const char **out,
			   struct err *err);
enum err_code json_in_bool(const struct json_t *object, const char *name, bool *out,
			   struct err *err);
enum err_code json_in_int(const struct json_t *object, const char *name, int64_t *out,
			  struct err *err);
enum err_code json_in_real(const struct json_t *object, const char *name, double *out,
			   struct err *err);
/* A list or an object under a name; NULL when it is missing or of another type. */
const struct json_t *json_in_list(const struct json_t *object, const char *name);
const struct json_t *json_in_object(const struct json_t *object, const char *name);
size_t json_in_count(const struct json_t *list);
/* The i-th of a list when it is an object, else NULL. */
const struct json_t *json_in_object_at(const struct json_t *list, size_t i);

/* Calls fn with each member of an object whose values must be text; stops at the first error. */
enum err_code json_in_each_text(const struct json_t *object,
				enum err_code (*fn)(const char *name, const char *text,
						    size_t length, void *with, struct err *err),
				void *with, struct err *err);

/* Refuses members that are not in known (NULL-ended): unknown_field with the nearest known one. */
enum err_code json_in_known(const struct json_t *object, const char *const *known, struct err *err);

#endif

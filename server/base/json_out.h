/*
 * Writes JSON text straight into a strbuf, in the order of the calls.  Commas come by themselves. A
 * real is written with 15 significant digits (0.1 stays 0.1); NAN and infinity are written as null:
 * no JSON ever holds them.
 */
#ifndef WEIRBOOK_BASE_JSON_OUT_H
#define WEIRBOOK_BASE_JSON_OUT_H

#include <stdbool.h>
#include <stdint.h>

#include "base/strbuf.h"

struct json_out {
	struct strbuf *to; /* borrowed */
	bool comma;        /* a comma is due before the next name or value */
};

void json_out_init(struct json_out *j, struct strbuf *to);
void json_out_open(struct json_out *j, char bracket);  /* '{' or '[' */
void json_out_close(struct json_out *j, char bracket); /* '}' or ']' */
/* The next value belongs to it.  Names are ours: they hold nothing that JSON would have to
 * escape. */
void json_out_name(struct json_out *j, const char *name);
/* A name with its value at once: a bracket that opens, or a text. */
void json_out_name_open(struct json_out *j, const char *name, char bracket);
void json_out_name_text(struct json_out *j, const char *name, const char *text);
void json_out_text(struct json_out *j, const char *text); /* NULL is null; must be valid UTF-8 */
void json_out_int(struct json_out *j, int64_t value);
void json_out_real(struct json_out *j, double value);
void json_out_bool(struct json_out *j, bool value);
void json_out_null(struct json_out *j);
void json_out_raw(struct json_out *j, const char *json); /* already JSON, trusted */

#endif

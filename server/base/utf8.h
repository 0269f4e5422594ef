/* Which bytes are UTF-8 text, by RFC 3629: shortest form, no surrogates, nothing beyond
 * U+10FFFF. */
#ifndef WEIRBOOK_BASE_UTF8_H
#define WEIRBOOK_BASE_UTF8_H

#include <stdbool.h>
#include <stddef.h>

/* Bytes of the well-formed character at the start of n bytes; 0 when there is none, or NUL. */
size_t utf8_size(const char *bytes, size_t n);

/* True when all n bytes are well-formed characters, none of them NUL. */
bool utf8_valid(const char *bytes, size_t n);

#endif

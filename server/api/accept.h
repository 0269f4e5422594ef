/* What a client would rather have: the Accept header (RFC 9110 section 12.5.1). */
#ifndef WEIRBOOK_API_ACCEPT_H
#define WEIRBOOK_API_ACCEPT_H

#include <stdbool.h>

/* True when text/csv is wanted more than application/json. */
bool accept_prefers_csv(const char *header);

/* Whether a Content-Type is this media type, whatever its parameters.  type NULL: it is not. */
bool media_type_is(const char *type, const char *media);

#endif

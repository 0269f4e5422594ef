/* docs/API.md: the interface in words, made from the tables that the service itself walks. */
#ifndef WEIRBOOK_API_DESCRIBE_H
#define WEIRBOOK_API_DESCRIBE_H

#include "base/strbuf.h"

/* Appends the whole page, Markdown.  The same on every machine. */
void api_describe(struct strbuf *out);

/* How readings of probes come in and go out, in Markdown. */
extern const char how_a_logger_sends[];

#endif

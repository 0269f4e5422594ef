/* The target of a request line, taken apart strictly: what cannot be read is refused, never mended. */
#ifndef WEIRBOOK_HTTP_URI_H
#define WEIRBOOK_HTTP_URI_H

#include "api/request.h"
#include "base/err.h"

/*
 * Sets req->path and req->query from a raw target ("/api/tanks?limit=3"), decoded, in req's arena.
 * ERR_MALFORMED: does not start with '/', a broken %XX, a NUL, a control character, or text that is
 * not UTF-8.
 */
enum err_code uri_read(const char *raw, struct request *req, struct err *err);

#endif

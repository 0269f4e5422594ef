/* From struct response to what libmicrohttpd sends. */
#ifndef WEIRBOOK_HTTP_REPLY_H
#define WEIRBOOK_HTTP_REPLY_H

#include <microhttpd.h>
#include <stdbool.h>

#include "api/request.h"

/*
 * Builds the answer with the headers that all answers have; never NULL, the caller owns it.  Takes the
 * body and the fd out of res (handed over without a copy).  A GET or HEAD whose ETag the client has
 * becomes 304.  close: the connection ends after it.
 */
struct MHD_Response *reply_build(const struct request *req, struct response *res, bool close,
				 unsigned *status);

/* The answer of an event stream: read gives what there is to say, done is called when nothing refers to
 * with any more. */
struct MHD_Response *reply_stream(const struct response *res, size_t block,
				  MHD_ContentReaderCallback read, void *with,
				  MHD_ContentReaderFreeCallback done);

#endif

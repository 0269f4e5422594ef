/* Text that is sent once it is whole: kept in memory while small, else in a file that has no name. */
#ifndef WEIRBOOK_API_SPOOL_H
#define WEIRBOOK_API_SPOOL_H

#include "api/request.h"

struct spool {
	struct strbuf text; /* what is not in the file yet; append to it, then spool_flush */
	int fd;             /* -1 while all is in memory */
};

void spool_init(struct spool *s);
void spool_release(struct spool *s);

/* Writes out what has gathered once it is large.  ERR_UNAVAILABLE (no_room) when the disk is full. */
enum err_code spool_flush(struct spool *s, struct err *err);

/* Hands all to res, as its body or its fd; s is empty afterwards. */
enum err_code spool_finish(struct spool *s, struct response *res, struct err *err);

#endif

/* What answer.c and writes.c share: one request through its handler. */
#ifndef WEIRBOOK_API_WRITES_H
#define WEIRBOOK_API_WRITES_H

#include "api/request.h"

/* Checks, runs the handler, and turns an error into problem details.  Returns the error. */
enum err_code answer_one(struct request *req, struct response *res);

#endif

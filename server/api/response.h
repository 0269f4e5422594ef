/* What handlers use to fill a response, beyond request.h. */
#ifndef WEIRBOOK_API_RESPONSE_H
#define WEIRBOOK_API_RESPONSE_H

#include "api/request.h"
#include "model/record.h"

/* The HTTP status of an error: the one table that maps them. */
int status_of(enum err_code code);

/* Starts a JSON body: status (200, 201 ...), and a writer at its end. */
struct json_out response_json(struct response *res, int status);

/* A whole answer of one row: its JSON, ETag = its version. */
void response_write_record(struct request *req, struct response *res, int status,
			   const struct record *r);

/* Problem details as one JSON value, for an answer inside a batch.  current may be NULL: the row as it
 * stands now.  What went wrong on our side is logged and told in general words only. */
void problem_write(struct json_out *j, const struct err *err, const struct record *current);

/* Parts of problem details, for an answer that adds members of its own: type, title, status and detail; and
 * field, code, message and args of one item. */
void problem_head(struct json_out *j, const struct err *err);
void problem_item_members(struct json_out *j, const struct err_item *item);

/* As response_problem, with the row as it stands beside it (412). */
void response_problem_current(struct response *res, const struct err *err,
			      const struct record *current);

/* 304 with this ETag and no body. */
void response_not_modified(struct response *res, const char *etag);

#endif

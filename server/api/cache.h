/* ETags and conditional requests (RFC 9110 section 13). */
#ifndef WEIRBOOK_API_CACHE_H
#define WEIRBOOK_API_CACHE_H

#include "api/request.h"
#include "api/response.h"
#include "book/report.h"

/* Of one row: its version, quoted. */
const char *etag_of_row(struct arena *arena, int64_t version);

/*
 * Of a list or report: the record's version, the farm's day and the build; by_minute adds the
 * minute, for answers that change by the clock.  Read before the rows are, so that it is never
 * newer than they.
 */
const char *etag_of_record(const struct request *req, bool by_minute);

/* The same of a report, by what it says of itself. */
const char *etag_of_report(const struct request *req, const struct report *report);

/* Of readings: their own version beside the record's, which holds their probes and what is wrong
 * with them. */
const char *etag_of_readings(const struct request *req);

/* Of what only a new build changes. */
const char *etag_of_build(const struct request *req);

/* True when If-None-Match names etag (weak comparison) or is *: res is then a 304. */
bool answered_unchanged(const struct request *req, struct response *res, const char *etag);

/*
 * Answers 200 with the JSON that write makes, under the build's ETag; 304 when the asker has it.
 * For what only a new build changes and of which nothing can be asked: ERR_MALFORMED for any
 * parameter.
 */
enum err_code answer_of_build(struct request *req, struct response *res,
			      void (*write)(struct json_out *j), struct err *err);

/*
 * What If-Match asks of a row that stands at version: 0 when the header is missing, version when it
 * holds by strong comparison or is *, and -1 when it does not.
 */
int64_t if_match_version(const struct request *req, int64_t version);

#endif

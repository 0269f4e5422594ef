/* The query part of an address, read strictly: what is unknown or comes twice is refused by name. */
#ifndef WEIRBOOK_API_QUERY_H
#define WEIRBOOK_API_QUERY_H

#include "api/request.h"
#include "model/record.h"

/*
 * Refuses (ERR_MALFORMED: unknown_parameter with the nearest known one, parameter_twice, bad_utf8) what is
 * neither in known (NULL-ended) nor, when k is not NULL, the name of one of its fields.
 */
enum err_code query_check(const struct request *req, const char *const *known, const struct kind *k,
			  struct err *err);

/* A whole number in low to high; if_none when the parameter is not there. */
enum err_code query_int(const struct request *req, const char *name, int64_t low, int64_t high,
			int64_t if_none, int64_t *out, struct err *err);

/* A day YYYY-MM-DD; if_none when the parameter is not there. */
enum err_code query_day(const struct request *req, const char *name, int64_t if_none, int64_t *out,
			struct err *err);

/* An instant, RFC 3339; if_none when the parameter is not there. */
enum err_code query_time(const struct request *req, const char *name, int64_t if_none, int64_t *out,
			 struct err *err);

/* 1 or 0; false when the parameter is not there. */
enum err_code query_flag(const struct request *req, const char *name, bool *out, struct err *err);

#endif

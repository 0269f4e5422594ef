/* The query part of an address, read strictly: what is unknown or comes twice is refused by name. */
#ifndef WEIRBOOK_API_QUERY_H
#define WEIRBOOK_API_QUERY_H

#include "api/request.h"
#include "model/record.h"

/*
 * Refuses (ERR_MALFORMED: unknown_parameter with the nearest known one, parameter_twice, bad_utf8) what is
 * neither in known (NULL-ended) nor, when k is not NULL, the name of one of its fields or a way to one (query_way).
 */
enum err_code query_check(const struct request *req, const char *const *known, const struct kind *k,
			  struct err *err);

enum { WAY_STEPS_MAX = 3 };

/*
 * The field at the end of a way of references joined by points, as in crop_lot_id.variety_id; via gets the
 * references that lead there.  NULL when a step of it is not there, or when it has none.
 */
const struct field *query_way(const struct kind *k, const char *name,
			      const struct field *via[WAY_STEPS_MAX], size_t *n_via);

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

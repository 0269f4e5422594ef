/* What the addresses of readings ask for: a probe and farm days. */
#ifndef WEIRBOOK_API_READINGS_QUERY_H
#define WEIRBOOK_API_READINGS_QUERY_H

#include "api/request.h"
#include "book/readings.h"

struct readings_query {
	bool has_probe;
	struct probe probe;
	int64_t from_day, to_day; /* INT64_MIN, INT64_MAX: not given */
};

/* Reads probe (code or key), probe_id, from and to. */
enum err_code readings_query_read(struct request *req, struct readings_query *out, struct err *err);

/* An id as probe_find takes it. */
const char *probe_by_id(struct arena *arena, int64_t id);

#endif

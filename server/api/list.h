/* The questions that lists take in their address, shared by JSON and CSV. */
#ifndef WEIRBOOK_API_LIST_H
#define WEIRBOOK_API_LIST_H

#include "api/request.h"
#include "store/record.h"

enum { LIST_LIMIT_DEFAULT = 100, LIST_LIMIT_MAX = 1000 };

/*
 * Reads filters by field (several ids with commas between; a field of what is referred to, as
 * crop_lot_id.variety_id; id), without, from, to, struck and order.  paged: limit, after and fields may stand in the address
 * too (list.c reads fields).  out->limit is what the client asked for; filters belong to the arena.
 */
enum err_code list_query_read(struct request *req, const struct kind *k, bool paged,
			      struct list_query *out, struct err *err);

#endif

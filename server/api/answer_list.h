/* A request whose body is {"NAME": [item, ...]}: each item is answered in order, and one that fails
 * stops no other. */
#ifndef WEIRBOOK_API_ANSWER_LIST_H
#define WEIRBOOK_API_ANSWER_LIST_H

#include "api/json_in.h"
#include "api/response.h"

struct list_asked {
	const char *name;               /* of the list, the only member of the body */
	size_t most;                    /* items */
	const char *missing, *too_many; /* what is said then */
	/* Writes the item's answer, whatever becomes of it.  item is NULL when it is no object. */
	void (*answer)(struct request *req, const struct json_t *item, struct json_out *j);
};

/* Answers 200 with {"answers": [...]}; ERR_INPUT or ERR_TOO_LARGE in err of a body that is no such
 * list. */
enum err_code answer_list(struct request *req, struct response *res, const struct list_asked *asked,
			  struct err *err);

#endif

/* A request's headers and query by name.  What they mean is left to query.c and the handlers. */
#include <string.h>
#include <strings.h>

#include "api/request.h"

void request_init(struct request *req, struct arena *arena)
{
	*req = (struct request){ .arena = arena };
}

const char *request_header(const struct request *req, const char *name)
{
	for (size_t i = 0; i < req->n_headers; i++)
		if (!strcasecmp(req->headers[i].name, name))
			return req->headers[i].value;
	return NULL;
}

size_t request_header_count(const struct request *req, const char *name)
{
	size_t n = 0;

	for (size_t i = 0; i < req->n_headers; i++)
		n += !strcasecmp(req->headers[i].name, name);
	return n;
}

const char *request_query(const struct request *req, const char *name)
{
	for (size_t i = 0; i < req->n_query; i++)
		if (!strcmp(req->query[i].name, name))
			return req->query[i].value;
	return NULL;
}

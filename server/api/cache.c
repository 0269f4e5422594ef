/* ETags and conditional requests: see cache.h. */
#include <inttypes.h>
#include <string.h>

#include "api/app.h"
#include "api/cache.h"

const char *etag_of_row(struct arena *arena, int64_t version)
{
	return arena_printf(arena, "\"%" PRId64 "\"", version);
}

const char *etag_of_record(const struct request *req, bool by_minute)
{
	const int64_t version = atomic_load(&req->app->version);
	const int64_t day = book_day(req->book, req->now);

	if (by_minute)
		return arena_printf(req->arena, "\"r%" PRId64 "-%" PRId64 "-%" PRId64 "-%s\"",
				    version, day, req->now / 60, req->app->build);
	return arena_printf(req->arena, "\"r%" PRId64 "-%" PRId64 "-%s\"", version, day,
			    req->app->build);
}

const char *etag_of_build(const struct request *req)
{
	return arena_printf(req->arena, "\"b-%s\"", req->app->build);
}

/* The next entity tag of a header's list, quotes included: *tag and *n, weak when W/ stands before it.
 * Returns what follows, or NULL at the end or where it cannot be read. */
static const char *next_tag(const char *at, const char **tag, size_t *n, bool *weak)
{
	const char *end;

	at += strspn(at, " \t,");
	*weak = !strncmp(at, "W/", 2);
	if (*weak)
		at += 2;
	if (*at != '"')
		return NULL;
	end = strchr(at + 1, '"');
	if (!end)
		return NULL;
	*tag = at;
	*n = (size_t)(end - at) + 1;
	return end + 1;
}

static bool names_tag(const char *header, const char *etag, bool strong)
{
	const char *at = header, *tag;
	bool weak;
	size_t n;

	if (!strcmp(header + strspn(header, " \t"), "*"))
		return true;
	while ((at = next_tag(at, &tag, &n, &weak)))
		if (!(strong && weak) && n == strlen(etag) && !memcmp(tag, etag, n))
			return true;
	return false;
}

bool answered_unchanged(const struct request *req, struct response *res, const char *etag)
{
	const char *header = request_header(req, "If-None-Match");

	if (!header || !names_tag(header, etag, false))
		return false;
	response_not_modified(res, etag);
	return true;
}

int64_t if_match_version(const struct request *req, int64_t version)
{
	const char *header = request_header(req, "If-Match");

	if (!header)
		return 0;
	return names_tag(header, etag_of_row(req->arena, version), true) ? version : -1;
}

/* ETags and conditional requests: see cache.h. */
#include <inttypes.h>
#include <stdio.h>
#include <string.h>

#include "api/app.h"
#include "api/cache.h"
#include "api/query.h"

const char *etag_of_row(struct arena *arena, int64_t version)
{
	return arena_printf(arena, "\"%" PRId64 "\"", version);
}

/* One address can answer JSON or CSV, by Accept: their tags must differ. */
static const char *form_of(const struct request *req)
{
	return strstr(req->route->path, ".csv") ? "-csv" : "";
}

/* The record's version, that of readings where they were read, the farm's day, the minute, the
 * build. */
static const char *etag_of(const struct request *req, bool readings, bool by_minute)
{
	const int64_t version = atomic_load(&req->app->version);
	const int64_t day = book_day(req->book, req->now);
	char of_readings[32] = "", minute[32] = "";

	if (readings)
		snprintf(of_readings, sizeof(of_readings), "-p%" PRId64,
			 atomic_load(&req->app->readings_version));
	if (by_minute)
		snprintf(minute, sizeof(minute), "-%" PRId64, req->now / 60);
	return arena_printf(req->arena, "\"r%" PRId64 "%s-%" PRId64 "%s-%s%s\"", version,
			    of_readings, day, minute, req->app->build, form_of(req));
}

const char *etag_of_record(const struct request *req, bool by_minute)
{
	return etag_of(req, false, by_minute);
}

const char *etag_of_report(const struct request *req, const struct report *report)
{
	return etag_of(req, report->uses_readings, report->changes_by_clock);
}

const char *etag_of_readings(const struct request *req)
{
	return etag_of(req, true, false);
}

const char *etag_of_build(const struct request *req)
{
	return arena_printf(req->arena, "\"b-%s\"", req->app->build);
}

/*
 * The next entity tag of a header's list, quotes included: *tag and *n.  W/ before it is passed
 * over: our tags name a version of the record, and gzip alone makes them weak (http/reply.c).
 * Returns what follows, or NULL at the end or where it cannot be read.
 */
static const char *next_tag(const char *at, const char **tag, size_t *n)
{
	const char *end;

	at += strspn(at, " \t,");
	if (!strncmp(at, "W/", 2))
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

static bool names_tag(const char *header, const char *etag)
{
	const char *at = header, *tag;
	size_t n;

	if (!strcmp(header + strspn(header, " \t"), "*"))
		return true;
	while ((at = next_tag(at, &tag, &n)))
		if (n == strlen(etag) && !memcmp(tag, etag, n))
			return true;
	return false;
}

bool answered_unchanged(const struct request *req, struct response *res, const char *etag)
{
	const char *header = request_header(req, "If-None-Match");

	if (!header || !names_tag(header, etag))
		return false;
	response_not_modified(res, etag);
	return true;
}

enum err_code answer_of_build(struct request *req, struct response *res,
			      void (*write)(struct json_out *j), struct err *err)
{
	static const char *const known[] = { NULL };
	const char *etag = etag_of_build(req);
	struct json_out j;
	enum err_code rc = query_check(req, known, NULL, err);

	if (rc || answered_unchanged(req, res, etag))
		return rc;
	j = response_json(res, 200);
	write(&j);
	res->etag = etag;
	return ERR_NONE;
}

int64_t if_match_version(const struct request *req, int64_t version)
{
	const char *header = request_header(req, "If-Match");

	if (!header)
		return 0;
	return names_tag(header, etag_of_row(req->arena, version)) ? version : -1;
}

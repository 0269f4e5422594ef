/* One row of any kind: GET, POST, PATCH, strike, restore.  Lists stand in list.c. */
#include <inttypes.h>
#include <string.h>

#include "api/acts.h"
#include "api/cache.h"
#include "api/handlers.h"
#include "api/query.h"
#include "api/response.h"

/* Kind of /api/{kind}/{id} and the row as it stands, for writing. */
static enum err_code path_row_to_write(struct request *req, struct response *res,
				       const struct kind **k, struct record **present,
				       struct err *err)
{
	enum err_code rc = find_written_kind(req->params[0], k, err);

	if (rc == ERR_METHOD)
		res->allow = "GET, HEAD";
	return rc ? rc : get_row(req, *k, req->params[1], present, err);
}

/* The body as one entry.  A strike or restore may come without one. */
static enum err_code read_body(struct request *req, const struct kind *k, int uses,
			       struct entry_in *in, struct err *err)
{
	struct json_t *body = NULL; /* owned */
	enum err_code rc;

	if (!req->body_length && uses == USE_ACT)
		rc = json_in_read("{}", 2, &body, err);
	else
		rc = json_in_read(req->body, req->body_length, &body, err);
	if (!rc)
		rc = entry_in_read(body, k, uses, req->arena, in, err);
	json_in_free(body);
	return rc;
}

/* Idempotency-Key is a structured-field string, so quoted; it is taken without quotes too. */
static bool read_header_key(const char *header, struct arena *arena, struct uuid *out)
{
	const size_t n = strlen(header);

	if (*header != '"')
		return uuid_read(header, out) && uuid_is_client(out);
	return n > 2 && header[n - 1] == '"' &&
	       uuid_read(arena_strndup(arena, header + 1, n - 2), out) && uuid_is_client(out);
}

static enum err_code take_header_key(struct request *req, struct record *r, struct err *err)
{
	const char *header = request_header(req, "Idempotency-Key");
	struct uuid key;

	if (!header)
		return ERR_NONE;
	if (request_header_count(req, "Idempotency-Key") > 1 ||
	    !read_header_key(header, req->arena, &key))
		return err_set(err, ERR_MALFORMED, "key", "bad_key",
			       "Idempotency-Key must be one UUID of version 4 or 7.");
	if (!uuid_is_zero(&r->key) && uuid_compare(&r->key, &key) != 0)
		return err_set(err, ERR_MALFORMED, "key", "two_keys",
			       "Idempotency-Key and key differ; send one of them.");
	r->key = key;
	return ERR_NONE;
}

/* A stale write is answered with the row as it stands. */
static enum err_code answer_kept(struct request *req, struct response *res, int status,
				 enum err_code rc, const struct record *kept, struct err *err)
{
	if (rc == ERR_STALE && kept)
		response_problem_current(res, err, kept);
	else if (!rc)
		response_write_record(req, res, status, kept);
	return rc;
}

enum err_code get_one(struct request *req, struct response *res, struct err *err)
{
	static const char *const known[] = { NULL };
	const struct kind *k;
	struct record *r;
	enum err_code rc = query_check(req, known, NULL, err);

	if (!rc)
		rc = find_kind(req->params[0], &k, err);
	if (!rc)
		rc = get_row(req, k, req->params[1], &r, err);
	if (!rc && !answered_unchanged(req, res, etag_of_row(req->arena, r->version)))
		response_write_record(req, res, 200, r);
	return rc;
}

enum err_code post_one(struct request *req, struct response *res, struct err *err)
{
	const struct kind *k;
	struct entry_in in;
	struct record *kept = NULL;
	enum err_code rc = find_written_kind(req->params[0], &k, err);

	if (rc == ERR_METHOD)
		res->allow = "GET, HEAD";
	if (!rc)
		rc = read_body(req, k, USE_CREATE, &in, err);
	if (!rc)
		rc = take_header_key(req, in.values, err);
	if (!rc)
		rc = act_create(req, &in, &kept, err);
	if (!rc)
		res->location = arena_printf(req->arena, "/api/%s/%" PRId64, k->name, kept->id);
	return answer_kept(req, res, 201, rc, kept, err);
}

enum err_code patch_one(struct request *req, struct response *res, struct err *err)
{
	const struct kind *k;
	struct entry_in in;
	struct record *present, *kept = NULL;
	enum err_code rc = path_row_to_write(req, res, &k, &present, err);

	if (!rc)
		rc = read_body(req, k, USE_PATCH, &in, err);
	if (!rc)
		rc = act_patch(req, k, present->id, &in, if_match_version(req, present->version),
			       &kept, err);
	return answer_kept(req, res, 200, rc, kept, err);
}

/* If-Match is free on a strike; one that does not hold is refused. */
static enum err_code check_free_match(struct request *req, const struct record *present,
				      struct err *err)
{
	if (if_match_version(req, present->version) >= 0)
		return ERR_NONE;
	return err_set(err, ERR_STALE, "", "stale", "The row has changed since it was read.");
}

static enum err_code strike_or_restore(struct request *req, struct response *res, bool restore,
				       struct err *err)
{
	const struct kind *k;
	struct entry_in in;
	struct record *present = NULL, *kept = NULL;
	enum err_code rc = path_row_to_write(req, res, &k, &present, err);

	if (!rc)
		rc = check_free_match(req, present, err);
	if (rc == ERR_STALE)
		kept = present;
	if (!rc)
		rc = read_body(req, k, USE_ACT, &in, err);
	if (!rc)
		rc = act_strike(req, k, present->id, &in, restore, &kept, err);
	return answer_kept(req, res, 200, rc, kept, err);
}

enum err_code post_strike(struct request *req, struct response *res, struct err *err)
{
	return strike_or_restore(req, res, false, err);
}

enum err_code post_restore(struct request *req, struct response *res, struct err *err)
{
	return strike_or_restore(req, res, true, err);
}

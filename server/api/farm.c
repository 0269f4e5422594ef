/* The farm: one row, always there, its id is 1. */
#include "api/acts.h"
#include "api/cache.h"
#include "api/handlers.h"
#include "api/query.h"
#include "api/response.h"
#include "model/kinds.h"
#include "store/record.h"

enum { FARM_ID = 1 };

enum err_code get_farm(struct request *req, struct response *res, struct err *err)
{
	static const char *const known[] = { NULL };
	struct record *farm;
	enum err_code rc = query_check(req, known, NULL, err);

	if (!rc)
		rc = store_get(book_store(req->book), &farm_kind, FARM_ID, req->arena, &farm, err);
	if (!rc && !answered_unchanged(req, res, etag_of_row(req->arena, farm->version)))
		response_write_record(req, res, 200, farm);
	return rc;
}

enum err_code patch_farm(struct request *req, struct response *res, struct err *err)
{
	struct record *farm = NULL, *kept = NULL;
	struct json_t *body = NULL; /* owned */
	struct entry_in in;
	enum err_code rc = json_in_read(req->body, req->body_length, &body, err);

	if (!rc)
		rc = entry_in_read(body, &farm_kind, USE_PATCH, req->arena, &in, err);
	if (!rc)
		rc = store_get(book_store(req->book), &farm_kind, FARM_ID, req->arena, &farm, err);
	if (!rc)
		rc = act_patch(req, &farm_kind, FARM_ID, &in, if_match_version(req, farm->version),
			       &kept, err);
	if (rc == ERR_STALE && kept)
		response_problem_current(res, err, kept);
	if (!rc)
		response_write_record(req, res, 200, kept);
	json_in_free(body);
	return rc;
}

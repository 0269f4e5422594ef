/* GET /api/{kind}/alike: pairs of entries that two people may have made of one event, for striking one of them.
 * Nothing of it is stored, so it is asked for by days. */
#include "api/acts.h"
#include "api/cache.h"
#include "api/handlers.h"
#include "api/query.h"
#include "api/response.h"

enum { DAYS_DEFAULT = 7 };

static enum err_code read_days(struct request *req, int64_t *from, int64_t *to, struct err *err)
{
	static const char *const known[] = { "from", "to", NULL };
	const int64_t today = book_day(req->book, req->now);
	enum err_code rc = query_check(req, known, NULL, err);

	if (!rc)
		rc = query_day(req, "to", today, to, err);
	if (!rc)
		rc = query_day(req, "from", *to - (DAYS_DEFAULT - 1), from, err);
	return rc;
}

static void write_pairs(struct response *res, const struct alike *pairs, size_t n)
{
	struct json_out j = response_json(res, 200);

	json_out_open(&j, '{');
	json_out_name(&j, "pairs");
	json_out_open(&j, '[');
	for (size_t i = 0; i < n; i++) {
		json_out_open(&j, '{');
		json_out_name(&j, "id");
		json_out_int(&j, pairs[i].id);
		json_out_name(&j, "later_id");
		json_out_int(&j, pairs[i].later_id);
		json_out_close(&j, '}');
	}
	json_out_close(&j, ']');
	json_out_close(&j, '}');
}

enum err_code get_alike(struct request *req, struct response *res, struct err *err)
{
	struct alike *pairs = NULL;
	const struct kind *k;
	const char *etag;
	int64_t from, to;
	size_t n = 0;
	enum err_code rc = find_kind(req->params[0], &k, err);

	if (!rc && kind_field_index(k, "day") == SIZE_MAX)
		rc = err_set(err, ERR_NOT_FOUND, "", "no_such_address",
			     "Rows of %s have no day; none are alike.", k->name);
	if (!rc)
		rc = read_days(req, &from, &to, err);
	if (rc)
		return rc;
	etag = etag_of_record(req, false);
	if (answered_unchanged(req, res, etag))
		return ERR_NONE;
	rc = book_alike(req->book, k, from, to, req->arena, &pairs, &n, err);
	if (rc)
		return rc;
	write_pairs(res, pairs, n);
	res->etag = etag;
	return ERR_NONE;
}

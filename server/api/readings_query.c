/* What the addresses of readings ask for: see readings_query.h. */
#include "api/readings_query.h"

#include <inttypes.h>

#include "api/query.h"

const char *probe_by_id(struct arena *arena, int64_t id)
{
	return arena_printf(arena, "#%" PRId64, id);
}

static enum err_code find(struct request *req, struct readings_query *out, struct err *err)
{
	const char *text = request_query(req, "probe");
	int64_t id = 0;
	struct err why;
	enum err_code rc = query_int(req, "probe_id", 1, INT64_MAX, 0, &id, err);

	if (rc)
		return rc;
	out->has_probe = text || id;
	if (text && id)
		return err_set(err, ERR_MALFORMED, "probe", "too_many",
			       "Give probe or probe_id, not both.");
	if (!out->has_probe)
		return ERR_NONE;
	err_clear(&why);
	rc = probe_find(req->book, text ? text : probe_by_id(req->arena, id), req->arena,
			&out->probe, &why);
	if (rc == ERR_INPUT) /* a fault of the address */
		rc = why.code = ERR_MALFORMED;
	if (rc)
		err_append(err, &why);
	return rc;
}

enum err_code readings_query_read(struct request *req, struct readings_query *out, struct err *err)
{
	enum err_code rc;

	*out = (struct readings_query){ 0 };
	rc = find(req, out, err);
	if (!rc)
		rc = query_day(req, "from", INT64_MIN, &out->from_day, err);
	if (!rc)
		rc = query_day(req, "to", INT64_MAX, &out->to_day, err);
	return rc;
}

/* GET /healthz: whether the service is well, and what it is. */
#include "config.h"

#include "api/app.h"
#include "api/handlers.h"
#include "api/query.h"
#include "api/response.h"
#include "base/zone.h"

enum err_code get_health(struct request *req, struct response *res, struct err *err)
{
	static const char *const known[] = { NULL };
	const struct app *app = req->app;
	char now[TIME_TEXT_MAX];
	struct json_out j;
	enum err_code rc = query_check(req, known, NULL, err);

	if (rc)
		return rc;
	time_write(now, req->now);
	j = response_json(res, 200);
	json_out_open(&j, '{');
	json_out_name(&j, "status");
	json_out_text(&j, atomic_load(&app->writing_off) ? "reading_only" : "ok");
	json_out_name(&j, "now");
	json_out_text(&j, now);
	json_out_name(&j, "version");
	json_out_text(&j, PACKAGE_VERSION);
	json_out_name(&j, "schema");
	json_out_int(&j, store_schema_version());
	json_out_name(&j, "demo");
	json_out_bool(&j, app->demo);
	json_out_name(&j, "open_lan");
	json_out_bool(&j, app->open_lan);
	json_out_close(&j, '}');
	res->cache_control = "no-store";
	return ERR_NONE;
}

/* GET and POST /api/demo: the demo farm beside a farm that is only begun.  How it is started is cmd/demo_beside.c's. */
#include "api/app.h"
#include "api/handlers.h"
#include "api/json_in.h"
#include "api/query.h"
#include "api/response.h"
#include "store/store.h"

static void answer(const struct app *app, struct response *res)
{
	const int port = atomic_load(&app->demo_port);
	struct json_out j = response_json(res, 200);

	json_out_open(&j, '{');
	json_out_name(&j, "demo");
	json_out_bool(&j, app->demo);
	json_out_name(&j, "beside");
	if (app->beside)
		json_out_int(&j, app->beside);
	else
		json_out_null(&j);
	json_out_name(&j, "making");
	json_out_bool(&j, port == DEMO_MAKING);
	json_out_name(&j, "port");
	if (port > 0)
		json_out_int(&j, port);
	else
		json_out_null(&j);
	json_out_close(&j, '}');
	res->cache_control = "no-store";
}

enum err_code get_demo(struct request *req, struct response *res, struct err *err)
{
	static const char *const known[] = { NULL };
	const enum err_code rc = query_check(req, known, NULL, err);

	if (!rc)
		answer(req->app, res);
	return rc;
}

/* A farm that works has no use for it, and its tablets might take the one for the other. */
static enum err_code check_begun(struct store *st, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(st, Q_HAS_TANKS_OR_BEDS, &q, err);

	if (!rc)
		rc = stmt_row(q, err);
	if (!rc && stmt_int(q, 0))
		rc = err_set(
			err, ERR_CONFLICT, "", "farm_is_there",
			"This farm has tanks or beds: the demo farm is for an empty one. Start "
			"it with weirbook demo.");
	stmt_done(q);
	return rc;
}

enum err_code post_demo(struct request *req, struct response *res, struct err *err)
{
	struct app *app = req->app;
	enum err_code rc = json_in_nothing(req->body, req->body_length, err);

	if (!rc && app->demo)
		rc = err_set(err, ERR_CONFLICT, "", "is_demo", "This is the demo farm.");
	if (!rc)
		rc = check_begun(book_store(req->book), err);
	if (rc)
		return rc;
	if (!app->start_demo || !app->start_demo(app->start_demo_with))
		return err_set(err, ERR_UNAVAILABLE, "", "no_demo",
			       "The demo farm could not be started. Start it with weirbook demo.");
	answer(app, res);
	return ERR_NONE;
}

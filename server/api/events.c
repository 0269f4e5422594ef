/* GET /api/events: see events.h. */
#include "api/events.h"

#include <assert.h>
#include <inttypes.h>

#include "api/handlers.h"
#include "api/query.h"
#include "api/static_files.h"
#include "base/json_out.h"
#include "model/kinds.h"

void events_note(struct app *app, struct store *st)
{
	const int64_t version = store_version(st);

	assert(kind_count() <= APP_KINDS_MAX);
	for (size_t i = 0; i < kind_count(); i++)
		if (store_touched(st, i))
			atomic_store(&app->touched[i], version);
	atomic_store(&app->readings_version, store_readings_version(st));
	/* Last: who sees the version must find its kinds. */
	atomic_store(&app->version, version);
}

void events_greet(const struct app *app, struct event_place *place, struct strbuf *out)
{
	place->version = atomic_load(&app->version);
	place->readings = atomic_load(&app->readings_version);
	strbuf_addf(out,
		    "retry: 2000\nid: %" PRId64 "\nevent: hello\ndata: {\"version\":%" PRId64
		    ",\"web\":\"%s\",\"demo\":%s,\"beside\":%d}\n\n",
		    place->version, place->version, static_files_build,
		    app->demo ? "true" : "false", app->beside);
}

static void add_kind(struct strbuf *out, const char **comma, const char *name)
{
	strbuf_addf(out, "%s\"%s\"", *comma, name);
	*comma = ",";
}

void events_tell(const struct app *app, struct event_place *place, struct strbuf *out)
{
	const int64_t version = atomic_load(&app->version);
	const int64_t readings = atomic_load(&app->readings_version);
	const char *comma = "";

	if (version == place->version && readings == place->readings)
		return;
	strbuf_addf(out, "id: %" PRId64 "\ndata: {\"version\":%" PRId64 ",\"kinds\":[", version,
		    version);
	for (size_t i = 0; i < kind_count(); i++)
		if (atomic_load(&app->touched[i]) > place->version)
			add_kind(out, &comma, kinds[i]->name);
	/* they have a version of their own, and no row that is written as other rows are */
	if (readings != place->readings)
		add_kind(out, &comma, readings_kind.name);
	strbuf_adds(out, "]}\n\n");
	place->version = version;
	place->readings = readings;
}

void events_beat(struct strbuf *out)
{
	strbuf_adds(out, ":\n\n");
}

enum err_code get_events(struct request *req, struct response *res, struct err *err)
{
	static const char *const known[] = { NULL };
	struct event_place *place = arena_array(req->arena, 1, sizeof(*place));
	enum err_code rc = query_check(req, known, NULL, err);

	if (rc)
		return rc;
	events_greet(req->app, place, &res->body);
	res->status = 200;
	res->content_type = "text/event-stream";
	res->cache_control = "no-store";
	res->events = place;
	return ERR_NONE;
}

/*
 * GET /api/openapi.json: OpenAPI 3.1, made from the dictionary, the reports and the routes.  A path
 * with {kind} or {name} is written out for each kind or report, so that tools see each with its own
 * fields.  Their schemas are in openapi_schema.c.
 */
#include "config.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "api/cache.h"
#include "api/describe.h"
#include "api/handlers.h"
#include "api/names.h"
#include "api/openapi_schema.h"
#include "api/routes.h"

/* What a route is about once its path is written out. */
struct subject {
	const struct kind *kind;     /* {kind}, or NULL */
	const struct report *report; /* {name}, or NULL */
};

static void parameter(struct json_out *j, const char *name, const char *in, bool required,
		      const char *type)
{
	json_out_open(j, '{');
	json_out_name_text(j, "name", name);
	json_out_name_text(j, "in", in);
	if (required) {
		json_out_name(j, "required");
		json_out_bool(j, true);
	}
	json_out_name_open(j, "schema", '{');
	json_out_name_text(j, "type", type);
	json_out_close(j, '}');
	json_out_close(j, '}');
}

static void list_parameters(struct json_out *j, const struct kind *k, bool paged)
{
	if (kind_field_index(k, "day") != SIZE_MAX) {
		parameter(j, "from", "query", false, "string");
		parameter(j, "to", "query", false, "string");
	}
	parameter(j, "struck", "query", false, "integer");
	parameter(j, "order", "query", false, "string");
	parameter(j, "id", "query", false, "string");
	parameter(j, "without", "query", false, "string");
	if (paged) {
		parameter(j, "limit", "query", false, "integer");
		parameter(j, "after", "query", false, "string");
		parameter(j, "fields", "query", false, "string");
	}
	for (size_t i = 0; i < kind_field_count(k); i++)
		parameter(j, kind_field(k, i)->name, "query", false, "string");
}

static void report_parameters(struct json_out *j, const struct report *r)
{
	for (size_t i = 0; i < r->n_questions; i++)
		parameter(j, r->questions[i].name, "query", false, "string");
	parameter(j, "explain", "query", false, "integer");
}

static bool ends_with(const char *path, const char *end)
{
	const size_t n = strlen(path), n_end = strlen(end);

	return n >= n_end && !strcmp(path + n - n_end, end);
}

static bool is_list(const struct route *r)
{
	return !strcmp(r->method, "GET") &&
	       (ends_with(r->path, "{kind}") || ends_with(r->path, "{kind}.csv"));
}

/* What the address of entries between two days takes, where it is no list. */
static bool has_days_alone(const struct route *r)
{
	return ends_with(r->path, "/alike");
}

static void day_parameters(struct json_out *j)
{
	parameter(j, "from", "query", false, "string");
	parameter(j, "to", "query", false, "string");
}

/* Readings have addresses of their own. */
static bool gives_readings(const struct route *r)
{
	return r->fn == get_readings || r->fn == get_readings_csv;
}

static void readings_parameters(struct json_out *j, bool series)
{
	parameter(j, "probe", "query", false, "string");
	parameter(j, "probe_id", "query", false, "integer");
	day_parameters(j);
	if (series) {
		parameter(j, "step", "query", false, "string");
		parameter(j, "points", "query", false, "integer");
	}
}

static void parameters(struct json_out *j, const struct route *r, const struct subject *s)
{
	json_out_name_open(j, "parameters", '[');
	if (strstr(r->path, "{id}"))
		parameter(j, "id", "path", true, "string");
	if (strcmp(r->method, "GET") != 0)
		parameter(j, "X-Weirbook", "header", true, "string");
	if (!strcmp(r->method, "PATCH"))
		parameter(j, "If-Match", "header", false, "string");
	if (has_days_alone(r))
		day_parameters(j);
	if (is_list(r))
		list_parameters(j, s->kind, !strstr(r->path, ".csv"));
	if (gives_readings(r))
		readings_parameters(j, r->fn == get_readings);
	if (s->report)
		report_parameters(j, s->report);
	json_out_close(j, ']');
}

/* The schema of what a route answers with. */
static void answer_schema(struct json_out *j, const struct route *r, const struct subject *s)
{
	const bool list = is_list(r);

	json_out_name(j, "schema");
	if (s->kind && !list && !has_days_alone(r)) {
		openapi_ref(j, "", s->kind->name);
		return;
	}
	json_out_open(j, '{');
	json_out_name_text(j, "type", "object");
	if (s->report || (list && s->kind)) {
		json_out_name_open(j, "properties", '{');
		json_out_name_open(j, s->report ? "rows" : "items", '{');
		json_out_name_text(j, "type", "array");
		json_out_name(j, "items");
		openapi_ref(j, s->report ? "report-" : "",
			    s->report ? s->report->name : s->kind->name);
		json_out_close(j, '}');
		json_out_close(j, '}');
	}
	json_out_close(j, '}');
}

static void responses(struct json_out *j, const struct route *r, const struct subject *s)
{
	const bool csv = strstr(r->path, ".csv");
	const bool events = !strcmp(r->path, "/api/events");
	const bool creates = !strcmp(r->method, "POST") && s->kind && !strstr(r->path, "{id}");

	json_out_name_open(j, "responses", '{');
	json_out_name_open(j, creates ? "201" : "200", '{');
	json_out_name_text(j, "description", r->summary);
	json_out_name_open(j, "content", '{');
	json_out_name_open(j,
			   csv      ? "text/csv"
			   : events ? "text/event-stream"
				    : "application/json",
			   '{');
	if (!csv && !events)
		answer_schema(j, r, s);
	json_out_close(j, '}');
	json_out_close(j, '}');
	json_out_close(j, '}');
	json_out_name_open(j, "default", '{');
	json_out_name_text(j, "description", "Problem details");
	json_out_name_open(j, "content", '{');
	json_out_name_open(j, "application/problem+json", '{');
	json_out_name(j, "schema");
	openapi_ref(j, "", "problem");
	json_out_close(j, '}');
	json_out_close(j, '}');
	json_out_close(j, '}');
	json_out_close(j, '}');
}

/* A batch of readings in its three forms. */
static void readings_body(struct json_out *j)
{
	static const char json[] = "{\"type\":\"object\",\"properties\":{\"probe\":{\"type\":"
				   "\"string\"},\"probe_id\":{"
				   "\"type\":\"integer\"},\"readings\":{\"type\":\"array\","
				   "\"items\":{\"type\":\"object\","
				   "\"properties\":{\"probe\":{\"type\":\"string\"},\"probe_id\":{"
				   "\"type\":\"integer\"},"
				   "\"at\":{\"type\":\"string\",\"format\":\"date-time\"},"
				   "\"value\":{\"type\":\"number\"}},"
				   "\"required\":[\"at\",\"value\"]}}}}";
	static const char *const types[] = { "application/json", "text/csv",
					     "application/x-ndjson" };

	json_out_name_open(j, "content", '{');
	for (size_t i = 0; i < sizeof(types) / sizeof(types[0]); i++) {
		json_out_name_open(j, types[i], '{');
		json_out_name(j, "schema");
		json_out_raw(j, i ? "{\"type\":\"string\"}" : json);
		json_out_close(j, '}');
	}
	json_out_close(j, '}');
}

static void request_body(struct json_out *j, const struct route *r, const struct subject *s)
{
	if (!r->body_limit)
		return;
	json_out_name_open(j, "requestBody", '{');
	if (r->fn == post_readings) {
		readings_body(j);
		json_out_close(j, '}');
		return;
	}
	json_out_name_open(j, "content", '{');
	json_out_name_open(j, "application/json", '{');
	json_out_name(j, "schema");
	if (s->kind && !strstr(r->path, "{id}")) {
		openapi_ref(j, "", s->kind->name);
	} else {
		json_out_open(j, '{');
		json_out_name_text(j, "type", "object");
		json_out_close(j, '}');
	}
	json_out_close(j, '}');
	json_out_close(j, '}');
	json_out_close(j, '}');
}

/* path with {kind} or {name} replaced. */
static void written_out(char out[192], const char *path, const struct subject *s)
{
	const char *brace = strstr(path, s->kind ? "{kind}" : "{name}");
	const char *word = s->kind ? s->kind->name : s->report ? s->report->name : "";

	if (!brace || !*word) {
		snprintf(out, 192, "%s", path);
		return;
	}
	snprintf(out, 192, "%.*s%s%s", (int)(brace - path), path, word, brace + 6);
}

/* Unique: the method and the path with other characters as _. */
static void operation_id(struct json_out *j, const char *method, const char *path)
{
	char id[224];

	snprintf(id, sizeof(id), "%s%s", method, path);
	for (char *p = id; *p; p++)
		*p = isalnum((unsigned char)*p) ? (char)tolower((unsigned char)*p) : '_';
	json_out_name_text(j, "operationId", id);
}

static void operation(struct json_out *j, const struct route *r, const struct subject *s,
		      const char *path)
{
	char method[8];

	snprintf(method, sizeof(method), "%s", r->method);
	for (char *p = method; *p; p++)
		*p = (char)tolower((unsigned char)*p);
	json_out_name_open(j, method, '{');
	operation_id(j, r->method, path);
	json_out_name_text(j, "summary", s->report ? s->report->summary : r->summary);
	if (r->fn == post_readings)
		json_out_name_text(j, "description", how_a_logger_sends);
	parameters(j, r, s);
	request_body(j, r, s);
	responses(j, r, s);
	json_out_close(j, '}');
}

/* All methods of the path that route i is the first of. */
static void path_item(struct json_out *j, size_t first, const struct subject *s)
{
	char path[192];

	written_out(path, routes[first].path, s);
	json_out_name_open(j, path, '{');
	for (size_t i = first; i < n_routes; i++) {
		const bool reads = !strcmp(routes[i].method, "GET");

		if (!strcmp(routes[i].path, routes[first].path) &&
		    (reads || !s->kind || kind_is_written(s->kind)))
			operation(j, &routes[i], s, path);
	}
	json_out_close(j, '}');
}

static bool is_first_of_path(size_t i)
{
	for (size_t before = 0; before < i; before++)
		if (!strcmp(routes[before].path, routes[i].path))
			return false;
	return true;
}

static bool has_route_of_its_own(const struct kind *k)
{
	char path[96];

	snprintf(path, sizeof(path), "/api/%s", k->name);
	for (size_t i = 0; i < n_routes; i++)
		if (!strcmp(routes[i].path, path))
			return true;
	return false;
}

static bool reads_nothing(const struct route *r, const struct kind *k)
{
	return strcmp(r->method, "GET") != 0 && !kind_is_written(k);
}

static void path_of_each_kind(struct json_out *j, size_t i)
{
	for (size_t k = 0; kinds[k]; k++) {
		const struct subject s = { .kind = kinds[k] };

		if (!has_route_of_its_own(kinds[k]) && !reads_nothing(&routes[i], kinds[k]))
			path_item(j, i, &s);
	}
}

static void path_of_each_report(struct json_out *j, size_t i)
{
	for (size_t r = 0; reports[r]; r++) {
		const struct subject s = { .report = reports[r] };

		path_item(j, i, &s);
	}
}

static void paths(struct json_out *j)
{
	const struct subject none = { 0 };

	json_out_name_open(j, "paths", '{');
	for (size_t i = 0; i < n_routes; i++) {
		if (!is_first_of_path(i))
			continue;
		if (strstr(routes[i].path, "{kind}"))
			path_of_each_kind(j, i);
		else if (strstr(routes[i].path, "{name}"))
			path_of_each_report(j, i);
		else
			path_item(j, i, &none);
	}
	json_out_close(j, '}');
}

static void write_openapi(struct json_out *j)
{
	json_out_open(j, '{');
	json_out_name_text(j, "openapi", "3.1.0");
	json_out_name_open(j, "info", '{');
	json_out_name_text(j, "title", "Weirbook");
	json_out_name_text(j, "version", PACKAGE_VERSION);
	json_out_name_text(j, "description", "The whole record of a farm of fish and raft crops.");
	json_out_close(j, '}');
	paths(j);
	openapi_components(j);
	json_out_close(j, '}');
}

enum err_code get_openapi(struct request *req, struct response *res, struct err *err)
{
	return answer_of_build(req, res, write_openapi, err);
}

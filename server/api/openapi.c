/*
 * GET /api/openapi.json: OpenAPI 3.1, made from the dictionary, the reports and the routes.  A path with
 * {kind} or {name} is written out for each kind or report, so that tools see each with its own fields.
 */
#include "config.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "api/cache.h"
#include "api/describe.h"
#include "api/handlers.h"
#include "api/names.h"
#include "api/query.h"
#include "api/response.h"
#include "api/routes.h"
#include "book/report.h"

static void pair(struct json_out *j, const char *name, const char *text)
{
	json_out_name(j, name);
	json_out_text(j, text);
}

static void open_named(struct json_out *j, const char *name, char bracket)
{
	json_out_name(j, name);
	json_out_open(j, bracket);
}

/* A reference to a schema under components. */
static void ref(struct json_out *j, const char *prefix, const char *name)
{
	char text[160];

	snprintf(text, sizeof(text), "#/components/schemas/%s%s", prefix, name);
	json_out_open(j, '{');
	pair(j, "$ref", text);
	json_out_close(j, '}');
}

/* JSON Schema's type and format of each kind of field. */
static const struct {
	const char *type, *format, *items;
} shapes[KIND__MAX] = {
	[KIND_TEXT] = { .type = "string" },
	[KIND_CODE] = { .type = "string" },
	[KIND_NAME] = { .type = "string" },
	[KIND_INTEGER] = { .type = "integer" },
	[KIND_REAL] = { .type = "number" },
	[KIND_BOOL] = { .type = "boolean" },
	[KIND_CHOICE] = { .type = "string" },
	[KIND_WORDS] = { .type = "array", .items = "string" },
	[KIND_NUMBERS] = { .type = "array", .items = "number" },
	[KIND_CLOCKS] = { .type = "array", .items = "string" },
	[KIND_CLOCK] = { .type = "string" },
	[KIND_DAY] = { .type = "string", .format = "date" },
	[KIND_TIME] = { .type = "string", .format = "date-time" },
	[KIND_REFERENCE] = { .type = "integer" },
	[KIND_UUID] = { .type = "string", .format = "uuid" },
};

static void words(struct json_out *j, const char *const *list)
{
	open_named(j, "enum", '[');
	for (; *list; list++)
		json_out_text(j, *list);
	json_out_close(j, ']');
}

static void bounds(struct json_out *j, const struct field *f)
{
	if (!f->has_range)
		return;
	json_out_name(j, "minimum");
	json_out_real(j, f->lo);
	json_out_name(j, "maximum");
	json_out_real(j, f->hi);
}

static void list_items(struct json_out *j, const struct field *f)
{
	open_named(j, "items", '{');
	pair(j, "type", shapes[f->kind].items);
	if (f->kind == KIND_NUMBERS)
		bounds(j, f);
	if (f->words)
		words(j, f->words);
	json_out_close(j, '}');
}

static void describe_field(struct json_out *j, const struct field *f)
{
	char text[160];

	if (f->refers_to)
		snprintf(text, sizeof(text), "id of a row of %s; a key is taken too", f->refers_to);
	else if (f->unit)
		snprintf(text, sizeof(text), "%s", f->unit);
	else if (f->kind == KIND_CODE)
		snprintf(text, sizeof(text), "unique over all kinds");
	else
		return;
	pair(j, "description", text);
}

static void field_schema(struct json_out *j, const struct field *f, bool may_be_null)
{
	json_out_open(j, '{');
	if (may_be_null) {
		open_named(j, "type", '[');
		json_out_text(j, shapes[f->kind].type);
		json_out_text(j, "null");
		json_out_close(j, ']');
	} else if (f->refers_to) {
		open_named(j, "type", '[');
		json_out_text(j, "integer");
		json_out_text(j, "string");
		json_out_close(j, ']');
	} else {
		pair(j, "type", shapes[f->kind].type);
	}
	if (shapes[f->kind].format)
		pair(j, "format", shapes[f->kind].format);
	if (shapes[f->kind].items)
		list_items(j, f);
	else if (f->words && !may_be_null)
		words(j, f->words);
	if (f->kind != KIND_NUMBERS)
		bounds(j, f);
	if (f->server_set) {
		json_out_name(j, "readOnly");
		json_out_bool(j, true);
	}
	describe_field(j, f);
	json_out_close(j, '}');
}

static void own_members(struct json_out *j)
{
	static const struct field own[] = {
		{ .name = "id", .kind = KIND_INTEGER, .server_set = true },
		{ .name = "key", .kind = KIND_UUID },
		{ .name = "version", .kind = KIND_INTEGER, .server_set = true },
	};

	for (size_t i = 0; i < sizeof(own) / sizeof(own[0]); i++) {
		json_out_name(j, own[i].name);
		field_schema(j, &own[i], false);
	}
}

static void kind_schema(struct json_out *j, const struct kind *k)
{
	const size_t n = kind_field_count(k);
	bool any = false;

	open_named(j, k->name, '{');
	pair(j, "type", "object");
	open_named(j, "properties", '{');
	own_members(j);
	for (size_t i = 0; i < n; i++) {
		json_out_name(j, kind_field(k, i)->name);
		field_schema(j, kind_field(k, i), false);
		any = any || kind_field(k, i)->required;
	}
	json_out_close(j, '}');
	if (any) {
		open_named(j, "required", '[');
		for (size_t i = 0; i < n; i++)
			if (kind_field(k, i)->required)
				json_out_text(j, kind_field(k, i)->name);
		json_out_close(j, ']');
	}
	json_out_close(j, '}');
}

static void report_schema(struct json_out *j, const struct report *r)
{
	char name[96];

	snprintf(name, sizeof(name), "report-%s", r->name);
	open_named(j, name, '{');
	pair(j, "type", "object");
	pair(j, "description", "One row. A figure that is not known is null.");
	open_named(j, "properties", '{');
	for (size_t i = 0; i < r->n_columns; i++) {
		json_out_name(j, r->columns[i].name);
		field_schema(j, &r->columns[i], true);
	}
	json_out_close(j, '}');
	json_out_close(j, '}');
}

/* Fixed schemas, of what is no kind. */
static const char problem_schema[] =
	"{\"type\":\"object\",\"description\":\"RFC 9457 problem details\",\"properties\":{"
	"\"type\":{\"type\":\"string\"},\"title\":{\"type\":\"string\"},"
	"\"status\":{\"type\":\"integer\"},\"detail\":{\"type\":\"string\"},"
	"\"errors\":{\"type\":\"array\",\"items\":{\"type\":\"object\",\"properties\":{"
	"\"field\":{\"type\":\"string\"},\"code\":{\"type\":\"string\"},"
	"\"message\":{\"type\":\"string\"},\"args\":{\"type\":\"object\","
	"\"additionalProperties\":{\"type\":\"string\"}}}}}}}";

static void components(struct json_out *j)
{
	open_named(j, "components", '{');
	open_named(j, "schemas", '{');
	for (size_t i = 0; kinds[i]; i++)
		kind_schema(j, kinds[i]);
	for (size_t i = 0; reports[i]; i++)
		report_schema(j, reports[i]);
	json_out_name(j, "problem");
	json_out_raw(j, problem_schema);
	json_out_close(j, '}');
	json_out_close(j, '}');
}

/* What a route is about once its path is written out. */
struct subject {
	const struct kind *kind;     /* {kind}, or NULL */
	const struct report *report; /* {name}, or NULL */
};

static void parameter(struct json_out *j, const char *name, const char *in, bool required,
		      const char *type)
{
	json_out_open(j, '{');
	pair(j, "name", name);
	pair(j, "in", in);
	if (required) {
		json_out_name(j, "required");
		json_out_bool(j, true);
	}
	open_named(j, "schema", '{');
	pair(j, "type", type);
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
	open_named(j, "parameters", '[');
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
		ref(j, "", s->kind->name);
		return;
	}
	json_out_open(j, '{');
	pair(j, "type", "object");
	if (s->report || (list && s->kind)) {
		open_named(j, "properties", '{');
		open_named(j, s->report ? "rows" : "items", '{');
		pair(j, "type", "array");
		json_out_name(j, "items");
		ref(j, s->report ? "report-" : "", s->report ? s->report->name : s->kind->name);
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

	open_named(j, "responses", '{');
	open_named(j, creates ? "201" : "200", '{');
	pair(j, "description", r->summary);
	open_named(j, "content", '{');
	open_named(j, csv ? "text/csv" : events ? "text/event-stream" : "application/json", '{');
	if (!csv && !events)
		answer_schema(j, r, s);
	json_out_close(j, '}');
	json_out_close(j, '}');
	json_out_close(j, '}');
	open_named(j, "default", '{');
	pair(j, "description", "Problem details");
	open_named(j, "content", '{');
	open_named(j, "application/problem+json", '{');
	json_out_name(j, "schema");
	ref(j, "", "problem");
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

	open_named(j, "content", '{');
	for (size_t i = 0; i < sizeof(types) / sizeof(types[0]); i++) {
		open_named(j, types[i], '{');
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
	open_named(j, "requestBody", '{');
	if (r->fn == post_readings) {
		readings_body(j);
		json_out_close(j, '}');
		return;
	}
	open_named(j, "content", '{');
	open_named(j, "application/json", '{');
	json_out_name(j, "schema");
	if (s->kind && !strstr(r->path, "{id}")) {
		ref(j, "", s->kind->name);
	} else {
		json_out_open(j, '{');
		pair(j, "type", "object");
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
	pair(j, "operationId", id);
}

static void operation(struct json_out *j, const struct route *r, const struct subject *s,
		      const char *path)
{
	char method[8];

	snprintf(method, sizeof(method), "%s", r->method);
	for (char *p = method; *p; p++)
		*p = (char)tolower((unsigned char)*p);
	open_named(j, method, '{');
	operation_id(j, r->method, path);
	pair(j, "summary", s->report ? s->report->summary : r->summary);
	if (r->fn == post_readings)
		pair(j, "description", how_a_logger_sends);
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
	open_named(j, path, '{');
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

	open_named(j, "paths", '{');
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

enum err_code get_openapi(struct request *req, struct response *res, struct err *err)
{
	static const char *const known[] = { NULL };
	const char *etag = etag_of_build(req);
	struct json_out j;
	enum err_code rc = query_check(req, known, NULL, err);

	if (rc || answered_unchanged(req, res, etag))
		return rc;
	j = response_json(res, 200);
	json_out_open(&j, '{');
	pair(&j, "openapi", "3.1.0");
	open_named(&j, "info", '{');
	pair(&j, "title", "Weirbook");
	pair(&j, "version", PACKAGE_VERSION);
	pair(&j, "description", "The whole record of a farm of fish and raft crops.");
	json_out_close(&j, '}');
	paths(&j);
	components(&j);
	json_out_close(&j, '}');
	res->etag = etag;
	return ERR_NONE;
}

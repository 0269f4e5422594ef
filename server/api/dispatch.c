/*
 * Finds the route that a request asks for, or answers in its place: 404, 405, 503 while nothing is written, and
 * the web files that are built in.  Running its handler is answer.c's.
 */
#include <string.h>

#include "api/accept.h"
#include "api/app.h"
#include "api/handlers.h"
#include "api/routes.h"
#include "api/static_files.h"

enum { IMPORTING_WAIT_S = 5 }; /* after which a write that met an import may try again */

/* What a pattern's segment like "{kind}.csv" takes of a path's segment, or NULL. */
static char *take_param(const char *pattern, size_t n_pattern, const char *segment, size_t n,
			struct arena *arena)
{
	const char *end = memchr(pattern, '}', n_pattern);
	const char *suffix = end + 1;
	const size_t n_suffix = n_pattern - (size_t)(suffix - pattern);

	if (n <= n_suffix || memcmp(segment + n - n_suffix, suffix, n_suffix) != 0)
		return NULL;
	return arena_strndup(arena, segment, n - n_suffix);
}

/* Whether path fits pattern, segment by segment; params gets what {…} stands for. */
static bool path_fits(const char *pattern, const char *path, struct arena *arena,
		      const char *params[4])
{
	size_t n_params = 0;

	while (*pattern == '/' && *path == '/') {
		const size_t n_pattern = strcspn(pattern + 1, "/");
		const size_t n = strcspn(path + 1, "/");

		if (pattern[1] == '{') {
			const char *param = take_param(pattern + 1, n_pattern, path + 1, n, arena);

			if (!param)
				return false;
			params[n_params++] = param;
		} else if (n != n_pattern || memcmp(pattern + 1, path + 1, n) != 0) {
			return false;
		}
		pattern += 1 + n_pattern;
		path += 1 + n;
	}
	return !*pattern && !*path;
}

static const struct route *find_path(const char *path, struct arena *arena, const char *params[4])
{
	for (size_t i = 0; i < n_routes; i++)
		if (path_fits(routes[i].path, path, arena, params))
			return &routes[i];
	return NULL;
}

static const struct route *find_method(const char *path, const char *method)
{
	if (!strcmp(method, "HEAD"))
		method = "GET";
	for (size_t i = 0; i < n_routes; i++)
		if (!strcmp(routes[i].path, path) && !strcmp(routes[i].method, method))
			return &routes[i];
	return NULL;
}

/* The same rows as CSV, for a client that asks for it by Accept: the route whose path is r's and ".csv". */
static const struct route *as_accepted(const struct route *r, const struct request *req,
				       struct response *res)
{
	const size_t n = strlen(r->path);

	for (size_t i = 0; i < n_routes; i++)
		if (!strncmp(routes[i].path, r->path, n) && !strcmp(routes[i].path + n, ".csv")) {
			res->vary = "Accept";
			if (accept_prefers_csv(request_header(req, "Accept")))
				return &routes[i];
		}
	return r;
}

/* A list by a filter may read every row of ten years to find few: not on the thread that serves all. */
static const struct route searched_list = { .method = "GET",
					    .path = "/api/{kind}",
					    .runs = RUNS_READER,
					    .role = ROLE_CREW,
					    .fn = get_list,
					    .summary = "Rows of a kind, by their fields" };

static bool is_search(const struct request *req)
{
	static const char *const cheap[] = { "from", "to", "order", "limit", "after", "fields" };
	enum { N_CHEAP = sizeof(cheap) / sizeof(cheap[0]) };

	for (size_t i = 0; i < req->n_query; i++) {
		size_t c = 0;

		while (c < N_CHEAP && strcmp(cheap[c], req->query[i].name) != 0)
			c++;
		if (c == N_CHEAP)
			return true;
	}
	return false;
}

static const char *allowed(const char *path, struct arena *arena)
{
	const char *list = "";

	for (size_t i = 0; i < n_routes; i++) {
		const char *method = routes[i].method;

		if (strcmp(routes[i].path, path) != 0)
			continue;
		list = arena_printf(arena, "%s%s%s%s", list, *list ? ", " : "", method,
				    strcmp(method, "GET") ? "" : ", HEAD");
	}
	return list;
}

/* Answers with one error. */
static const struct route *refuse(struct response *res, const struct err *err)
{
	response_problem(res, err);
	return NULL;
}

/* While an import runs, and after damage or on a full disk, no write is queued. */
static enum err_code check_writable(const struct app *app, struct response *res, struct err *err)
{
	if (atomic_load(&app->writing_off))
		return err_set(err, ERR_UNAVAILABLE, "", "writing_off",
			       "No entry is taken just now; what is kept can be read and exported. "
			       "Ask the manager to look at the Farm screen.");
	if (atomic_load(&app->importing)) {
		res->retry_after_s = IMPORTING_WAIT_S;
		return err_set(err, ERR_UNAVAILABLE, "", "importing",
			       "An import is running; the entry can be sent again in a moment.");
	}
	return ERR_NONE;
}

static bool is_ours(const char *path)
{
	return !strncmp(path, "/api/", 5) || !strcmp(path, "/api") || !strcmp(path, "/healthz");
}

/* A web file that is built in: res->file is set, or the answer is 404 or 405. */
static const struct route *find_file(const struct request *req, struct response *res,
				     struct err *err)
{
	const struct static_file *file = static_file_find(req->path);

	if (!file) {
		err_set(err, ERR_NOT_FOUND, "", "no_such_address",
			"There is nothing at this address.");
		return refuse(res, err);
	}
	if (strcmp(req->method, "GET") != 0 && strcmp(req->method, "HEAD") != 0) {
		err_set(err, ERR_METHOD, "", "no_such_method",
			"This cannot be done at this address.");
		refuse(res, err);
		res->allow = "GET, HEAD";
		return NULL;
	}
	res->status = 200;
	res->file = file;
	return NULL;
}

/* The route of a path of ours and a method, with what its braces stand for; 405 names what there is. */
static const struct route *find_route(const struct request *req, struct response *res,
				      const char *params[4], struct err *err)
{
	const struct route *by_path = find_path(req->path, req->arena, params);
	const struct route *found;

	if (!by_path) {
		err_set(err, ERR_NOT_FOUND, "", "no_such_address",
			"There is nothing at this address; GET /api/openapi.json lists what there "
			"is.");
		return refuse(res, err);
	}
	found = find_method(by_path->path, req->method);
	if (found)
		return found;
	err_set(err, ERR_METHOD, "", "no_such_method", "This cannot be done at this address.");
	refuse(res, err);
	res->allow = allowed(by_path->path, req->arena);
	return NULL;
}

const struct route *api_find(struct request *req, struct response *res)
{
	const struct route *found;
	const char *params[4] = { NULL };
	struct err err;

	err_clear(&err);
	if (!is_ours(req->path))
		return find_file(req, res, &err);
	found = find_route(req, res, params, &err);
	if (!found)
		return NULL;
	found = as_accepted(found, req, res);
	if (found->fn == get_list && is_search(req))
		found = &searched_list;
	if (found->runs == RUNS_WRITER && check_writable(req->app, res, &err))
		return refuse(res, &err);
	req->route = found;
	memcpy(req->params, params, sizeof(params));
	return found;
}

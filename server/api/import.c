/*
 * POST /api/import: a set of exchange CSV files from the screen, all or nothing, or tried without leaving
 * anything.  While it runs no other write is queued; those that wait already come after it.
 */
#include <inttypes.h>
#include <string.h>

#include "api/app.h"
#include "api/handlers.h"
#include "api/json_in.h"
#include "api/response.h"
#include "book/import.h"

enum { FILES_MAX = 200 };

struct upload {
	struct import_file files[FILES_MAX];
	size_t n;
	struct import_options options;
};

static enum err_code take_file(const char *name, const char *text, size_t length, void *with,
			       struct err *err)
{
	struct upload *upload = with;

	if (upload->n == FILES_MAX)
		return err_set(err, ERR_TOO_LARGE, "files", "too_many",
			       "An import holds at most %d files.", FILES_MAX);
	upload->files[upload->n++] =
		(struct import_file){ .name = name, .text = text, .length = length };
	return ERR_NONE;
}

/* One character of those that may be given; if_none when the member is missing. */
static enum err_code read_mark(const struct json_t *body, const char *name, const char *allowed,
			       char if_none, char *out, struct err *err)
{
	const char *text = NULL;

	*out = if_none;
	if (json_in_text(body, name, &text, err))
		return ERR_INPUT;
	if (!text)
		return ERR_NONE;
	if (strlen(text) != 1 || !strchr(allowed, *text))
		return err_set(err, ERR_INPUT, name, "not_a_choice", "%s must be one of: %s", name,
			       strcmp(name, "separator") ? ". or ," : ", or ; or a tab");
	*out = *text;
	return ERR_NONE;
}

/* What is read stays with body. */
static enum err_code read_upload(const struct json_t *body, struct upload *upload, struct err *err)
{
	static const char *const known[] = { "files", "dry_run", "separator", "decimal", NULL };
	const struct json_t *files = json_in_object(body, "files");
	enum err_code rc = json_in_known(body, known, err);

	if (!rc)
		rc = json_in_bool(body, "dry_run", &upload->options.dry_run, err);
	if (!rc)
		rc = read_mark(body, "separator", ",;\t", ',', &upload->options.separator, err);
	if (!rc)
		rc = read_mark(body, "decimal", ".,", '.', &upload->options.decimal, err);
	if (!rc && upload->options.separator == upload->options.decimal)
		rc = err_set(err, ERR_INPUT, "decimal", "same_marks",
			     "separator and decimal cannot be the same.");
	if (!rc && !files)
		rc = err_set(err, ERR_INPUT, "files", "required",
			     "files is missing: an object of file names and their text.");
	if (!rc)
		rc = json_in_each_text(files, take_file, upload, err);
	return rc;
}

static void write_counts(struct json_out *j, const struct import_result *result)
{
	json_out_name(j, "rows");
	json_out_open(j, '{');
	for (size_t i = 0; result->counts && kinds[i]; i++) {
		const struct import_count *c = &result->counts[i];

		if (!c->added && !c->same)
			continue;
		json_out_name(j, kinds[i]->name);
		json_out_open(j, '{');
		json_out_name(j, "new");
		json_out_int(j, c->added);
		json_out_name(j, "same");
		json_out_int(j, c->same);
		json_out_close(j, '}');
	}
	json_out_close(j, '}');
}

static void write_errors(struct json_out *j, const struct import_result *result)
{
	json_out_name(j, "errors");
	json_out_open(j, '[');
	for (size_t i = 0; i < result->n_errors; i++) {
		const struct import_error *e = &result->errors[i];

		json_out_open(j, '{');
		json_out_name(j, "file");
		json_out_text(j, e->file);
		if (e->line) {
			json_out_name(j, "line");
			json_out_int(j, (int64_t)e->line);
		}
		problem_item_members(j, &e->item);
		json_out_close(j, '}');
	}
	json_out_close(j, ']');
	if (result->n_faults > result->n_errors) {
		json_out_name(j, "more_errors");
		json_out_int(j, (int64_t)(result->n_faults - result->n_errors));
	}
}

static void write_result(struct json_out *j, const struct upload *upload,
			 const struct import_result *result)
{
	json_out_name(j, "dry_run");
	json_out_bool(j, upload->options.dry_run);
	write_counts(j, result);
	write_errors(j, result);
	json_out_name(j, "looks");
	json_out_int(j, result->looks);
}

static void answer(struct response *res, const struct upload *upload,
		   const struct import_result *result, const struct err *err)
{
	struct json_out j = response_json(res, err->code ? status_of(err->code) : 200);

	json_out_open(&j, '{');
	if (err->code)
		problem_head(&j, err);
	write_result(&j, upload, result);
	json_out_close(&j, '}');
	if (err->code)
		res->content_type = "application/problem+json";
}

static enum err_code import_upload(struct request *req, struct response *res,
				   const struct upload *upload, struct err *err)
{
	struct import_result result = { 0 };
	enum err_code rc;

	atomic_store(&req->app->importing, true);
	rc = book_import(req->book, upload->files, upload->n, &upload->options, req->arena, &result,
			 err);
	atomic_store(&req->app->importing, false);
	if (!rc || rc == ERR_INPUT)
		answer(res, upload, &result, err);
	return rc;
}

enum err_code post_import(struct request *req, struct response *res, struct err *err)
{
	struct upload upload = { .options = { .now = req->now } };
	struct json_t *body = NULL; /* owned */
	enum err_code rc = json_in_read(req->body, req->body_length, &body, err);

	if (!rc)
		rc = read_upload(body, &upload, err);
	if (!rc)
		rc = import_upload(req, res, &upload, err);
	json_in_free(body);
	return rc;
}

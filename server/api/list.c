/* Rows of a kind: GET /api/{kind}, page by page.  What the address asks is list_query.c's to read. */
#include <inttypes.h>
#include <stdio.h>
#include <string.h>

#include "api/acts.h"
#include "api/cache.h"
#include "api/handlers.h"
#include "api/json_record.h"
#include "api/list.h"
#include "api/response.h"
#include "base/nearest.h"

static const char *field_word(size_t i, const void *with)
{
	return kind_field(with, i)->name;
}

static enum err_code want_field(const struct kind *k, const char *name, bool *only, struct err *err)
{
	const size_t at = kind_field_index(k, name);
	const char *near;

	if (at != SIZE_MAX) {
		only[at] = true;
		return ERR_NONE;
	}
	if (!strcmp(name, "id") || !strcmp(name, "key") || !strcmp(name, "version"))
		return ERR_NONE; /* always there */
	near = nearest_word(name, kind_field_count(k), field_word, k);
	return nearest_refuse(err, ERR_MALFORMED, "fields", "unknown_field", near,
			      "%s is not a field of %s", name, k->name);
}

/* fields=a,b: *out says which are wanted, NULL for all. */
static enum err_code read_fields(struct request *req, const struct kind *k, bool **out,
				 struct err *err)
{
	const char *text = request_query(req, "fields");
	enum err_code rc = ERR_NONE;
	char *list, *rest;
	bool *only;

	if (!text) {
		*out = NULL;
		return ERR_NONE;
	}
	only = arena_array(req->arena, kind_field_count(k), sizeof(bool));
	list = arena_strdup(req->arena, text);
	for (char *name = strtok_r(list, ",", &rest); name && !rc;
	     name = strtok_r(NULL, ",", &rest))
		rc = want_field(k, name, only, err);
	*out = only;
	return rc;
}

/* Writes items and, when a row more is there, next. */
static enum err_code write_page(struct record_list *rows, int64_t limit, const bool *only,
				struct json_out *j, struct err *err)
{
	int64_t instant = 0, id = 0, n = 0;
	const struct record *r;
	char next[64];
	enum err_code rc;

	json_out_open(j, '{');
	json_out_name(j, "items");
	json_out_open(j, '[');
	while (!(rc = record_list_next(rows, &r, err)) && n < limit) {
		json_record_write(j, r, only);
		instant = r->instant;
		id = r->id;
		n++;
	}
	if (rc && rc != ERR_NOT_FOUND)
		return rc;
	json_out_close(j, ']');
	if (!rc) {
		snprintf(next, sizeof(next), "%" PRId64 "_%" PRId64, instant, id);
		json_out_name(j, "next");
		json_out_text(j, next);
	}
	json_out_close(j, '}');
	return ERR_NONE;
}

enum err_code get_list(struct request *req, struct response *res, struct err *err)
{
	struct record_list *rows = NULL;
	const struct kind *k;
	struct list_query q;
	struct json_out j;
	bool *only;
	int64_t limit;
	const char *etag;
	enum err_code rc = find_kind(req->params[0], &k, err);

	if (!rc)
		rc = list_query_read(req, k, true, &q, err);
	if (!rc)
		rc = read_fields(req, k, &only, err);
	if (rc)
		return rc;
	etag = etag_of_record(req, false);
	if (answered_unchanged(req, res, etag))
		return ERR_NONE;
	limit = q.limit;
	q.limit = limit + 1; /* one more tells whether a page follows */
	rc = record_list_open(book_store(req->book), &q, &rows, err);
	if (rc)
		return rc;
	j = response_json(res, 200);
	rc = write_page(rows, limit, only, &j, err);
	record_list_close(rows);
	res->etag = etag;
	return rc;
}

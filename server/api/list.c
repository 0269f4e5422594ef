/* Rows of a kind: GET /api/{kind}, page by page, and reading what its address asks. */
#include <inttypes.h>
#include <stdio.h>
#include <string.h>

#include "api/acts.h"
#include "api/cache.h"
#include "api/handlers.h"
#include "api/json_record.h"
#include "api/list.h"
#include "api/query.h"
#include "api/response.h"
#include "base/nearest.h"
#include "base/number.h"

static bool has_days(const struct kind *k)
{
	return kind_field_index(k, "day") != SIZE_MAX;
}

static enum err_code check_names(const struct request *req, const struct kind *k, bool paged,
				 struct err *err)
{
	const char *known[8];
	size_t n = 0;

	known[n++] = "struck";
	known[n++] = "order";
	if (has_days(k)) {
		known[n++] = "from";
		known[n++] = "to";
	}
	if (paged) {
		known[n++] = "limit";
		known[n++] = "after";
		known[n++] = "fields";
	}
	known[n] = NULL;
	return query_check(req, known, k, err);
}

static enum err_code read_filter_reference(struct request *req, const struct field *f,
					   const char *text, struct value *out, struct err *err)
{
	struct err why;
	enum err_code rc;

	err_clear(&why);
	out->type = VALUE_INT;
	rc = find_row(req->book, kind_find(f->refers_to), text, &out->i, &why);
	if (rc == ERR_NOT_FOUND)
		return err_set(err, ERR_MALFORMED, f->name, "unknown_reference",
			       "%s must be the id or key of a row of %s.", f->name, f->refers_to);
	if (rc)
		*err = why;
	return rc;
}

/* What field_read finds is told as a fault of the address, not of an entry. */
static enum err_code read_filter(struct request *req, const struct field *f, const char *text,
				 struct value *out, struct err *err)
{
	enum err_code rc;

	if (!*text)
		return err_set(err, ERR_MALFORMED, f->name, "no_value",
			       "%s has no value in the address.", f->name);
	if (f->kind == KIND_REFERENCE)
		return read_filter_reference(req, f, text, out, err);
	rc = field_read(f, text, '.', req->arena, out, err);
	if (rc == ERR_INPUT)
		rc = err->code = ERR_MALFORMED;
	return rc;
}

static enum err_code read_filters(struct request *req, const struct kind *k, struct list_query *out,
				  struct err *err)
{
	struct list_filter *filters = arena_array(req->arena, req->n_query, sizeof(*filters));
	size_t n = 0;

	for (size_t i = 0; i < req->n_query; i++) {
		const size_t at = kind_field_index(k, req->query[i].name);

		if (at == SIZE_MAX)
			continue;
		filters[n].field = kind_field(k, at);
		if (read_filter(req, filters[n].field, req->query[i].value, &filters[n].equals,
				err))
			return err->code;
		n++;
	}
	out->filters = filters;
	out->n_filters = n;
	return ERR_NONE;
}

static enum err_code read_order(const struct request *req, struct list_query *out, struct err *err)
{
	const char *order = request_query(req, "order");

	out->newest_first = order && !strcmp(order, "-at");
	if (!order || !strcmp(order, "at") || out->newest_first)
		return ERR_NONE;
	return err_set(err, ERR_MALFORMED, "order", "not_a_choice",
		       "order is at (oldest first) or -at (newest first).");
}

/* A cursor is "INSTANT_ID" of the last row that was sent. */
static enum err_code read_cursor(const struct request *req, struct list_query *out, struct err *err)
{
	const char *after = request_query(req, "after");
	char instant[32];
	const char *bar;

	if (!after)
		return ERR_NONE;
	bar = strchr(after, '_');
	if (bar && (size_t)(bar - after) < sizeof(instant)) {
		memcpy(instant, after, (size_t)(bar - after));
		instant[bar - after] = '\0';
		out->has_cursor = number_read_int(instant, '.', &out->after_instant) &&
				  number_read_int(bar + 1, '.', &out->after_id);
	}
	if (out->has_cursor)
		return ERR_NONE;
	return err_set(err, ERR_MALFORMED, "after", "bad_cursor",
		       "after must be what next was in the page before.");
}

enum err_code list_query_read(struct request *req, const struct kind *k, bool paged,
			      struct list_query *out, struct err *err)
{
	struct list_query q = { .kind = k };
	enum err_code rc = check_names(req, k, paged, err);

	if (!rc)
		rc = query_day(req, "from", INT64_MIN, &q.from_day, err);
	if (!rc)
		rc = query_day(req, "to", INT64_MAX, &q.to_day, err);
	if (!rc)
		rc = query_flag(req, "struck", &q.with_struck, err);
	if (!rc && paged)
		rc = query_int(req, "limit", 1, LIST_LIMIT_MAX, LIST_LIMIT_DEFAULT, &q.limit, err);
	if (!rc)
		rc = read_order(req, &q, err);
	if (!rc && paged)
		rc = read_cursor(req, &q, err);
	if (!rc)
		rc = read_filters(req, k, &q, err);
	if (!rc)
		*out = q;
	return rc;
}

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

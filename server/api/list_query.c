/* What the address of a list asks: see list.h. */
#include <string.h>

#include "api/acts.h"
#include "api/list.h"
#include "api/query.h"
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

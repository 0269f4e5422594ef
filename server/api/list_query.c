/* What the address of a list asks: see list.h. */
#include <string.h>

#include "api/acts.h"
#include "api/list.h"
#include "api/query.h"
#include "base/number.h"
#include "base/zone.h"

/* Of one filter: an address has an end. */
enum { FILTER_VALUES_MAX = 500 };

static bool has_days(const struct kind *k)
{
	return kind_field_index(k, "day") != SIZE_MAX;
}

static enum err_code check_names(const struct request *req, const struct kind *k, bool paged,
				 struct err *err)
{
	const char *known[10];
	size_t n = 0;

	known[n++] = "struck";
	known[n++] = "id";
	known[n++] = "without";
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

static enum err_code read_reference(struct request *req, const struct field *f, const char *text,
				    int64_t *out, struct err *err)
{
	struct err why;
	enum err_code rc;

	err_clear(&why);
	rc = find_row(req->book, kind_find(f->refers_to), text, out, &why);
	if (rc == ERR_NOT_FOUND)
		return err_set(err, ERR_MALFORMED, f->name, "unknown_reference",
			       "%s must be the id or key of a row of %s.", f->name, f->refers_to);
	if (rc)
		*err = why;
	return rc;
}

static enum err_code read_id(const char *text, int64_t *out, struct err *err)
{
	if (number_read_int(text, '.', out))
		return ERR_NONE;
	return err_set(err, ERR_MALFORMED, "id", "not_whole",
		       "id takes the numbers of rows, with commas between.");
}

static enum err_code no_value(const char *name, struct err *err)
{
	return err_set(err, ERR_MALFORMED, name, "no_value", "%s has no value in the address.",
		       name);
}

/* Several, with commas between: any of them will do.  f NULL: ids of the rows themselves. */
static enum err_code read_any(struct request *req, const struct field *f, const char *text,
			      struct list_filter *out, struct err *err)
{
	const char *name = f ? f->name : "id";
	char *list = arena_strdup(req->arena, text), *rest;
	size_t room = 1;
	enum err_code rc = ERR_NONE;

	for (const char *p = text; *p; p++)
		room += *p == ',';
	if (room > FILTER_VALUES_MAX)
		return err_set(err, ERR_MALFORMED, name, "too_many", "%s takes %d values at most.",
			       name, FILTER_VALUES_MAX);

	int64_t *any = arena_array(req->arena, room, sizeof(*any));

	for (char *one = strtok_r(list, ",", &rest); one && !rc; one = strtok_r(NULL, ",", &rest)) {
		rc = f ? read_reference(req, f, one, &any[out->n_any], err)
		       : read_id(one, &any[out->n_any], err);
		out->n_any++;
	}
	out->any = any;
	return rc || out->n_any ? rc : no_value(name, err);
}

/* What field_read finds is told as a fault of the address, not of an entry. */
static enum err_code read_filter(struct request *req, const char *text, struct list_filter *out,
				 struct err *err)
{
	const struct field *f = out->field;
	enum err_code rc;

	if (!*text)
		return no_value(f ? f->name : "id", err);
	if (!f || f->kind == KIND_REFERENCE)
		return read_any(req, f, text, out, err);
	rc = field_read(f, text, '.', req->arena, &out->equals, err);
	if (rc == ERR_INPUT)
		rc = err->code = ERR_MALFORMED;
	return rc;
}

/* The filter that a parameter is; false: it is none. */
static bool find_filter(struct request *req, const struct kind *k, const char *name,
			struct list_filter *out)
{
	const size_t at = kind_field_index(k, name);
	const struct field **via;

	*out = (struct list_filter){ 0 };
	if (!strcmp(name, "id"))
		return true;
	if (at != SIZE_MAX) {
		out->field = kind_field(k, at);
		return true;
	}
	via = arena_array(req->arena, WAY_STEPS_MAX, sizeof(*via));
	out->via = via;
	out->field = query_way(k, name, via, &out->n_via);
	return out->field != NULL;
}

/* without=a,b: fields that must not be given. */
static enum err_code read_without(struct request *req, const struct kind *k,
				  struct list_filter *filters, size_t *n, struct err *err)
{
	const char *text = request_query(req, "without");
	char *list = arena_strdup(req->arena, text ? text : ""), *rest;

	if (text && !*text)
		return no_value("without", err);
	for (char *name = strtok_r(list, ",", &rest); name; name = strtok_r(NULL, ",", &rest)) {
		const size_t at = kind_field_index(k, name);

		if (at == SIZE_MAX)
			return err_set(err, ERR_MALFORMED, "without", "unknown_field",
				       "%s is not a field of %s.", name, k->name);
		filters[(*n)++] = (struct list_filter){ .field = kind_field(k, at) };
	}
	return ERR_NONE;
}

static size_t filters_room(const struct request *req)
{
	const char *without = request_query(req, "without");
	size_t room = req->n_query + 1;

	for (const char *p = without; p && *p; p++)
		room += *p == ',';
	return room;
}

static enum err_code read_filters(struct request *req, const struct kind *k, struct list_query *out,
				  struct err *err)
{
	struct list_filter *filters = arena_array(req->arena, filters_room(req), sizeof(*filters));
	size_t n = 0;

	for (size_t i = 0; i < req->n_query; i++) {
		if (!find_filter(req, k, req->query[i].name, &filters[n]))
			continue;
		if (read_filter(req, req->query[i].value, &filters[n], err))
			return err->code;
		n++;
	}
	if (read_without(req, k, filters, &n, err))
		return err->code;
	out->filters = filters;
	out->n_filters = n;
	return ERR_NONE;
}

/* from and to: a farm day, or an instant; both are included. */
static enum err_code read_end(struct request *req, const char *name, int64_t *day,
			      const int64_t **instant, struct err *err)
{
	const char *text = request_query(req, name);
	int64_t at;

	if (!text || !time_read(text, &at))
		return query_day(req, name, *day, day, err);

	int64_t *kept = arena_alloc(req->arena, sizeof(*kept));

	*kept = at;
	*instant = kept;
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
	struct list_query q = { .kind = k, .from_day = INT64_MIN, .to_day = INT64_MAX };
	enum err_code rc = check_names(req, k, paged, err);

	if (!rc)
		rc = read_end(req, "from", &q.from_day, &q.since, err);
	if (!rc)
		rc = read_end(req, "to", &q.to_day, &q.until, err);
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

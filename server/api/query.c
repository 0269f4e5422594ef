/* The query part of an address: see query.h. */
#include <inttypes.h>
#include <string.h>

#include "api/names.h"
#include "api/query.h"
#include "base/nearest.h"
#include "base/number.h"
#include "base/utf8.h"
#include "base/zone.h"

struct known {
	const char *const *fixed;
	size_t n_fixed;
	const struct kind *kind;
};

static const char *known_word(size_t i, const void *with)
{
	const struct known *known = with;

	return i < known->n_fixed ? known->fixed[i]
				  : kind_field(known->kind, i - known->n_fixed)->name;
}

const struct field *query_way(const struct kind *k, const char *name,
			      const struct field *via[WAY_STEPS_MAX], size_t *n_via)
{
	char step[64];
	const char *point;
	size_t at;

	*n_via = 0;
	while ((point = strchr(name, '.')) && *n_via < WAY_STEPS_MAX) {
		if ((size_t)(point - name) >= sizeof(step))
			return NULL;
		memcpy(step, name, (size_t)(point - name));
		step[point - name] = '\0';
		at = kind_field_index(k, step);
		if (at == SIZE_MAX || kind_field(k, at)->kind != KIND_REFERENCE)
			return NULL;
		via[(*n_via)++] = kind_field(k, at);
		k = kind_find(kind_field(k, at)->refers_to);
		name = point + 1;
	}
	at = kind_field_index(k, name);
	return *n_via == 0 || at == SIZE_MAX ? NULL : kind_field(k, at);
}

static bool is_way(const struct kind *k, const char *name)
{
	const struct field *via[WAY_STEPS_MAX];
	size_t n;

	return k && query_way(k, name, via, &n);
}

static enum err_code check_one(const struct request *req, size_t i, const struct known *known,
			       size_t n_known, struct err *err)
{
	const char *name = req->query[i].name;
	const char *near = NULL;

	if (!utf8_valid(name, strlen(name)) ||
	    !utf8_valid(req->query[i].value, strlen(req->query[i].value)))
		return err_set(err, ERR_MALFORMED, "", "bad_utf8",
			       "The address holds bytes that are not UTF-8.");
	for (size_t j = 0; j < i; j++)
		if (!strcmp(req->query[j].name, name))
			return err_set(err, ERR_MALFORMED, name, "parameter_twice",
				       "%s stands twice in the address; leave one out.", name);
	for (size_t j = 0; j < n_known; j++)
		if (!strcmp(known_word(j, known), name))
			return ERR_NONE;
	if (is_way(known->kind, name))
		return ERR_NONE;
	if (known->kind)
		near = field_of_column(known->kind, name);
	if (!near)
		near = nearest_word(name, n_known, known_word, known);
	if (!near)
		return err_set(err, ERR_MALFORMED, name, "unknown_parameter",
			       "%s is not a parameter of this address.", name);
	err_set(err, ERR_MALFORMED, name, "unknown_parameter",
		"%s is not a parameter of this address; %s is.", name, near);
	err_arg(err, "nearest", "%s", near);
	return ERR_MALFORMED;
}

enum err_code query_check(const struct request *req, const char *const *fixed, const struct kind *k,
			  struct err *err)
{
	struct known known = { .fixed = fixed, .kind = k };
	enum err_code rc = ERR_NONE;
	size_t n_known;

	while (fixed[known.n_fixed])
		known.n_fixed++;
	n_known = known.n_fixed + (k ? kind_field_count(k) : 0);
	for (size_t i = 0; i < req->n_query; i++) {
		enum err_code one = check_one(req, i, &known, n_known, err);

		rc = rc ? rc : one;
	}
	return rc;
}

enum err_code query_int(const struct request *req, const char *name, int64_t low, int64_t high,
			int64_t if_none, int64_t *out, struct err *err)
{
	const char *text = request_query(req, name);
	int64_t value = if_none;

	if (text && (!number_read_int(text, '.', &value) || value < low || value > high)) {
		err_set(err, ERR_MALFORMED, name, "out_of_range",
			"%s must be a whole number from %" PRId64 " to %" PRId64 ".", name, low,
			high);
		err_arg(err, "low", "%" PRId64, low);
		err_arg(err, "high", "%" PRId64, high);
		return ERR_MALFORMED;
	}
	*out = value;
	return ERR_NONE;
}

enum err_code query_day(const struct request *req, const char *name, int64_t if_none, int64_t *out,
			struct err *err)
{
	const char *text = request_query(req, name);
	int64_t value = if_none;

	if (text && !day_read(text, &value))
		return err_set(err, ERR_MALFORMED, name, "not_a_date",
			       "%s must be a day that exists, as YYYY-MM-DD.", name);
	*out = value;
	return ERR_NONE;
}

enum err_code query_time(const struct request *req, const char *name, int64_t if_none, int64_t *out,
			 struct err *err)
{
	const char *text = request_query(req, name);
	int64_t value = if_none;

	if (text && !time_read(text, &value))
		return err_set(err, ERR_MALFORMED, name, "not_a_time",
			       "%s must be an instant, as 2026-03-01T06:30:00Z.", name);
	*out = value;
	return ERR_NONE;
}

enum err_code query_flag(const struct request *req, const char *name, bool *out, struct err *err)
{
	int64_t value;
	enum err_code rc = query_int(req, name, 0, 1, 0, &value, err);

	if (!rc)
		*out = value == 1;
	return rc;
}

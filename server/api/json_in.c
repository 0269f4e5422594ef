/* The only reader of JSON that comes in: see json_in.h.  Objects and their members; entry_in.c makes rows. */
#include <inttypes.h>
#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "api/json_in.h"
#include "base/nearest.h"
#include "base/number.h"
#include "base/utf8.h"

/* How deep brackets nest, seen before the parser recurses; brackets inside texts do not count. */
static bool too_deep(const char *bytes, size_t n)
{
	bool in_text = false;
	int depth = 0;

	for (size_t i = 0; i < n; i++) {
		const char c = bytes[i];

		if (in_text && c == '\\')
			i++;
		else if (c == '"')
			in_text = !in_text;
		else if (in_text)
			continue;
		else if ((c == '{' || c == '[') && ++depth > JSON_DEPTH_MAX)
			return true;
		else if (c == '}' || c == ']')
			depth--;
	}
	return false;
}

static enum err_code check_bytes(const char *bytes, size_t n, struct err *err)
{
	if (n >= 3 && !memcmp(bytes, "\xEF\xBB\xBF", 3))
		return err_set(err, ERR_MALFORMED, "", "byte_order_mark",
			       "The body begins with a byte-order mark; send it without.");
	if (n > 0 && !memchr(bytes, '\0', n) && !utf8_valid(bytes, n))
		return err_set(err, ERR_MALFORMED, "", "bad_utf8",
			       "The body holds bytes that are not UTF-8.");
	if (too_deep(bytes, n))
		return err_set(err, ERR_MALFORMED, "", "too_deep",
			       "The body nests deeper than the %d levels that are taken.",
			       JSON_DEPTH_MAX);
	return ERR_NONE;
}

/* jansson's reason in our words: its own text may quote what was sent. */
static enum err_code told(const json_error_t *e, struct err *err)
{
	const char *code = "bad_json";
	const char *what = "is not JSON that can be read";

	switch (json_error_code(e)) {
	case json_error_out_of_memory:
		abort(); /* input was bounded first, and nothing acknowledged is lost (base/arena.h) */
	case json_error_duplicate_key:
		code = "name_twice";
		what = "holds a name twice in one object";
		break;
	case json_error_numeric_overflow:
		code = "number_too_large";
		what = "holds a number that is too large";
		break;
	case json_error_null_character:
	case json_error_null_byte_in_key:
		code = "nul_in_text";
		what = "holds a NUL character";
		break;
	default:
		break;
	}
	err_set(err, ERR_MALFORMED, "", code, "The body %s (line %d, column %d).", what, e->line,
		e->column);
	err_arg(err, "line", "%d", e->line);
	err_arg(err, "column", "%d", e->column);
	return ERR_MALFORMED;
}

enum err_code json_in_read(const char *bytes, size_t n, struct json_t **out, struct err *err)
{
	json_error_t e;
	json_t *read;

	if (check_bytes(bytes, n, err))
		return ERR_MALFORMED;
	read = json_loadb(n ? bytes : "", n, JSON_REJECT_DUPLICATES, &e);
	if (!read)
		return told(&e, err);
	if (!json_is_object(read)) {
		json_decref(read);
		return err_set(err, ERR_MALFORMED, "", "no_object",
			       "The body must be one JSON object.");
	}
	*out = read;
	return ERR_NONE;
}

void json_in_free(struct json_t *object)
{
	json_decref(object);
}

static enum err_code wrong_type(const char *name, const char *due, struct err *err)
{
	err_set(err, ERR_INPUT, name, "wrong_type", "%s must be %s.", name, due);
	err_arg(err, "due", "%s", due);
	return ERR_INPUT;
}

enum err_code json_in_text(const struct json_t *object, const char *name, const char **out,
			   struct err *err)
{
	const json_t *v = json_object_get(object, name);

	if (!v || json_is_null(v))
		return ERR_NONE;
	if (!json_is_string(v))
		return wrong_type(name, "text", err);
	*out = json_string_value(v);
	return ERR_NONE;
}

enum err_code json_in_bool(const struct json_t *object, const char *name, bool *out,
			   struct err *err)
{
	const json_t *v = json_object_get(object, name);

	if (!v || json_is_null(v))
		return ERR_NONE;
	if (!json_is_boolean(v))
		return wrong_type(name, "true or false", err);
	*out = json_is_true(v);
	return ERR_NONE;
}

enum err_code json_in_int(const struct json_t *object, const char *name, int64_t *out,
			  struct err *err)
{
	const json_t *v = json_object_get(object, name);

	if (!v || json_is_null(v))
		return ERR_NONE;
	if (!json_is_integer(v))
		return wrong_type(name, "a whole number", err);
	*out = json_integer_value(v);
	return ERR_NONE;
}

enum err_code json_in_real(const struct json_t *object, const char *name, double *out,
			   struct err *err)
{
	const json_t *v = json_object_get(object, name);

	if (!v || json_is_null(v))
		return ERR_NONE;
	if (!json_is_number(v))
		return wrong_type(name, "a number", err);
	*out = number_round15(json_number_value(v));
	return ERR_NONE;
}

const struct json_t *json_in_list(const struct json_t *object, const char *name)
{
	const json_t *v = json_object_get(object, name);

	return json_is_array(v) ? v : NULL;
}

const struct json_t *json_in_object(const struct json_t *object, const char *name)
{
	const json_t *v = json_object_get(object, name);

	return json_is_object(v) ? v : NULL;
}

size_t json_in_count(const struct json_t *list)
{
	return json_array_size(list);
}

const struct json_t *json_in_object_at(const struct json_t *list, size_t i)
{
	const json_t *v = json_array_get(list, i);

	return json_is_object(v) ? v : NULL;
}

enum err_code json_in_each_text(const struct json_t *object,
				enum err_code (*fn)(const char *name, const char *text,
						    size_t length, void *with, struct err *err),
				void *with, struct err *err)
{
	const char *name;
	json_t *v;

	json_object_foreach((json_t *)object, name, v)
	{
		enum err_code rc = json_is_string(v) ? fn(name, json_string_value(v),
							  json_string_length(v), with, err)
						     : wrong_type(name, "text", err);

		if (rc)
			return rc;
	}
	return ERR_NONE;
}

static const char *word_of_list(size_t i, const void *with)
{
	const char *const *words = with;

	return words[i];
}

enum err_code json_in_known(const struct json_t *object, const char *const *known, struct err *err)
{
	enum err_code rc = ERR_NONE;
	const char *name, *near;
	size_t n = 0;
	json_t *v;

	while (known[n])
		n++;
	json_object_foreach((json_t *)object, name, v)
	{
		size_t i = 0;

		while (i < n && strcmp(known[i], name) != 0)
			i++;
		if (i < n)
			continue;
		near = nearest_word(name, n, word_of_list, known);
		rc = nearest_refuse(err, ERR_INPUT, name, "unknown_field", near,
				    "%s is not known here", name);
	}
	return rc;
}

enum err_code json_in_nothing(const char *bytes, size_t n, struct err *err)
{
	static const char *const known[] = { NULL };
	struct json_t *body = NULL; /* owned */
	enum err_code rc;

	if (!n)
		return ERR_NONE;
	rc = json_in_read(bytes, n, &body, err);
	if (!rc)
		rc = json_in_known(body, known, err);
	json_in_free(body);
	return rc;
}

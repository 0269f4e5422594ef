/* Values to text and back, by the kind of the field: field_read and field_write of record.h. */
#include <assert.h>
#include <inttypes.h>
#include <string.h>

#include "base/number.h"
#include "base/zone.h"
#include "model/canonical.h"
#include "model/record.h"

static enum err_code read_integer(const struct field *f, const char *text, char decimal,
				  struct value *out, struct err *err)
{
	double real;

	if (number_read_int(text, decimal, &out->i))
		return ERR_NONE;
	if (number_read_real(text, decimal, &real))
		return err_set(err, ERR_INPUT, f->name, "not_whole",
			       "%s must be a whole number of at most 15 digits, not \"%.60s\".",
			       f->name, text);
	return err_set(err, ERR_INPUT, f->name, "not_a_number", "%s is \"%.60s\", not a number.",
		       f->name, text);
}

static enum err_code read_real(const struct field *f, const char *text, char decimal,
			       struct value *out, struct err *err)
{
	if (number_read_real(text, decimal, &out->r))
		return ERR_NONE;
	return err_set(err, ERR_INPUT, f->name, "not_a_number",
		       "%s is \"%.60s\", not a number. Write it like 12%c5.", f->name, text,
		       decimal);
}

static enum err_code read_bool(const struct field *f, const char *text, struct value *out,
			       struct err *err)
{
	if (strcmp(text, "1") != 0 && strcmp(text, "0") != 0)
		return err_set(err, ERR_INPUT, f->name, "not_a_bool",
			       "%s must be 1 (yes) or 0 (no), not \"%.60s\".", f->name, text);
	out->i = text[0] == '1';
	return ERR_NONE;
}

static enum err_code read_day(const struct field *f, const char *text, struct value *out,
			      struct err *err)
{
	if (day_read(text, &out->i))
		return ERR_NONE;
	return err_set(err, ERR_INPUT, f->name, "not_a_date",
		       "%s must be a date such as 2026-03-31, not \"%.60s\".", f->name, text);
}

static enum err_code read_time(const struct field *f, const char *text, struct value *out,
			       struct err *err)
{
	if (time_read(text, &out->i))
		return ERR_NONE;
	return err_set(err, ERR_INPUT, f->name, "not_a_time",
		       "%s must be a time such as 2026-03-31T06:30:00Z, not \"%.60s\".", f->name,
		       text);
}

static enum err_code read_text(const struct field *f, const char *text, char decimal,
			       struct arena *arena, struct value *out, struct err *err)
{
	enum err_code rc = field_canonical(f, text, decimal, arena, &out->text, err);

	if (rc)
		return rc;
	if (!*out->text) /* spaces alone */
		*out = (struct value){ .type = VALUE_NONE };
	else if (out->text == text)
		out->text = arena_strdup(arena, text);
	return ERR_NONE;
}

enum err_code field_read(const struct field *f, const char *text, char decimal, struct arena *arena,
			 struct value *out, struct err *err)
{
	struct value v = { .type = VALUE_NONE };
	enum err_code rc = ERR_NONE;

	if (*text) {
		v.type = f->kind == KIND_REFERENCE ? VALUE_TEXT : field_value_type(f);
		switch (f->kind) {
		case KIND_INTEGER:
			rc = read_integer(f, text, decimal, &v, err);
			break;
		case KIND_REAL:
			rc = read_real(f, text, decimal, &v, err);
			break;
		case KIND_BOOL:
			rc = read_bool(f, text, &v, err);
			break;
		case KIND_DAY:
			rc = read_day(f, text, &v, err);
			break;
		case KIND_TIME:
			rc = read_time(f, text, &v, err);
			break;
		default:
			rc = read_text(f, text, decimal, arena, &v, err);
			break;
		}
	}
	if (!rc)
		*out = v;
	return rc;
}

static const char *write_int(const struct field *f, int64_t value, struct arena *arena)
{
	char text[TIME_TEXT_MAX];

	switch (f->kind) {
	case KIND_DAY:
		return arena_strndup(arena, text, day_write(text, value));
	case KIND_TIME:
		return arena_strndup(arena, text, time_write(text, value));
	case KIND_BOOL:
		return value ? "1" : "0";
	default:
		assert(f->kind != KIND_REFERENCE); /* an id is never written: give its label */
		return arena_printf(arena, "%" PRId64, value);
	}
}

const char *field_write(const struct field *f, const struct value *v, struct arena *arena)
{
	char text[NUMBER_TEXT_MAX];

	switch (v->type) {
	case VALUE_INT:
		return write_int(f, v->i, arena);
	case VALUE_REAL:
		return arena_strndup(arena, text, number_write_real(text, v->r));
	case VALUE_TEXT:
		return v->text;
	case VALUE_NONE:
		break;
	}
	return "";
}

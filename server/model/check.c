/* Judges one record by itself: record_check of record.h.  What needs other records is book's. */
#include <string.h>

#include "base/strbuf.h"
#include "base/zone.h"
#include "model/canonical.h"
#include "model/record.h"

/* A resolved reference is a number, one that is not yet is text. */
static bool has_right_type(const struct field *f, const struct value *v)
{
	return v->type == field_value_type(f) ||
	       (f->kind == KIND_REFERENCE && v->type == VALUE_TEXT);
}

/* Dates and times of the years that can be read back. */
static void check_calendar(const struct field *f, int64_t day, struct err *err)
{
	if (day < day_from_civil(1900, 1, 1) || day > day_from_civil(2199, 12, 31))
		err_set(err, ERR_INPUT, f->name, f->kind == KIND_DAY ? "not_a_date" : "not_a_time",
			"%s must lie in the years 1900 to 2199.", f->name);
}

static void check_int(const struct field *f, int64_t value, struct err *err)
{
	switch (f->kind) {
	case KIND_BOOL:
		if (value != 0 && value != 1)
			err_set(err, ERR_INPUT, f->name, "not_a_bool", "%s must be yes or no.",
				f->name);
		break;
	case KIND_DAY:
		check_calendar(f, value, err);
		break;
	case KIND_TIME:
		check_calendar(f, day_of_instant(value), err);
		break;
	default:
		field_check_range(f, (double)value, err);
		break;
	}
}

/* Puts the canonical form in place of the text; "" becomes a value that is not given. */
static void check_text(const struct field *f, struct value *v, struct arena *arena, struct err *err)
{
	const char *canonical;

	if (field_canonical(f, v->text, '.', arena, &canonical, err))
		return;
	if (*canonical)
		v->text = canonical;
	else
		*v = (struct value){ .type = VALUE_NONE };
}

static void check_value(const struct field *f, struct value *v, struct arena *arena,
			struct err *err)
{
	if (v->type == VALUE_NONE)
		return;
	if (!has_right_type(f, v)) {
		err_set(err, ERR_INPUT, f->name, "wrong_type", "%s has a value of another type.",
			f->name);
		return;
	}
	switch (v->type) {
	case VALUE_INT:
		check_int(f, v->i, err);
		break;
	case VALUE_REAL:
		if (!(v->r - v->r >= 0)) /* NAN and infinity */
			err_set(err, ERR_INPUT, f->name, "not_a_number", "%s is not a number.",
				f->name);
		else
			field_check_range(f, v->r, err);
		break;
	default:
		check_text(f, v, arena, err);
		break;
	}
}

static void check_required(const struct field *f, const struct value *v, struct err *err)
{
	if (f->required && v->type == VALUE_NONE)
		err_set(err, ERR_INPUT, f->name, "required", "%s is missing.", f->name);
}

static void check_choice(const struct record *r, const struct choice_of *c, struct err *err)
{
	int given = 0;
	struct strbuf names;

	for (size_t i = 0; c->fields[i]; i++)
		given += record_has(r, c->fields[i]);
	if (given >= c->min && given <= c->max)
		return;
	strbuf_init(&names);
	for (size_t i = 0; c->fields[i]; i++)
		strbuf_addf(&names, "%s%s", i ? ", " : "", c->fields[i]);
	if (given > c->max)
		err_set(err, ERR_INPUT, c->fields[0], "one_of", "Give at most %d of: %s.", c->max,
			names.text);
	else
		err_set(err, ERR_INPUT, c->fields[0], "one_of", "Give at least %d of: %s.", c->min,
			names.text);
	err_arg(err, "fields", "%s", names.text);
	err_arg(err, "least", "%d", c->min);
	err_arg(err, "most", "%d", c->max);
	err_arg(err, "given", "%d", given);
	strbuf_release(&names);
}

enum err_code record_check(const struct record *r, struct arena *arena, struct err *err)
{
	struct err found;
	size_t n = kind_field_count(r->kind);

	err_clear(&found);
	for (size_t i = 0; i < n; i++) {
		const struct field *f = kind_field(r->kind, i);

		check_value(f, &r->values[i], arena, &found);
		check_required(f, &r->values[i], &found);
	}
	for (const struct choice_of *c = r->kind->choices; c && c->fields[0]; c++)
		check_choice(r, c, &found);
	if (found.code)
		err_append(err, &found);
	return found.code;
}

/* An entry as JSON brings it: see entry_in.h.  One function a shape of value; the dictionary chooses. */
#include <inttypes.h>
#include <jansson.h>
#include <math.h>
#include <string.h>

#include "api/entry_in.h"
#include "api/names.h"
#include "base/nearest.h"
#include "base/number.h"
#include "base/strbuf.h"
#include "base/zone.h"

/* Members that are no fields, and where each may stand. */
static const struct control {
	const char *name;
	int uses;
} controls[] = {
	{ .name = "key", .uses = USE_CREATE | USE_BATCH },
	{ .name = "confirm", .uses = USE_CREATE | USE_PATCH | USE_ACT },
	{ .name = "queued", .uses = USE_CREATE | USE_PATCH | USE_ACT },
	{ .name = "clock_offset_s", .uses = USE_CREATE | USE_PATCH | USE_ACT },
	{ .name = "why", .uses = USE_PATCH | USE_ACT },
	{ .name = "change_why", .uses = USE_PATCH },
	{ .name = "from_day", .uses = USE_PATCH },
	{ .name = "op", .uses = USE_BATCH },
	{ .name = "kind", .uses = USE_BATCH },
	{ .name = "id", .uses = USE_BATCH },
	{ .name = "version", .uses = USE_BATCH },
};
enum { N_CONTROLS = sizeof(controls) / sizeof(controls[0]) };

/* Ten years: further off, the tablet's clock says nothing. */
static const int64_t clock_offset_max_s = 10LL * 366 * 86400;
static const double whole_max = 9007199254740991.0; /* 2^53 - 1 */

struct reading {
	const struct kind *kind;
	int uses;
	struct arena *arena;
	struct err *err;
};

static enum err_code wrong_type(const struct field *f, const char *code, const char *due,
				struct err *err)
{
	err_set(err, ERR_INPUT, f->name, code, "%s must be %s.", f->name, due);
	err_arg(err, "due", "%s", due);
	return ERR_INPUT;
}

static enum err_code read_whole(const struct field *f, const json_t *v, struct value *out,
				struct err *err)
{
	double number;

	if (!json_is_number(v))
		return wrong_type(f, "not_a_number", "a number, not text", err);
	number = json_number_value(v);
	if (fabs(number) > whole_max || number != floor(number))
		return wrong_type(f, "not_whole", "a whole number", err);
	out->type = VALUE_INT;
	out->i = json_is_integer(v) ? json_integer_value(v) : (int64_t)number;
	return ERR_NONE;
}

static enum err_code read_real(const struct field *f, const json_t *v, struct value *out,
			       struct err *err)
{
	if (!json_is_number(v))
		return wrong_type(f, "not_a_number", "a number, not text", err);
	out->type = VALUE_REAL;
	out->r = number_round15(json_number_value(v));
	return ERR_NONE;
}

static enum err_code read_bool(const struct field *f, const json_t *v, struct value *out,
			       struct err *err)
{
	if (!json_is_boolean(v))
		return wrong_type(f, "wrong_type", "true or false", err);
	out->type = VALUE_INT;
	out->i = json_is_true(v);
	return ERR_NONE;
}

static enum err_code read_text(const struct field *f, const json_t *v, struct arena *arena,
			       struct value *out, struct err *err)
{
	if (!json_is_string(v))
		return wrong_type(f, "not_text", "text", err);
	return field_read(f, arena_strndup(arena, json_string_value(v), json_string_length(v)), '.',
			  arena, out, err);
}

/* An id, or the key of the row. */
static enum err_code read_reference(const struct field *f, const json_t *v, struct arena *arena,
				    struct value *out, struct err *err)
{
	struct uuid key;
	char *text;

	if (json_is_integer(v) && json_integer_value(v) > 0) {
		out->type = VALUE_INT;
		out->i = json_integer_value(v);
		return ERR_NONE;
	}
	if (!json_is_string(v) || (*json_string_value(v) && !uuid_read(json_string_value(v), &key)))
		return wrong_type(f, "not_a_reference", "an id, or the key of an entry", err);
	if (!*json_string_value(v))
		return ERR_NONE;
	text = arena_alloc(arena, UUID_TEXT_MAX);
	uuid_write(text, &key);
	out->type = VALUE_TEXT;
	out->text = text;
	return ERR_NONE;
}

/* Appends one item of a list; false when it is of the wrong type, or a text that would read as two. */
static bool add_item(struct strbuf *to, const json_t *item, bool numbers)
{
	char number[NUMBER_TEXT_MAX];

	if (to->length)
		strbuf_addc(to, ' ');
	if (numbers && json_is_number(item)) {
		strbuf_add(to, number, number_write_real(number, json_number_value(item)));
		return true;
	}
	if (numbers || !json_is_string(item) || !*json_string_value(item) ||
	    strpbrk(json_string_value(item), " \t\r\n"))
		return false;
	strbuf_adds(to, json_string_value(item));
	return true;
}

/* A list as the one text that the dictionary keeps. */
static enum err_code read_list(const struct field *f, const json_t *v, struct arena *arena,
			       struct value *out, struct err *err)
{
	const bool numbers = f->kind == KIND_NUMBERS;
	enum err_code rc = ERR_NONE;
	struct strbuf text;

	strbuf_init(&text);
	if (!json_is_array(v))
		rc = wrong_type(f, "not_a_list", numbers ? "a list of numbers" : "a list of texts",
				err);
	for (size_t i = 0; !rc && i < json_array_size(v); i++)
		if (!add_item(&text, json_array_get(v, i), numbers))
			rc = wrong_type(f, "not_a_list",
					numbers ? "a list of numbers"
						: "a list of texts without spaces",
					err);
	if (!rc && text.length)
		rc = field_read(f, arena_strndup(arena, text.text, text.length), '.', arena, out,
				err);
	strbuf_release(&text);
	return rc;
}

static enum err_code read_value(const struct field *f, const json_t *v, struct arena *arena,
				struct value *out, struct err *err)
{
	if (json_is_null(v))
		return ERR_NONE;
	switch (f->kind) {
	case KIND_INTEGER:
		return read_whole(f, v, out, err);
	case KIND_REAL:
		return read_real(f, v, out, err);
	case KIND_BOOL:
		return read_bool(f, v, out, err);
	case KIND_WORDS:
	case KIND_NUMBERS:
	case KIND_CLOCKS:
		return read_list(f, v, arena, out, err);
	case KIND_REFERENCE:
		return read_reference(f, v, arena, out, err);
	default:
		return read_text(f, v, arena, out, err);
	}
}

static bool is_own_field(const struct kind *k, const char *name)
{
	return kind_field_index(k, name) != SIZE_MAX;
}

static bool is_control(const struct reading *r, const char *name)
{
	for (size_t i = 0; i < N_CONTROLS; i++)
		if (!strcmp(controls[i].name, name))
			return controls[i].uses & r->uses;
	return false;
}

/* Field names first, then the members beside them: what an unknown name may have meant. */
static const char *known_name(size_t i, const void *with)
{
	const struct kind *k = with;
	const size_t n = kind_field_count(k);

	return i < n ? kind_field(k, i)->name : controls[i - n].name;
}

static enum err_code unknown_field(const struct reading *r, const char *name)
{
	const char *near =
		nearest_word(name, kind_field_count(r->kind) + N_CONTROLS, known_name, r->kind);

	return nearest_refuse(r->err, ERR_INPUT, name, "unknown_field", near,
			      "%s is not a field of %s", name, r->kind->name);
}

static enum err_code read_member(const struct reading *r, const char *name, const json_t *v,
				 struct entry_in *out)
{
	const size_t i = kind_field_index(r->kind, name);
	const bool fields = r->uses & (USE_CREATE | USE_PATCH);

	if (i == SIZE_MAX || !fields)
		return is_control(r, name) ? ERR_NONE : unknown_field(r, name);
	if (kind_field(r->kind, i)->server_set)
		return err_set(r->err, ERR_INPUT, name, "server_set",
			       "%s is set by the service; leave it out.", name);
	out->given[i] = true;
	return read_value(kind_field(r->kind, i), v, r->arena, &out->values->values[i], r->err);
}

static enum err_code read_key(const json_t *object, struct uuid *out, struct err *err)
{
	const char *text = NULL;

	if (json_in_text(object, "key", &text, err))
		return ERR_INPUT;
	if (!text || !*text)
		return ERR_NONE;
	if (!uuid_read(text, out) || !uuid_is_client(out))
		return err_set(err, ERR_INPUT, "key", "bad_key",
			       "key must be a UUID of version 4 or 7.");
	return ERR_NONE;
}

static enum err_code read_from_day(const json_t *object, int64_t *out, struct err *err)
{
	const char *text = NULL;

	if (json_in_text(object, "from_day", &text, err))
		return ERR_INPUT;
	if (text && *text && !day_read(text, out))
		return err_set(err, ERR_INPUT, "from_day", "not_a_date",
			       "from_day must be a day that exists, as YYYY-MM-DD.");
	return ERR_NONE;
}

static enum err_code read_clock_offset(const json_t *object, struct hand *hand, struct err *err)
{
	int64_t offset = INT64_MIN;

	if (json_in_int(object, "clock_offset_s", &offset, err))
		return ERR_INPUT;
	if (offset == INT64_MIN)
		return ERR_NONE;
	if (offset > clock_offset_max_s || offset < -clock_offset_max_s) {
		err_set(err, ERR_INPUT, "clock_offset_s", "out_of_range",
			"clock_offset_s must be within ten years.");
		err_arg(err, "low", "%" PRId64, -clock_offset_max_s);
		err_arg(err, "high", "%" PRId64, clock_offset_max_s);
		return ERR_INPUT;
	}
	hand->has_clock_offset = true;
	hand->clock_offset_s = offset;
	return ERR_NONE;
}

/* The reason of the change from a member of this name; without one hand->why stays. */
static enum err_code read_why(const json_t *object, const char *name, const struct reading *r,
			      struct hand *hand)
{
	const char *text = NULL;

	if (json_in_text(object, name, &text, r->err))
		return ERR_INPUT;
	if (text && strlen(text) > 2000) {
		err_set(r->err, ERR_INPUT, name, "too_long", "%s may have at most 2000 characters.",
			name);
		err_arg(r->err, "high", "%d", 2000);
		return ERR_INPUT;
	}
	if (text && *text)
		hand->why = arena_strdup(r->arena, text);
	return ERR_NONE;
}

static enum err_code first_of(enum err_code a, enum err_code b)
{
	return a ? a : b;
}

static enum err_code read_controls(const json_t *object, const struct reading *r,
				   struct entry_in *out)
{
	const bool patch = r->uses & USE_PATCH;
	enum err_code rc = ERR_NONE;
	bool queued = false;

	rc = first_of(rc, json_in_bool(object, "confirm", &out->hand.confirm, r->err));
	rc = first_of(rc, json_in_bool(object, "queued", &queued, r->err));
	rc = first_of(rc, read_clock_offset(object, &out->hand, r->err));
	if (r->uses & USE_CREATE)
		rc = first_of(rc, read_key(object, &out->values->key, r->err));
	if (r->uses & USE_ACT || (patch && !is_own_field(r->kind, "why")))
		rc = first_of(rc, read_why(object, "why", r, &out->hand));
	if (patch)
		rc = first_of(rc, read_why(object, "change_why", r, &out->hand));
	if (patch && !is_own_field(r->kind, "from_day"))
		rc = first_of(rc, read_from_day(object, &out->from_day, r->err));
	out->hand.arrival = queued ? ARRIVES_QUEUED : ARRIVES_ON_SCREEN;
	return rc;
}

enum err_code entry_in_read(const struct json_t *object, const struct kind *k, int uses,
			    struct arena *arena, struct entry_in *out, struct err *err)
{
	const struct reading r = { .kind = k, .uses = uses, .arena = arena, .err = err };
	enum err_code rc = ERR_NONE;
	const char *name;
	json_t *v;

	*out = (struct entry_in){
		.values = record_new(k, arena),
		.given = arena_array(arena, kind_field_count(k), sizeof(bool)),
		.from_day = NO_DAY,
	};
	json_object_foreach((json_t *)object, name, v)
	{
		rc = first_of(rc, read_member(&r, name, v, out));
	}
	return first_of(rc, read_controls(object, &r, out));
}

/* A row as JSON: see json_record.h.  Nothing is allocated but the text that grows. */
#include <string.h>

#include "api/json_record.h"
#include "base/number.h"
#include "base/zone.h"

enum { ITEM_MAX = 64 };

/* The next word of a text of words separated by spaces, or NULL at its end. */
static const char *next_word(const char *at, size_t *n)
{
	at += strspn(at, " ");
	*n = strcspn(at, " ");
	return *n ? at : NULL;
}

static void write_words(struct json_out *j, const char *text, bool numbers)
{
	char word[ITEM_MAX];
	double number;
	size_t n;

	json_out_open(j, '[');
	for (const char *at = text; (at = next_word(at, &n)); at += n) {
		size_t kept = n < ITEM_MAX ? n : ITEM_MAX - 1;

		memcpy(word, at, kept);
		word[kept] = '\0';
		if (!numbers)
			json_out_text(j, word);
		else if (number_read_real(word, '.', &number))
			json_out_real(j, number);
		else
			json_out_null(j);
	}
	json_out_close(j, ']');
}

static void write_day(struct json_out *j, int64_t day)
{
	char text[TIME_TEXT_MAX];

	day_write(text, day);
	json_out_text(j, text);
}

static void write_time(struct json_out *j, int64_t at)
{
	char text[TIME_TEXT_MAX];

	time_write(text, at);
	json_out_text(j, text);
}

static void write_int(struct json_out *j, enum field_kind kind, int64_t value)
{
	switch (kind) {
	case KIND_BOOL:
		json_out_bool(j, value != 0);
		break;
	case KIND_DAY:
		write_day(j, value);
		break;
	case KIND_TIME:
		write_time(j, value);
		break;
	default:
		json_out_int(j, value);
	}
}

static void write_text(struct json_out *j, enum field_kind kind, const char *text)
{
	if (kind == KIND_WORDS || kind == KIND_CLOCKS)
		write_words(j, text, false);
	else if (kind == KIND_NUMBERS)
		write_words(j, text, true);
	else
		json_out_text(j, text);
}

void json_value_write(struct json_out *j, const struct field *f, const struct value *v)
{
	switch (v->type) {
	case VALUE_NONE:
		json_out_null(j);
		break;
	case VALUE_INT:
		write_int(j, f->kind, v->i);
		break;
	case VALUE_REAL:
		json_out_real(j, v->r);
		break;
	case VALUE_TEXT:
		write_text(j, f->kind, v->text);
		break;
	}
}

void json_record_write(struct json_out *j, const struct record *r, const bool *only)
{
	const size_t n = kind_field_count(r->kind);
	char key[UUID_TEXT_MAX];

	json_out_open(j, '{');
	json_out_name(j, "id");
	json_out_int(j, r->id);
	if (!uuid_is_zero(&r->key)) {
		uuid_write(key, &r->key);
		json_out_name(j, "key");
		json_out_text(j, key);
	}
	json_out_name(j, "version");
	json_out_int(j, r->version);
	for (size_t i = 0; i < n; i++) {
		const struct field *f = kind_field(r->kind, i);

		if (r->values[i].type == VALUE_NONE || (only && !only[i]))
			continue;
		json_out_name(j, f->name);
		json_value_write(j, f, &r->values[i]);
	}
	json_out_close(j, '}');
}

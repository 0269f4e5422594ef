/* The canonical form of text values: see canonical.h. */
#include "model/canonical.h"

#include <stdio.h>
#include <string.h>

#include "base/nearest.h"
#include "base/number.h"
#include "base/strbuf.h"
#include "base/utf8.h"
#include "base/zone.h"
#include "model/name.h"

enum {
	TEXT_MAX_BYTES = 4000,
	NOTE_MAX_BYTES = 20000,
	NAME_MAX_BYTES = 200,
	CODE_MAX_BYTES = 64,
	CHANGE_MAX_BYTES = 1 << 20
};

/* Bytes that a text may have: 4000, a note 20000. */
static size_t field_length_max(const struct field *f)
{
	switch (f->kind) {
	case KIND_CODE:
		return CODE_MAX_BYTES;
	case KIND_NAME:
	case KIND_REFERENCE:
		return NAME_MAX_BYTES;
	case KIND_NUMBERS:
		return NOTE_MAX_BYTES; /* hundreds of fish weighed one by one */
	default:
		break;
	}
	if (strcmp(f->name, "note") == 0)
		return NOTE_MAX_BYTES;
	if (strcmp(f->name, "before") == 0)
		return CHANGE_MAX_BYTES; /* several texts and a note, as JSON */
	return TEXT_MAX_BYTES;
}

/* Valid UTF-8, short enough, and no control characters but tab and line breaks in free text. */
static enum err_code check_text(const struct field *f, const char *text, struct err *err)
{
	size_t n = strlen(text), most = field_length_max(f);

	if (n > most) {
		err_set(err, ERR_INPUT, f->name, "too_long",
			"%s is too long: at most %zu bytes, this has %zu.", f->name, most, n);
		err_arg(err, "most", "%zu", most);
		return ERR_INPUT;
	}
	if (!utf8_valid(text, n))
		return err_set(err, ERR_INPUT, f->name, "bad_text", "%s is not UTF-8 text.",
			       f->name);
	for (const char *p = text; *p; p++) {
		bool is_free = f->kind == KIND_TEXT && strchr("\t\r\n", *p) != NULL;

		if (((unsigned char)*p < 0x20 || *p == 0x7F) && !is_free)
			return err_set(err, ERR_INPUT, f->name, "bad_text",
				       "%s holds a control character. Remove it.", f->name);
	}
	return ERR_NONE;
}

static bool is_alphanumeric(char c)
{
	return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
}

/* A hyphen may not come first: a spreadsheet would take the code for a formula. */
static enum err_code check_code(const struct field *f, const char *text, struct err *err)
{
	bool good = is_alphanumeric(text[0]);

	for (const char *p = text; *p && good; p++)
		good = is_alphanumeric(*p) || *p == '-';
	if (good)
		return ERR_NONE;
	return err_set(
		err, ERR_INPUT, f->name, "bad_code",
		"%s may hold letters A to Z, digits and hyphens, and begins with a letter or "
		"digit.",
		f->name);
}

static const char *word_at(size_t i, const void *words)
{
	return ((const char *const *)words)[i];
}

static enum err_code check_word(const struct field *f, const char *word, struct err *err)
{
	size_t n = 0;
	const char *nearest;

	if (!f->words)
		return ERR_NONE;
	for (; f->words[n]; n++)
		if (strcmp(f->words[n], word) == 0)
			return ERR_NONE;
	nearest = nearest_word(word, n, word_at, (const void *)f->words);
	if (nearest) {
		err_set(err, ERR_INPUT, f->name, "not_a_choice",
			"%s cannot be \"%.60s\". Did you mean %s?", f->name, word, nearest);
		err_arg(err, "nearest", "%s", nearest);
	} else {
		err_set(err, ERR_INPUT, f->name, "not_a_choice", "%s cannot be \"%.60s\".", f->name,
			word);
	}
	err_arg(err, "given", "%.60s", word);
	return ERR_INPUT;
}

enum err_code field_check_range(const struct field *f, double value, struct err *err)
{
	char low[NUMBER_TEXT_MAX], high[NUMBER_TEXT_MAX], given[NUMBER_TEXT_MAX];

	if (!f->has_range || (value >= f->lo && value <= f->hi)) /* so written that NAN fails */
		return ERR_NONE;
	number_write_real(low, f->lo);
	number_write_real(high, f->hi);
	number_write_real(given, value);
	err_set(err, ERR_INPUT, f->name, "out_of_range",
		"%s must lie between %s and %s%s%s, not %s.", f->name, low, high,
		f->unit ? " " : "", f->unit ? f->unit : "", given);
	err_arg(err, "low", "%s", low);
	err_arg(err, "high", "%s", high);
	err_arg(err, "given", "%s", given);
	return ERR_INPUT;
}

static enum err_code add_number(const struct field *f, const char *item, char decimal,
				struct strbuf *list, struct err *err)
{
	char text[NUMBER_TEXT_MAX];
	double value;

	if (!number_read_real(item, decimal, &value))
		return err_set(err, ERR_INPUT, f->name, "not_a_number",
			       "%s holds \"%.60s\", which is not a number. Separate numbers by "
			       "spaces.",
			       f->name, item);
	strbuf_add(list, text, number_write_real(text, value));
	return field_check_range(f, value, err);
}

/* Times are refused out of order, not sorted: a plan's shares stand in the order of its times. */
static enum err_code add_clock(const struct field *f, const char *item, int *last_minutes,
			       struct strbuf *list, struct err *err)
{
	int minutes;

	if (!time_of_day_read(item, &minutes))
		return err_set(err, ERR_INPUT, f->name, "not_a_clock",
			       "%s holds \"%.60s\": write times of day as 06:30, separated by "
			       "spaces.",
			       f->name, item);
	if (minutes <= *last_minutes)
		return err_set(
			err, ERR_INPUT, f->name, "not_ascending",
			"%s must be in order, each time once: %s comes too late in the list.",
			f->name, item);
	*last_minutes = minutes;
	strbuf_adds(list, item);
	return ERR_NONE;
}

/* True when the list, words with single spaces between, has this word. */
static bool list_has(const char *list, const char *word)
{
	size_t n = strlen(word);

	for (const char *p = list; *p; p += strcspn(p, " "), p += *p == ' ')
		if (strncmp(p, word, n) == 0 && (p[n] == ' ' || p[n] == '\0'))
			return true;
	return false;
}

static enum err_code check_new_word(const struct field *f, const char *item, const char *list,
				    struct err *err)
{
	if (list_has(list, item))
		return err_set(err, ERR_INPUT, f->name, "twice", "%s names %.60s twice.", f->name,
			       item);
	return check_word(f, item, err);
}

/* Takes a list apart at its spaces and puts it together with single ones. */
static enum err_code canonical_list(const struct field *f, const char *text, char decimal,
				    struct arena *arena, const char **out, struct err *err)
{
	char *rest = arena_strdup(arena, text);
	struct strbuf list;
	int last_minutes = -1;
	enum err_code rc = ERR_NONE;

	strbuf_init(&list);
	for (char *item; !rc && (item = strsep(&rest, " ")) != NULL;) {
		if (!*item)
			continue;

		if (f->kind == KIND_WORDS)
			rc = check_new_word(f, item, list.text, err);
		if (list.length > 0)
			strbuf_addc(&list, ' ');
		if (f->kind == KIND_NUMBERS)
			rc = add_number(f, item, decimal, &list, err);
		else if (f->kind == KIND_CLOCKS)
			rc = add_clock(f, item, &last_minutes, &list, err);
		else
			strbuf_adds(&list, item);
	}
	if (!rc)
		*out = arena_strndup(arena, list.text, list.length);
	strbuf_release(&list);
	return rc;
}

static enum err_code canonical_uuid(const struct field *f, const char *text, struct arena *arena,
				    const char **out, struct err *err)
{
	struct uuid u;
	char canonical[UUID_TEXT_MAX];

	if (!uuid_read(text, &u))
		return err_set(err, ERR_INPUT, f->name, "not_a_key",
			       "%s must be a key such as 017f22e2-79b0-7cc3-98c4-dc0c0c07398f.",
			       f->name);
	uuid_write(canonical, &u);
	*out = arena_strdup(arena, canonical);
	return ERR_NONE;
}

static enum err_code check_clock(const struct field *f, const char *text, struct err *err)
{
	int minutes;

	if (time_of_day_read(text, &minutes))
		return ERR_NONE;
	return err_set(err, ERR_INPUT, f->name, "not_a_clock",
		       "%s must be a time of day such as 06:30.", f->name);
}

enum err_code field_canonical(const struct field *f, const char *text, char decimal,
			      struct arena *arena, const char **out, struct err *err)
{
	enum err_code rc = check_text(f, text, err);
	const char *canonical = text;

	if (rc)
		return rc;
	if (*text) {
		switch (f->kind) {
		case KIND_CODE:
			rc = check_code(f, text, err);
			break;
		case KIND_NAME:
			canonical = name_canonical(text, arena);
			break;
		case KIND_CHOICE:
			rc = check_word(f, text, err);
			break;
		case KIND_WORDS:
		case KIND_NUMBERS:
		case KIND_CLOCKS:
			rc = canonical_list(f, text, decimal, arena, &canonical, err);
			break;
		case KIND_CLOCK:
			rc = check_clock(f, text, err);
			break;
		case KIND_UUID:
			rc = canonical_uuid(f, text, arena, &canonical, err);
			break;
		default:
			break;
		}
	}
	if (!rc)
		*out = canonical;
	return rc;
}

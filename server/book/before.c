/* The JSON object in changes.before.  The reader takes what the writer makes: one flat object whose
 * values are scalars or lists of scalars; each value then goes through field_read like a cell of
 * CSV. */
#include "book/before.h"

#include <string.h>

#include "base/json_out.h"
#include "base/number.h"
#include "base/zone.h"
#include "book/inside.h"
#include "store/record.h"

static enum err_code write_reference(struct book *b, const struct field *f, int64_t id,
				     struct arena *arena, struct json_out *j, struct err *err)
{
	const char *key;
	enum err_code rc = book_referred_key(b, f, id, arena, &key, err);

	if (!rc)
		json_out_text(j, key);
	return rc;
}

/* "a b c" as ["a","b","c"], or as numbers. */
static void write_list(const char *text, bool numbers, struct arena *arena, struct json_out *j)
{
	char *copy = arena_strdup(arena, text), *rest = NULL;

	json_out_open(j, '[');
	for (char *word = strtok_r(copy, " ", &rest); word; word = strtok_r(NULL, " ", &rest)) {
		if (numbers)
			json_out_raw(j, word);
		else
			json_out_text(j, word);
	}
	json_out_close(j, ']');
}

static enum err_code write_value(struct book *b, const struct field *f, const struct value *v,
				 struct arena *arena, struct json_out *j, struct err *err)
{
	char text[TIME_TEXT_MAX];

	if (v->type == VALUE_NONE) {
		json_out_null(j);
		return ERR_NONE;
	}
	switch (f->kind) {
	case KIND_REFERENCE:
		return write_reference(b, f, v->i, arena, j, err);
	case KIND_INTEGER:
		json_out_int(j, v->i);
		break;
	case KIND_REAL:
		json_out_real(j, v->r);
		break;
	case KIND_BOOL:
		json_out_bool(j, v->i != 0);
		break;
	case KIND_DAY:
		day_write(text, v->i);
		json_out_text(j, text);
		break;
	case KIND_TIME:
		time_write(text, v->i);
		json_out_text(j, text);
		break;
	case KIND_WORDS:
	case KIND_CLOCKS:
		write_list(v->text, false, arena, j);
		break;
	case KIND_NUMBERS:
		write_list(v->text, true, arena, j);
		break;
	default:
		json_out_text(j, v->text);
		break;
	}
	return ERR_NONE;
}

enum err_code before_write(struct book *b, const struct record *before, const struct record *after,
			   struct arena *arena, struct strbuf *out, struct err *err)
{
	struct json_out j;

	json_out_init(&j, out);
	json_out_open(&j, '{');
	for (size_t i = 0; i < kind_field_count(before->kind); i++) {
		const struct field *f = kind_field(before->kind, i);

		if (value_equal(&before->values[i], &after->values[i]))
			continue;
		json_out_name(&j, f->name);

		enum err_code rc = write_value(b, f, &before->values[i], arena, &j, err);

		if (rc)
			return rc;
	}
	json_out_close(&j, '}');
	return ERR_NONE;
}

struct reader {
	const char *at;
	bool bad;
};

static void skip_space(struct reader *r)
{
	while (*r->at == ' ' || *r->at == '\n' || *r->at == '\t' || *r->at == '\r')
		r->at++;
}

static bool take(struct reader *r, char c)
{
	skip_space(r);
	if (*r->at != c)
		return false;
	r->at++;
	return true;
}

static void read_unicode(struct reader *r, struct strbuf *out)
{
	unsigned code = 0;

	for (int i = 0; i < 4; i++) {
		char c = *r->at;
		unsigned digit;

		if (c >= '0' && c <= '9')
			digit = (unsigned)(c - '0');
		else if ((c | 32) >= 'a' && (c | 32) <= 'f')
			digit = (unsigned)((c | 32) - 'a' + 10);
		else {
			r->bad = true;
			return;
		}
		code = code * 16 + digit;
		r->at++;
	}
	/* Our writer escapes control characters only; all else stands as UTF-8. */
	if (code == 0 || code > 127)
		r->bad = true;
	else
		strbuf_addc(out, (char)code);
}

static void read_escape(struct reader *r, struct strbuf *out)
{
	static const char from[] = "nrtbf", to[] = "\n\r\t\b\f";
	char c = *r->at;

	if (!c) {
		r->bad = true;
		return;
	}
	r->at++;

	const char *found = strchr(from, c);

	if (c == 'u')
		read_unicode(r, out);
	else
		strbuf_addc(out, found ? to[found - from] : c);
}

static void read_text(struct reader *r, struct strbuf *out)
{
	if (!take(r, '"')) {
		r->bad = true;
		return;
	}
	while (!r->bad && *r->at && *r->at != '"') {
		if (*r->at == '\\') {
			r->at++;
			read_escape(r, out);
		} else {
			strbuf_addc(out, *r->at++);
		}
	}
	if (!r->bad && !take(r, '"'))
		r->bad = true;
}

/* A scalar as a CSV cell would hold it: null is "", true 1, false 0. */
static void read_scalar(struct reader *r, struct strbuf *out)
{
	skip_space(r);
	if (*r->at == '"') {
		read_text(r, out);
		return;
	}

	size_t n = strcspn(r->at, ",]} \n\t\r");

	if (n == 4 && strncmp(r->at, "true", 4) == 0)
		strbuf_addc(out, '1');
	else if (n == 5 && strncmp(r->at, "false", 5) == 0)
		strbuf_addc(out, '0');
	else if (n == 0)
		r->bad = true;
	else if (n != 4 || strncmp(r->at, "null", 4) != 0)
		strbuf_add(out, r->at, n);
	r->at += n;
}

static void read_value(struct reader *r, struct strbuf *out)
{
	if (!take(r, '[')) {
		read_scalar(r, out);
		return;
	}
	if (take(r, ']'))
		return;
	do {
		if (out->length)
			strbuf_addc(out, ' ');
		read_scalar(r, out);
	} while (!r->bad && take(r, ','));
	if (!take(r, ']'))
		r->bad = true;
}

static enum err_code unreadable(struct err *err)
{
	return err_set(err, ERR_INTERNAL, "before", "bad_history",
		       "A line of the history cannot be read.");
}

/* The id of the row that a reference names by its key. */
static enum err_code resolve_key(struct book *b, struct value *v, struct err *err)
{
	struct uuid key;
	struct key_row row;

	if (!uuid_read(v->text, &key))
		return unreadable(err);
	const enum err_code rc = store_find_key(b->store, &key, &row, err);
	if (rc)
		return rc == ERR_NOT_FOUND ? unreadable(err) : rc;
	*v = (struct value){ .type = VALUE_INT, .i = row.id };
	return ERR_NONE;
}

static enum err_code put_value(struct book *b, const char *name, const char *text, struct record *r,
			       struct arena *arena, struct err *err)
{
	const size_t i = kind_field_index(r->kind, name);

	/* A field that a later version of the program dropped. */
	if (i == SIZE_MAX)
		return ERR_NONE;

	const struct field *f = kind_field(r->kind, i);
	struct value v;
	enum err_code rc = field_read(f, text, '.', arena, &v, err);

	if (!rc && f->kind == KIND_REFERENCE && v.type == VALUE_TEXT)
		rc = resolve_key(b, &v, err);
	if (!rc)
		r->values[i] = v;
	return rc;
}

enum err_code before_read(struct book *b, const char *json, struct record *r, struct arena *arena,
			  struct err *err)
{
	struct reader reader = { .at = json };
	struct strbuf name, text;
	enum err_code rc = ERR_NONE;

	strbuf_init(&name);
	strbuf_init(&text);
	reader.bad = !take(&reader, '{');
	if (!reader.bad && take(&reader, '}'))
		goto out;
	do {
		strbuf_clear(&name);
		strbuf_clear(&text);
		if (!reader.bad)
			read_text(&reader, &name);
		if (!reader.bad && !take(&reader, ':'))
			reader.bad = true;
		if (!reader.bad)
			read_value(&reader, &text);
		if (!reader.bad)
			rc = put_value(b, name.text, text.text, r, arena, err);
	} while (!rc && !reader.bad && take(&reader, ','));
	if (!rc && (reader.bad || !take(&reader, '}')))
		rc = unreadable(err);
out:
	strbuf_release(&text);
	strbuf_release(&name);
	return rc;
}

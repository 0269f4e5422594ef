/* JSON text in the order of the calls: see json_out.h. */
#include "base/json_out.h"

#include <math.h>
#include <string.h>

#include "base/number.h"

void json_out_init(struct json_out *j, struct strbuf *to)
{
	j->to = to;
	j->comma = false;
}

static void begin_value(struct json_out *j)
{
	if (j->comma)
		strbuf_addc(j->to, ',');
	j->comma = true;
}

static void add_escape(struct strbuf *to, unsigned char c)
{
	static const char letters[] = "\"\"\\\\\bb\ff\nn\rr\tt";

	for (const char *p = letters; *p; p += 2)
		if ((unsigned char)*p == c) {
			strbuf_addc(to, '\\');
			strbuf_addc(to, p[1]);
			return;
		}
	strbuf_addf(to, "\\u%04x", c);
}

static bool is_plain(unsigned char c)
{
	return c >= 0x20 && c != '"' && c != '\\';
}

/* Text in quotes, with what is plain in it copied in runs. */
static void add_quoted(struct strbuf *to, const char *text)
{
	strbuf_addc(to, '"');
	for (const char *p = text;;) {
		const char *plain = p;

		while (*p && is_plain((unsigned char)*p))
			p++;
		strbuf_add(to, plain, (size_t)(p - plain));
		if (!*p)
			break;
		add_escape(to, (unsigned char)*p++);
	}
	strbuf_addc(to, '"');
}

void json_out_open(struct json_out *j, char bracket)
{
	begin_value(j);
	strbuf_addc(j->to, bracket);
	j->comma = false;
}

void json_out_close(struct json_out *j, char bracket)
{
	strbuf_addc(j->to, bracket);
	j->comma = true;
}

/* Most of a list's text is names, of letters and underscores: one request for room, one copy. */
void json_out_name(struct json_out *j, const char *name)
{
	const size_t n = strlen(name);
	char *p = strbuf_ask(j->to, n + 4), *begin = p;

	if (j->comma)
		*p++ = ',';
	*p++ = '"';
	p = stpcpy(p, name);
	*p++ = '"';
	*p++ = ':';
	strbuf_took(j->to, (size_t)(p - begin));
	j->comma = false;
}

void json_out_text(struct json_out *j, const char *text)
{
	if (!text) {
		json_out_null(j);
		return;
	}
	begin_value(j);
	add_quoted(j->to, text);
}

void json_out_int(struct json_out *j, int64_t value)
{
	char text[NUMBER_TEXT_MAX];

	begin_value(j);
	strbuf_add(j->to, text, number_write_int(text, value));
}

void json_out_real(struct json_out *j, double value)
{
	char text[NUMBER_TEXT_MAX];

	if (!isfinite(value)) {
		json_out_null(j);
		return;
	}
	begin_value(j);
	strbuf_add(j->to, text, number_write_real(text, value));
}

void json_out_bool(struct json_out *j, bool value)
{
	json_out_raw(j, value ? "true" : "false");
}

void json_out_null(struct json_out *j)
{
	json_out_raw(j, "null");
}

void json_out_raw(struct json_out *j, const char *json)
{
	begin_value(j);
	strbuf_adds(j->to, json);
}

void json_out_name_open(struct json_out *j, const char *name, char bracket)
{
	json_out_name(j, name);
	json_out_open(j, bracket);
}

void json_out_name_text(struct json_out *j, const char *name, const char *text)
{
	json_out_name(j, name);
	json_out_text(j, text);
}

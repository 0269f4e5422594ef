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

static void add_quoted(struct strbuf *to, const char *text)
{
	const char *plain = text;
	const char *p = text;

	strbuf_addc(to, '"');
	for (; *p; p++) {
		unsigned char c = (unsigned char)*p;

		if (c >= 0x20 && c != '"' && c != '\\')
			continue;
		strbuf_add(to, plain, (size_t)(p - plain));
		add_escape(to, c);
		plain = p + 1;
	}
	strbuf_add(to, plain, (size_t)(p - plain));
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

void json_out_name(struct json_out *j, const char *name)
{
	begin_value(j);
	add_quoted(j->to, name);
	strbuf_addc(j->to, ':');
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

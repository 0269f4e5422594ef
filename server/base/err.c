/* What went wrong: see err.h.  Text that does not fit is cut, and stays UTF-8. */
#include "base/err.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/utf8.h"

/* A message goes out as JSON, so what is not UTF-8 is left out: bytes that came in, or half a
 * character that a cut (at the room's end, or by %.60s within) left behind. */
static void keep_whole_characters(char *text)
{
	const char *end = text + strlen(text);
	char *to = text;

	for (const char *p = text; p < end;) {
		const size_t n = utf8_size(p, (size_t)(end - p));

		memmove(to, p, n);
		to += n;
		p += n ? n : 1;
	}
	*to = '\0';
}

static void put(char *out, size_t room, const char *format, va_list args)
{
	int n = vsnprintf(out, room, format, args);

	if (n < 0)
		out[0] = '\0';
	else
		keep_whole_characters(out);
}

static void copy(char *out, size_t room, const char *text)
{
	size_t n = strlen(text);
	size_t keep = n < room ? n : room - 1;

	memcpy(out, text, keep);
	out[keep] = '\0';
	keep_whole_characters(out);
}

void err_clear(struct err *err)
{
	err->code = ERR_NONE;
	err->n_items = 0;
	err->n_dropped = 0;
}

#undef err_set /* the analyzer's */
enum err_code err_set(struct err *err, enum err_code code, const char *field, const char *item_code,
		      const char *format, ...)
{
	if (!err)
		return code;
	if (err->code == ERR_NONE)
		err->code = code;
	if (err->n_items == ERR_ITEMS_MAX) {
		err->n_dropped++;
		return code;
	}

	struct err_item *item = &err->items[err->n_items++];
	va_list args;

	copy(item->field, sizeof(item->field), field ? field : "");
	copy(item->code, sizeof(item->code), item_code);
	item->n_args = 0;
	va_start(args, format);
	put(item->message, sizeof(item->message), format, args);
	va_end(args);
	return code;
}

void err_arg(struct err *err, const char *name, const char *format, ...)
{
	if (!err || err->n_items == 0 || err->n_dropped > 0)
		return;

	struct err_item *item = &err->items[err->n_items - 1];

	if (item->n_args == ERR_ARGS_MAX)
		return;

	struct err_arg *arg = &item->args[item->n_args++];
	va_list args;

	copy(arg->name, sizeof(arg->name), name);
	va_start(args, format);
	put(arg->text, sizeof(arg->text), format, args);
	va_end(args);
}

void err_append(struct err *err, const struct err *other)
{
	if (!err)
		return;
	if (err->code == ERR_NONE)
		err->code = other->code;
	for (size_t i = 0; i < other->n_items; i++) {
		if (err->n_items < ERR_ITEMS_MAX)
			err->items[err->n_items++] = other->items[i];
		else
			err->n_dropped++;
	}
	err->n_dropped += other->n_dropped;
}

bool err_has(const struct err *err, const char *item_code)
{
	for (size_t i = 0; i < err->n_items; i++)
		if (strcmp(err->items[i].code, item_code) == 0)
			return true;
	return false;
}

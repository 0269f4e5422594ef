/* What the C tests share: see support.h. */
#include "support.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

const char *err_text(const struct err *err)
{
	static char text[8000];
	size_t n = 0;

	text[0] = '\0';
	for (size_t i = 0; i < err->n_items && n < sizeof(text) - 1; i++)
		n += (size_t)snprintf(text + n, sizeof(text) - n, "%s%s %s: %s", i ? "; " : "",
				      err->items[i].field, err->items[i].code,
				      err->items[i].message);
	return text;
}

void check_failed(const char *condition, const char *format, ...)
{
	char text[500];
	va_list args;

	va_start(args, format);
	vsnprintf(text, sizeof(text), format, args);
	va_end(args);
	ck_abort_msg("%s: %s", condition, text);
}

const struct err_item *err_item_of(const struct err *err, const char *item_code)
{
	for (size_t i = 0; i < err->n_items; i++)
		if (strcmp(err->items[i].code, item_code) == 0)
			return &err->items[i];
	ck_abort_msg("no item %s in: %s", item_code, err_text(err));
	return NULL;
}

const char *err_arg_of(const struct err_item *item, const char *name)
{
	for (size_t i = 0; i < item->n_args; i++)
		if (strcmp(item->args[i].name, name) == 0)
			return item->args[i].text;
	ck_abort_msg("item %s has no argument %s", item->code, name);
	return NULL;
}

/* A linear congruence with a mixing step; good enough to pick cases. */
uint64_t chance_next(struct chance *c)
{
	uint64_t x;

	c->state = c->state * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
	x = c->state ^ c->state >> 29;
	return x * UINT64_C(0x9E3779B97F4A7C15) >> 7;
}

int64_t chance_between(struct chance *c, int64_t low, int64_t high)
{
	return low + (int64_t)(chance_next(c) % ((uint64_t)(high - low) + 1));
}

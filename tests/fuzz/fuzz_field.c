/*
 * Any text for any field of any kind: what is taken has a canonical form that reads back the same, and
 * passes the record's own check but for ranges.  The input's first line names the field ("feedings
 * amount_g"; any other bytes pick one too), a ',' at its end the decimal comma; what follows is the text.
 */
#include <string.h>

#include "fuzz.h"
#include "model/record.h"

static uint64_t hash(const char *text)
{
	uint64_t h = 1469598103934665603u;

	for (; *text; text++)
		h = (h ^ (unsigned char)*text) * 1099511628211u;
	return h;
}

/* The field that a line means.  line is taken apart. */
static const struct field *pick_field(char *line)
{
	uint64_t h = hash(line);
	char *space = strchr(line, ' ');
	const struct kind *k;
	size_t i;

	if (space)
		*space = '\0';
	k = kind_find(line);
	if (!k)
		k = kinds[h % kind_count()];
	i = kind_field_index(k, space ? space + 1 : "");
	return kind_field(k, i != SIZE_MAX ? i : (h >> 20) % kind_field_count(k));
}

static void want_canonical(const struct field *f, const struct value *v, struct arena *arena)
{
	struct value again;
	struct err err;

	err_clear(&err);
	fuzz_want(field_read(f, field_write(f, v, arena), '.', arena, &again, &err) == ERR_NONE);
	fuzz_want(value_equal(v, &again));
}

FUZZ_TARGET(field)
{
	struct arena arena;
	struct value v = { .type = VALUE_NONE };
	struct err err;
	char *line, *text;
	char decimal = '.';

	arena_init(&arena);
	err_clear(&err);
	line = arena_strndup(&arena, (const char *)data, size);
	text = line + strcspn(line, "\n");
	if (*text)
		*text++ = '\0';
	if (*line && line[strlen(line) - 1] == ',') {
		line[strlen(line) - 1] = '\0';
		decimal = ',';
	}

	const struct field *f = pick_field(line);
	enum err_code rc = field_read(f, text, decimal, &arena, &v, &err);

	fuzz_want(rc == ERR_NONE || rc == ERR_INPUT);
	fuzz_want((rc == ERR_INPUT) == (err.n_items == 1));
	fuzz_want(rc == ERR_NONE || strcmp(err.items[0].field, f->name) == 0);
	if (rc == ERR_NONE)
		want_canonical(f, &v, &arena);
	arena_release(&arena);
	return 0;
}

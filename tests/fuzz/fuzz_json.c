/*
 * Any body for any kind: what is taken as an entry is written as JSON that is taken again as the same entry,
 * and what is refused is told in problem details that are JSON themselves.  The input's first line names the
 * kind ("feedings"; other bytes pick one) and the use: a '~' before it a patch, a '!' a strike.
 * libFuzzer needs server/api, book and store beside base and model.
 */
#include <string.h>

#include "api/entry_in.h"
#include "api/json_in.h"
#include "api/json_record.h"
#include "api/response.h"
#include "fuzz.h"

static int pick_use(const char **line)
{
	const int use = **line == '~' ? USE_PATCH : **line == '!' ? USE_ACT : USE_CREATE;

	*line += use != USE_CREATE;
	return use;
}

static const struct kind *pick_kind(const char *line)
{
	const struct kind *k = kind_find(line);
	size_t sum = 0;

	for (; !k && *line; line++)
		sum += (unsigned char)*line;
	return k ? k : kinds[sum % kind_count()];
}

static void want_json(const struct strbuf *text)
{
	struct json_t *read = NULL;
	struct err err;

	err_clear(&err);
	fuzz_want(json_in_read(text->text, text->length, &read, &err) == ERR_NONE);
	json_in_free(read);
}

static void want_told(const struct err *err)
{
	struct strbuf text;
	struct json_out j;

	fuzz_want(err->code == ERR_MALFORMED || err->code == ERR_INPUT);
	fuzz_want(err->n_items > 0);
	strbuf_init(&text);
	json_out_init(&j, &text);
	problem_write(&j, err, NULL);
	want_json(&text);
	strbuf_release(&text);
}

/* id and version are members beside the fields of a batch's entry. */
static void want_same_again(const struct entry_in *in, struct arena *arena)
{
	const struct kind *k = in->values->kind;
	struct json_t *object = NULL;
	struct entry_in again;
	struct strbuf text;
	struct json_out j;
	struct err err;

	err_clear(&err);
	strbuf_init(&text);
	json_out_init(&j, &text);
	json_record_write(&j, in->values, NULL);
	fuzz_want(json_in_read(text.text, text.length, &object, &err) == ERR_NONE);
	fuzz_want(entry_in_read(object, k, USE_CREATE | USE_BATCH, arena, &again, &err) ==
		  ERR_NONE);
	for (size_t i = 0; i < kind_field_count(k); i++)
		fuzz_want(value_equal(&in->values->values[i], &again.values->values[i]));
	fuzz_want(!uuid_compare(&in->values->key, &again.values->key));
	json_in_free(object);
	strbuf_release(&text);
}

FUZZ_TARGET(json)
{
	const char *body = memchr(data, '\n', size);
	const size_t first = body ? (size_t)(body - (const char *)data) : size;
	struct json_t *object = NULL;
	struct entry_in in;
	struct arena arena;
	const char *line;
	struct err err;
	int use;

	arena_init(&arena);
	err_clear(&err);
	line = arena_strndup(&arena, (const char *)data, first);
	use = pick_use(&line);
	if (json_in_read(body ? body + 1 : "", body ? size - first - 1 : 0, &object, &err) ||
	    entry_in_read(object, pick_kind(line), use, &arena, &in, &err))
		want_told(&err);
	else
		want_same_again(&in, &arena);
	json_in_free(object);
	arena_release(&arena);
	return 0;
}

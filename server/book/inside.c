/* See inside.h; book_forget is book.c's. */
#include "book/inside.h"

#include <string.h>

#include "model/kinds.h"
#include "store/record.h"

bool kind_has_time(const struct kind *k)
{
	return k->class == CLASS_ENTRY && !k->is_line;
}

bool kind_answers_to(const struct kind *k, const char *target)
{
	return strcmp(k->name, target) == 0 || (k->is_place && strcmp(target, "places") == 0);
}

enum err_code check_sort(const struct record *row, struct err *err)
{
	const char *sort = row->kind == &places_kind ? record_text(row, "sort") : NULL;

	if (!sort || strcmp(sort, places_kind.table) == 0)
		return ERR_NONE;
	for (size_t i = 0; kinds[i]; i++) {
		if (strcmp(kinds[i]->table, sort) != 0)
			continue;
		err_set(err, ERR_INPUT, "", "wrong_kind", "This is one of %s; change it there.",
			kinds[i]->name);
		err_arg(err, "kind", "%s", kinds[i]->name);
		return ERR_INPUT;
	}
	return err_set(err, ERR_INTERNAL, "sort", "no_such_sort",
		       "No kind of place has its rows in %s.", sort);
}

enum err_code book_referred(struct book *b, const struct field *f, int64_t id, struct arena *arena,
			    struct record **out, struct err *err)
{
	return store_get(b->store, kind_find(f->refers_to), id, arena, out, err);
}

enum err_code book_referred_key(struct book *b, const struct field *f, int64_t id,
				struct arena *arena, const char **out, struct err *err)
{
	struct record *row;
	enum err_code rc = book_referred(b, f, id, arena, &row, err);

	if (!rc)
		*out = book_key_text(arena, &row->key);
	return rc;
}

const char *book_key_text(struct arena *arena, const struct uuid *key)
{
	char text[UUID_TEXT_MAX];

	uuid_write(text, key);
	return arena_strdup(arena, text);
}

const char *book_day_text(struct arena *arena, int64_t day)
{
	char text[TIME_TEXT_MAX];

	day_write(text, day);
	return arena_strdup(arena, text);
}

const char *book_label(struct book *b, const char *kind_name, int64_t id, struct arena *arena)
{
	const char *label = store_label(b->store, kind_find(kind_name), id);

	return label ? arena_strdup(arena, label) : "?";
}

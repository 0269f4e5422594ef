/* Names for harvest totals.  See harvest_names.h. */
#include "book/harvest_names.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

static int by_id(const void *a, const void *b)
{
	int64_t x = ((const struct harvest_name *)a)->id, y = ((const struct harvest_name *)b)->id;

	return (x > y) - (x < y);
}

enum err_code harvest_name_list_read(struct book *b, enum query query, struct arena *arena,
				     struct harvest_name_list *out, struct err *err)
{
	struct harvest_name_list list = { 0 };
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(book_store(b), query, &q, err);

	while (!rc && !(rc = stmt_row(q, err))) {
		list.names = arena_grow(arena, list.names, list.n, &room, sizeof(*list.names));
		list.names[list.n++] = (struct harvest_name){ .id = stmt_int(q, 0),
							      .text = stmt_text_kept(q, 1, arena),
							      .belongs_to = stmt_int(q, 2),
							      .piece_g = stmt_real(q, 3) };
	}
	stmt_done(q);
	if (rc != ERR_NOT_FOUND)
		return rc;
	if (list.n)
		qsort(list.names, list.n, sizeof(*list.names), by_id);
	*out = list;
	return ERR_NONE;
}

enum err_code harvest_names_read(struct book *b, struct arena *arena, struct harvest_names *out,
				 struct err *err)
{
	const struct {
		enum query query;
		struct harvest_name_list *list;
	} lists[] = {
		{ Q_HARVEST_CROP_LOTS, &out->crop_lots }, { Q_HARVEST_VARIETIES, &out->varieties },
		{ Q_HARVEST_CROPS, &out->crops },         { Q_HARVEST_FISH_LOTS, &out->fish_lots },
		{ Q_HARVEST_SPECIES, &out->species },     { Q_HARVEST_PLACES, &out->places },
	};
	enum err_code rc = ERR_NONE;

	memset(out, 0, sizeof(*out));
	for (size_t i = 0; i < sizeof(lists) / sizeof(lists[0]) && !rc; i++)
		rc = harvest_name_list_read(b, lists[i].query, arena, lists[i].list, err);
	return rc;
}

const struct harvest_name *harvest_name_of(const struct harvest_name_list *list, int64_t id)
{
	const struct harvest_name key = { .id = id };

	return list->n ? bsearch(&key, list->names, list->n, sizeof(key), by_id) : NULL;
}

const struct harvest_name *harvest_name_find(const struct harvest_name_list *list, const char *text)
{
	for (size_t i = 0; i < list->n; i++)
		if (list->names[i].text && strcasecmp(list->names[i].text, text) == 0)
			return &list->names[i];
	return NULL;
}

/* Which rows refer to which, by walking the dictionary. */
#include "book/references.h"

#include <string.h>

#include "book/inside.h"
#include "store/record.h"

struct rows {
	struct record **row;
	size_t n, room;
	struct arena *arena;
};

static void rows_add(struct rows *rows, struct record *r)
{
	rows->row = arena_grow(rows->arena, rows->row, rows->n, &rows->room, sizeof(*rows->row));
	rows->row[rows->n++] = r;
}

static bool rows_have(const struct rows *rows, const struct kind *k, int64_t id)
{
	for (size_t i = 0; i < rows->n; i++)
		if (rows->row[i]->kind == k && rows->row[i]->id == id)
			return true;
	return false;
}

static bool in_needed_choice(const struct kind *k, const char *field)
{
	for (const struct choice_of *c = k->choices; c && c->fields[0]; c++) {
		if (c->min < 1)
			continue;
		for (size_t i = 0; i < sizeof(c->fields) / sizeof(c->fields[0]) && c->fields[i];
		     i++)
			if (strcmp(c->fields[i], field) == 0)
				return true;
	}
	return false;
}

/* Whether a row cannot stand without what this field of it refers to. */
static bool leans(const struct kind *k, const struct field *f)
{
	return f->required || in_needed_choice(k, f->name);
}

/* Adds the rows of kind k, not struck, whose field f is this id. */
static enum err_code find_rows(struct book *b, const struct kind *k, const struct field *f,
			       int64_t id, struct rows *out, struct err *err)
{
	const struct list_filter filter = { .field = f, .equals = { .type = VALUE_INT, .i = id } };
	const struct list_query q = { .kind = k,
				      .filters = &filter,
				      .n_filters = 1,
				      .from_day = INT64_MIN,
				      .to_day = INT64_MAX };
	struct record_list *list = NULL;
	const struct record *row;
	struct rows ids = { .arena = out->arena };
	enum err_code rc = record_list_open(b->store, &q, &list, err);

	if (rc)
		return rc;
	while (!(rc = record_list_next(list, &row, err))) {
		struct record *name = record_new(k, out->arena);

		name->id = row->id;
		if (!rows_have(out, k, row->id))
			rows_add(&ids, name);
	}
	record_list_close(list);
	if (rc != ERR_NOT_FOUND)
		return rc;
	rc = ERR_NONE;
	/* Whole rows with texts that last, once the list is closed. */
	for (size_t i = 0; !rc && i < ids.n; i++) {
		struct record *whole;

		rc = store_get(b->store, k, ids.row[i]->id, out->arena, &whole, err);
		if (!rc)
			rows_add(out, whole);
	}
	return rc;
}

/* Adds all rows that refer to `to`; leaning: only those that cannot stand without it. */
static enum err_code find_referring(struct book *b, const struct record *to, bool leaning,
				    struct rows *out, struct err *err)
{
	for (size_t k = 0; kinds[k]; k++) {
		if (kinds[k]->class == CLASS_SYSTEM)
			continue;
		for (size_t i = 0; i < kind_field_count(kinds[k]); i++) {
			const struct field *f = kind_field(kinds[k], i);

			if (f->kind != KIND_REFERENCE || !kind_answers_to(to->kind, f->refers_to))
				continue;
			if (leaning && !leans(kinds[k], f))
				continue;

			enum err_code rc = find_rows(b, kinds[k], f, to->id, out, err);

			if (rc)
				return rc;
		}
	}
	return ERR_NONE;
}

enum err_code references_gather(struct book *b, struct record *row, struct arena *arena,
				struct record ***rows, size_t *n, struct err *err)
{
	struct rows all = { .arena = arena };

	rows_add(&all, row);
	for (size_t i = 0; i < all.n; i++) {
		enum err_code rc = find_referring(b, all.row[i], true, &all, err);

		if (rc)
			return rc;
	}
	*rows = all.row;
	*n = all.n;
	return ERR_NONE;
}

enum err_code references_none(struct book *b, const struct record *row, struct arena *arena,
			      struct err *err)
{
	struct rows all = { .arena = arena };
	enum err_code rc = find_referring(b, row, false, &all, err);

	if (rc || !all.n)
		return rc;
	for (size_t k = 0; kinds[k]; k++) {
		size_t count = 0;

		for (size_t i = 0; i < all.n; i++)
			count += all.row[i]->kind == kinds[k];
		if (!count)
			continue;
		err_set(err, ERR_CONFLICT, "", "still_used",
			"%zu of %s still refer to this. Retire it from a day on instead.", count,
			kinds[k]->name);
		err_arg(err, "kind", "%s", kinds[k]->name);
		err_arg(err, "count", "%zu", count);
	}
	return ERR_CONFLICT;
}

enum err_code references_stand(struct book *b, const struct record *row, struct record *const *rows,
			       size_t n, struct arena *arena, struct err *err)
{
	const struct rows act = { .row = (struct record **)rows, .n = n };

	for (size_t i = 0; i < kind_field_count(row->kind); i++) {
		const struct field *f = kind_field(row->kind, i);
		struct record *to;

		if (f->kind != KIND_REFERENCE || row->values[i].type != VALUE_INT ||
		    !leans(row->kind, f))
			continue;

		enum err_code rc = book_referred(b, f, row->values[i].i, arena, &to, err);

		if (rc)
			return rc;
		if (!record_has(to, "struck_at") || rows_have(&act, to->kind, to->id))
			continue;
		err_set(err, ERR_CONFLICT, f->name, "refers_to_struck",
			"What this refers to is struck out. Restore that first.");
		err_arg(err, "kind", "%s", to->kind->name);
		err_arg(err, "label", "%s", book_label(b, to->kind->name, to->id, arena));
		return ERR_CONFLICT;
	}
	return ERR_NONE;
}

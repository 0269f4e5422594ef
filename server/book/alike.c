/* Entries that two people may have made of one event: rule 7 of docs/rules.md.  Nothing of it is
 * stored. */
#include <string.h>

#include "book/book.h"
#include "book/inside.h"
#include "store/record.h"

enum { ALIKE_S = 900 }; /* within 15 minutes */

/* What happened where and how much: references and numbers, but for who and why. */
static bool counts(const struct kind *k, size_t i)
{
	if (i >= k->n_fields)
		return false;
	/* Of two that fed one slot only the first keeps it (rule 7): so it cannot tell them
	 * apart. */
	if (strcmp(k->fields[i].name, "slot") == 0)
		return false;
	switch (k->fields[i].kind) {
	case KIND_REFERENCE:
	case KIND_INTEGER:
	case KIND_REAL:
	case KIND_NUMBERS:
		return true;
	default:
		return false;
	}
}

static bool same_content(const struct record *a, const struct record *c)
{
	for (size_t i = 0; i < a->kind->n_fields; i++)
		if (counts(a->kind, i) && !value_equal(&a->values[i], &c->values[i]))
			return false;
	return true;
}

static bool by_another(const struct record *a, const struct record *c)
{
	int64_t one = record_int(a, "staff_id", 0), other = record_int(c, "staff_id", 0);

	return one && other && one != other;
}

/* The rows of the last 15 minutes before the one that is read. */
struct window {
	struct record **row;
	size_t first, n, room;
	struct arena *arena;
};

/* A copy whose texts last. */
static struct record *keep(const struct record *r, struct arena *arena)
{
	struct record *copy = record_copy(r, arena);

	for (size_t i = 0; i < kind_field_count(r->kind); i++)
		if (copy->values[i].type == VALUE_TEXT)
			copy->values[i].text = arena_strdup(arena, copy->values[i].text);
	return copy;
}

static void window_add(struct window *w, struct record *r)
{
	while (w->first < w->n && w->row[w->first]->instant < r->instant - ALIKE_S)
		w->first++;
	w->row = arena_grow(w->arena, w->row, w->n, &w->room, sizeof(*w->row));
	w->row[w->n++] = r;
}

/* Pairs the newest row with those of the window that are alike. */
static void add_pairs(const struct window *w, struct alike **out, size_t *n, size_t *room)
{
	const struct record *newest = w->row[w->n - 1];

	for (size_t i = w->first; i + 1 < w->n; i++) {
		if (!by_another(w->row[i], newest) || !same_content(w->row[i], newest))
			continue;
		*out = arena_grow(w->arena, *out, *n, room, sizeof(**out));
		(*out)[(*n)++] = (struct alike){ .id = w->row[i]->id, .later_id = newest->id };
	}
}

enum err_code book_alike(struct book *b, const struct kind *k, int64_t from_day, int64_t to_day,
			 struct arena *arena, struct alike **out, size_t *n, struct err *err)
{
	const struct list_query q = { .kind = k, .from_day = from_day, .to_day = to_day };
	struct window w = { .arena = arena };
	struct record_list *list = NULL;
	const struct record *row;
	size_t room = 0;

	*out = NULL;
	*n = 0;
	if (!kind_has_time(k))
		return ERR_NONE;

	enum err_code rc = record_list_open(b->store, &q, &list, err);

	if (rc)
		return rc;
	while (!(rc = record_list_next(list, &row, err))) {
		/* By day alone nobody said when. */
		if (!record_has(row, "at"))
			continue;
		window_add(&w, keep(row, arena));
		add_pairs(&w, out, n, &room);
	}
	record_list_close(list);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

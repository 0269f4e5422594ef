/* Days and instants after the zone or the day's begin has changed, and whether all that is kept
 * agrees. */
#include <stdio.h>

#include "book/book.h"
#include "book/crop_ends.h"
#include "book/inside.h"
#include "book/ledger.h"
#include "book/readings.h"
#include "book/rules.h"
#include "book/times.h"
#include "store/record.h"

/* Ids of rows, grown as they come. */
struct ids {
	int64_t *id;
	size_t n, room;
	struct arena *arena;
};

static void ids_add(struct ids *ids, int64_t id)
{
	ids->id = arena_grow(ids->arena, ids->id, ids->n, &ids->room, sizeof(*ids->id));
	ids->id[ids->n++] = id;
}

static enum err_code open_all(struct book *b, const struct kind *k, struct record_list **out,
			      struct err *err)
{
	const struct list_query q = {
		.kind = k, .all = true, .from_day = INT64_MIN, .to_day = INT64_MAX
	};

	return record_list_open(b->store, &q, out, err);
}

/* The rows of a kind whose day or instant is not what it should be. */
static enum err_code find_moved(struct book *b, const struct kind *k, struct ids *out,
				struct err *err)
{
	struct record_list *list = NULL;
	const struct record *row;
	struct arena arena;
	enum err_code rc = open_all(b, k, &list, err);

	if (rc)
		return rc;
	arena_init(&arena);
	while (!(rc = record_list_next(list, &row, err))) {
		arena_reset(&arena);
		if (times_restand(b, record_copy(row, &arena)))
			ids_add(out, row->id);
	}
	record_list_close(list);
	arena_release(&arena);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

static enum err_code restand_kind(struct book *b, const struct kind *k, struct err *err)
{
	struct arena arena, one;
	struct ids moved = { .arena = &arena };
	enum err_code rc;

	arena_init(&arena);
	arena_init(&one);
	rc = find_moved(b, k, &moved, err);
	/* The version stays: nobody changed the entry. */
	for (size_t i = 0; !rc && i < moved.n; i++) {
		struct record *row;

		arena_reset(&one);
		rc = store_get(b->store, k, moved.id[i], &one, &row, err);
		if (rc)
			break;
		times_restand(b, row);
		rc = store_update(b->store, row, err);
	}
	arena_release(&one);
	arena_release(&arena);
	return rc;
}

enum err_code book_rebuild(struct book *b, struct err *err)
{
	for (size_t i = 0; kinds[i]; i++) {
		if (!kind_has_time(kinds[i]))
			continue;

		enum err_code rc = restand_kind(b, kinds[i], err);

		if (rc)
			return rc;
	}
	const enum err_code rc = ledger_rebuild(b, err);

	return rc ? rc : readings_rebuild(b, err);
}

struct finder {
	void (*found)(const char *text, void *with);
	void *with;
};

static void tell(const struct finder *f, const struct record *row, const char *text)
{
	char key[UUID_TEXT_MAX], line[512];

	uuid_write(key, &row->key);
	snprintf(line, sizeof(line), "%s %s: %s", row->kind->name, key, text);
	f->found(line, f->with);
}

static void tell_items(const struct finder *f, const struct record *row, const struct err *err)
{
	char text[400];

	for (size_t i = 0; i < err->n_items; i++) {
		snprintf(text, sizeof(text), "%s: %s", err->items[i].field, err->items[i].message);
		tell(f, row, text);
	}
}

/* What was true when the entry was kept must be true still; slips and questions were answered
 * then. */
static void check_row(struct book *b, const struct record *row, const struct finder *f,
		      struct arena *arena)
{
	const struct hand hand = { .arrival = ARRIVES_IMPORTED };
	struct record *copy = record_copy(row, arena);
	struct err err;

	err_clear(&err);
	if (record_check(copy, arena, &err) ||
	    rules_judge(b, copy, row, &hand, RULES_CHECKS, arena, &err))
		tell_items(f, row, &err);
	if (times_restand(b, record_copy(row, arena)))
		tell(f, row, "its day or place in the ledger is out of date; run rebuild");
}

static enum err_code check_kind(struct book *b, const struct kind *k, const struct finder *f,
				struct err *err)
{
	struct arena arena, one;
	struct ids all = { .arena = &arena };
	struct record_list *list = NULL;
	const struct record *row;
	enum err_code rc = open_all(b, k, &list, err);

	if (rc)
		return rc;
	arena_init(&arena);
	arena_init(&one);
	while (!(rc = record_list_next(list, &row, err)))
		ids_add(&all, row->id);
	record_list_close(list);
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
	for (size_t i = 0; !rc && i < all.n; i++) {
		struct record *whole;

		arena_reset(&one);
		rc = store_get(b->store, k, all.id[i], &one, &whole, err);
		if (!rc)
			check_row(b, whole, f, &one);
	}
	arena_release(&one);
	arena_release(&arena);
	return rc;
}

enum err_code book_check(struct book *b, void (*found)(const char *text, void *with), void *with,
			 struct err *err)
{
	const struct finder f = { found, with };

	for (size_t i = 0; kinds[i]; i++) {
		if (kinds[i]->class == CLASS_SYSTEM)
			continue;

		enum err_code rc = check_kind(b, kinds[i], &f, err);

		if (rc)
			return rc;
	}

	enum err_code rc = ledger_check(b, found, with, err);

	if (!rc)
		rc = crop_ends_check(b, found, with, err);
	return rc ? rc : readings_check_sums(b, found, with, err);
}

/* See import_keep.h. */
#include "book/import_keep.h"

#include <string.h>

#include "book/before.h"
#include "book/inside.h"
#include "book/repeat.h"
#include "book/rules.h"
#include "model/kinds.h"
#include "store/record.h"

/* A row without a key gets one from what it says. */
static void give_key(const struct import_keeper *k, const struct import_head *head,
		     struct occurrences *seen, struct record *r, const struct csv_row *row)
{
	size_t length = 0;

	if (!uuid_is_zero(&r->key))
		return;
	const char *identity = import_row_identity(head, r, row, k->row_arena, &length);
	const uint32_t before = occurrences_before(seen, identity, length);
	const char *whole = arena_printf(k->row_arena, "%s\x1d%u", identity, before);
	r->key = uuid_v8(whole, strlen(whole));
}

static bool has_label(const struct kind *k)
{
	for (size_t i = 0; i < k->n_fields; i++)
		if (k->fields[i].kind == KIND_CODE || k->fields[i].kind == KIND_NAME)
			return k->class == CLASS_SET_UP || k->class == CLASS_LOT;
	return k == &farm_kind;
}

/* What a line of history must be, so that it can be read when an entry comes again. */
static enum err_code check_change(struct import_keeper *k, const struct record *r, struct err *err)
{
	const char *of_kind = record_text(r, "of_kind"), *before = record_text(r, "before");
	const struct kind *of = kind_find(of_kind);
	struct err unread;

	if (!of) {
		err_set(err, ERR_INPUT, "of_kind", "unknown_kind",
			"There is no such kind of record.");
		err_arg(err, "given", "%s", of_kind);
		return ERR_INPUT;
	}
	err_clear(&unread);
	if (before &&
	    before_read(k->b, before, record_new(of, k->row_arena), k->row_arena, &unread) &&
	    unread.n_items) /* none: it names a row that is not here */
		return err_set(err, ERR_INPUT, "before", "bad_history",
			       "This is no line of history as an export writes it.");
	return ERR_NONE;
}

/* Changes came about elsewhere: they are taken as they stand. */
static enum err_code keep_change(struct import_keeper *k, struct record *r, bool *repeat,
				 struct err *err)
{
	static const uint8_t no_fingerprint[FINGERPRINT_SIZE];
	struct key_row there;
	enum err_code rc = record_check(r, k->row_arena, err);

	if (!rc)
		rc = check_change(k, r, err);
	if (rc)
		return rc;
	rc = store_find_key(book_store(k->b), &r->key, &there, err);
	if (!rc && there.kind != r->kind) {
		err_set(err, ERR_INPUT, "key", "key_used",
			"This key belongs to something else. A line of history has a key of its "
			"own.");
		err_arg(err, "kind", "%s", there.kind->name);
		return ERR_INPUT;
	}
	*repeat = !rc;
	if (rc != ERR_NOT_FOUND)
		return rc;
	r->version = r->version < 1 ? 1 : r->version;
	return store_insert(book_store(k->b), r, no_fingerprint, err);
}

/* A set-up row without a key may be there under its code or name. */
static enum err_code find_named(struct import_keeper *k, struct record *r, struct err *err)
{
	struct record *there;
	const enum err_code rc = record_check(r, k->row_arena, err);

	return rc ? rc : repeat_find_named(k->b, r, k->row_arena, &there, err);
}

static struct hand hand_of(const struct import_keeper *k)
{
	return (struct hand){ .arrival = ARRIVES_IMPORTED, .now = k->now };
}

static enum err_code look_over(struct import_keeper *k, struct record *r, struct err *err)
{
	const struct hand hand = hand_of(k);
	bool looks = false;
	const enum err_code rc = book_look_over(k->b, r, &hand, k->row_arena, &looks, err);

	k->looks += looks;
	return rc;
}

/* An exported record was judged when it was made, and its marks come with it. */
static enum err_code judge_entry(struct import_keeper *k, const struct record *given,
				 struct record *kept, struct err *err)
{
	if (record_has(given, "received_at")) {
		k->looks += record_has(kept, "look");
		return ERR_NONE;
	}
	if (!rules_need_all_rows(kept))
		return look_over(k, kept, err);
	k->unjudged = arena_grow(k->arena, k->unjudged, k->n_unjudged, &k->unjudged_room,
				 sizeof(*k->unjudged));
	k->unjudged[k->n_unjudged++] = (struct unjudged_row){ .kind = kept->kind, .id = kept->id };
	return ERR_NONE;
}

enum err_code import_keep_end(struct import_keeper *k, struct err *err)
{
	enum err_code rc = ERR_NONE;

	for (size_t i = 0; !rc && i < k->n_unjudged; i++) {
		struct record *r;

		arena_reset(k->row_arena);
		rc = store_get(book_store(k->b), k->unjudged[i].kind, k->unjudged[i].id,
			       k->row_arena, &r, err);
		if (!rc)
			rc = look_over(k, r, err);
	}
	return rc;
}

enum err_code import_keep(struct import_keeper *k, const struct import_head *head,
			  struct occurrences *seen, struct record *r, const struct csv_row *row,
			  bool *repeat, struct err *err)
{
	const struct hand hand = hand_of(k);
	struct record *kept = NULL;
	enum err_code rc;

	if (r->kind == &changes_kind) {
		give_key(k, head, seen, r, row);
		return keep_change(k, r, repeat, err);
	}
	if (uuid_is_zero(&r->key) && has_label(r->kind)) {
		rc = find_named(k, r, err);
		*repeat = !rc;
		if (rc != ERR_NOT_FOUND)
			return rc;
	}
	give_key(k, head, seen, r, row);
	rc = book_create(k->b, r, &hand, k->row_arena, &kept, repeat, err);
	if (!rc && !*repeat && kind_has_time(r->kind))
		rc = judge_entry(k, r, kept, err);
	return rc;
}

/* A new row of any kind. */
#include <string.h>

#include "book/book.h"
#include "book/closing.h"
#include "book/inside.h"
#include "book/ledger.h"
#include "book/repeat.h"
#include "book/rules.h"
#include "book/shortage.h"
#include "book/times.h"
#include "book/withdrawal.h"
#include "model/kinds.h"
#include "store/record.h"

/* Only an import brings what the server sets. */
static void drop_server_set(struct record *r, const struct hand *hand)
{
	if (hand->arrival == ARRIVES_IMPORTED)
		return;
	for (size_t i = 0; i < kind_field_count(r->kind); i++)
		if (kind_field(r->kind, i)->server_set)
			r->values[i].type = VALUE_NONE;
	r->version = 1;
}

static enum err_code check_key(const struct record *r, const struct hand *hand, struct err *err)
{
	if (uuid_is_zero(&r->key) || hand->arrival == ARRIVES_IMPORTED || uuid_is_client(&r->key))
		return ERR_NONE;
	return err_set(err, ERR_INPUT, "key", "bad_key",
		       "A key is a UUID of version 4 or 7 (RFC 9562).");
}

/* The person who is signed in, where the entry does not say who. */
static void set_staff(struct record *r, const struct hand *hand)
{
	if (kind_has_time(r->kind) && hand->staff_id && !record_has(r, "staff_id"))
		record_set_int(r, "staff_id", hand->staff_id);
}

static bool is_named_kind(const struct kind *k)
{
	return k->class == CLASS_SET_UP || k->class == CLASS_LOT || k == &farm_kind;
}

/* ERR_NOT_FOUND: it is new. */
static enum err_code find_repeat(struct book *b, const struct record *r,
				 const uint8_t fingerprint[FINGERPRINT_SIZE], struct arena *arena,
				 struct record **kept, struct err *err)
{
	if (!uuid_is_zero(&r->key) && r->kind != &farm_kind)
		return repeat_find(b, r, fingerprint, arena, kept, err);
	if (is_named_kind(r->kind))
		return repeat_find_named(b, r, arena, kept, err);
	return ERR_NOT_FOUND;
}

/* The farm itself can never be struck out. */
static bool is_struck(const struct record *r)
{
	return r->kind->class != CLASS_SYSTEM && record_has(r, "struck_at");
}

/* The farm's one row is there from the start, with a key of its own. */
static enum err_code set_up_farm(struct book *b, struct record *r, struct err *err)
{
	r->id = FARM_ID;
	if (r->version < 2)
		r->version = 2;
	return store_update(b->store, r, err);
}

/* Inserts the row and lets the ledger judge and note it. */
static enum err_code write(struct book *b, struct record *r,
			   const uint8_t fingerprint[FINGERPRINT_SIZE], const struct hand *hand,
			   struct arena *arena, struct err *err)
{
	struct shortage before, after;
	bool gap = false;
	enum err_code rc = shortage_take(b, NULL, r, hand, arena, &before, err);

	if (!rc)
		rc = r->kind == &farm_kind ? set_up_farm(b, r, err)
					   : store_insert(b->store, r, fingerprint, err);
	if (!rc)
		rc = shortage_take(b, NULL, r, hand, arena, &after, err);
	if (!rc)
		rc = shortage_judge(&before, &after, hand, arena, &gap, err);
	if (!rc && gap) {
		rules_mark(r, "more_than_there", arena);
		rc = store_update(b->store, r, err);
	}
	if (r->kind == &farm_kind)
		book_forget(b);
	/* A row that is imported struck out counts for nothing. */
	if (!rc && !is_struck(r))
		rc = ledger_note_change(b, r->kind, NULL, r, err);
	return rc ? rc : times_note_received(b, hand, err);
}

static enum err_code make(struct book *b, struct record *r,
			  const uint8_t fingerprint[FINGERPRINT_SIZE], const struct hand *hand,
			  struct arena *arena, struct err *err)
{
	enum err_code rc;

	if (uuid_is_zero(&r->key))
		r->key = uuid_v7(hand->now * 1000);
	if (r->version < 1)
		r->version = 1;
	times_set_received(r, hand);
	set_staff(r, hand);
	rc = times_set(b, r, hand, err);
	if (!rc)
		rc = rules_judge(b, r, NULL, hand, is_struck(r) ? RULES_CHECKS : RULES_ALL, arena,
				 err);
	if (!rc)
		rc = write(b, r, fingerprint, hand, arena, err);
	if (!rc && !is_struck(r))
		rc = withdrawal_follow(b, r, hand, arena, err);
	/* A record that is imported brings its own lines. */
	if (!rc && r->kind == &closings_kind && hand->arrival != ARRIVES_IMPORTED)
		rc = closing_keep(b, r, hand, arena, err);
	return rc;
}

enum err_code book_create(struct book *b, const struct record *r, const struct hand *hand,
			  struct arena *arena, struct record **kept, bool *repeat, struct err *err)
{
	uint8_t fingerprint[FINGERPRINT_SIZE];
	struct record *row = record_copy(r, arena);
	struct record *there = NULL;

	if (row->kind->class == CLASS_SYSTEM && row->kind != &farm_kind)
		return err_set(err, ERR_INPUT, "", "not_made_so",
			       "%s are kept by the service itself.", row->kind->name);
	drop_server_set(row, hand);

	enum err_code rc = check_key(row, hand, err);
	enum err_code checked = record_check(row, arena, err);

	if (rc || checked)
		return rc ? rc : checked;
	repeat_fingerprint(row, fingerprint);
	rc = find_repeat(b, row, fingerprint, arena, &there, err);
	if (!rc) {
		*kept = there;
		*repeat = true;
		return ERR_NONE;
	}
	if (rc != ERR_NOT_FOUND)
		return rc;
	rc = make(b, row, fingerprint, hand, arena, err);
	if (rc)
		return rc;
	*kept = row;
	*repeat = false;
	/* As it stands in its table: a place's sort, the farm's key.  An import does not look. */
	if (hand->arrival == ARRIVES_IMPORTED)
		return ERR_NONE;
	return store_get(b->store, row->kind, row->id, arena, kept, err);
}

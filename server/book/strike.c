/* Striking a row out with what refers to it, and bringing the act back. */
#include "book/book.h"
#include "book/history.h"
#include "book/inside.h"
#include "book/ledger.h"
#include "book/references.h"
#include "book/rules.h"
#include "book/shortage.h"
#include "book/withdrawal.h"
#include "store/record.h"

/* The rows of one act, with what they touch before it. */
struct act {
	struct uuid id;
	struct record **rows;
	size_t n;
	struct shortage was;
};

static enum err_code take_shortages(struct book *b, const struct act *act, const struct hand *hand,
				    struct arena *arena, struct shortage *out, struct err *err)
{
	enum err_code rc = ERR_NONE;

	*out = (struct shortage){ 0 };
	for (size_t i = 0; !rc && i < act->n; i++)
		rc = shortage_add(b, act->rows[i], hand, arena, out, err);
	return rc;
}

static enum err_code strike_row(struct book *b, const struct record *before, const struct act *act,
				const struct hand *hand, struct arena *arena, struct err *err)
{
	struct record *after = record_copy(before, arena);

	record_set_int(after, "struck_at", hand->now);
	if (hand->why && hand->why[0])
		record_set_text(after, "struck_why", hand->why);
	else
		record_clear(after, "struck_why");
	after->version++;

	enum err_code rc = store_update(b->store, after, err);

	if (!rc)
		rc = history_note(b, before, after, HISTORY_STRIKE, &act->id, hand, err);
	return rc ? rc : ledger_note_change(b, before->kind, before, NULL, err);
}

static enum err_code restore_row(struct book *b, const struct record *before, const struct act *act,
				 const struct hand *hand, struct arena *arena, struct err *err)
{
	struct record *after = record_copy(before, arena);

	record_clear(after, "struck_at");
	record_clear(after, "struck_why");
	after->version++;

	enum err_code rc = rules_judge(b, after, before, hand, RULES_KEEPS, arena, err);

	if (!rc)
		rc = store_update(b->store, after, err);
	if (!rc)
		rc = history_note(b, before, after, HISTORY_RESTORE, &act->id, hand, err);
	if (!rc)
		rc = ledger_note_change(b, before->kind, NULL, after, err);
	return rc ? rc : withdrawal_follow(b, after, hand, arena, err);
}

/* Runs the act over all its rows and lets the ledger judge it as a whole. */
static enum err_code run(struct book *b, struct act *act,
			 enum err_code (*one)(struct book *b, const struct record *before,
					      const struct act *act, const struct hand *hand,
					      struct arena *arena, struct err *err),
			 const struct hand *hand, struct arena *arena, struct err *err)
{
	struct shortage is;
	bool gap;
	enum err_code rc = take_shortages(b, act, hand, arena, &act->was, err);

	for (size_t i = 0; !rc && i < act->n; i++)
		rc = one(b, act->rows[i], act, hand, arena, err);
	if (!rc)
		rc = take_shortages(b, act, hand, arena, &is, err);
	return rc ? rc : shortage_judge(&act->was, &is, hand, arena, &gap, err);
}

/* The row that is to be struck or restored, as it stands. */
static enum err_code read_row(struct book *b, const struct kind *k, int64_t id, struct arena *arena,
			      struct record **row, struct err *err)
{
	enum err_code rc;

	if (k->class == CLASS_SYSTEM)
		return err_set(err, ERR_INPUT, "", "not_struck_so", "%s cannot be struck out.",
			       k->name);
	rc = store_get(b->store, k, id, arena, row, err);
	return rc ? rc : check_sort(*row, err);
}

static void act_alone(struct act *act, struct record *row, struct arena *arena)
{
	act->rows = arena_alloc(arena, sizeof(*act->rows));
	act->rows[0] = row;
	act->n = 1;
}

/* Set-up and lots: only while nothing refers to them. */
static enum err_code gather(struct book *b, struct record *row, struct arena *arena,
			    struct act *act, struct err *err)
{
	if (row->kind->class == CLASS_ENTRY)
		return references_gather(b, row, arena, &act->rows, &act->n, err);
	act_alone(act, row, arena);
	return references_none(b, row, arena, err);
}

enum err_code book_strike(struct book *b, const struct kind *k, int64_t id, const struct hand *hand,
			  struct arena *arena, struct record **kept, struct err *err)
{
	struct record *row;
	struct act act = { .id = uuid_v7(hand->now * 1000) };
	enum err_code rc = read_row(b, k, id, arena, &row, err);

	if (rc)
		return rc;
	if (record_has(row, "struck_at")) {
		*kept = row;
		return ERR_NONE;
	}
	rc = gather(b, row, arena, &act, err);
	if (!rc)
		rc = run(b, &act, strike_row, hand, arena, err);
	return rc ? rc : store_get(b->store, k, id, arena, kept, err);
}

/* The rows that the act struck and that are still struck by it. */
static enum err_code still_struck(struct book *b, struct act *act, struct arena *arena,
				  struct err *err)
{
	struct struck_row *struck;
	size_t n;
	enum err_code rc = history_struck_by(b, &act->id, arena, &struck, &n, err);

	if (rc)
		return rc;
	act->rows = arena_array(arena, n + 1, sizeof(*act->rows));
	/* What refers to a row was struck after it; it comes back after it too. */
	for (size_t i = 0; i < n; i++) {
		struct record *row;
		struct uuid last;

		rc = store_get(b->store, struck[i].kind, struck[i].id, arena, &row, err);
		if (rc)
			return rc;
		if (!record_has(row, "struck_at"))
			continue;
		rc = history_last_strike(b, row, &last, err);
		if (rc && rc != ERR_NOT_FOUND)
			return rc;
		if (!rc && uuid_compare(&last, &act->id) == 0)
			act->rows[act->n++] = row;
	}
	return ERR_NONE;
}

/* The act under which the row was struck, with its rows. */
static enum err_code find_act(struct book *b, struct record *row, const struct hand *hand,
			      struct arena *arena, struct act *act, struct err *err)
{
	enum err_code rc = history_last_strike(b, row, &act->id, err);

	if (!rc)
		rc = still_struck(b, act, arena, err);
	if (rc ? rc != ERR_NOT_FOUND : act->n > 0)
		return rc;
	/* Imported without its history: it was struck alone, as far as anyone can tell. */
	act->id = uuid_v7(hand->now * 1000);
	act_alone(act, row, arena);
	return ERR_NONE;
}

enum err_code book_restore(struct book *b, const struct kind *k, int64_t id,
			   const struct hand *hand, struct arena *arena, struct record **kept,
			   struct err *err)
{
	struct record *row;
	struct act act = { .n = 0 };
	enum err_code rc = read_row(b, k, id, arena, &row, err);

	if (rc)
		return rc;
	if (!record_has(row, "struck_at")) {
		*kept = row;
		return ERR_NONE;
	}
	rc = find_act(b, row, hand, arena, &act, err);
	for (size_t i = 0; !rc && i < act.n; i++)
		rc = references_stand(b, act.rows[i], act.rows, act.n, arena, err);
	if (!rc)
		rc = run(b, &act, restore_row, hand, arena, err);
	return rc ? rc : store_get(b->store, k, id, arena, kept, err);
}

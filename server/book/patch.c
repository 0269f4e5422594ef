/* A correction or completion of a row, and set-up that changes from a day on. */
#include <string.h>

#include "book/book.h"
#include "book/dated.h"
#include "book/history.h"
#include "book/inside.h"
#include "book/ledger.h"
#include "book/rules.h"
#include "book/shortage.h"
#include "book/times.h"
#include "book/withdrawal.h"
#include "model/kinds.h"
#include "store/record.h"

enum { COMPLETION_S = 1800 }; /* so long the same person completes, and does not correct */

/* Whether a patch takes nothing away that was there. */
static bool only_fills(const struct record *now, const struct record *values, const bool *given)
{
	for (size_t i = 0; i < kind_field_count(now->kind); i++)
		if (given[i] && now->values[i].type != VALUE_NONE &&
		    !value_equal(&now->values[i], &values->values[i]))
			return false;
	return true;
}

static enum err_code check_version(const struct record *now, int64_t if_version, bool fills,
				   struct err *err)
{
	if (!if_version && !fills)
		return err_set(err, ERR_NEEDS_MATCH, "", "needs_match",
			       "Say which version this corrects (If-Match).");
	if (if_version && if_version != now->version) {
		err_set(err, ERR_STALE, "", "stale",
			"This was changed meanwhile. Look at it as it stands and correct that.");
		err_arg(err, "version", "%lld", (long long)now->version);
		return ERR_STALE;
	}
	return ERR_NONE;
}

static enum err_code check_given(const struct record *now, const bool *given, struct err *err)
{
	enum err_code rc = ERR_NONE;

	if (now->kind->class != CLASS_SYSTEM && record_has(now, "struck_at"))
		return err_set(err, ERR_CONFLICT, "", "is_struck",
			       "This is struck out. Restore it before it is corrected.");
	for (size_t i = 0; i < kind_field_count(now->kind); i++) {
		const struct field *f = kind_field(now->kind, i);

		if (given[i] && f->server_set)
			rc = err_set(err, ERR_INPUT, f->name, "server_set",
				     "The service itself sets this.");
	}
	return rc;
}

static bool is_given(const struct record *r, const bool *given, const char *field)
{
	return given[kind_field_index(r->kind, field)];
}

/* *timed: at or day is new. */
static void merge(struct record *r, const struct record *values, const bool *given, bool *timed)
{
	*timed = false;
	for (size_t i = 0; i < kind_field_count(r->kind); i++)
		if (given[i])
			r->values[i] = values->values[i];
	if (!kind_has_time(r->kind))
		return;

	bool at = is_given(r, given, "at"), day = is_given(r, given, "day");

	*timed = at || day;
	/* The day that stood there was derived from the old time. */
	if (at && !day && record_has(r, "at"))
		record_clear(r, "day");
	/* Only the tablet that sends a time knows how far its clock is off. */
	if (at && !record_has(r, "at")) {
		record_clear(r, "tablet_at");
		record_clear(r, "unsure");
	}
}

static bool equal_values(const struct record *a, const struct record *c)
{
	for (size_t i = 0; i < kind_field_count(a->kind); i++)
		if (!value_equal(&a->values[i], &c->values[i]))
			return false;
	return true;
}

static enum history_act act_of(const struct record *before, const struct hand *hand, bool fills)
{
	if (before->kind->class != CLASS_ENTRY)
		return HISTORY_SET_UP;
	if (!fills || before->kind->is_line)
		return HISTORY_CORRECT;

	bool soon = hand->now - record_int(before, "received_at", 0) <= COMPLETION_S;
	bool same_person = record_int(before, "staff_id", 0) == hand->staff_id;

	return soon && same_person ? HISTORY_COMPLETE : HISTORY_CORRECT;
}

/* A note or a name is nothing that the trade's rules read. */
static bool rules_read(const struct record *before, const struct record *after)
{
	static const char *const ignored[] = { "note", "staff_id", "incident_id" };

	for (size_t i = 0; i < kind_field_count(before->kind); i++) {
		const struct field *f = kind_field(before->kind, i);
		bool skip = f->server_set;

		for (size_t j = 0; j < sizeof(ignored) / sizeof(ignored[0]); j++)
			skip = skip || strcmp(f->name, ignored[j]) == 0;
		if (!skip && !value_equal(&before->values[i], &after->values[i]))
			return true;
	}
	return false;
}

static bool moves_days(const struct record *before, const struct record *after)
{
	return before->kind == &farm_kind &&
	       (strcmp(record_text(before, "time_zone"), record_text(after, "time_zone")) != 0 ||
		record_int(before, "day_begins_hour", 0) !=
			record_int(after, "day_begins_hour", 0));
}

static enum err_code follow_up(struct book *b, const struct record *before,
			       const struct record *after, struct err *err)
{
	if (after->kind == &farm_kind)
		book_forget(b);
	if (moves_days(before, after))
		return book_rebuild(b, err);
	return ledger_note_change(b, after->kind, before, after, err);
}

static enum err_code keep_version(struct book *b, const struct record *before, struct record *after,
				  enum history_act act, const struct hand *hand,
				  struct arena *arena, struct err *err)
{
	struct shortage was, is;
	bool gap = false;
	enum err_code rc = shortage_take(b, before, after, hand, arena, &was, err);

	after->version = before->version + 1;
	if (!rc)
		rc = store_update(b->store, after, err);
	if (!rc)
		rc = shortage_take(b, before, after, hand, arena, &is, err);
	if (!rc)
		rc = shortage_judge(&was, &is, hand, arena, &gap, err);
	if (!rc && gap) {
		rules_mark(after, "more_than_there", arena);
		rc = store_update(b->store, after, err);
	}
	if (!rc)
		rc = history_note(b, before, after, act, NULL, hand, err);
	if (!rc)
		rc = follow_up(b, before, after, err);
	return rc ? rc : withdrawal_follow(b, after, hand, arena, err);
}

static enum err_code judge(struct book *b, const struct record *before, struct record *after,
			   bool timed, const struct hand *hand, struct arena *arena,
			   struct err *err)
{
	enum err_code rc = record_check(after, arena, err);

	if (!rc && timed)
		rc = times_set(b, after, hand, err);
	/* Only the direction of a move by day may be new. */
	if (!rc && !timed && kind_has_time(after->kind) && !record_has(after, "at"))
		times_restand(b, after);
	if (rc)
		return rc;
	return rules_judge(b, after, before, hand,
			   rules_read(before, after) ? RULES_ALL : RULES_CHECKS, arena, err);
}

static enum err_code correct(struct book *b, const struct record *now, const struct record *values,
			     const bool *given, bool fills, const struct hand *hand,
			     struct arena *arena, struct record **kept, struct err *err)
{
	struct record *after = record_copy(now, arena);
	bool timed;

	merge(after, values, given, &timed);
	if (equal_values(now, after)) {
		*kept = after;
		return ERR_NONE;
	}

	enum err_code rc = judge(b, now, after, timed, hand, arena, err);

	/* A list in other spelling, or a time that comes again: equal after all. */
	if (!rc && equal_values(now, after) && now->instant == after->instant) {
		*kept = after;
		return ERR_NONE;
	}
	if (!rc)
		rc = keep_version(b, now, after, act_of(now, hand, fills), hand, arena, err);
	if (!rc)
		*kept = after;
	return rc;
}

enum err_code book_patch(struct book *b, const struct kind *k, int64_t id,
			 const struct record *values, const bool *given, int64_t if_version,
			 int64_t from_day, const struct hand *hand, struct arena *arena,
			 struct record **kept, struct err *err)
{
	struct record *now;
	enum err_code rc = store_get(b->store, k, id, arena, &now, err);

	if (rc)
		return rc;

	bool fills = from_day == NO_DAY && only_fills(now, values, given);

	rc = check_sort(now, err);
	if (rc)
		return rc;
	rc = check_version(now, if_version, fills, err);
	if (rc == ERR_STALE)
		*kept = now;
	if (!rc)
		rc = check_given(now, given, err);
	if (rc)
		return rc;
	if (from_day == NO_DAY)
		return correct(b, now, values, given, fills, hand, arena, kept, err);
	rc = dated_change(b, now, values, given, from_day, hand, arena, err);
	if (!rc)
		*kept = now;
	return rc;
}

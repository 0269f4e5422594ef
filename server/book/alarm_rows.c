/* See alarm_rows.h. */
#include "book/alarm_rows.h"

#include <math.h>
#include <string.h>

#include "book/history.h"
#include "book/repeat.h"
#include "model/kinds.h"
#include "store/record.h"

/* In struck_why of what the service struck: nobody may forget an alarm but the record. */
static const char no_grounds[] = "What raised it was corrected or struck out.";

const char *alarm_level_word(enum alarm_level level)
{
	static const char *const words[] = {
		[ALARM_NONE] = NULL,
		[ALARM_LOW] = "low",
		[ALARM_STOP_LOW] = "stop_low",
		[ALARM_HIGH] = "high",
		[ALARM_STOP_HIGH] = "stop_high",
	};

	return words[level];
}

static struct alarm_row read_row(struct stmt *q, struct arena *arena)
{
	const char *why = stmt_text(q, 7);

	return (struct alarm_row){
		.id = stmt_int(q, 0),
		.quantity = arena_strdup(arena, stmt_text(q, 1)),
		.level = arena_strdup(arena, stmt_text(q, 2)),
		.probe_id = stmt_int(q, 3),
		.raised_at = stmt_int(q, 4),
		.cleared_at = stmt_int_or(q, 5, ALARM_LASTS),
		.struck = !stmt_is_null(q, 6),
		.by_person = !stmt_is_null(q, 6) && (!why || strcmp(why, no_grounds) != 0),
		.value = stmt_real(q, 8),
	};
}

enum err_code alarm_rows_load(struct book *b, int64_t place_id, int64_t since, int64_t now,
			      struct arena *arena, struct alarm_rows *out, struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(book_store(b), Q_ALARMS_OF_PLACE, &q, err);

	*out = (struct alarm_rows){
		.b = b, .place_id = place_id, .since = since, .now = now, .arena = arena
	};
	if (rc)
		goto out;
	stmt_bind_int(q, ":place_id", place_id);
	stmt_bind_int(q, ":since", since);
	while (!(rc = stmt_row(q, err))) {
		out->all = arena_grow(arena, out->all, out->n, &room, sizeof(*out->all));
		out->all[out->n++] = read_row(q, arena);
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

static bool is_by_limits(const struct alarm_row *r)
{
	return strcmp(r->level, "silent") != 0 && strcmp(r->level, "old") != 0;
}

const struct alarm_row *alarm_rows_before(const struct alarm_rows *rows, const char *quantity)
{
	const struct alarm_row *found = NULL;

	for (size_t i = 0; i < rows->n; i++) {
		const struct alarm_row *r = &rows->all[i];

		/* What a person struck out lasts as a state: it must not come again while it is
		 * so. */
		if ((!r->struck || r->by_person) && is_by_limits(r) &&
		    strcmp(r->quantity, quantity) == 0 && r->raised_at < rows->since)
			found = r;
	}
	return found;
}

static bool is_alike(const struct alarm_row *a, const struct alarm_row *b)
{
	return strcmp(a->quantity, b->quantity) == 0 && strcmp(a->level, b->level) == 0 &&
	       a->probe_id == b->probe_id && a->raised_at <= b->cleared_at &&
	       b->raised_at <= a->cleared_at;
}

/* Of those that stand first the one of the same time, then any; then one that was struck. */
static struct alarm_row *find_row(struct alarm_rows *rows, const struct alarm_row *is)
{
	struct alarm_row *best = NULL;
	int best_rank = 4;

	for (size_t i = 0; i < rows->n; i++) {
		struct alarm_row *r = &rows->all[i];
		const int rank = (r->raised_at != is->raised_at) + (r->struck ? 2 : 0);

		if (!r->met && is_alike(r, is) && rank < best_rank) {
			best = r;
			best_rank = rank;
		}
	}
	return best;
}

static void set_times(struct record *r, const struct alarm_row *is)
{
	record_set_int(r, "raised_at", is->raised_at);
	if (is->cleared_at == ALARM_LASTS)
		record_clear(r, "cleared_at");
	else
		record_set_int(r, "cleared_at", is->cleared_at);
	if (isnan(is->value))
		record_clear(r, "value");
	else
		record_set_real(r, "value", is->value);
}

static void stand_at(struct alarm_rows *rows, struct record *r, int64_t at)
{
	r->instant = at;
	record_set_int(r, "at", at);
	record_set_int(r, "day", book_day(rows->b, at));
}

/* The row as it stands, and a copy of the version that follows it. */
static enum err_code next_version(struct alarm_rows *rows, int64_t id, struct record **before,
				  struct record **after, struct err *err)
{
	enum err_code rc =
		store_get(book_store(rows->b), &alarms_kind, id, rows->arena, before, err);

	if (rc)
		return rc;
	*after = record_copy(*before, rows->arena);
	(*after)->version++;
	return ERR_NONE;
}

static enum err_code keep_version(struct alarm_rows *rows, const struct record *before,
				  struct record *after, enum history_act act, struct err *err)
{
	const struct hand hand = { .arrival = ARRIVES_QUEUED, .now = rows->now };
	enum err_code rc = store_update(book_store(rows->b), after, err);

	return rc ? rc : history_note(rows->b, before, after, act, NULL, &hand, err);
}

/* act: correct, complete, or restore of one that was struck. */
static enum err_code change(struct alarm_rows *rows, int64_t id, const struct alarm_row *is,
			    enum history_act act, struct err *err)
{
	struct record *before, *after;
	enum err_code rc = next_version(rows, id, &before, &after, err);

	if (rc)
		return rc;
	set_times(after, is);
	stand_at(rows, after, is->raised_at);
	if (act == HISTORY_RESTORE) {
		record_clear(after, "struck_at");
		record_clear(after, "struck_why");
	}
	return keep_version(rows, before, after, act, err);
}

static enum err_code strike(struct alarm_rows *rows, int64_t id, struct err *err)
{
	struct record *before, *after;
	enum err_code rc = next_version(rows, id, &before, &after, err);

	if (rc)
		return rc;
	record_set_int(after, "struck_at", rows->now);
	record_set_text(after, "struck_why", no_grounds);
	return keep_version(rows, before, after, HISTORY_STRIKE, err);
}

static enum err_code add(struct alarm_rows *rows, const struct alarm_row *is, struct err *err)
{
	uint8_t fingerprint[FINGERPRINT_SIZE];
	struct record *r = record_new(&alarms_kind, rows->arena);

	r->key = uuid_v7(rows->now * 1000);
	r->version = 1;
	record_set_int(r, "place_id", rows->place_id);
	record_set_text(r, "quantity", is->quantity);
	record_set_text(r, "level", is->level);
	if (is->probe_id)
		record_set_int(r, "probe_id", is->probe_id);
	record_set_int(r, "received_at", rows->now);
	set_times(r, is);
	stand_at(rows, r, is->raised_at);
	repeat_fingerprint(r, fingerprint);
	return store_insert(book_store(rows->b), r, fingerprint, err);
}

static bool same_value(double a, double b)
{
	return isnan(a) ? isnan(b) : a == b;
}

enum err_code alarm_rows_keep(struct alarm_rows *rows, const struct alarm_row *is, struct err *err)
{
	struct alarm_row *r = find_row(rows, is);

	if (!r)
		return add(rows, is, err);
	r->met = true;
	if (r->struck && !r->by_person)
		return change(rows, r->id, is, HISTORY_RESTORE, err);
	if (r->raised_at == is->raised_at && r->cleared_at == is->cleared_at &&
	    same_value(r->value, is->value))
		return ERR_NONE;
	const bool only_ends = r->raised_at == is->raised_at && r->cleared_at == ALARM_LASTS;
	return change(rows, r->id, is, only_ends ? HISTORY_COMPLETE : HISTORY_CORRECT, err);
}

enum err_code alarm_rows_finish(struct alarm_rows *rows, struct err *err)
{
	enum err_code rc = ERR_NONE;

	for (size_t i = 0; !rc && i < rows->n; i++)
		if (!rows->all[i].met && !rows->all[i].struck)
			rc = strike(rows, rows->all[i].id, err);
	return rc;
}

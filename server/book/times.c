/* When an entry happened and where it stands: at, day, instant.  Zones are base/zone's. */
#include "book/times.h"

#include <string.h>

#include "book/inside.h"
#include "model/kinds.h"

/* No clock is right that is earlier than the program itself: 2026-01-01, moved on with each
 * release. */
static const int64_t released_at = 1767225600;

static enum err_code read_last_received(struct book *b, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(b->store, Q_READ_LAST_RECEIVED_AT, &q, err);

	if (rc)
		goto out;
	rc = stmt_row(q, err);
	if (rc && rc != ERR_NOT_FOUND)
		goto out;
	b->last_received = rc ? 0 : stmt_int(q, 0);
	rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

/* True while the service's clock cannot be right: behind the last entry received or this release.
 * Where the former cannot be read now, the release alone tells. */
static bool clock_is_behind(struct book *b, int64_t now)
{
	if (b->last_received == INT64_MIN && read_last_received(b, NULL))
		return now < released_at;
	return now < released_at || now < b->last_received;
}

enum err_code times_note_received(struct book *b, const struct hand *hand, struct err *err)
{
	/* An import may be years of another clock's times; it says nothing about this one. */
	if (hand->arrival == ARRIVES_IMPORTED)
		return ERR_NONE;

	enum err_code rc = ERR_NONE;

	if (b->last_received == INT64_MIN)
		rc = read_last_received(b, err);
	if (rc || hand->now <= b->last_received)
		return rc;
	rc = store_run_ints(b->store, Q_NOTE_RECEIVED_AT, err, ":received_at", hand->now, NULL);
	/* A rollback leaves this ahead of the table, which only a clock set back at that moment
	 * could notice. */
	if (!rc)
		b->last_received = hand->now;
	return rc;
}

void times_set_received(struct record *r, const struct hand *hand)
{
	if (r->kind->class == CLASS_SYSTEM ||
	    (hand->arrival == ARRIVES_IMPORTED && record_has(r, "received_at")))
		return;
	record_set_int(r, "received_at", hand->now);
}

static enum day_stand stands(const struct record *r)
{
	if (r->kind != &fish_moves_kind)
		return r->kind->stands;
	if (!record_has(r, "from_tank_id"))
		return STANDS_START;
	if (!record_has(r, "to_tank_id") && !record_has(r, "into_lot_id"))
		return STANDS_END;
	return STANDS_NOON;
}

static int64_t noon(struct book *b, int64_t day)
{
	struct civil local;
	int64_t at, start = book_day_start(b, day), next = book_day_start(b, day + 1);

	day_to_civil(day, &local);
	local.hour = 12;
	zone_to_utc(book_zone(b), &local, &at, NULL);
	if (at < start)
		return start;
	return at < next ? at : next - 1;
}

static int64_t stand_by_day(struct book *b, const struct record *r, int64_t day)
{
	switch (stands(r)) {
	case STANDS_START:
		return book_day_start(b, day);
	case STANDS_END:
		return book_day_start(b, day + 1) - 1;
	case STANDS_NOON:
		break;
	}
	return noon(b, day);
}

bool times_restand(struct book *b, struct record *r)
{
	if (!kind_has_time(r->kind) || (!record_has(r, "at") && !record_has(r, "day")))
		return false;

	int64_t day = record_int(r, "day", NO_DAY), instant;

	if (record_has(r, "at")) {
		instant = record_int(r, "at", 0);
		record_set_int(r, "day", book_day(b, instant));
	} else {
		instant = stand_by_day(b, r, day);
	}

	bool changed = instant != r->instant || record_int(r, "day", NO_DAY) != day;

	r->instant = instant;
	return changed;
}

static enum err_code in_future(const char *field, struct err *err)
{
	return err_set(err, ERR_INPUT, field, "in_future",
		       "This lies in the future. Check the date, and the clock of the tablet.");
}

/* Turns the tablet's time into the service's. */
static void correct_clock(struct record *r, const struct hand *hand, bool behind)
{
	int64_t given = record_int(r, "at", 0);
	bool by_tablet = hand->tablet || hand->has_clock_offset;

	if (hand->arrival == ARRIVES_IMPORTED)
		return;
	record_clear(r, "unsure");
	record_clear(r, "tablet_at");
	if (by_tablet)
		record_set_int(r, "tablet_at", given);
	if (behind || (by_tablet && !hand->has_clock_offset))
		record_set_int(r, "unsure", 1);
	else if (by_tablet)
		record_set_int(r, "at", given + hand->clock_offset_s);
}

static enum err_code set_by_at(struct book *b, struct record *r, const struct hand *hand,
			       bool behind, struct err *err)
{
	int64_t as_given = record_int(r, "at", 0);

	correct_clock(r, hand, behind);

	int64_t at = record_int(r, "at", 0);
	int64_t day = book_day(b, at);

	if (!behind && at > hand->now + TIMES_FUTURE_S)
		return in_future("at", err);
	/* Near midnight the correction may move an entry to the next day; the day then came by the
	 * tablet's clock too. */
	if (record_has(r, "day") && record_int(r, "day", 0) != day &&
	    record_int(r, "day", 0) != book_day(b, as_given)) {
		char text[TIME_TEXT_MAX];

		day_write(text, day);
		err_set(err, ERR_INPUT, "day", "day_disagrees",
			"The time belongs to the farm's day %s. Leave the day out, or correct one.",
			text);
		err_arg(err, "day", "%s", text);
		return ERR_INPUT;
	}
	record_set_int(r, "day", day);
	r->instant = at;
	return ERR_NONE;
}

enum err_code times_set(struct book *b, struct record *r, const struct hand *hand, struct err *err)
{
	if (!kind_has_time(r->kind))
		return ERR_NONE;

	bool behind = clock_is_behind(b, hand->now);

	if (record_has(r, "at"))
		return set_by_at(b, r, hand, behind, err);
	if (!record_has(r, "day"))
		return err_set(err, ERR_INPUT, "at", "required",
			       "Say when it happened: a time (at) or a day.");

	int64_t day = record_int(r, "day", 0);

	if (!behind && book_day_start(b, day) > hand->now + TIMES_FUTURE_S)
		return in_future("day", err);
	r->instant = stand_by_day(b, r, day);
	return ERR_NONE;
}

/*
 * Which places' alarms are to be looked at: an entry marks its place in its own transaction, and
 * the clock makes one due by which a reading would be too old or a probe silent.  Looking is
 * alarms.c's.
 */
#ifndef WEIRBOOK_BOOK_ALARM_MARKS_H
#define WEIRBOOK_BOOK_ALARM_MARKS_H

#include "book/book.h"

/* A version of a row counts or no longer counts: marks the places whose alarms may rest on it.
 * Kinds that no alarm rests on: nothing.  In a write transaction. */
enum err_code alarm_marks_note(struct book *b, const struct record *r, struct err *err);

/* A probe has new or other readings from instant `since` on.  In a write transaction. */
enum err_code alarm_marks_note_readings(struct book *b, int64_t probe_id, int64_t since,
					struct err *err);

/*
 * A place that is marked, or due at `now`.  *since: the instant from which its entries changed;
 * INT64_MAX when the clock alone asks.  ERR_NOT_FOUND (no item): there is none.
 */
enum err_code alarm_marks_next(struct book *b, int64_t now, int64_t *place_id, int64_t *since,
			       struct err *err);

/* The place was looked at; the clock asks for it again at due_at (INT64_MAX: never).  In a write
 * transaction. */
enum err_code alarm_marks_seen(struct book *b, int64_t place_id, int64_t due_at, struct err *err);

#endif

/* The rows of kind alarms, brought in step with what the readings say. */
#ifndef WEIRBOOK_BOOK_ALARM_ROWS_H
#define WEIRBOOK_BOOK_ALARM_ROWS_H

#include "book/book.h"
#include "domain/alarm.h"

struct alarm_row {
	int64_t id, probe_id;          /* probe_id 0: none */
	const char *quantity;          /* a name of water.h, or a probe's own */
	const char *level;             /* alarm_level_word; "old" or "silent" */
	int64_t raised_at, cleared_at; /* Unix seconds; ALARM_LASTS */
	double value;                  /* in the quantity's unit; NAN: silence */
	bool struck, by_person;        /* struck out; by a person, who knew better */
	bool met;                      /* it is still so */
};

/* All that is known of one place's alarms while they are brought in step; the array and its texts
 * are the arena's. */
struct alarm_rows {
	struct book *b;
	int64_t place_id, since, now;
	struct arena *arena;
	struct alarm_row *all;
	size_t n;
};

/* The service's own alarms of a place that last, or were cleared at `since` or after, struck ones
 * too.  Those that are added, changed or struck out later are so at `now`. */
enum err_code alarm_rows_load(struct book *b, int64_t place_id, int64_t since, int64_t now,
			      struct arena *arena, struct alarm_rows *out, struct err *err);

/* The alarm by limits of a quantity that lasted when `since` came; NULL: none. */
const struct alarm_row *alarm_rows_before(const struct alarm_rows *rows, const char *quantity);

/*
 * Keeps one alarm that is so (its id, struck and met are not asked): finds its row (same quantity,
 * level, probe; times that meet) and changes what differs, brings back one that the service itself
 * struck, or adds one.  One that a person struck out stays struck.  In a write transaction.
 */
enum err_code alarm_rows_keep(struct alarm_rows *rows, const struct alarm_row *is, struct err *err);

/* Strikes out what no alarm_rows_keep has met: the record no longer says so.  In a write
 * transaction. */
enum err_code alarm_rows_finish(struct alarm_rows *rows, struct err *err);

/* "low", "stop_low", "high" or "stop_high"; NULL of ALARM_NONE. */
const char *alarm_level_word(enum alarm_level level);

#endif

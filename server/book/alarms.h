/*
 * Alarms: raised and cleared by what the entries say, so that a late, corrected or struck one gives the same as one
 * that came in time (docs/decisions/0013).  An entry only marks its place, in its own transaction; the place is
 * looked at right after it by the job (jobs/alarms.c), which asks the clock too.
 */
#ifndef WEIRBOOK_BOOK_ALARMS_H
#define WEIRBOOK_BOOK_ALARMS_H

#include "book/book.h"

enum { ALARMS_REACH_S = 30 * 86400 }; /* what comes later than this changes no alarm */

/* A version of a row counts or no longer counts: marks the places whose alarms may rest on it. */
enum err_code alarms_note(struct book *b, const struct record *r, struct err *err);

/* A probe has new or other readings from an instant on. */
enum err_code alarms_note_readings(struct book *b, int64_t probe_id, int64_t since,
				   struct err *err);

/* Whether a place is marked or due at this time.  Two short reads. */
enum err_code alarms_wait(struct book *b, int64_t now, bool *waits, struct err *err);

/*
 * Looks at one place that is marked or due at this time and brings its alarms in step.  ERR_NOT_FOUND (no item):
 * there is none.  In a write transaction.
 */
enum err_code alarms_look(struct book *b, int64_t now, struct err *err);

/* An alarm that lasts.  Texts belong to the arena. */
struct open_alarm {
	int64_t id, place_id, probe_id;
	const char *place, *quantity, *level; /* level NULL: a person noted it */
	int64_t raised_at;
	double value; /* NAN: silence */
	int64_t seen_by_id;
	const char *action;
};

/* In order of raising. */
enum err_code alarms_open(struct book *b, struct arena *arena, struct open_alarm **out, size_t *n,
			  struct err *err);

/* "stop_low", "stop_high": feeding stops. */
bool alarm_is_stop(const char *level);

#endif

/*
 * Alarms: raised and cleared by what the entries say, so that a late, corrected or struck one gives
 * the same as one that came in time (docs/decisions/0013).  An entry only marks its place, in its
 * own transaction; the place is looked at right after it by the job (jobs/alarms.c), which asks the
 * clock too.
 */
#ifndef WEIRBOOK_BOOK_ALARMS_H
#define WEIRBOOK_BOOK_ALARMS_H

#include "book/book.h"

enum { ALARMS_REACH_S = 30 * 86400 }; /* what comes later than this changes no alarm */

/* Whether a place is marked or due at this time.  Two short reads. */
enum err_code alarms_wait(struct book *b, int64_t now, bool *waits, struct err *err);

/*
 * Looks at one place that is marked or due at this time and brings its alarms in step.
 * ERR_NOT_FOUND (no item): there is none.  In a write transaction.
 */
enum err_code alarms_look(struct book *b, int64_t now, struct err *err);

#endif

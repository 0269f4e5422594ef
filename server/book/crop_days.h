/*
 * How many days a variety takes to its first harvest, from the farm's own lots and the planned
 * days: which lots count and from which day.  How they are weighed is domain/harvest_days.h's.
 *
 * A lot counts once it has been harvested, by the instant asked for: so a day of the past is told
 * what was known of the plants by then, and a late entry says the same as an early one.  A struck
 * lot counts no more.
 */
#ifndef WEIRBOOK_BOOK_CROP_DAYS_H
#define WEIRBOOK_BOOK_CROP_DAYS_H

#include "book/book.h"
#include "book/crop_replay.h"
#include "domain/harvest_days.h"

enum crop_from { CROP_FROM_SOWN, CROP_FROM_NURSERY, CROP_FROM_RAFT, CROP_FROM__MAX };
extern const char *const crop_from_words[CROP_FROM__MAX + 1]; /* sown, nursery, raft; NULL-ended */

struct crop_plan { /* planned days of a variety; CROP_NONE: not given */
	int64_t germination, nursery, raft;
};

/* Planned days from a stage to the first harvest, NAN when one that is needed is not given. */
double crop_planned_days(const struct crop_plan *plan, enum crop_from from);

struct crop_days; /* opaque: what has been read and learned so far; an arena's */

/* state: the plants at the instant it was played to (crop_ledger_at); both outlive the answer. */
struct crop_days *crop_days_open(struct book *b, const struct crop_state *state,
				 struct arena *arena);

/* What is known of lots of this variety sown in this month (1 to 12), from that stage on. */
enum err_code crop_days_of(struct crop_days *d, int64_t variety, const struct crop_plan *plan,
			   enum crop_from from, int month, const struct days_learned **out,
			   struct err *err);

int crop_month(int64_t day); /* 1 to 12 */

#endif

/* Which limits held at a place over a time: they change when the species that stand there do. */
#ifndef WEIRBOOK_BOOK_ALARM_ERAS_H
#define WEIRBOOK_BOOK_ALARM_ERAS_H

#include "book/probe_readings.h"
#include "book/water.h"

/* What the limits of a place rest on. */
struct alarm_place {
	int64_t id;
	struct id_set tanks; /* of its water (place_fish.h) */
	struct place_probe *probes;
	size_t n_probes;
};

/* A time in which the same species stand there; it lasts until the next one begins. */
struct alarm_era {
	int64_t from; /* Unix seconds */
	struct alarm_limits limits[QUANTITY__MAX];
};

struct alarm_eras {
	struct alarm_era *all; /* in order of time */
	size_t n;
};

/*
 * The eras of instants [since, until], and those before in which what is too old by then may have
 * been read.  By the species' limits as they are set up now, and the strictest of these and the
 * probes' own bounds.  The arena's.
 */
enum err_code alarm_eras_find(struct book *b, const struct alarm_place *place, int64_t since,
			      int64_t until, struct arena *arena, struct alarm_eras *out,
			      struct err *err);

/*
 * The first time at or after `from` in which limits name the quantity, so that somebody should
 * measure it, from the beginning (INT64_MIN: of all that was found) of its first era up to, not
 * with, its end (ALARM_LASTS).  False: none.
 */
bool alarm_eras_watched(const struct alarm_eras *eras, enum quantity q, int64_t from,
			int64_t *begins, int64_t *ends);

#endif

/* The alarms that last. */
#ifndef WEIRBOOK_BOOK_OPEN_ALARMS_H
#define WEIRBOOK_BOOK_OPEN_ALARMS_H

#include "book/book.h"

struct open_alarm {
	int64_t id, place_id, probe_id;       /* 0: none */
	const char *place, *quantity, *level; /* the place's code; level NULL: a person noted it */
	int64_t raised_at;                    /* Unix seconds */
	double value;                         /* in the quantity's unit; NAN: silence */
	int64_t seen_by_id;                   /* staff; 0: nobody has seen it */
	const char *action;                   /* what was done; NULL */
};

/* All of them in order of raising.  The array and its texts are the arena's. */
enum err_code open_alarms_load(struct book *b, struct arena *arena, struct open_alarm **out,
			       size_t *n, struct err *err);

/* True of "stop_low" and "stop_high", at which feeding stops; false of NULL. */
bool alarm_is_stop(const char *level);

#endif

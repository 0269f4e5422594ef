/* The probes of a place and what they read, as water and alarms need them. */
#ifndef WEIRBOOK_BOOK_PROBE_READINGS_H
#define WEIRBOOK_BOOK_PROBE_READINGS_H

#include "book/book.h"

struct place_probe {
	int64_t id;
	const char *code, *quantity; /* owned by the arena */
	double low, high;            /* the farm's own bounds; NAN: none */
	int64_t silent_after_s;      /* 0: it may be silent */
	int64_t set_up_at;           /* Unix seconds; 0: not known */
};

/* Probes in use on that farm day.  Owned by the arena. */
enum err_code place_probes(struct book *b, int64_t place_id, int64_t day, struct arena *arena,
			   struct place_probe **out, size_t *n, struct err *err);

/* Calls take for each reading of the place's probes at instants [from, to] that counts, probe by
 * probe, in order of time.  The probes are those in use on the day of `to`; p is valid during the
 * call. */
enum err_code place_readings(struct book *b, int64_t place_id, int64_t from, int64_t to,
			     void (*take)(void *with, const struct place_probe *p, int64_t at,
					  double value),
			     void *with, struct err *err);

/* The probe's newest reading at or before `at` that counts: one seek.  ERR_NOT_FOUND adds no
 * item. */
enum err_code probe_newest(struct book *b, int64_t probe_id, int64_t at, int64_t *read_at,
			   double *value, struct err *err);

#endif

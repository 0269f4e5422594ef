/*
 * Readings of probes: one value for each probe and instant.  They come in batches, late and again;
 * the last one that comes for an instant stands.  What charts read (sums by hour of UTC and by farm
 * day) is kept in the same transaction, computed from the readings of that hour or day alone, so
 * that the order in which they came changes no digit.  A stretch in which the probe told wrong
 * (kind probe-faults) counts for nothing.
 */
#ifndef WEIRBOOK_BOOK_READINGS_H
#define WEIRBOOK_BOOK_READINGS_H

#include "book/book.h"

enum { HOUR_S = 3600 };

/* A probe as its readings need it.  Texts belong to the arena that it was read with. */
struct probe {
	int64_t id;
	const char *code, *quantity, *unit, *place;
	double low, high;         /* the farm's own bounds, for alarms; NAN: none */
	int64_t silent_after_min; /* NO_SILENCE: not set */
	double least, most;       /* what its quantity can be at all; NAN: no bound */
	bool struck;
};
#define NO_SILENCE INT64_MIN

/* ERR_NOT_FOUND adds no item. */
enum err_code probe_load(struct book *b, int64_t id, struct arena *arena, struct probe *out,
			 struct err *err);
/* By code, by key, or as "#12" by id.  ERR_INPUT on field "probe": unknown_reference, with the
 * nearest code. */
enum err_code probe_find(struct book *b, const char *text, struct arena *arena, struct probe *out,
			 struct err *err);

/* Whether this can be so; value is a number.  ERR_INPUT: out_of_range on "value" (args low, high),
 * in_future on "at". */
enum err_code reading_check(const struct probe *p, int64_t at, double value, int64_t now,
			    struct err *err);

/*
 * A batch on its way in, in a write transaction.  Between its begin and its end no savepoint is
 * made.  What readings_take refuses (ERR_INPUT) is about that one reading: the batch goes on.
 */
struct readings_in {
	struct book *b;
	int64_t now;        /* of the service's clock */
	int64_t kept, same; /* new or changed; there already with this value */
	struct arena arena; /* of the probes met */
	struct known_probe *known[64];
	struct touched_hour *touched; /* owned; whose sums must be made again */
	size_t n, room;
	struct {
		int64_t probe_id, hour;
	} last[64]; /* touched last, by probe: most readings come in the order of time */
};

/* Makes in empty, ready for readings_take; readings_end must follow. */
void readings_begin(struct readings_in *in, struct book *b, int64_t now);
/* probe as probe_find has it. */
enum err_code readings_take(struct readings_in *in, const char *probe, int64_t at, double value,
			    struct err *err);
/* Brings hours and days in step, when rc is ERR_NONE; returns rc otherwise.  Releases in. */
enum err_code readings_end(struct readings_in *in, enum err_code rc, struct err *err);

/* Sums of a probe between two instants (both included) made again.  For a stretch that is found
 * wrong. */
enum err_code readings_recount(struct book *b, int64_t probe_id, int64_t from, int64_t to,
			       struct err *err);
/* All sums made again, from the readings.  In a write transaction. */
enum err_code readings_rebuild(struct book *b, struct err *err);
/* Calls found for each probe whose sums are not what its readings give.  Changes nothing. */
enum err_code readings_check_sums(struct book *b, void (*found)(const char *text, void *with),
				  void *with, struct err *err);

/* Sums of the readings of an hour or a farm day. */
struct sums {
	int64_t at; /* hour since 1970, or farm day */
	int64_t readings;
	double sum, low, high;
};

/* Stretches that count for nothing, of one probe; both ends included. */
struct wrong_stretches {
	struct {
		int64_t from, to;
	} * all;
	size_t n, room;
};
/* Owned by the arena. */
enum err_code wrong_stretches_load(struct book *b, int64_t probe_id, struct arena *arena,
				   struct wrong_stretches *out, struct err *err);
/* Whether an instant lies in one of them. */
bool is_wrong(const struct wrong_stretches *w, int64_t at);

#endif

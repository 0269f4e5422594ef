/*
 * Which fish had a treatment: the fish that stand in a tank are followed back through moves, merges
 * and splits, to where and when they were treated.
 */
#ifndef WEIRBOOK_BOOK_TREATED_H
#define WEIRBOOK_BOOK_TREATED_H

#include "book/fish_view.h"
#include "book/tank_facts.h"

enum { DEGREE_DAYS_RUN_DAYS = 365 }; /* so long a withdrawal in degree-days is taken to run */
#define IN_DEGREE_DAYS INT64_MIN

/* A treatment of fish or of their water; what it was not given to is 0. */
struct treatment {
	int64_t fish_lot_id, tank_id, loop_id;
	const char *medicine;
	int64_t first_day, last_day;
	int64_t withdrawal_days; /* IN_DEGREE_DAYS: told so */
	int64_t ends_day;        /* the first day on which it no longer runs */
};

/* The treatments whose withdrawal runs on some day of a time, and the fish over that time. */
struct treated {
	struct book *b;
	struct arena *arena;
	struct treatment *all; /* the longest first */
	size_t n;
	struct fish_view view;            /* empty when there are none, */
	struct loop_change *loop_changes; /* and these too */
	size_t n_loop_changes;
};

/* Treatments that run on a day from from_day to to_day (both included).  Without any nothing else
 * is read.  A transaction is open, so that nothing moves while *out is used; all memory is the
 * arena's. */
enum err_code treated_open(struct book *b, int64_t from_day, int64_t to_day, struct arena *arena,
			   struct treated *out, struct err *err);

/*
 * The treatment whose withdrawal runs longest, of those that run on `day` and that fish taken as
 * lot_id out of tank_id at `instant` may have had; NULL in *out: none.  Fish of one species that
 * swim in one tank cannot be told apart: what is taken may be of any lot of the species that stands
 * there.  A treatment of a lot or a tank is had by the fish that were of that lot or in that tank
 * on one of its days; one of a loop by the fish that were in its tanks from its first day until the
 * withdrawal is over.
 */
enum err_code treated_find(const struct treated *t, int64_t lot_id, int64_t tank_id,
			   int64_t instant, int64_t day, const struct treatment **out,
			   struct err *err);

/* Plants stand in the water of every tank of their loop: a treatment of a lot, running on `day`,
 * that stood in one of the loop's tanks on a day of the treatment; NULL in *out: none. */
enum err_code treated_water(const struct treated *t, int64_t loop_id, int64_t day,
			    const struct treatment **out, struct err *err);

#endif

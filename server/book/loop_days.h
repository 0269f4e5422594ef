/* What each loop was fed, and how much was planted in its water, day by day. */
#ifndef WEIRBOOK_BOOK_LOOP_DAYS_H
#define WEIRBOOK_BOOK_LOOP_DAYS_H

#include <stdbool.h>

#include "book/book.h"
#include "book/explained.h"

struct water_loop {
	int64_t id;
	const char *code;
	double volume_l;             /* as of the day asked */
	double makeup_l_day;         /* as set up; NAN: not given */
	double ratio_min, ratio_max; /* the farm's band, g/m2/day; NAN: not set */
	double filter_g_day;         /* TAN that its filters nitrify; NAN: no filter is set up */
	bool filter_rate_assumed;    /* a filter has no rate of its own: the published one */
};

/* Loops in use on a farm day, on the walk; owned by the arena. */
enum err_code water_loops(struct book *b, int64_t day, struct arena *arena, struct water_loop **out,
			  size_t *n, struct err *err);

struct loop_day {
	/* entries; 0: nothing was recorded, which is not the same as nothing fed */
	int64_t feedings;
	int64_t feed_mg, uneaten_mg;
	double protein_g; /* in what was eaten, by the protein of the feed on that day */
	/* rafts with a living plant at the day's end; NAN: a bed's measures lack */
	double planted_m2;
};

/* The loop of a tank from a day on. */
struct tank_loop {
	int64_t tank, from_day, loop;
};

struct loop_days {
	int64_t from_day, to_day;
	const struct water_loop *loops;
	size_t n_loops;
	/* Where each tank began (from_day INT64_MIN), then the changes of all, oldest first. */
	const struct tank_loop *tanks;
	size_t n_tanks;
	struct loop_day *days; /* by loop, then day: see loop_day_of */
};

/*
 * The farm days [from_day, to_day] of these loops; what is planted only from planted_from on (that
 * costs most).  A tank counts for the loop that it was in on the day.  Feed that was taken out
 * again does not count as eaten.  Days to come have no feed, and are planted as their moves say.
 * Owned by the arena.
 */
enum err_code loop_days_load(struct book *b, const struct water_loop *loops, size_t n_loops,
			     int64_t from_day, int64_t to_day, int64_t planted_from,
			     struct arena *arena, struct loop_days *out, struct err *err);

/* day must be among those loaded. */
const struct loop_day *loop_day_of(const struct loop_days *d, size_t loop, int64_t day);

/* Lists the feedings of a loop on days [first, last], which must be among those loaded, tanks by the loop that they
 * were in; nothing when there are none. */
void loop_days_list_feedings(const struct loop_days *d, size_t loop, int64_t first, int64_t last,
			     const char *part, struct explained_lists *lists);

/* Lists all that was entered about the raft beds of a loop up to a day: what stands planted in them rests on it. */
void loop_list_planted(int64_t loop_id, int64_t day, struct explained_lists *lists);

/* What was fed and not taken out again, g. */
double loop_day_eaten_g(const struct loop_day *d);

/* The mean of the days of [last - 6, last] that have a record. */
struct loop_week {
	int days;           /* with a feeding on record, 0 to 7 */
	double feed_g_day;  /* eaten; NAN without a day */
	double protein_pct; /* of it; NAN */
	double planted_m2;  /* mean of all seven days; NAN: not known */
	/* feed a day over planted area; NAN: no record, or nothing planted */
	double ratio_g_m2_day;
};
/* last - 6 to last must be among the days loaded. */
struct loop_week loop_week_of(const struct loop_days *d, size_t loop, int64_t last);

#endif

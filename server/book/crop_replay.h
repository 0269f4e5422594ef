/*
 * Plays the entries about plants in their order and says what stands where: the ledger of crops as
 * a pure function of the entries that stand.  No store, no clock; the order of arrival never
 * matters.  Reading the entries, and which lots can stand at all, is crop_ledger.c's.
 *
 * A plant is one occupied site or plug.  Order: (instant, sort, key), with two exceptions
 * (docs/rules.md, "Order and time"): moves of one lot at one instant run so that a bed fills before
 * it empties; a loss by day alone, in a bed emptied earlier that day and not filled since, stands
 * just before the emptying.
 *
 * Nothing is refused.  More taken than there is: the bed stands at zero, the gap is unexplained
 * (plants found, above 0) and one struct crop_gap.  A count or an emptying that finds fewer:
 * unexplained below 0.
 */
#ifndef WEIRBOOK_BOOK_CROP_REPLAY_H
#define WEIRBOOK_BOOK_CROP_REPLAY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/uuid.h"
#include "domain/bed_queue.h"

#define CROP_NONE INT64_MIN /* a number, day or instant that is not given or not known */

enum crop_sort { /* in the order of rank */
		 CROP_SOWN,
		 CROP_COUNTED,
		 CROP_MOVED,
		 CROP_LOST,
		 CROP_HARVESTED
};

struct crop_event {
	enum crop_sort sort;
	int64_t id; /* of the entry, within its kind */
	struct uuid key;
	int64_t instant, day;
	bool by_day; /* by day alone */
	int64_t lot;
	int64_t bed;    /* where it happened; of a move, from where */
	int64_t to_bed; /* of a move */
	int64_t plants; /* sown: the estimate; counted, moved, lost; harvested: crop_sites_emptied() */
	int64_t cubes;      /* sown */
	int64_t rafts;      /* CROP_NONE: not given */
	int64_t raft_sites; /* of a move; CROP_NONE: the bed's own */
	bool foot;          /* of a move: plants at the foot */
	bool empties;       /* that was all of them */
	bool germination;   /* of a count: its method */
	bool cut_again;     /* of a harvest: the crop grows again, a cut takes no plant */
};

/* Plants of a sowing until they are counted: cubes x germination, rounded; NAN: no seed lot says,
 * 100 %. */
int64_t crop_plants_estimated(int64_t cubes, double germination_pct);

/*
 * Sites that a harvest empties: plants when given; 0 for a crop that is cut again; else pieces +
 * culled. CROP_NONE when only a weight is given, or when a crop that is cut again is emptied: then
 * all that stands goes if the harvest empties the bed, and nothing if it does not.
 */
int64_t crop_sites_emptied(int64_t plants, int64_t pieces, int64_t culled, bool cut_again,
			   bool empties);

enum crop_stage { CROP_GERMINATION, CROP_NURSERY, CROP_RAFTS, CROP_STAGE__MAX }; /* a bed's role */

struct crop_holding { /* one lot in one bed */
	int64_t lot, bed;
	int64_t plants;
	bool estimated;      /* from the sowing's estimate; no germination count yet */
	int64_t since_day;   /* when it came into the bed, last time the bed had none of it */
	int64_t moved_day;   /* the same, CROP_NONE for the bed it was sown in */
	int64_t stage_day;   /* when it came to a bed of this stage, from one of another */
	int64_t unexplained; /* plants found (above 0) or missing (below 0) here, all told */
	size_t next;         /* of the same lot; SIZE_MAX ends */
};

struct crop_sums { /* one lot, all told up to the instant */
	int64_t lot;
	int64_t sown_day, sown_cubes; /* CROP_NONE, 0 when the sowing lies ahead or is struck */
	int64_t plants;               /* that stand, in all beds */
	int64_t came_up;              /* of the sowing: estimated until it is counted */
	int64_t lost, harvested;
	int64_t lost_at[CROP_STAGE__MAX]; /* by what the bed was for: enum crop_stage */
	int64_t unexplained;
	int64_t last_cut_day;                /* of a harvest that left plants standing; CROP_NONE */
	int64_t nursery_day;                 /* when it first came to a nursery; CROP_NONE */
	int64_t first_cut_at, first_cut_day; /* its first harvest; CROP_NONE */
	int64_t first_cut_raft_day; /* when those plants came to rafts; CROP_NONE: they stood on none */
	int64_t ended_at;           /* when its last plant left; CROP_NONE while one stands */
	size_t holdings;            /* the first; SIZE_MAX: none */
};

struct crop_bed { /* the queue of one bed */
	int64_t bed;
	enum crop_stage stage;
	struct bed_size size;
	struct bed_stretch *queue; /* foot to head */
	size_t n, room;
};

struct crop_gap { /* an entry that took more than the book had */
	enum crop_sort sort;
	int64_t id;
	int64_t lot, bed, day;
	int64_t there, asked;
};

struct crop_found { /* plants found (above 0) or missing (below 0), unexplained */
	int64_t lot, bed, day, plants;
};

/* The answer; all of it is the arena's. */
struct crop_state {
	struct arena *arena;
	struct crop_bed *beds; /* as given, by ascending id */
	size_t n_beds;
	struct crop_holding *holdings; /* in the order they began; plants may be 0 */
	size_t n_holdings, holdings_room;
	struct crop_sums *lots; /* by ascending lot */
	size_t n_lots;
	struct crop_gap *gaps; /* in order */
	size_t n_gaps, gaps_room;
	struct crop_found *found; /* in order */
	size_t n_found, found_room;
	const struct crop_event *events; /* all that were given, in order; borrowed */
	size_t n_events, next; /* next: the first that is not played, see crop_replay_on */
	int64_t until;
};

/* Days from a day of a lot's life to its first harvest; CROP_NONE: there is no such day, or it
 * comes after. */
struct crop_took {
	int64_t sown_day, first_cut_at;
	int64_t from_sown, from_nursery, from_raft;
};
struct crop_took crop_took_of(const struct crop_sums *sums); /* NULL: a lot without entries */

/* Brings events into the order of the ledger, in place. */
void crop_order(struct crop_event *events, size_t n);

/*
 * Plays the events whose instant is at or before until.  events are ordered by this call.  beds
 * (bed and size filled in) is kept and changed, in the caller's arena.  An event in a bed that is
 * not in beds counts plants but has no rafts.
 */
void crop_replay(struct crop_event *events, size_t n, struct crop_bed *beds, size_t n_beds,
		 int64_t until, struct arena *arena, struct crop_state *out);

/*
 * The same in steps: begin plays nothing, on plays what is left up to until, which is the end of a
 * farm day and not before the last one.  After each step the state is what crop_replay gives for
 * that instant.
 */
void crop_replay_begin(struct crop_event *events, size_t n, struct crop_bed *beds, size_t n_beds,
		       struct arena *arena, struct crop_state *out);
void crop_replay_on(struct crop_state *s, int64_t until);

/* NULL when there is none. */
struct crop_sums *crop_sums_of(const struct crop_state *s, int64_t lot);
struct crop_bed *crop_bed_of(const struct crop_state *s, int64_t bed);
struct crop_holding *crop_holding_of(const struct crop_state *s, int64_t lot, int64_t bed);

#endif

/*
 * What reports see of the fish: the rows of each lot in each tank over a time, kept ones where they
 * hold, and computed in memory where they do not.
 */
#ifndef WEIRBOOK_BOOK_FISH_VIEW_H
#define WEIRBOOK_BOOK_FISH_VIEW_H

#include "book/fish_load.h"
#include "book/fish_replay.h"

struct fish_view_lot {
	struct fish_lot_facts facts;
	struct fish_stretch *stretches;
	size_t n_stretches;
	bool settled; /* false: its means did not come to rest */
};

/* A lot in a tank.  In its rows, lot and tank, other_lot and other_tank are ids (-1: none). */
struct fish_view_cell {
	size_t lot;            /* index in lots */
	size_t tank;           /* index in tanks */
	struct fish_row *rows; /* in order */
	size_t n_rows;
};

/* What a tank's fish ate on each farm day, as far as it is needed. */
struct tank_feed {
	int64_t first_day;
	size_t n;
	double *eaten_g; /* NAN: no feeding was written down */
};

struct fish_view {
	struct fish_view_lot *lots;
	struct id_set lot_ids; /* lots[i] has id lot_ids.ids[i] */
	struct id_set tank_ids;
	struct temperature_days *temperatures; /* one a tank */
	struct tank_feed *feeds;               /* one a tank */
	struct fish_view_cell *cells;          /* by lot, then tank */
	size_t n_cells;
};

/*
 * The cells that had fish, or a row, between instants begin and end (both included).  tank_id,
 * lot_id: only cells of it; 0: all.  All of the view is the arena's.  It may be used for any
 * instant from begin to end.
 */
enum err_code fish_view_open(struct book *b, int64_t begin, int64_t end, int64_t tank_id,
			     int64_t lot_id, struct arena *arena, struct fish_view *out,
			     struct err *err);

/* How a cell stood at an instant. */
struct fish_standing {
	const struct fish_row *row; /* the last one at or before it; NULL: not there yet */
	int64_t fish;
	double mean_g, mean_se_g; /* NAN: not known */
	double biomass_g;         /* 0 without fish; NAN: not known */
	double biomass_se_g;
	enum fish_basis basis;
};

/* After all entries up to and with instant `at`.  After the last weighing the mean is held to the
 * feed (fish_fed.h).  Standard errors cost a walk over the days since the last weighing, and are
 * left NAN unless asked for. */
struct fish_standing fish_standing_at(const struct fish_view *v, const struct fish_view_cell *c,
				      int64_t at, bool with_se);

/* Index of the first row after instant `at`. */
size_t fish_rows_until(const struct fish_view_cell *c, int64_t at);

/* "weighed", "between", "projected", "supplier", "carried_back" or "unknown". */
const char *fish_basis_word(enum fish_basis basis);

#endif

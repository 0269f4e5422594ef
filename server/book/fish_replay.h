/*
 * The fish ledger as a pure function: the entries about some lots, in order, give the state of each
 * lot in each tank after each of them.  No store, no clock; all memory comes from the caller's
 * arena.
 *
 * A *cell* is one lot in one tank: so many fish of so much mass.  A *stretch* is the time between
 * two weighings of the whole of a cell (a weighing; an arrival with its weight; a move or harvest
 * with its weight that leaves nothing behind), followed through a move of all the fish into a tank
 * where none of their lot is.  For each stretch one growth coefficient is solved so that the mass,
 * carried through every move, death and harvest at its time, arrives at the weighing that ends it.
 * An open stretch takes what the lot's solved ones and the species' prior teach (fish_learn.c).
 * See docs/formulas/fish-ledger.md.
 */
#ifndef WEIRBOOK_BOOK_FISH_REPLAY_H
#define WEIRBOOK_BOOK_FISH_REPLAY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/uuid.h"
#include "domain/growth.h"
#include "domain/temperature.h"
#include "model/record.h"

enum fish_act { FISH_MOVED, FISH_COUNTED, FISH_WEIGHED, FISH_DIED, FISH_HARVESTED };

/* Where fish go that a move takes out of the book. */
enum fish_exit { EXIT_NONE, EXIT_SOLD, EXIT_ESCAPED, EXIT_OTHER };

/* One entry.  Lots and tanks are indexes into the arrays of struct fish_world; -1: none. */
struct fish_event {
	int64_t instant;
	int64_t day; /* the farm's day */
	enum rank rank;
	struct uuid key;
	const struct kind *kind; /* and id: where the entry stands */
	int64_t id;
	enum fish_act act;
	bool by_day; /* it came with a day and no time */

	int lot, tank;       /* FISH_MOVED: out of; FISH_DIED: lot -1 is split by number */
	int to_lot, to_tank; /* FISH_MOVED: into */
	bool graded;         /* FISH_MOVED: picked by size, so no random sample */
	enum fish_exit exit; /* FISH_MOVED with to_tank -1 */
	int64_t fish;        /* moved, counted, dead, harvested; -1: only a weight is known */
	double mass_g;       /* of them, live; NAN: not weighed */
	int64_t culled;      /* FISH_HARVESTED; -1: only a weight is known */
	double culled_g;     /* NAN: not weighed */
	bool empties;

	double sample_g;    /* FISH_WEIGHED: mean of the sample */
	double sample_fish; /* how many were weighed */
	double sample_cv;   /* standard deviation over mean of single fish; NAN: assumed */
};

struct fish_lot_info {
	int64_t id;
	double supplier_g; /* mean weight as the supplier says; NAN */
	double optimum_c;  /* cap of T; NAN */
	double tgc_prior;  /* NAN */
	double tgc_prior_sd;
};

struct fish_world {
	const struct fish_lot_info *lots;
	size_t n_lots;
	const int64_t *tank_ids;
	const struct temperature_days *temperatures; /* one a tank */
	size_t n_tanks;
	struct fish_event *events; /* sorted here; instants of some by-day deaths are moved */
	size_t n_events;
};

/* What an entry did to a cell. */
enum fish_effect {
	EFFECT_ARRIVED, /* into the farm */
	EFFECT_MOVED_IN,
	EFFECT_MOVED_OUT,
	EFFECT_SOLD, /* live */
	EFFECT_ESCAPED,
	EFFECT_DIED,
	EFFECT_HARVESTED,
	EFFECT_CULLED,
	EFFECT_FOUND,   /* unexplained: more were there than the book said (fish > 0) */
	EFFECT_MISSING, /* unexplained: fewer were there (fish < 0) */
	EFFECT_WEIGHED, /* no fish move; the mean is set */
	EFFECT__MAX
};

/* How the mean weight after a row is known. */
enum fish_basis {
	BASIS_UNKNOWN,     /* no weight has ever been known: biomass is null */
	BASIS_SUPPLIER,    /* the supplier's mean, carried forward */
	BASIS_WEIGHED,     /* at this very row */
	BASIS_BETWEEN,     /* a later weighing ends the stretch */
	BASIS_PROJECTED,   /* after the last weighing */
	BASIS_CARRIED_BACK /* before the first weighing, with the species' prior */
};

struct fish_row {
	int64_t instant;
	int64_t day;
	const struct kind *kind;
	int64_t id;
	int lot, tank;
	int other_lot, other_tank; /* of a move: where the fish came from or went; -1 */
	enum fish_effect effect;
	int64_t fish;   /* signed change */
	double mass_g;  /* signed change; NAN when no weight is known */
	bool estimated; /* mass_g was not measured */
	/* The cell afterwards, and how it grows until its next row. */
	int64_t fish_after;
	double mean_g; /* NAN: not known, or no fish */
	enum growth_model model;
	double k;
	enum fish_basis basis;
	int64_t weighed_at; /* instant of the last weighing of the whole; NO_INSTANT */
	int stretch;        /* index in stretches */
};

#define NO_INSTANT INT64_MIN

/* The time between two weighings of the whole.  Errors are standard errors on the growth scale, see
 * growth_scale(); x is what growth runs on: thousands of degree-days, or days / 100. */
struct fish_stretch {
	int lot;
	int64_t starts_at, ends_at; /* ends_at NO_INSTANT: open */
	enum growth_model model;
	double k;
	double x; /* over the whole of a closed stretch */
	double start_se, end_se;
	double k_se;        /* open: of k, as far as it is independent of the start's error */
	double k_lean;      /* open: how far k leans on the start's error, per unit of it */
	double picked_se;   /* from parts that were picked by size and left unweighed; 0: none */
	double picked_x;    /* at the first of them */
	bool start_unknown; /* no weight at its start: carried back, or the supplier's */
};

/* Where more left than the book had: the gap stands as EFFECT_FOUND. */
struct fish_shortfall {
	int lot, tank; /* lot -1: none was in the tank */
	int64_t day;
	int64_t there, asked;
	const struct kind *kind;
	int64_t id;
};

struct fish_ledger {
	struct fish_row *rows; /* in order of the entries */
	size_t n_rows;
	struct fish_stretch *stretches;
	size_t n_stretches;
	struct fish_shortfall *shortfalls;
	size_t n_shortfalls;
	bool settled; /* false: means still moved 0.01 g after 50 passes */
	int passes;
};

/* Sorts w->events and replays them.  Everything in out belongs to arena. */
void fish_replay(struct fish_world *w, struct arena *arena, struct fish_ledger *out);

#endif

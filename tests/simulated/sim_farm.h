/*
 * A simulated farm whose truth is known.  It lives day by day in continuous time, and writes down, as
 * exchange CSV, what a crew would: everything exactly (perfect), or as people and scales do (noisy).
 *
 * The truth.  Each lot grows by the thermal model with a coefficient of its own, which is drawn anew for every
 * tank and every period between weighings (spread k_spread).  Single fish spread around the mean with a
 * coefficient of variation of 0.20.  Feed given is the day's growth times the farm's true conversion, which
 * wavers by 10 % from day to day.  A few fish die each week.  Half-way a lot is graded: the bigger
 * part moves to another tank.  Two lots share a tank for some weeks.
 *
 * Perfect: every weighing is of all fish; moved and dead fish are weighed; temperatures are exact.
 * Noisy: 40 fish are weighed in bulk; the dead are counted, not weighed; graded fish are weighed by a scale that
 * is 0.5 % off (standard deviation), other moves are counted only, of them one of
 * fish picked by eye, whose mean lies 15 % (standard deviation) off that of all; thermometers read within 0.2 degrees
 * (standard deviation); nothing is weighed on the last nine days.
 */
#ifndef WEIRBOOK_TESTS_SIM_FARM_H
#define WEIRBOOK_TESTS_SIM_FARM_H

#include <stdbool.h>
#include <stdint.h>

#include "base/arena.h"
#include "book/import.h"

enum { SIM_TANKS = 4, SIM_LOTS = 4, SIM_FILES = 12, SIM_DAYS = 128 };

struct sim_options {
	uint64_t seed;
	bool noisy;
	int days;
	int written_days; /* nothing is written down after that many; 0: all is */
	int market_day;   /* market weight is what some lot weighs on that day; 0: 1 kg */
	double k_spread; /* of the coefficient from period to period, g^(1/3) per 1000 degree-days */
};

struct sim_truth {
	int64_t last_instant;  /* end of the simulation */
	int64_t written_until; /* the first instant of which nothing is written down */
	double market_g;
	double mean_g[SIM_TANKS][SIM_LOTS]
		     [SIM_DAYS]; /* at the end of day d; NAN or old: not there */
	int64_t fish[SIM_TANKS][SIM_LOTS];
	double mass_g[SIM_TANKS][SIM_LOTS];
	double feed_g[SIM_TANKS]; /* since the first stocking */
	double gain_g
		[SIM_TANKS]; /* growth of the fish while they were in the tank and alive, less what
	                                     * the dead weighed: end + removed - start - added */
	double dead_g[SIM_TANKS];
	int64_t dead[SIM_TANKS];
	int64_t stocked_day[SIM_TANKS];
};

struct sim_farm {
	struct import_file files[SIM_FILES];
	size_t n_files;
	struct sim_truth truth;
};

extern const char *const sim_tank_codes[SIM_TANKS];
extern const char *const sim_lot_codes[SIM_LOTS];

/* Lives through the farm; texts belong to the arena. */
void sim_farm_run(const struct sim_options *options, struct arena *arena, struct sim_farm *out);

#endif

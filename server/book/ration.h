/* What a tank is to be fed on a day: plan, biomass, steps and limits. */
#ifndef WEIRBOOK_BOOK_RATION_H
#define WEIRBOOK_BOOK_RATION_H

#include "book/fish_view.h"

enum { SLOTS_MAX = 48 };

/* A day that is not today is looked at so long after it began, so that its own temperature
 * counts. */
enum { RATION_STANDS_S = 12 * 3600 };

struct ration {
	bool planned; /* there is a plan for the day */
	int64_t feed_id;
	const char *feed;   /* its name */
	double day_g;       /* for the whole day; NAN: cannot be said */
	double pct;         /* of body weight; NAN */
	double factor;      /* 0 to 1: what the limits leave of it */
	const char *reason; /* why it is cut, held or not known; NULL: it is whole */
	size_t n_slots;
	int due_min[SLOTS_MAX];  /* minutes after midnight, local */
	double share[SLOTS_MAX]; /* of day_g; they add up to 1 */
};                               /* texts belong to the arena */

/*
 * The ration of a tank on a farm day as of instant `at`.  v holds the tank's cells at `at`.  A held
 * plan, a purge tank, or a reading at its stop: 0 with the reason.  Oxygen not read within 12 h:
 * whole, with reason oxygen_unknown.
 */
enum err_code ration_of_tank(struct book *b, const struct fish_view *v, int64_t tank_id,
			     int64_t day, int64_t at, struct arena *arena, struct ration *out,
			     struct err *err);

/* Fish of one species in a water; NAN where not known. */
struct ration_of_species {
	double weight_g, temperature_c, do_mg_l, nh3_n_mg_l, nitrite_n_mg_l;
};

/*
 * By the newest steps and limits of the species: percent of body weight a day (NAN without steps),
 * what the limits leave of it, and why it is cut (NULL: it is whole).
 */
enum err_code ration_for_species(struct book *b, int64_t species_id,
				 const struct ration_of_species *asked, struct arena *arena,
				 double *pct, double *factor, const char **reason, struct err *err);

#endif

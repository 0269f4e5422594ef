/* How long a tank's fish have oxygen when nothing supplies any: figures of the book for
 * domain/loading.h. */
#ifndef WEIRBOOK_BOOK_AIR_LEFT_H
#define WEIRBOOK_BOOK_AIR_LEFT_H

#include "book/fish_view.h"
#include "book/water.h"

/* Taken for a species that has none of its own: common practice, no source. */
#define USUAL_UPTAKE_MG_KG_H 300.0
/* The stop where no limit of the species says one: common practice, no source. */
#define USUAL_STOP_MG_L 3.0

struct air_left {
	int64_t fish;
	double volume_l, biomass_g; /* biomass_g NAN: not known */
	double do_mg_l;             /* the newest of 30 days; NAN: none */
	int64_t do_at;              /* Unix seconds */
	enum bound do_bound;
	double stop_mg_l; /* the strictest of the species that stand there, else USUAL_STOP_MG_L */
	double uptake_mg_kg_h;         /* their mean by biomass; NAN without fish */
	bool usual_stop, usual_uptake; /* nobody set them */
	double minutes; /* NAN: not known, or no fish; never more than is sure of a kit's bound */
};

/*
 * Of a tank as it stands at instant `at`.  v: a view that shows it then.  arena: for work alone.
 * ERR_NOT_FOUND: there is no such tank.  *out is untouched on failure.
 */
enum err_code air_left_of_tank(struct book *b, const struct fish_view *v, int64_t tank_id,
			       int64_t at, struct arena *arena, struct air_left *out,
			       struct err *err);

#endif

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
	double volume_l, biomass_g;
	double do_mg_l; /* newest; NAN: never read */
	int64_t do_at;
	enum bound do_bound;
	double stop_mg_l, uptake_mg_kg_h;
	bool usual_stop, usual_uptake; /* nobody set them */
	double minutes;                /* NAN: not known */
};

/* Of a tank as it stands at an instant.  v: a view that shows it then. */
enum err_code air_left_of_tank(struct book *b, const struct fish_view *v, int64_t tank_id,
			       int64_t at, struct arena *arena, struct air_left *out,
			       struct err *err);

#endif

/* See air_left.h. */
#include "book/air_left.h"

#include <math.h>

#include "book/place_fish.h"
#include "book/tank_facts.h"
#include "domain/loading.h"

static enum err_code uptake_of(struct book *b, int64_t species_id, double *mg_kg_h, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_SPECIES_UPTAKE, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":species_id", species_id);
	rc = stmt_row(q, err);
	if (!rc)
		*mg_kg_h = stmt_real(q, 0);
out:
	stmt_done(q);
	return rc;
}

/* Fish, biomass and the mean uptake of a kilogram of them. */
static enum err_code weigh(struct book *b, const struct fish_view *v, int64_t tank_id, int64_t at,
			   struct air_left *out, struct err *err)
{
	double taken = 0.0;
	enum err_code rc = ERR_NONE;

	for (size_t i = 0; !rc && i < v->n_cells; i++) {
		const struct fish_view_cell *c = &v->cells[i];
		const struct fish_standing st = fish_standing_at(v, c, at, false);
		double uptake = NAN;

		if (v->tank_ids.ids[c->tank] != tank_id || st.fish == 0)
			continue;
		rc = uptake_of(b, v->lots[c->lot].facts.species_id, &uptake, err);
		out->usual_uptake = out->usual_uptake || isnan(uptake);
		out->fish += st.fish;
		out->biomass_g += st.biomass_g;
		taken += st.biomass_g * (isnan(uptake) ? USUAL_UPTAKE_MG_KG_H : uptake);
	}
	out->uptake_mg_kg_h = taken / out->biomass_g;
	return rc;
}

static enum err_code find_stop(struct book *b, const struct fish_view *v, int64_t tank_id,
			       int64_t at, struct arena *arena, struct air_left *out,
			       struct err *err)
{
	struct limits limits[QUANTITY__MAX];
	struct id_set tank = { 0 }, species;

	id_set_add(&tank, tank_id, arena);
	species_in_tanks(v, &tank, at, arena, &species);
	enum err_code rc = water_limits(b, &species, book_day(b, at), arena, limits, err);
	if (rc)
		return rc;
	out->stop_mg_l = limits[QUANTITY_DO].low_stop;
	out->usual_stop = isnan(out->stop_mg_l);
	if (out->usual_stop)
		out->stop_mg_l = USUAL_STOP_MG_L;
	return ERR_NONE;
}

enum err_code air_left_of_tank(struct book *b, const struct fish_view *v, int64_t tank_id,
			       int64_t at, struct arena *arena, struct air_left *out,
			       struct err *err)
{
	enum { LOOK_BACK_S = 30 * 86400 };
	struct air_left a = { .minutes = NAN };
	struct reading readings[QUANTITY__MAX];
	struct tank_facts facts;
	enum err_code rc = tank_facts_load(b, tank_id, book_day(b, at), arena, &facts, err);

	if (!rc)
		rc = weigh(b, v, tank_id, at, &a, err);
	if (!rc)
		rc = find_stop(b, v, tank_id, at, arena, &a, err);
	if (!rc)
		rc = water_newest(b, tank_id, at - LOOK_BACK_S, at, readings, err);
	if (rc)
		return rc;
	const struct reading *oxygen = &readings[QUANTITY_DO];
	a.volume_l = facts.volume_l;
	a.do_mg_l = oxygen->value;
	a.do_at = oxygen->at;
	a.do_bound = oxygen->bound;
	/* Below what the meter reads there may be none; above it, it reads the least that it may be. */
	if (oxygen->bound != BOUND_BELOW)
		a.minutes = air_left_minutes(a.volume_l, a.do_mg_l, a.stop_mg_l,
					     a.biomass_g / 1000.0, a.uptake_mg_kg_h);
	*out = a;
	return ERR_NONE;
}

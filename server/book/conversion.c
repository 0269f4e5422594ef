/* See conversion.h. */
#include "book/conversion.h"

#include <math.h>
#include <stdlib.h>

#include "book/feed_shares.h"
#include "book/fish_mean.h"
#include "domain/normal.h"

static int64_t group_id(const struct fish_view *v, const struct conversion_groups *groups,
			int64_t lot_id, int64_t tank_id)
{
	const int lot = id_set_find(&v->lot_ids, lot_id);
	const int tank = id_set_find(&v->tank_ids, tank_id);

	switch (groups->by) {
	case BY_TANK:
		return tank_id;
	case BY_LOT:
		return lot_id;
	case BY_SPECIES:
		return lot < 0 ? -1 : v->lots[lot].facts.species_id;
	case BY_LOOP:
		return tank < 0 ? -1 : groups->loop_ids[tank];
	}
	return -1;
}

/* Whether a move's other end lies in the same group. */
static bool stays_within(const struct fish_view *v, const struct conversion_groups *groups,
			 const struct fish_row *r)
{
	if (r->other_tank < 0)
		return false;
	return group_id(v, groups, r->lot, r->tank) ==
	       group_id(v, groups, r->other_lot, r->other_tank);
}

bool conversion_counts(const struct fish_view *v, const struct conversion_groups *groups,
		       const struct fish_row *row)
{
	const bool moved = row->effect == EFFECT_MOVED_IN || row->effect == EFFECT_MOVED_OUT;

	return !moved || !stays_within(v, groups, row);
}

static void add_flow(const struct fish_view *v, const struct conversion_groups *groups,
		     const struct fish_row *r, struct conversion *out)
{
	switch (r->effect) {
	case EFFECT_ARRIVED:
		out->added_g += r->mass_g;
		break;
	case EFFECT_FOUND:
		out->added_g += r->mass_g;
		out->unexplained_fish += r->fish;
		break;
	case EFFECT_MISSING:
		out->unexplained_fish += r->fish;
		break;
	case EFFECT_MOVED_IN:
		if (!stays_within(v, groups, r))
			out->added_g += r->mass_g;
		break;
	case EFFECT_MOVED_OUT:
		if (!stays_within(v, groups, r))
			out->removed_g -= r->mass_g;
		break;
	case EFFECT_SOLD:
	case EFFECT_HARVESTED:
		out->removed_g -= r->mass_g;
		break;
	case EFFECT_DIED:
	case EFFECT_CULLED:
		out->dead_g -= r->mass_g;
		out->dead_fish -= r->fish;
		break;
	case EFFECT_ESCAPED:
	case EFFECT_WEIGHED:
	case EFFECT__MAX:
		break;
	}
}

/* From the firmest to the loosest. */
static int looseness(enum fish_basis basis)
{
	static const int order[] = {
		[BASIS_WEIGHED] = 0,      [BASIS_BETWEEN] = 1,  [BASIS_PROJECTED] = 2,
		[BASIS_CARRIED_BACK] = 3, [BASIS_SUPPLIER] = 4, [BASIS_UNKNOWN] = 5
	};
	return order[basis];
}

static void loosen(struct conversion *out, const struct fish_standing *st)
{
	if (st->fish > 0 && looseness(st->basis) > looseness(out->basis))
		out->basis = st->basis;
}

/* Errors of several cells add in squares: their samples are their own. */
static double add_se(double a, double b)
{
	return isnan(b) ? a : hypot(a, b);
}

static const struct fish_stretch *stretch_of(const struct fish_view *v,
					     const struct fish_view_cell *c,
					     const struct fish_row *r)
{
	return r && r->stretch >= 0 ? &v->lots[c->lot].stretches[r->stretch] : NULL;
}

/* Unweighed fish that began a stretch which no weighing ended: too much here is too much there, and
 * nothing in the gain. */
static bool cancels(const struct fish_row *r, const struct fish_stretch *s)
{
	return s && s->ends_at == NO_INSTANT && r->effect == EFFECT_MOVED_IN && r->estimated &&
	       r->instant == s->starts_at;
}

/* What picking by size without weighing leaves in a mass that was weighed later. */
static double picked_se_g(const struct fish_row *r, const struct fish_stretch *s)
{
	if (!s || s->ends_at == NO_INSTANT || !(s->picked_se > 0.0) || r->fish_after == 0)
		return 0.0;
	return s->picked_se / growth_d_scale(s->model, r->mean_g) * (double)r->fish_after;
}

/* The error of what came in or went out at the mean, unweighed, across the group's border. */
static void add_flow_error(const struct fish_view *v, const struct conversion_groups *groups,
			   const struct fish_view_cell *c, const struct fish_row *r,
			   struct conversion *out)
{
	const bool moved = r->effect == EFFECT_MOVED_IN || r->effect == EFFECT_MOVED_OUT ||
			   r->effect == EFFECT_SOLD || r->effect == EFFECT_HARVESTED ||
			   r->effect == EFFECT_ARRIVED;
	const struct fish_stretch *s = stretch_of(v, c, r);

	if (!moved || !r->estimated || stays_within(v, groups, r) || cancels(r, s))
		return;
	const int64_t when = r->fish > 0 ? r->instant : r->instant - 1;
	const struct fish_standing st = fish_standing_at(v, c, when, true);
	out->flow_se_g = add_se(out->flow_se_g, (double)llabs(r->fish) * st.mean_se_g);
	out->flow_se_g = add_se(out->flow_se_g, picked_se_g(r, s));
}

/* The error of the mass at the end, as far as what was moved in the time does not have it too. */
static double end_se_g(const struct fish_view *v, const struct fish_view_cell *c,
		       const struct fish_standing *st, int64_t begin, int64_t at)
{
	const struct fish_stretch *s = stretch_of(v, c, st->row);

	if (st->fish == 0 || !s || s->ends_at != NO_INSTANT)
		return st->biomass_se_g;
	struct fish_stretch own = *s;
	for (size_t i = fish_rows_until(c, begin - 1); i < fish_rows_until(c, at); i++) {
		if (stretch_of(v, c, &c->rows[i]) != s || !c->rows[i].estimated)
			continue;
		if (cancels(&c->rows[i], s))
			own.start_se = 0.0;
		if (c->rows[i].effect == EFFECT_MOVED_IN || c->rows[i].effect == EFFECT_MOVED_OUT)
			own.picked_se = 0.0;
	}
	const struct fish_lot_info *lot = &v->lots[c->lot].facts.info;
	const struct temperature_days *t = &v->temperatures[c->tank];
	double all_g, own_g;
	fish_mean_at(st->row, s, lot, t, at, &all_g);
	fish_mean_at(st->row, &own, lot, t, at, &own_g);
	const double square = st->mean_se_g * st->mean_se_g - all_g * all_g + own_g * own_g;
	return (double)st->fish * sqrt(square > 0.0 ? square : 0.0);
}

static void add_cell(const struct fish_view *v, const struct conversion_groups *groups,
		     const struct fish_view_cell *c, struct conversion *out)
{
	const struct fish_standing start = fish_standing_at(v, c, out->begin - 1, true);
	const struct fish_standing end = fish_standing_at(v, c, out->end - 1, true);
	const size_t last = fish_rows_until(c, out->end - 1);

	out->start_g += start.biomass_g;
	out->start_se_g = add_se(out->start_se_g, start.biomass_se_g);
	out->start_fish += start.fish;
	out->end_g += end.biomass_g;
	out->end_se_g = add_se(out->end_se_g, end_se_g(v, c, &end, out->begin, out->end - 1));
	out->end_fish += end.fish;
	loosen(out, &start);
	loosen(out, &end);
	for (size_t i = fish_rows_until(c, out->begin - 1); i < last; i++) {
		add_flow(v, groups, &c->rows[i], out);
		add_flow_error(v, groups, c, &c->rows[i], out);
	}
}

static void divide(struct conversion *out)
{
	const double eaten = out->feed_g - out->uneaten_g;
	const double se = hypot(hypot(out->start_se_g, out->end_se_g), out->flow_se_g);

	out->economic = out->biological = out->low = out->high = NAN;
	out->gain_g = out->end_g + out->removed_g - out->start_g - out->added_g;
	if (isnan(out->gain_g)) {
		out->reason = "no_weight";
	} else if (!(out->gain_g > 0.0)) {
		const bool any = out->start_fish || out->end_fish || out->removed_g > 0.0;
		out->reason = any ? "no_gain" : "no_fish";
	} else if (!(eaten > 0.0)) {
		out->reason = "no_feed";
	} else {
		out->economic = eaten / out->gain_g;
		out->low = eaten / (out->gain_g + Z95 * se);
		if (out->gain_g > Z95 * se)
			out->high = eaten / (out->gain_g - Z95 * se);
		else
			out->reason = "gain_unsure";
	}
	if (out->gain_g + out->dead_g > 0.0 && eaten > 0.0)
		out->biological = eaten / (out->gain_g + out->dead_g);
}

enum err_code conversion_of(struct book *b, const struct fish_view *v,
			    const struct conversion_groups *groups, size_t g, int64_t begin,
			    int64_t end, struct conversion *out, struct err *err)
{
	*out = (struct conversion){ .begin = begin, .end = end, .basis = BASIS_WEIGHED };
	for (size_t i = 0; i < v->n_cells; i++)
		if (groups->of_cell[i] == (int)g)
			add_cell(v, groups, &v->cells[i], out);
	const enum err_code rc = feed_of_group(b, v, groups, g, out, err);
	if (!rc)
		divide(out);
	return rc;
}

enum err_code conversion_of_empty_tank(struct book *b, int64_t tank_id, int64_t begin, int64_t end,
				       struct conversion *out, struct err *err)
{
	*out = (struct conversion){ .begin = begin, .end = end, .basis = BASIS_UNKNOWN };
	const enum err_code rc = feed_of_tank(b, tank_id, out, err);
	if (!rc)
		divide(out);
	return rc;
}

/* What a move does: fish arrive, go from cell to cell, or leave.  See fish_acts.h. */
#include <math.h>

#include "book/fish_acts.h"
#include "book/fish_cells.h"

/* How far the mean of a part that was picked by size may lie from the whole's; common practice, no
 * source. */
static const double graded_se = 0.15;

/* Standard error of an unweighed part's mean, as a share of it: what is known of the whole, and the
 * picking. */
static double part_se(struct fish_pass *p, const struct fish_event *e, int stretch, bool all)
{
	const struct open_stretch *s = stretch < 0 ? NULL : &p->stretches[stretch];
	const double whole =
		s && s->start_g > 0.0 && s->start_se_g > 0.0 ? s->start_se_g / s->start_g : 0.0;

	return hypot(whole, e->graded && !all ? graded_se : 0.0);
}

/*
 * A part that was picked by size and not weighed takes its error along; those that stay, or that it
 * comes to, have that mass too much or too little.  of: fish that carry the error; part: fish that
 * were picked.
 */
static void note_picked(struct fish_pass *p, const struct fish_cell *c, double mean_g, int64_t part,
			int64_t of)
{
	const double se_g = graded_se * mean_g * (double)part / (double)of;

	if (c->stretch < 0 || of <= 0 || isnan(se_g))
		return;
	struct open_stretch *s = &p->stretches[c->stretch];
	if (!(s->picked_se_g > 0.0)) {
		s->picked_span = s->total;
		s->picked_mean_g = c->mean_g;
	}
	s->picked_se_g = hypot(s->picked_se_g, se_g);
}

/* Fish on their way into a cell. */
struct incoming {
	int64_t fish;
	double mass_g, mean_g; /* NAN: not known */
	double se;             /* standard error of mean_g as a share of it */
	bool weighed;          /* their mass was measured */
	bool picked;           /* by size, and not weighed */
	int going_on;          /* the stretch of a cell that moved as a whole; -1 */
};

static void come_in(struct fish_pass *p, const struct fish_event *e, struct fish_cell *c,
		    const struct incoming *in)
{
	fish_cell_advance(p, c, e->instant);
	if (c->fish > 0) {
		fish_cell_mix_in(p, c, in->fish, in->mean_g);
		if (in->picked)
			note_picked(p, c, in->mean_g, in->fish, c->fish);
		return;
	}
	if (in->fish == 0) /* a move of none begins nothing */
		return;
	if (in->weighed) {
		fish_cell_begin_stretch(p, c, e->instant, in->mean_g, 0.0, in->going_on);
		c->weighed_at = e->instant;
	} else if (in->going_on >= 0) {
		c->stretch = in->going_on;
		c->since = e->instant;
		c->mean_g = in->mean_g;
	} else {
		fish_cell_begin_stretch(p, c, e->instant, in->mean_g, in->se * in->mean_g, -1);
	}
	c->fish = in->fish;
}

static void arrive_from_outside(struct fish_pass *p, const struct fish_event *e)
{
	struct fish_cell *c = fish_cell_of(p, e->to_lot, e->to_tank);
	const bool weighed = e->mass_g > 0.0 && e->fish > 0;
	struct incoming in = { .fish = e->fish, .mean_g = NAN, .weighed = weighed, .going_on = -1 };

	if (weighed)
		in.mean_g = e->mass_g / (double)e->fish;
	else if (c->fish > 0)
		in.mean_g = fish_mean_elsewhere(p, e->to_lot);
	come_in(p, e, c, &in);
	fish_cell_row(p, e, c, EFFECT_ARRIVED, e->fish,
		      weighed ? e->mass_g : (double)e->fish * c->mean_g, !weighed);
}

static enum fish_effect leaving_effect(const struct fish_event *e)
{
	if (e->to_tank >= 0)
		return EFFECT_MOVED_OUT;
	return e->exit == EXIT_SOLD      ? EFFECT_SOLD
	       : e->exit == EXIT_ESCAPED ? EFFECT_ESCAPED
					 : EFFECT_MOVED_OUT;
}

/* Takes the fish of a move out of their cell, which has room. */
static struct incoming leave(struct fish_pass *p, const struct fish_event *e, struct fish_cell *c)
{
	const bool weighed = e->mass_g > 0.0 && e->fish > 0;
	const bool all = e->empties || c->fish == e->fish;
	struct incoming in = { .fish = e->fish,
			       .se = part_se(p, e, c->stretch, all),
			       .weighed = weighed,
			       .picked = e->graded && !weighed && !all,
			       .going_on = all && e->to_lot == e->lot ? c->stretch : -1 };

	if (all && weighed) /* a weighing of the whole */
		fish_cell_end_stretch(p, c, e->instant, e->mass_g / (double)e->fish, 0.0);
	const double taken_g = fish_cell_take(p, c, e->fish, weighed && !all ? e->mass_g : NAN);
	in.mass_g = weighed ? e->mass_g : taken_g;
	in.mean_g = e->fish > 0 ? in.mass_g / (double)e->fish : NAN;
	struct fish_row *r =
		fish_cell_row(p, e, c, leaving_effect(e), -e->fish, -in.mass_g, !weighed);
	if (e->to_tank >= 0) {
		r->other_lot = e->to_lot;
		r->other_tank = e->to_tank;
	}
	if (e->empties)
		fish_cell_unexplained(p, e, c, -c->fish);
	if (in.picked)
		note_picked(p, c, in.mean_g, e->fish, c->fish);
	fish_cell_note_empty(p, c);
	return in;
}

void fish_move(struct fish_pass *p, const struct fish_event *e)
{
	if (e->tank < 0) {
		arrive_from_outside(p, e);
		return;
	}
	struct fish_cell *from = fish_cell_of(p, e->lot, e->tank);
	fish_cell_advance(p, from, e->instant);
	fish_cell_make_room(p, e, from, e->fish);
	const struct incoming in = leave(p, e, from);
	if (e->to_tank < 0)
		return;
	struct fish_cell *to = fish_cell_of(p, e->to_lot, e->to_tank);
	come_in(p, e, to, &in);
	struct fish_row *r =
		fish_cell_row(p, e, to, EFFECT_MOVED_IN, e->fish, in.mass_g, !in.weighed);
	r->other_lot = e->lot;
	r->other_tank = e->tank;
}

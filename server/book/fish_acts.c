/* What counts, weighings, deaths and harvests do to the cells, and which entry is which: the rules
 * of stock and mass of docs/rules.md, one function a rule.  Moves are fish_moves.c's.  See
 * fish_acts.h. */
#include "book/fish_acts.h"

#include <math.h>

#include "book/fish_cells.h"
#include "book/fish_order.h"
#include "book/fish_sample.h"

/* A count is a statement of what stood there; the difference is unexplained. */
static void count(struct fish_pass *p, const struct fish_event *e)
{
	struct fish_cell *c = fish_cell_of(p, e->lot, e->tank);

	fish_cell_advance(p, c, e->instant);
	fish_cell_unexplained(p, e, c, e->fish - c->fish);
}

static double sample_se_g(const struct fish_event *e, int64_t fish)
{
	const double cv = isnan(e->sample_cv) ? FISH_ASSUMED_CV : e->sample_cv;
	const double n = e->sample_fish, left = 1.0 - n / (double)fish;

	return cv * e->sample_g / sqrt(n) * sqrt(left > 0.0 ? left : 0.0);
}

static void weigh(struct fish_pass *p, const struct fish_event *e)
{
	struct fish_cell *c = fish_cell_of(p, e->lot, e->tank);

	fish_cell_advance(p, c, e->instant);
	if (c->fish == 0)
		return; /* nothing of the lot is there: a slip, marked to look at when it came in */
	const int before = c->stretch;
	const double se_g = sample_se_g(e, c->fish);
	fish_cell_end_stretch(p, c, e->instant, e->sample_g, se_g);
	fish_cell_begin_stretch(p, c, e->instant, e->sample_g, se_g, before);
	fish_cell_row(p, e, c, EFFECT_WEIGHED, 0, 0.0, false);
}

/* Dead fish of one lot; fish are counted, mass_g NAN when they were not weighed. */
static void die(struct fish_pass *p, const struct fish_event *e, struct fish_cell *c, int64_t fish,
		double mass_g)
{
	fish_cell_make_room(p, e, c, fish);
	const double taken_g = fish_cell_take(p, c, fish, mass_g);
	fish_cell_row(p, e, c, EFFECT_DIED, -fish, -taken_g, isnan(mass_g));
	fish_cell_note_empty(p, c);
}

static void die_of_lot(struct fish_pass *p, const struct fish_event *e)
{
	struct fish_cell *c = fish_cell_of(p, e->lot, e->tank);

	fish_cell_advance(p, c, e->instant);
	die(p, e, c, e->fish >= 0 ? e->fish : fish_of_weight(e->mass_g, c->mean_g), e->mass_g);
}

/*
 * Deaths without a lot, split by number: largest remainder, ties to the older lot (lots stand in
 * order of age).  More dead than fish in the tank are split likewise.
 */
static void split_deaths(struct fish_pass *p, const struct fish_event *e, int64_t in_tank,
			 int64_t dead, int64_t *share)
{
	const size_t n = p->w->n_lots;
	int64_t given = 0;

	for (size_t l = 0; l < n; l++) {
		share[l] = dead * fish_cell_of(p, (int)l, e->tank)->fish / in_tank;
		given += share[l];
	}
	for (; given < dead; given++) {
		int64_t best = -1;
		size_t to = 0;
		for (size_t l = 0; l < n; l++) {
			const int64_t fish = fish_cell_of(p, (int)l, e->tank)->fish;
			const int64_t left = dead * fish - share[l] * in_tank;
			if (fish > 0 && left > best) {
				best = left;
				to = l;
			}
		}
		share[to]++;
	}
}

/* Each lot's dead.  What was weighed is divided by their lots' means, by number where one is not
 * known. */
static void die_by_lot(struct fish_pass *p, const struct fish_event *e, int64_t dead,
		       const int64_t *share)
{
	double expected_g = 0.0;

	for (size_t l = 0; l < p->w->n_lots; l++)
		if (share[l] > 0)
			expected_g += (double)share[l] * fish_cell_of(p, (int)l, e->tank)->mean_g;
	for (size_t l = 0; l < p->w->n_lots; l++) {
		struct fish_cell *c = fish_cell_of(p, (int)l, e->tank);
		const double part = isnan(expected_g) ? (double)share[l] / (double)dead
						      : (double)share[l] * c->mean_g / expected_g;
		if (share[l] > 0)
			die(p, e, c, share[l], e->mass_g * part);
	}
}

static void die_shared(struct fish_pass *p, const struct fish_event *e)
{
	int64_t in_tank = 0;
	double mass_g = 0.0;

	for (size_t l = 0; l < p->w->n_lots; l++) {
		struct fish_cell *c = fish_cell_of(p, (int)l, e->tank);
		if (c->fish == 0)
			continue;
		fish_cell_advance(p, c, e->instant);
		in_tank += c->fish;
		mass_g += (double)c->fish * c->mean_g;
	}
	if (in_tank == 0) /* none of these lots was there */
		return;
	const int64_t dead =
		e->fish >= 0 ? e->fish : fish_of_weight(e->mass_g, mass_g / (double)in_tank);
	int64_t *share = arena_array(p->arena, p->w->n_lots, sizeof(*share));
	split_deaths(p, e, in_tank, dead, share);
	die_by_lot(p, e, dead, share);
}

/* How many fish a harvest took: as counted; else all that are there when it empties the tank; else
 * by their weight. */
static int64_t harvested_fish(const struct fish_event *e, const struct fish_cell *c, int64_t culled)
{
	if (e->fish >= 0)
		return e->fish;
	if (e->empties && c->fish > culled)
		return c->fish - culled;
	return fish_of_weight(e->mass_g, c->mean_g);
}

static int64_t culled_fish(const struct fish_event *e, const struct fish_cell *c)
{
	if (e->culled >= 0)
		return e->culled;
	return e->culled_g > 0.0 ? fish_of_weight(e->culled_g, c->mean_g) : 0;
}

/* A harvest with its weight that leaves nothing is a weighing of the whole. */
static void weigh_whole_harvest(struct fish_pass *p, const struct fish_event *e,
				struct fish_cell *c, int64_t fish, int64_t culled)
{
	const bool with_culled = culled > 0 && e->culled_g > 0.0;
	const double mass_g = e->mass_g + (with_culled ? e->culled_g : 0.0);
	const int64_t of = fish + (with_culled ? culled : 0);

	if (of > 0)
		fish_cell_end_stretch(p, c, e->instant, mass_g / (double)of, 0.0);
}

/* One part of a harvest, saleable or culled; all: nothing is left, so that the mean is that of what
 * was weighed. */
static void take_harvested(struct fish_pass *p, const struct fish_event *e, struct fish_cell *c,
			   enum fish_effect effect, int64_t fish, double mass_g, bool all)
{
	const bool weighed = mass_g > 0.0;
	const double taken_g = fish_cell_take(p, c, fish, all ? NAN : mass_g);

	fish_cell_row(p, e, c, effect, -fish, -(weighed ? mass_g : taken_g), !weighed);
}

static void harvest(struct fish_pass *p, const struct fish_event *e)
{
	struct fish_cell *c = fish_cell_of(p, e->lot, e->tank);

	fish_cell_advance(p, c, e->instant);
	const int64_t culled = culled_fish(e, c);
	const int64_t fish = harvested_fish(e, c, culled);
	fish_cell_make_room(p, e, c, fish + culled);
	const bool all = e->empties || c->fish == fish + culled;
	if (all && e->mass_g > 0.0)
		weigh_whole_harvest(p, e, c, fish, culled);
	take_harvested(p, e, c, EFFECT_HARVESTED, fish, e->mass_g, all);
	if (culled > 0)
		take_harvested(p, e, c, EFFECT_CULLED, culled, e->culled_g, all);
	if (e->empties)
		fish_cell_unexplained(p, e, c, -c->fish);
	fish_cell_note_empty(p, c);
}

/* A death by day in a place emptied earlier that day stands just before the emptying
 * (docs/rules.md). */
static bool goes_before_emptying(struct fish_pass *p, const struct fish_event *e)
{
	long emptied = -1;

	if (e->act != FISH_DIED || !e->by_day)
		return false;
	for (size_t l = 0; l < p->w->n_lots; l++) {
		if (e->lot >= 0 && (int)l != e->lot)
			continue;
		const struct fish_cell *c = fish_cell_of(p, (int)l, e->tank);
		if (c->fish > 0)
			return false;
		if (c->emptied_by > emptied && p->w->events[c->emptied_by].day == e->day)
			emptied = c->emptied_by;
	}
	if (emptied < 0)
		return false;
	fish_order_before(p->w, p->event, (size_t)emptied);
	p->moved_event = true;
	return true;
}

void fish_act(struct fish_pass *p, const struct fish_event *e)
{
	if (goes_before_emptying(p, e))
		return;
	switch (e->act) {
	case FISH_MOVED:
		fish_move(p, e);
		break;
	case FISH_COUNTED:
		count(p, e);
		break;
	case FISH_WEIGHED:
		weigh(p, e);
		break;
	case FISH_DIED:
		if (e->lot < 0)
			die_shared(p, e);
		else
			die_of_lot(p, e);
		break;
	case FISH_HARVESTED:
		harvest(p, e);
		break;
	}
}

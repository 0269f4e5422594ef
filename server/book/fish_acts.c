/* What each sort of entry does to the cells: the rules of stock and mass of docs/rules.md, one function a rule.
 * See fish_replay.h for the words. */
#include <math.h>

#include "book/fish_pass.h"
#include "book/fish_sample.h"

static struct fish_cell *cell_of(struct fish_pass *p, int lot, int tank)
{
	return &p->cells[(size_t)lot * p->w->n_tanks + (size_t)tank];
}

static const struct stretch_answer *answer_of(struct fish_pass *p, int stretch)
{
	return &p->answers[stretch];
}

/* Grows the cell's fish up to instant at. */
static void advance(struct fish_pass *p, struct fish_cell *c, int64_t at)
{
	if (c->stretch < 0 || at <= c->since)
		return;
	const double cap_c = p->w->lots[c->lot].optimum_c;
	const struct growth_span span =
		temperature_span(&p->w->temperatures[c->tank], cap_c, cap_c, c->since, at);
	struct open_stretch *s = &p->stretches[c->stretch];
	growth_span_add(&s->total, &span);
	growth_span_add(&s->pending, &span);
	const struct stretch_answer *a = answer_of(p, c->stretch);
	if (!isnan(c->mean_g) && a->model != GROWTH_NONE)
		c->mean_g = growth_weight_g(a->model, a->k, c->mean_g, &span);
	c->since = at;
}

/* A new stretch for a cell whose mean is weighed or taken over (NAN: not known), with its standard error. */
static void begin_stretch(struct fish_pass *p, struct fish_cell *c, int64_t at, double mean_g,
			  double se_g, int previous)
{
	struct open_stretch *s = fish_pass_stretch(p);
	const int index = (int)p->n_stretches - 1;
	const bool unknown = isnan(mean_g);

	if ((size_t)index >= p->answered)
		p->answers[index] = stretch_prior(&p->w->lots[c->lot]);
	*s = (struct open_stretch){
		.lot = c->lot,
		.index = index,
		.previous = previous,
		.starts_at = at,
		.ends_at = NO_INSTANT,
		.start_g = mean_g,
		.start_se_g = se_g,
		.end_g = NAN,
		.end_se_g = NAN,
		.start_unknown = unknown,
		.next_of_lot = p->first_of_lot[c->lot],
	};
	p->first_of_lot[c->lot] = index;
	c->stretch = index;
	c->since = at;
	c->mean_g = unknown ? p->answers[index].start_g : mean_g;
}

static void end_stretch(struct fish_pass *p, struct fish_cell *c, int64_t at, double mean_g,
			double se_g)
{
	if (c->stretch < 0)
		return;
	struct open_stretch *s = &p->stretches[c->stretch];
	s->ends_at = at;
	s->end_g = mean_g;
	s->end_se_g = se_g;
	c->mean_g = mean_g;
	c->weighed_at = at;
}

static void add_piece(struct fish_pass *p, int stretch, struct stretch_piece piece)
{
	struct open_stretch *s = &p->stretches[stretch];
	struct stretch_piece *kept = arena_alloc(p->arena, sizeof(*kept));

	*kept = piece;
	kept->span = s->pending;
	s->pending = (struct growth_span){ 0 };
	if (s->last)
		s->last->next = kept;
	else
		s->first = kept;
	s->last = kept;
}

/* One row of the ledger: what happened to the cell, and how the cell stands after it.  Valid until the next one. */
static struct fish_row *add_row(struct fish_pass *p, const struct fish_event *e,
				const struct fish_cell *c, enum fish_effect effect, int64_t fish,
				double mass_g, bool estimated)
{
	struct fish_row *r = fish_pass_row(p);

	*r = (struct fish_row){
		.instant = e->instant,
		.day = e->day,
		.kind = e->kind,
		.id = e->id,
		.lot = c->lot,
		.tank = c->tank,
		.other_lot = -1,
		.other_tank = -1,
		.effect = effect,
		.fish = fish,
		.mass_g = mass_g,
		.estimated = estimated,
		.fish_after = c->fish,
		.mean_g = c->fish > 0 ? c->mean_g : NAN,
		.weighed_at = c->weighed_at,
		.stretch = c->stretch,
	};
	if (c->stretch >= 0) {
		r->model = answer_of(p, c->stretch)->model;
		r->k = answer_of(p, c->stretch)->k;
	}
	return r;
}

/* Closes the cell's account when no fish are left. */
static void note_empty(struct fish_pass *p, struct fish_cell *c)
{
	if (c->fish > 0)
		return;
	c->fish = 0;
	if (p->w->events[p->event].act != FISH_DIED)
		c->emptied_by = (long)p->event;
	c->stretch = -1;
	c->mean_g = NAN;
}

/* The mean that fish found in a cell without one are taken to have: that of the lot elsewhere. */
static double mean_elsewhere(struct fish_pass *p, int lot)
{
	double mean_g = p->w->lots[lot].supplier_g;
	int64_t most = 0;

	for (size_t t = 0; t < p->w->n_tanks; t++) {
		const struct fish_cell *c = cell_of(p, lot, (int)t);
		if (c->fish > most && !isnan(c->mean_g)) {
			most = c->fish;
			mean_g = c->mean_g;
		}
	}
	return mean_g;
}

/* Fish that nobody entered, or that are gone and nobody knows how (rules 1 and 4): at the mean of now. */
static void unexplained(struct fish_pass *p, const struct fish_event *e, struct fish_cell *c,
			int64_t fish)
{
	if (fish == 0)
		return;
	if (c->stretch < 0)
		begin_stretch(p, c, e->instant, mean_elsewhere(p, c->lot), NAN, -1);
	const double mass_g = (double)fish * c->mean_g;
	c->fish += fish;
	add_row(p, e, c, fish > 0 ? EFFECT_FOUND : EFFECT_MISSING, fish, mass_g, true);
	note_empty(p, c);
}

/* Rule 1: when more leave than the book has, the gap is entered as found, and noted. */
static void make_room(struct fish_pass *p, const struct fish_event *e, struct fish_cell *c,
		      int64_t fish)
{
	const int64_t there = c->fish;

	if (fish <= there)
		return;
	*fish_pass_shortfall(p) = (struct fish_shortfall){ .lot = c->lot,
							   .tank = c->tank,
							   .day = e->day,
							   .there = there,
							   .asked = fish,
							   .kind = e->kind,
							   .id = e->id };
	unexplained(p, e, c, fish - there);
}

/* As many as an entry can tell: a slip of the scales must not count beyond it. */
static const double most_fish = 100e6;

/* Fish that a weight alone stands for: weight over mean, at least 1 (docs/rules.md). */
static int64_t fish_of_weight(double mass_g, double mean_g)
{
	if (!(mean_g > 0.0) || isnan(mass_g))
		return 1;
	const double fish = round(mass_g / mean_g);
	return (int64_t)fmin(fmax(fish, 1.0), most_fish);
}

/*
 * Takes fish out of a cell (rule 3): with mass_g that mass goes and what remains keeps the rest; with NAN they
 * go at the mean.  A weight that would leave nothing for those that stay is kept in the row, but they stay
 * at their mean.  Returns the mass taken.  The caller has made room.
 */
static double take(struct fish_pass *p, struct fish_cell *c, int64_t fish, double mass_g)
{
	const double before = (double)c->fish, stay = before - (double)fish;

	if (isnan(mass_g)) {
		mass_g = fish > 0 ? (double)fish * c->mean_g : 0.0;
	} else if (stay > 0.0 && !isnan(c->mean_g)) {
		const double rest_g = before * c->mean_g - mass_g;
		if (rest_g > 0.0) {
			add_piece(p, c->stretch,
				  (struct stretch_piece){ .fish = before,
							  .out_fish = (double)fish,
							  .out_mass_g = mass_g });
			c->mean_g = rest_g / stay;
		}
	}
	c->fish -= fish;
	return mass_g;
}

/* Puts fish of mean weight mean_g into a cell that has fish. */
static void mix_in(struct fish_pass *p, struct fish_cell *c, int64_t fish, double mean_g)
{
	const double before = (double)c->fish, all = before + (double)fish;

	if (!isnan(mean_g) && fish > 0) {
		add_piece(p, c->stretch,
			  (struct stretch_piece){
				  .fish = before, .in_fish = (double)fish, .in_g = mean_g });
		c->mean_g = isnan(c->mean_g) ? mean_g
					     : (before * c->mean_g + (double)fish * mean_g) / all;
	}
	c->fish += fish;
}

/* How far the mean of a part that was picked by size may lie from the whole's; common practice, no source. */
static const double graded_se = 0.15;

/* Standard error of an unweighed part's mean, as a share of it: what is known of the whole, and the picking. */
static double part_se(struct fish_pass *p, const struct fish_event *e, int stretch, bool all)
{
	const struct open_stretch *s = stretch < 0 ? NULL : &p->stretches[stretch];
	const double whole =
		s && s->start_g > 0.0 && s->start_se_g > 0.0 ? s->start_se_g / s->start_g : 0.0;

	return hypot(whole, e->graded && !all ? graded_se : 0.0);
}

/*
 * A part that was picked by size and not weighed takes its error along; those that stay, or that it comes to,
 * have that mass too much or too little.  of: fish that carry the error; part: fish that were picked.
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
	advance(p, c, e->instant);
	if (c->fish > 0) {
		mix_in(p, c, in->fish, in->mean_g);
		if (in->picked)
			note_picked(p, c, in->mean_g, in->fish, c->fish);
		return;
	}
	if (in->weighed) {
		begin_stretch(p, c, e->instant, in->mean_g, 0.0, in->going_on);
		c->weighed_at = e->instant;
	} else if (in->going_on >= 0) {
		c->stretch = in->going_on;
		c->since = e->instant;
		c->mean_g = in->mean_g;
	} else {
		begin_stretch(p, c, e->instant, in->mean_g, in->se * in->mean_g, -1);
	}
	c->fish = in->fish;
}

static void arrive_from_outside(struct fish_pass *p, const struct fish_event *e)
{
	struct fish_cell *c = cell_of(p, e->to_lot, e->to_tank);
	const bool weighed = e->mass_g > 0.0 && e->fish > 0;
	struct incoming in = { .fish = e->fish, .mean_g = NAN, .weighed = weighed, .going_on = -1 };

	if (weighed)
		in.mean_g = e->mass_g / (double)e->fish;
	else if (c->fish > 0)
		in.mean_g = mean_elsewhere(p, e->to_lot);
	come_in(p, e, c, &in);
	add_row(p, e, c, EFFECT_ARRIVED, e->fish, weighed ? e->mass_g : (double)e->fish * c->mean_g,
		!weighed);
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
		end_stretch(p, c, e->instant, e->mass_g / (double)e->fish, 0.0);
	const double taken_g = take(p, c, e->fish, weighed && !all ? e->mass_g : NAN);
	in.mass_g = weighed ? e->mass_g : taken_g;
	in.mean_g = e->fish > 0 ? in.mass_g / (double)e->fish : NAN;
	struct fish_row *r = add_row(p, e, c, leaving_effect(e), -e->fish, -in.mass_g, !weighed);
	if (e->to_tank >= 0) {
		r->other_lot = e->to_lot;
		r->other_tank = e->to_tank;
	}
	if (e->empties)
		unexplained(p, e, c, -c->fish);
	if (in.picked)
		note_picked(p, c, in.mean_g, e->fish, c->fish);
	note_empty(p, c);
	return in;
}

static void move(struct fish_pass *p, const struct fish_event *e)
{
	if (e->tank < 0) {
		arrive_from_outside(p, e);
		return;
	}
	struct fish_cell *from = cell_of(p, e->lot, e->tank);
	advance(p, from, e->instant);
	make_room(p, e, from, e->fish);
	const struct incoming in = leave(p, e, from);
	if (e->to_tank < 0)
		return;
	struct fish_cell *to = cell_of(p, e->to_lot, e->to_tank);
	come_in(p, e, to, &in);
	struct fish_row *r = add_row(p, e, to, EFFECT_MOVED_IN, e->fish, in.mass_g, !in.weighed);
	r->other_lot = e->lot;
	r->other_tank = e->tank;
}

/* A count is a statement of what stood there; the difference is unexplained. */
static void count(struct fish_pass *p, const struct fish_event *e)
{
	struct fish_cell *c = cell_of(p, e->lot, e->tank);

	advance(p, c, e->instant);
	unexplained(p, e, c, e->fish - c->fish);
}

static double sample_se_g(const struct fish_event *e, int64_t fish)
{
	const double cv = isnan(e->sample_cv) ? FISH_ASSUMED_CV : e->sample_cv;
	const double n = e->sample_fish, left = 1.0 - n / (double)fish;

	return cv * e->sample_g / sqrt(n) * sqrt(left > 0.0 ? left : 0.0);
}

static void weigh(struct fish_pass *p, const struct fish_event *e)
{
	struct fish_cell *c = cell_of(p, e->lot, e->tank);

	advance(p, c, e->instant);
	if (c->fish == 0)
		return; /* nothing of the lot is there: a slip, marked to look at when it came in */
	const int before = c->stretch;
	const double se_g = sample_se_g(e, c->fish);
	end_stretch(p, c, e->instant, e->sample_g, se_g);
	begin_stretch(p, c, e->instant, e->sample_g, se_g, before);
	add_row(p, e, c, EFFECT_WEIGHED, 0, 0.0, false);
}

/* Dead fish of one lot; fish are counted, mass_g NAN when they were not weighed. */
static void die(struct fish_pass *p, const struct fish_event *e, struct fish_cell *c, int64_t fish,
		double mass_g)
{
	make_room(p, e, c, fish);
	const double taken_g = take(p, c, fish, mass_g);
	add_row(p, e, c, EFFECT_DIED, -fish, -taken_g, isnan(mass_g));
	note_empty(p, c);
}

static void die_of_lot(struct fish_pass *p, const struct fish_event *e)
{
	struct fish_cell *c = cell_of(p, e->lot, e->tank);

	advance(p, c, e->instant);
	die(p, e, c, e->fish >= 0 ? e->fish : fish_of_weight(e->mass_g, c->mean_g), e->mass_g);
}

/*
 * Deaths without a lot, split by number: largest remainder, ties to the older lot (lots stand in order of age).  More
 * dead than fish in the tank are split likewise.
 */
static void split_deaths(struct fish_pass *p, const struct fish_event *e, int64_t in_tank,
			 int64_t dead, int64_t *share)
{
	const size_t n = p->w->n_lots;
	int64_t given = 0;

	for (size_t l = 0; l < n; l++) {
		share[l] = dead * cell_of(p, (int)l, e->tank)->fish / in_tank;
		given += share[l];
	}
	for (; given < dead; given++) {
		int64_t best = -1;
		size_t to = 0;
		for (size_t l = 0; l < n; l++) {
			const int64_t fish = cell_of(p, (int)l, e->tank)->fish;
			const int64_t left = dead * fish - share[l] * in_tank;
			if (fish > 0 && left > best) {
				best = left;
				to = l;
			}
		}
		share[to]++;
	}
}

/* Each lot's dead.  What was weighed is divided by their lots' means, by number where one is not known. */
static void die_by_lot(struct fish_pass *p, const struct fish_event *e, int64_t dead,
		       const int64_t *share)
{
	double expected_g = 0.0;

	for (size_t l = 0; l < p->w->n_lots; l++)
		if (share[l] > 0)
			expected_g += (double)share[l] * cell_of(p, (int)l, e->tank)->mean_g;
	for (size_t l = 0; l < p->w->n_lots; l++) {
		struct fish_cell *c = cell_of(p, (int)l, e->tank);
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
		struct fish_cell *c = cell_of(p, (int)l, e->tank);
		if (c->fish == 0)
			continue;
		advance(p, c, e->instant);
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

/* How many fish a harvest took: as counted; else all that are there when it empties the tank; else by their
 * weight. */
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
		end_stretch(p, c, e->instant, mass_g / (double)of, 0.0);
}

/* One part of a harvest, saleable or culled; all: nothing is left, so that the mean is that of what was weighed. */
static void take_harvested(struct fish_pass *p, const struct fish_event *e, struct fish_cell *c,
			   enum fish_effect effect, int64_t fish, double mass_g, bool all)
{
	const bool weighed = mass_g > 0.0;
	const double taken_g = take(p, c, fish, all ? NAN : mass_g);

	add_row(p, e, c, effect, -fish, -(weighed ? mass_g : taken_g), !weighed);
}

static void harvest(struct fish_pass *p, const struct fish_event *e)
{
	struct fish_cell *c = cell_of(p, e->lot, e->tank);

	advance(p, c, e->instant);
	const int64_t culled = culled_fish(e, c);
	const int64_t fish = harvested_fish(e, c, culled);
	make_room(p, e, c, fish + culled);
	const bool all = e->empties || c->fish == fish + culled;
	if (all && e->mass_g > 0.0)
		weigh_whole_harvest(p, e, c, fish, culled);
	take_harvested(p, e, c, EFFECT_HARVESTED, fish, e->mass_g, all);
	if (culled > 0)
		take_harvested(p, e, c, EFFECT_CULLED, culled, e->culled_g, all);
	if (e->empties)
		unexplained(p, e, c, -c->fish);
	note_empty(p, c);
}

/* A death by day in a place emptied earlier that day stands just before the emptying (docs/rules.md). */
static bool belongs_before_emptying(struct fish_pass *p, struct fish_event *e)
{
	long emptied = -1;

	if (e->act != FISH_DIED || !e->by_day)
		return false;
	for (size_t l = 0; l < p->w->n_lots; l++) {
		if (e->lot >= 0 && (int)l != e->lot)
			continue;
		const struct fish_cell *c = cell_of(p, (int)l, e->tank);
		if (c->fish > 0)
			return false;
		if (c->emptied_by > emptied && p->w->events[c->emptied_by].day == e->day)
			emptied = c->emptied_by;
	}
	if (emptied < 0)
		return false;
	e->instant = p->w->events[emptied].instant - 1;
	p->moved_event = true;
	return true;
}

void fish_act(struct fish_pass *p, struct fish_event *e)
{
	if (belongs_before_emptying(p, e))
		return;
	switch (e->act) {
	case FISH_MOVED:
		move(p, e);
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

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
static void advance(struct fish_pass *p, int lot, int tank, int64_t at)
{
	struct fish_cell *c = cell_of(p, lot, tank);

	if (c->stretch < 0 || at <= c->since)
		return;
	const double cap = p->w->lots[lot].optimum_c;
	const struct growth_span span =
		temperature_span(&p->w->temperatures[tank], cap, cap, c->since, at);
	struct open_stretch *s = &p->stretches[c->stretch];
	growth_span_add(&s->total, &span);
	growth_span_add(&s->pending, &span);
	const struct stretch_answer *a = answer_of(p, c->stretch);
	if (!isnan(c->mean_g) && a->model != GROWTH_NONE)
		c->mean_g = growth_weight_g(a->model, a->k, c->mean_g, &span);
	c->since = at;
}

/* A new stretch for a cell whose mean is weighed (se_g) or taken over (NAN start: not known). */
static void begin_stretch(struct fish_pass *p, int lot, int tank, int64_t at, double start_g,
			  double se_g, bool start_unknown, int previous)
{
	struct fish_cell *c = cell_of(p, lot, tank);
	struct open_stretch *s = fish_pass_stretch(p);
	const int index = (int)p->n_stretches - 1;

	if ((size_t)index >= p->answered)
		p->answers[index] = stretch_prior(&p->w->lots[lot]);
	*s = (struct open_stretch){
		.lot = lot,
		.index = index,
		.previous = previous,
		.starts_at = at,
		.ends_at = NO_INSTANT,
		.start_g = start_g,
		.start_se_g = se_g,
		.end_g = NAN,
		.end_se_g = NAN,
		.start_unknown = start_unknown,
		.next_of_lot = p->first_of_lot[lot],
	};
	p->first_of_lot[lot] = index;
	c->stretch = index;
	c->since = at;
	c->mean_g = start_unknown ? p->answers[index].start_g : start_g;
}

static void end_stretch(struct fish_pass *p, int lot, int tank, int64_t at, double end_g,
			double se_g)
{
	struct fish_cell *c = cell_of(p, lot, tank);

	if (c->stretch < 0)
		return;
	struct open_stretch *s = &p->stretches[c->stretch];
	s->ends_at = at;
	s->end_g = end_g;
	s->end_se_g = se_g;
	c->mean_g = end_g;
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

/* One row of the ledger: what happened to the cell, and how the cell stands after it. */
static void add_row(struct fish_pass *p, const struct fish_event *e, int lot, int tank,
		    enum fish_effect effect, int64_t fish, double mass_g, bool estimated)
{
	const struct fish_cell *c = cell_of(p, lot, tank);
	struct fish_row *r = fish_pass_row(p);

	*r = (struct fish_row){
		.instant = e->instant,
		.day = e->day,
		.kind = e->kind,
		.id = e->id,
		.lot = lot,
		.tank = tank,
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
}

/* Closes the cell's account when no fish are left. */
static void note_empty(struct fish_pass *p, int lot, int tank)
{
	struct fish_cell *c = cell_of(p, lot, tank);

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
	double mean = p->w->lots[lot].supplier_g;
	int64_t most = 0;

	for (size_t t = 0; t < p->w->n_tanks; t++) {
		const struct fish_cell *c = cell_of(p, lot, (int)t);
		if (c->fish > most && !isnan(c->mean_g)) {
			most = c->fish;
			mean = c->mean_g;
		}
	}
	return mean;
}

/* Fish that nobody entered, or that are gone and nobody knows how (rules 1 and 4): at the mean of now. */
static void unexplained(struct fish_pass *p, const struct fish_event *e, int lot, int tank,
			int64_t fish)
{
	struct fish_cell *c = cell_of(p, lot, tank);

	if (fish == 0)
		return;
	if (c->stretch < 0)
		begin_stretch(p, lot, tank, e->instant, mean_elsewhere(p, lot), NAN,
			      isnan(mean_elsewhere(p, lot)), -1);
	const double mass = (double)fish * c->mean_g;
	c->fish += fish;
	add_row(p, e, lot, tank, fish > 0 ? EFFECT_FOUND : EFFECT_MISSING, fish, mass, true);
	note_empty(p, lot, tank);
}

/* Rule 1: when more leave than the book has, the gap is entered as found, and noted. */
static void make_room(struct fish_pass *p, const struct fish_event *e, int lot, int tank,
		      int64_t fish)
{
	const int64_t there = cell_of(p, lot, tank)->fish;

	if (fish <= there)
		return;
	*fish_pass_shortfall(p) = (struct fish_shortfall){ .lot = lot,
							   .tank = tank,
							   .day = e->day,
							   .there = there,
							   .asked = fish,
							   .kind = e->kind,
							   .id = e->id };
	unexplained(p, e, lot, tank, fish - there);
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
static double take(struct fish_pass *p, int lot, int tank, int64_t fish, double mass_g)
{
	struct fish_cell *c = cell_of(p, lot, tank);
	const double before = (double)c->fish, stay = before - (double)fish;

	if (isnan(mass_g)) {
		mass_g = fish > 0 ? (double)fish * c->mean_g : 0.0;
	} else if (stay > 0.0 && !isnan(c->mean_g)) {
		const double rest = before * c->mean_g - mass_g;
		if (rest > 0.0) {
			add_piece(p, c->stretch,
				  (struct stretch_piece){ .fish = before,
							  .out_fish = (double)fish,
							  .out_mass_g = mass_g });
			c->mean_g = rest / stay;
		}
	}
	c->fish -= fish;
	return mass_g;
}

/* Puts fish of mean weight mean_g into a cell that has fish. */
static void mix_in(struct fish_pass *p, int lot, int tank, int64_t fish, double mean_g)
{
	struct fish_cell *c = cell_of(p, lot, tank);
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
static void note_picked(struct fish_pass *p, int lot, int tank, double mean_g, int64_t part,
			int64_t of)
{
	const struct fish_cell *c = cell_of(p, lot, tank);
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
	double mean_g; /* NAN: not known */
	double se;     /* standard error of mean_g as a share of it */
	bool weighed;  /* their mass was measured */
	bool picked;   /* by size, and not weighed */
	int going_on;  /* the stretch of a cell that moved as a whole; -1 */
};

static void come_in(struct fish_pass *p, const struct fish_event *e, int lot, int tank,
		    const struct incoming *in)
{
	struct fish_cell *c = cell_of(p, lot, tank);

	advance(p, lot, tank, e->instant);
	if (c->fish > 0) {
		mix_in(p, lot, tank, in->fish, in->mean_g);
		if (in->picked)
			note_picked(p, lot, tank, in->mean_g, in->fish, c->fish);
		return;
	}
	if (in->weighed) {
		begin_stretch(p, lot, tank, e->instant, in->mean_g, 0.0, false, in->going_on);
		c->weighed_at = e->instant;
	} else if (in->going_on >= 0) {
		c->stretch = in->going_on;
		c->since = e->instant;
		c->mean_g = in->mean_g;
	} else {
		begin_stretch(p, lot, tank, e->instant, in->mean_g, in->se * in->mean_g,
			      isnan(in->mean_g), -1);
	}
	c->fish = in->fish;
}

static void arrive_from_outside(struct fish_pass *p, const struct fish_event *e)
{
	const bool weighed = e->mass_g > 0.0 && e->fish > 0;
	const double mean = weighed ? e->mass_g / (double)e->fish : NAN;
	const bool first = cell_of(p, e->to_lot, e->to_tank)->fish == 0;

	come_in(p, e, e->to_lot, e->to_tank,
		&(struct incoming){ .fish = e->fish,
				    .mean_g =
					    weighed || first ? mean : mean_elsewhere(p, e->to_lot),
				    .weighed = weighed,
				    .going_on = -1 });
	const struct fish_cell *c = cell_of(p, e->to_lot, e->to_tank);
	add_row(p, e, e->to_lot, e->to_tank, EFFECT_ARRIVED, e->fish,
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

static void move(struct fish_pass *p, const struct fish_event *e)
{
	if (e->tank < 0) {
		arrive_from_outside(p, e);
		return;
	}
	advance(p, e->lot, e->tank, e->instant);
	make_room(p, e, e->lot, e->tank, e->fish);
	struct fish_cell *c = cell_of(p, e->lot, e->tank);
	const bool weighed = e->mass_g > 0.0 && e->fish > 0;
	const bool all = e->empties || c->fish == e->fish;
	const int stretch = c->stretch;

	if (all && weighed) /* a weighing of the whole */
		end_stretch(p, e->lot, e->tank, e->instant, e->mass_g / (double)e->fish, 0.0);
	const double mass = take(p, e->lot, e->tank, e->fish,
				 all       ? NAN
				 : weighed ? e->mass_g
					   : NAN);
	const double mean = e->fish > 0 ? mass / (double)e->fish : NAN;
	add_row(p, e, e->lot, e->tank, leaving_effect(e), -e->fish, weighed ? e->mass_g : mass,
		!weighed);
	const size_t out = p->n_rows - 1;
	p->rows[out].mass_g = -p->rows[out].mass_g;
	if (e->empties)
		unexplained(p, e, e->lot, e->tank, -c->fish);
	const bool picked = e->graded && !weighed && !all;
	if (picked)
		note_picked(p, e->lot, e->tank, mean, e->fish, c->fish);
	note_empty(p, e->lot, e->tank);
	if (e->to_tank < 0)
		return;
	p->rows[out].other_lot = e->to_lot;
	p->rows[out].other_tank = e->to_tank;
	come_in(p, e, e->to_lot, e->to_tank,
		&(struct incoming){ .fish = e->fish,
				    .mean_g = weighed ? e->mass_g / (double)e->fish : mean,
				    .se = part_se(p, e, stretch, all),
				    .weighed = weighed,
				    .picked = picked,
				    .going_on = all && e->to_lot == e->lot ? stretch : -1 });
	add_row(p, e, e->to_lot, e->to_tank, EFFECT_MOVED_IN, e->fish, weighed ? e->mass_g : mass,
		!weighed);
	p->rows[p->n_rows - 1].other_lot = e->lot;
	p->rows[p->n_rows - 1].other_tank = e->tank;
}

/* A count is a statement of what stood there; the difference is unexplained. */
static void count(struct fish_pass *p, const struct fish_event *e)
{
	advance(p, e->lot, e->tank, e->instant);
	unexplained(p, e, e->lot, e->tank, e->fish - cell_of(p, e->lot, e->tank)->fish);
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

	advance(p, e->lot, e->tank, e->instant);
	if (c->fish == 0)
		return; /* nothing of the lot is there: a slip, marked to look at when it came in */
	const int before = c->stretch;
	const double se = sample_se_g(e, c->fish);
	end_stretch(p, e->lot, e->tank, e->instant, e->sample_g, se);
	begin_stretch(p, e->lot, e->tank, e->instant, e->sample_g, se, false, before);
	add_row(p, e, e->lot, e->tank, EFFECT_WEIGHED, 0, 0.0, false);
}

/* Dead fish of one lot; fish are counted, mass_g NAN when they were not weighed. */
static void die(struct fish_pass *p, const struct fish_event *e, int lot, int64_t fish,
		double mass_g)
{
	make_room(p, e, lot, e->tank, fish);
	const double mass = take(p, lot, e->tank, fish, mass_g);
	add_row(p, e, lot, e->tank, EFFECT_DIED, -fish, -mass, isnan(mass_g));
	note_empty(p, lot, e->tank);
}

/*
 * Deaths without a lot, split by number: largest remainder, ties to the older lot (lots stand in order of
 * age).  More dead than fish in the tank: the excess falls to the lot with the most.
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

static void die_shared(struct fish_pass *p, const struct fish_event *e)
{
	int64_t in_tank = 0;
	double mass = 0.0;

	for (size_t l = 0; l < p->w->n_lots; l++) {
		const struct fish_cell *c = cell_of(p, (int)l, e->tank);
		if (c->fish == 0)
			continue;
		advance(p, (int)l, e->tank, e->instant);
		in_tank += c->fish;
		mass += (double)c->fish * c->mean_g;
	}
	const int64_t dead =
		e->fish >= 0 ? e->fish : fish_of_weight(e->mass_g, mass / (double)in_tank);
	if (in_tank == 0) /* none of these lots was there */
		return;
	int64_t *share = arena_array(p->arena, p->w->n_lots, sizeof(*share));
	split_deaths(p, e, in_tank, dead, share);
	double expected =
		0.0; /* mass of the dead at their lots' means, to divide what was weighed */
	for (size_t l = 0; l < p->w->n_lots; l++)
		if (share[l] > 0)
			expected += (double)share[l] * cell_of(p, (int)l, e->tank)->mean_g;
	for (size_t l = 0; l < p->w->n_lots; l++) {
		if (share[l] == 0)
			continue;
		const double own = (double)share[l] * cell_of(p, (int)l, e->tank)->mean_g;
		const double part =
			isnan(expected) ? (double)share[l] / (double)dead : own / expected;
		die(p, e, (int)l, share[l], e->mass_g * part);
	}
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
static void weigh_whole_harvest(struct fish_pass *p, const struct fish_event *e, int64_t fish,
				int64_t culled)
{
	const bool with_culled = culled > 0 && e->culled_g > 0.0;
	const double mass = e->mass_g + (with_culled ? e->culled_g : 0.0);
	const int64_t of = fish + (with_culled ? culled : 0);

	if (of > 0)
		end_stretch(p, e->lot, e->tank, e->instant, mass / (double)of, 0.0);
}

static void harvest(struct fish_pass *p, const struct fish_event *e)
{
	struct fish_cell *c = cell_of(p, e->lot, e->tank);

	advance(p, e->lot, e->tank, e->instant);
	const int64_t culled = culled_fish(e, c);
	const int64_t fish = harvested_fish(e, c, culled);
	make_room(p, e, e->lot, e->tank, fish + culled);
	const bool weighed = e->mass_g > 0.0;
	const bool all = e->empties || c->fish == fish + culled;
	if (all && weighed)
		weigh_whole_harvest(p, e, fish, culled);
	const double mass = take(p, e->lot, e->tank, fish, all ? NAN : e->mass_g);
	add_row(p, e, e->lot, e->tank, EFFECT_HARVESTED, -fish, -(weighed ? e->mass_g : mass),
		!weighed);
	if (culled > 0) {
		const double gone = take(p, e->lot, e->tank, culled, all ? NAN : e->culled_g);
		const bool culls_weighed = e->culled_g > 0.0;
		add_row(p, e, e->lot, e->tank, EFFECT_CULLED, -culled,
			-(culls_weighed ? e->culled_g : gone), !culls_weighed);
	}
	if (e->empties)
		unexplained(p, e, e->lot, e->tank, -c->fish);
	note_empty(p, e->lot, e->tank);
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
		if (e->lot < 0) {
			die_shared(p, e);
			break;
		}
		advance(p, e->lot, e->tank, e->instant);
		die(p, e, e->lot,
		    e->fish >= 0 ? e->fish
				 : fish_of_weight(e->mass_g, cell_of(p, e->lot, e->tank)->mean_g),
		    e->mass_g);
		break;
	case FISH_HARVESTED:
		harvest(p, e);
		break;
	}
}

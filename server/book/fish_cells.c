/* See fish_cells.h. */
#include "book/fish_cells.h"

#include <math.h>

struct fish_cell *fish_cell_of(struct fish_pass *p, int lot, int tank)
{
	return &p->cells[(size_t)lot * p->w->n_tanks + (size_t)tank];
}

static const struct stretch_answer *answer_of(struct fish_pass *p, int stretch)
{
	return &p->answers[stretch];
}

void fish_cell_advance(struct fish_pass *p, struct fish_cell *c, int64_t at)
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

void fish_cell_begin_stretch(struct fish_pass *p, struct fish_cell *c, int64_t at, double mean_g,
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

void fish_cell_end_stretch(struct fish_pass *p, struct fish_cell *c, int64_t at, double mean_g,
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

struct fish_row *fish_cell_row(struct fish_pass *p, const struct fish_event *e,
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

void fish_cell_note_empty(struct fish_pass *p, struct fish_cell *c)
{
	if (c->fish > 0)
		return;
	c->fish = 0;
	if (p->w->events[p->event].act != FISH_DIED)
		c->emptied_by = (long)p->event;
	c->stretch = -1;
	c->mean_g = NAN;
}

double fish_mean_elsewhere(struct fish_pass *p, int lot)
{
	double mean_g = p->w->lots[lot].supplier_g;
	int64_t most = 0;

	for (size_t t = 0; t < p->w->n_tanks; t++) {
		const struct fish_cell *c = fish_cell_of(p, lot, (int)t);
		if (c->fish > most && !isnan(c->mean_g)) {
			most = c->fish;
			mean_g = c->mean_g;
		}
	}
	return mean_g;
}

void fish_cell_unexplained(struct fish_pass *p, const struct fish_event *e, struct fish_cell *c,
			   int64_t fish)
{
	if (fish == 0)
		return;
	if (c->stretch < 0)
		fish_cell_begin_stretch(p, c, e->instant, fish_mean_elsewhere(p, c->lot), NAN, -1);
	const double mass_g = (double)fish * c->mean_g;
	c->fish += fish;
	fish_cell_row(p, e, c, fish > 0 ? EFFECT_FOUND : EFFECT_MISSING, fish, mass_g, true);
	fish_cell_note_empty(p, c);
}

void fish_cell_make_room(struct fish_pass *p, const struct fish_event *e, struct fish_cell *c,
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
	fish_cell_unexplained(p, e, c, fish - there);
}

/* As many as an entry can tell: a slip of the scales must not count beyond it. */
static const double most_fish = 100e6;

int64_t fish_of_weight(double mass_g, double mean_g)
{
	if (!(mean_g > 0.0) || isnan(mass_g))
		return 1;
	const double fish = round(mass_g / mean_g);
	return (int64_t)fmin(fmax(fish, 1.0), most_fish);
}

double fish_cell_take(struct fish_pass *p, struct fish_cell *c, int64_t fish, double mass_g)
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

void fish_cell_mix_in(struct fish_pass *p, struct fish_cell *c, int64_t fish, double mean_g)
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

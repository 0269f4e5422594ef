/* Numbers of fish in one tank. */
#include "book/tank_numbers.h"

#include <string.h>

enum { NONE = -1 };

struct standing_lot {
	int64_t lot, fish;
	long emptied_by; /* index of the step that left none; NONE */
};

struct play {
	struct tank_step *steps;
	size_t at;                 /* the step that is played */
	struct standing_lot *lots; /* in the order in which they came */
	size_t n_lots;
	int64_t *share; /* room for one a lot */
	struct tank_gap *gaps;
	size_t n_gaps;
};

static struct standing_lot *lot_of(struct play *p, int64_t lot)
{
	for (size_t i = 0; i < p->n_lots; i++)
		if (p->lots[i].lot == lot)
			return &p->lots[i];
	p->lots[p->n_lots] = (struct standing_lot){ .lot = lot, .emptied_by = NONE };
	return &p->lots[p->n_lots++];
}

static void add_gap(struct play *p, int64_t lot, int64_t there, int64_t asked)
{
	p->gaps[p->n_gaps++] = (struct tank_gap){
		.lot = lot, .day = p->steps[p->at].day, .there = there, .asked = asked
	};
}

static void note_empty(struct play *p, struct standing_lot *l)
{
	if (l->fish == 0)
		l->emptied_by = (long)p->at;
}

static void play_own(struct play *p, const struct tank_step *s)
{
	struct standing_lot *l = lot_of(p, s->lot);

	if (s->set_to != NO_COUNT) {
		l->fish = s->set_to;
		return;
	}
	if (l->fish + s->change < 0)
		add_gap(p, s->lot, l->fish, -s->change);
	l->fish = l->fish + s->change > 0 ? l->fish + s->change : 0;
	if (s->empties)
		l->fish = 0;
	if (s->change < 0 || s->empties)
		note_empty(p, l);
}

/* dead is at most in_tank. */
static void split(struct play *p, int64_t in_tank, int64_t dead)
{
	int64_t given = 0;

	for (size_t i = 0; i < p->n_lots; i++) {
		p->share[i] = dead * p->lots[i].fish / in_tank;
		given += p->share[i];
	}
	for (; given < dead; given++) {
		int64_t best = -1;
		size_t to = 0;

		for (size_t i = 0; i < p->n_lots; i++) {
			int64_t left = dead * p->lots[i].fish - p->share[i] * in_tank;

			if (p->lots[i].fish > 0 && left > best) {
				best = left;
				to = i;
			}
		}
		p->share[to]++;
	}
	for (size_t i = 0; i < p->n_lots; i++) {
		p->lots[i].fish -= p->share[i];
		if (p->share[i])
			note_empty(p, &p->lots[i]);
	}
}

static int64_t in_tank(const struct play *p)
{
	int64_t sum = 0;

	for (size_t i = 0; i < p->n_lots; i++)
		sum += p->lots[i].fish;
	return sum;
}

static void play_shared(struct play *p, const struct tank_step *s)
{
	int64_t there = in_tank(p), dead = -s->change;

	if (dead > there)
		add_gap(p, 0, there, dead);
	if (there > 0)
		split(p, there, dead < there ? dead : there);
}

/* The step that emptied the place of this death earlier that day, or NONE. */
static long emptied_before(const struct play *p, const struct tank_step *s)
{
	long by = NONE;

	for (size_t i = 0; i < p->n_lots; i++) {
		const struct standing_lot *l = &p->lots[i];

		if (s->lot && l->lot != s->lot)
			continue;
		if (l->fish > 0)
			return NONE;
		if (l->emptied_by > by && p->steps[l->emptied_by].day == s->day)
			by = l->emptied_by;
	}
	/* One that is itself such a death emptied nothing. */
	return by != NONE && p->steps[by].by_day_death ? NONE : by;
}

/* Moves the step that is played to just before another; true when it did. */
static bool move_before(struct play *p)
{
	struct tank_step s = p->steps[p->at];
	long by = s.by_day_death ? emptied_before(p, &s) : NONE;

	if (by == NONE)
		return false;
	memmove(&p->steps[by + 1], &p->steps[by], (p->at - (size_t)by) * sizeof(s));
	p->steps[by] = s;
	return true;
}

/* False when a step was moved and all must be played again. */
static bool play_all(struct play *p, size_t n)
{
	p->n_lots = p->n_gaps = 0;
	for (p->at = 0; p->at < n; p->at++) {
		const struct tank_step *s = &p->steps[p->at];

		if (move_before(p))
			return false;
		if (s->lot)
			play_own(p, s);
		else
			play_shared(p, s);
	}
	return true;
}

void tank_numbers(struct tank_step *steps, size_t n, struct arena *arena, struct tank_gap **gaps,
		  size_t *n_gaps)
{
	struct play p = {
		.steps = steps,
		.lots = arena_array(arena, n + 1, sizeof(*p.lots)),
		.share = arena_array(arena, n + 1, sizeof(*p.share)),
		.gaps = arena_array(arena, n + 1, sizeof(*p.gaps)),
	};

	/* Each death moves at most once: it then stands before what emptied its place. */
	for (size_t passes = 0; passes <= n; passes++)
		if (play_all(&p, n))
			break;
	*gaps = p.gaps;
	*n_gaps = p.n_gaps;
}

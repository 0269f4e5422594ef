/* Inside the fish replay: stretches while they are being built, and how their coefficients are
 * solved. */
#ifndef WEIRBOOK_BOOK_FISH_STRETCH_H
#define WEIRBOOK_BOOK_FISH_STRETCH_H

#include "book/fish_replay.h"

/* Two weighings closer than this say nothing of growth. */
#define STRETCH_SHORTEST_DAYS 0.25

/* Something that changes the mean weight within a stretch: fish come in, or a weighed part goes
 * out. */
struct stretch_piece {
	struct growth_span span; /* since the piece before, or the start */
	double fish;             /* before it */
	double in_fish, in_g;
	double out_fish, out_mass_g;
	struct stretch_piece *next;
};

/* A stretch as one pass sees it. */
struct open_stretch {
	int lot, index;
	int previous; /* the stretch that its start's weighing ended; -1 */
	int64_t starts_at, ends_at;
	double start_g; /* NAN: not known */
	double start_se_g, end_g, end_se_g;
	bool start_unknown;                /* nothing was weighed at its start */
	struct growth_span total, pending; /* pending: since the last piece */
	struct stretch_piece *first, *last;
	/* What parts that were picked by size and not weighed leave in the mean of those that
	 * stay. */
	double picked_se_g, picked_mean_g; /* 0: none were; the mean at that moment */
	struct growth_span picked_span;    /* from the start to the first of them */
	int next_of_lot;                   /* list of the lot's stretches */
};

/* What solving gives, kept from pass to pass. */
struct stretch_answer {
	enum growth_model model;
	double k;
	double start_g; /* for a start that is not known */
	bool solved;    /* by its own two weighings */
	/* Of a coefficient that was learned; see struct fish_stretch. */
	double k_se, k_lean;
};

/* Solves every stretch of a pass, closed ones first.  first_of_lot heads the lists. */
void stretches_solve(const struct open_stretch *s, size_t n, const struct fish_lot_info *lots,
		     const int *first_of_lot, struct stretch_answer *answers);

/* What growth runs on: its unit makes scale = start + k * x. */
double stretch_run(enum growth_model model, const struct growth_span *span);

/* A standard error in grams at weight_g, on the model's scale; 0 when either is not known. */
double stretch_se(enum growth_model model, double weight_g, double se_g);

/* The outside view of a solved stretch, with its errors. */
void stretch_describe(const struct open_stretch *all, size_t i,
		      const struct stretch_answer *answers, struct fish_stretch *out);

/* A guess before the first pass is through: the species' prior, else no growth. */
struct stretch_answer stretch_prior(const struct fish_lot_info *lot);

#endif

/*
 * How good projections were: each is held against what came, in standard errors of its own.
 *
 * The factor by which ranges are widened: sqrt((10 + sum of z^2) / (10 + n)), never below 1.  Ten
 * projections that were as good as they claimed stand before the first (a stand of ours), so that
 * one bad day does not double every range; and a miss counts as three standard errors at most, so
 * that a slip of the pen does not either.  Source of the idea: the reduced chi-square as the scale
 * of errors (Birge 1932, Phys. Rev. 40, 207-227, from memory).
 */
#ifndef WEIRBOOK_DOMAIN_SCORE_H
#define WEIRBOOK_DOMAIN_SCORE_H

#include <stddef.h>

struct score {
	size_t n, inside; /* projections; those whose 95 % range held what came */
	double squares;   /* sum of z^2 */
};

/* Adds one: what came less what was projected, and the standard error that it claimed (> 0); else
 * nothing. */
void score_add(struct score *s, double miss, double se);

/* The factor, >= 1. */
double score_factor(const struct score *s);

/* The same without that bound, for errors that a stand made wide: below 1 where projections were
 * better than they claimed. */
double score_scale(const struct score *s);

#endif

/*
 * How much single fish spread in size, from nets weighed in bulk or from single weights, and how
 * well their mean is known so far.  A single weight is a net of one fish.
 */
#ifndef WEIRBOOK_DOMAIN_SIZES_H
#define WEIRBOOK_DOMAIN_SIZES_H

#include <stddef.h>

struct sizes {
	double fish, mass_g;
	double squares; /* sum of mass^2 / fish of each net */
	size_t nets;
};

/* Adds a net of fish > 0 of so much mass; else nothing. */
void sizes_add(struct sizes *s, double fish, double mass_g);

/* Mean weight, g; NAN before the first net. */
double sizes_mean_g(const struct sizes *s);

/*
 * Coefficient of variation of single fish (a share of the mean) from how the nets' means differ:
 * variance = sum of fish x (net's mean - mean)^2 / (nets - 1).  For single weights it is the usual
 * one.  NAN under two nets.  Source: variance between clusters of unequal size (Cochran 1977,
 * Sampling Techniques, from memory).
 */
double sizes_cv(const struct sizes *s);

/* The same drawn toward an assumed one that counts as `weight` nets; the assumed one under two
 * nets. */
double sizes_cv_drawn(const struct sizes *s, double assumed_cv, double weight);

/*
 * Error of the mean of a sample, as a share of it: z x cv / sqrt(sample) x sqrt(1 - sample / fish).
 * fish NAN: very many.  NAN unless cv >= 0, sample > 0, z > 0.
 */
double sizes_error(double cv, double sample_fish, double fish, double z);

/* From this coefficient of variation on, fish are to be graded: the small ones starve beside the
 * big.  Common practice, no source. */
#define SIZES_GRADE_CV 0.30

#endif

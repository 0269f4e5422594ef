/*
 * How a handbook's value gives way to the farm's own record: one rule for every figure that is
 * learned.
 *
 * Each figure counts by one over its variance.  An own figure's variance is the spread from one to
 * the next (of lots, or of times) and the error of its own measurement, in squares; the handbook's
 * value has the spread alone.  So the handbook counts as one own figure that was measured without
 * error: with n such it has 1/(n + 1) of the say, and a figure that was measured badly hardly moves
 * it.
 *
 * Source: weights inverse to the variance (Cochran 1954, Biometrics 10, 101-129, from memory); that
 * the handbook counts as one is a stand of ours.
 */
#ifndef WEIRBOOK_DOMAIN_LEARN_H
#define WEIRBOOK_DOMAIN_LEARN_H

#include <stddef.h>

struct learning {
	double spread;  /* standard deviation from one own figure to the next, > 0 */
	double weight;  /* sum of the weights */
	double sum;     /* of weight x value */
	double squares; /* of the weights of own figures */
	double handbook_weight;
	size_t own; /* figures added */
};

/* Begins with the handbook's value; NAN: there is none. */
void learn_begin(struct learning *l, double handbook, double spread);

/* The weight of an own figure whose measurement has variance `error2` (>= 0). */
double learn_weight(const struct learning *l, double error2);

/* Adds an own figure; NAN values are passed over. */
void learn_add(struct learning *l, double value, double error2);

/* What has been learned; NAN without any figure. */
double learn_value(const struct learning *l);

/* The handbook's share of it, 0 to 1. */
double learn_handbook_share(const struct learning *l);

/*
 * Standard error of taking learn_value for the next own figure, apart from what the measurements
 * add: the next one's own spread, the spread of those that were averaged, and of the handbook.  NAN
 * without any.
 */
double learn_next_se(const struct learning *l);

#endif

/*
 * Early unease: sums that rise when each day is a little worse than the tank's own past, long
 * before one day stands out (CUSUM of log-likelihood ratios, Page 1954, Biometrika 41; for counts
 * Lucas 1985, Technometrics 27, 129-144; both from memory).
 *
 * The sum starts anew at 0 whenever it would fall below.  It raises at ln(365): while nothing is
 * wrong that happens less than once in 365 days on the average (Lorden 1971, Ann. Math. Stat. 42,
 * from memory).  The day on which the run began is the first of the present rise.
 */
#ifndef WEIRBOOK_DOMAIN_UNEASE_H
#define WEIRBOOK_DOMAIN_UNEASE_H

#include <stdbool.h>
#include <stddef.h>

struct unease {
	double sum;
	size_t began; /* day number at which the sum last left 0; means nothing while sum is 0 */
	bool raised;  /* the sum is at or above ln(365) now */
};

/*
 * One day with so many seen where so many are usual (>= 0): tests for twice the usual.  NAN or a
 * usual of 0: the day is passed over.
 */
void unease_count(struct unease *u, size_t day, double seen, double usual);

/* One day's value that is usually mean +- sd (> 0), worse when larger: tests for one sd more. */
void unease_value(struct unease *u, size_t day, double value, double mean, double sd);

/* The sum over what raises it: unease from 1 on. */
double unease_level(const struct unease *u);

#endif

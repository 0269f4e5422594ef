/* Daily water temperature as a series, and degree-days over any stretch of it. */
#ifndef WEIRBOOK_DOMAIN_TEMPERATURE_H
#define WEIRBOOK_DOMAIN_TEMPERATURE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "domain/growth.h"

/* Days first_day ... first_day + n - 1.  Arrays are borrowed. */
struct temperature_days {
	int64_t first_day;
	size_t n;
	const int64_t *starts;  /* n + 1 instants: day i lasts from starts[i] to starts[i + 1] */
	double *mean_c;         /* degrees Celsius, NAN where not known */
	const double *before_c; /* the last known before the series; NULL: none */
	const double *after_c;  /* the first known after it; NULL: none */
};

enum { TEMPERATURE_GAP_DAYS = 3 };

/* Fills gaps of up to TEMPERATURE_GAP_DAYS days between known days with a straight line. */
void temperature_fill(struct temperature_days *t);

/*
 * Degree-days from instant begin to instant end, each day's temperature capped at cap_c (NAN: no
 * cap) and taken as 0 below 0.  Days that are not known, and time before and after the series, take
 * the last known temperature before them (before_c when none in the series is), else the first
 * known after, else otherwise_c (degree_days is NAN when that is NAN too).  known_days counts the
 * time that had a known temperature.
 */
struct growth_span temperature_span(const struct temperature_days *t, double cap_c,
				    double otherwise_c, int64_t begin, int64_t end);

#endif

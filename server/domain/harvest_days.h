/*
 * How many days a crop takes to its first harvest: learned from the farm's own lots by month of
 * sowing, and drawn toward the planned days while lots are few.  Which lots count, and from which
 * day theirs are counted, is the caller's.
 *
 * The rule is learn.h's, twice: the median of the lots sown in other months counts once a lot, the
 * planned days once; what that gives counts once beside the lots sown in this month.  A median,
 * because one date written down wrong must not move a forecast.
 */
#ifndef WEIRBOOK_DOMAIN_HARVEST_DAYS_H
#define WEIRBOOK_DOMAIN_HARVEST_DAYS_H

#include <stdbool.h>
#include <stddef.h>

/* From lot to lot, as a share of the days, and how many lots that assumption counts for: common
 * practice, no source. */
#define HARVEST_DAYS_SPREAD      0.10
#define HARVEST_DAYS_SPREAD_LOTS 3.0

struct lot_days {    /* of one lot */
	int month;   /* of its sowing, 1 to 12 */
	double days; /* to its first harvest, >= 0 */
};

struct days_learned {
	double days;           /* expected; NAN: no lot and no plan */
	double low, high;      /* 95 of 100 lots lie between; low is never below 0 */
	double median;         /* of the month's lots; NAN: none */
	double spread;         /* from lot to lot, standard deviation, days */
	size_t lots, of_month; /* that counted: all of them, and those sown in this month */
};

/* The order of lots below, for qsort(): by month, then days. */
int harvest_days_order(const void *a, const void *b);

/*
 * What lots (in harvest_days_order) say of one that is sown in month.  planned: days by the plan,
 * NAN where there is none.  scratch has room for n.
 */
void harvest_days_learn(const struct lot_days *lots, size_t n, int month, double planned,
			double *scratch, struct days_learned *out);

#endif

/* A weighing's sample, read from nets, single weights, or one weight of all. */
#ifndef WEIRBOOK_BOOK_FISH_SAMPLE_H
#define WEIRBOOK_BOOK_FISH_SAMPLE_H

#include <stdbool.h>

#include "domain/sizes.h"

/* The assumed coefficient of variation of single fish where a weighing does not tell; common
 * practice, no source. */
#define FISH_ASSUMED_CV 0.20

struct fish_sample {
	double fish;      /* weighed; 0: nothing was */
	double mean_g;    /* NAN: nothing was */
	double own_cv;    /* as the sample itself says; NAN: one weight of all */
	double cv;        /* what errors are reckoned with: own, drawn toward the assumed one */
	const char *from; /* "nets", "weights" or "assumed" */
};

/*
 * nets: pairs of fish and grams ("12 1500 14 1720"); weights: single weights; either NULL: not
 * given.  Else fish and weight_g.
 */
struct fish_sample fish_sample_read(const char *nets, const char *weights, double fish,
				    double weight_g);

/* Reads pairs or single weights into s, up to what is no number.  Returns the first character that
 * was not read. */
const char *fish_sample_list(const char *list, bool pairs, struct sizes *s);

#endif

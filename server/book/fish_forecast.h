/* Growth ahead of the last weighing: what it rests on, how good such projections were, and its
 * range by day. */
#ifndef WEIRBOOK_BOOK_FISH_FORECAST_H
#define WEIRBOOK_BOOK_FISH_FORECAST_H

#include "book/fish_view.h"
#include "domain/score.h"

/*
 * Every projection that the lots of a species could have been given, scored: for each stretch
 * between two weighings, what the lot's stretches before it and the prior would have said, against
 * what the second weighing said.  It is worked out from the record as it stands, so a late entry
 * scores as an early one.
 */
void forecast_score(const struct fish_view *v, int64_t species_id, struct score *out);

/* What a cell's coefficient rests on. */
struct forecast_fit {
	enum growth_model model;
	double k, k_se;
	size_t own;            /* solved stretches of the lot */
	double handbook_share; /* of the say, 0 to 1 */
};
void forecast_fit(const struct fish_view *v, const struct fish_view_cell *c,
		  const struct fish_row *row, struct forecast_fit *out);

/* One day ahead. */
struct forecast_day {
	double mean_g, low_g, high_g; /* 95 % */
};

/*
 * The mean weight at the start of each of n farm days from first_day on, which begin at starts[] (>
 * at), from the standing at instant `at`.  Temperature stays as it was last known; its spread over
 * the last four weeks, and widen (score_factor), widen the range.  False: no growth is known.
 */
bool forecast_days(const struct fish_view *v, const struct fish_view_cell *c,
		   const struct fish_standing *st, int64_t at, const int64_t *starts, size_t n,
		   double widen, struct forecast_day *out);

#endif

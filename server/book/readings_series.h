/*
 * The readings of one probe over some farm days as a chart draws them: at the finest step that
 * gives no more than so many points, with gaps as gaps.
 */
#ifndef WEIRBOOK_BOOK_READINGS_SERIES_H
#define WEIRBOOK_BOOK_READINGS_SERIES_H

#include "book/readings.h"

enum series_step {
	STEP_AUTO,
	STEP_EACH, /* every reading */
	STEP_MINUTE,
	STEP_FIVE_MINUTES,
	STEP_QUARTER_HOUR,
	STEP_HOUR,
	STEP_SIX_HOURS, /* of UTC */
	STEP_DAY,       /* of the farm */
	STEP_WEEK,      /* of farm days, from Monday */
	STEP__MAX
};
extern const char *const series_step_words[]; /* by enum series_step, NULL-ended */

struct series_point {
	int64_t at;       /* the reading, or where its step begins */
	int64_t readings; /* 0: a gap begins here; nothing else holds */
	double mean, low, high;
};

struct series {
	enum series_step step; /* as chosen; never STEP_AUTO */
	struct series_point *points;
	size_t n;
};

/*
 * From from_day to to_day, both included.  A gap is a time without readings longer than the step
 * and than the probe may be silent (silent_after_min; where it is not set, three times the usual
 * time between readings).  STEP_AUTO looks at the time that has readings and gives at most `most`
 * points, gaps apart; weeks are given however many there are.  Finer steps than an hour read every
 * reading: ERR_INPUT too_many on "step" above two million of them.
 */
enum err_code series_load(struct book *b, const struct probe *p, int64_t from_day, int64_t to_day,
			  enum series_step step, int64_t most, struct arena *arena,
			  struct series *out, struct err *err);

/* The newest reading that stands at or before an instant.  ERR_NOT_FOUND adds no item. */
enum err_code reading_newest(struct book *b, int64_t probe_id, int64_t at, struct series_point *out,
			     struct err *err);

#endif

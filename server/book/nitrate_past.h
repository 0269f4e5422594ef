/* The past of one loop's nitrate from the record, as domain/nitrate_forecast wants it. */
#ifndef WEIRBOOK_BOOK_NITRATE_PAST_H
#define WEIRBOOK_BOOK_NITRATE_PAST_H

#include <stdbool.h>

#include "book/loop_days.h"
#include "domain/nitrate_forecast.h"

/* Days of the past that forecasts and their scores rest on: 8 weeks of scores, of forecasts that
 * these ask, of learning. */
enum { NITRATE_PAST_DAYS = 2 * NITRATE_LEARN_DAYS + NITRATE_AHEAD_DAYS };

struct nitrate_record {
	struct nitrate_past past; /* NITRATE_PAST_DAYS and today; tests of one day as their mean */
	struct nitrate_day
		held;       /* a day to come: feed of the last seven on record, planting of today */
	double held_feed_g; /* of the same seven, g a day; NAN: none */
	struct chosen_entries tests, discharges; /* what the forecasts of today rest on */
	/* the test that forecasts of today begin with, among past.tests; n_tests: none is new
	 * enough */
	size_t start;
	bool uptake_assumed; /* as of that test (of today): no harvest says what the plants take */
	bool discharge_absent; /* and no discharge is on record */
};

/*
 * days holds those of past.first to today, of loop `at`.  A day without feed on record, and today,
 * stands as the mean of the last seven before it that have one, 28 days back at most (NAN: none).
 * Owned by the arena.
 */
enum err_code nitrate_record_load(struct book *b, const struct water_loop *loop,
				  const struct loop_days *days, size_t at, int64_t today,
				  int64_t now, struct arena *arena, struct nitrate_record *out,
				  struct err *err);

#endif

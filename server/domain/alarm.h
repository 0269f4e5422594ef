/*
 * When a reading raises an alarm and when it clears one: a pure state machine over the readings of
 * one quantity at one place.  Which limits hold is book/alarm_eras.c's, what is kept of an alarm
 * book/alarm_rows.c's.
 *
 * Stands of ours (docs/decisions/0013): an alarm is raised by the first reading beyond a limit and
 * cleared by the first one that is back inside by a margin, so that a value that trembles about its
 * limit is one alarm.  A stop alarm lasts until the value is back inside the limit, not only past
 * the stop.
 */
#ifndef WEIRBOOK_DOMAIN_ALARM_H
#define WEIRBOOK_DOMAIN_ALARM_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* NAN: none.  low_stop <= low < high <= high_stop where they are set. */
struct alarm_limits {
	double low_stop, low, high, high_stop;
};

/* A kit that cannot read further says "below 0.25": the true value lies anywhere beyond. */
enum alarm_bound { ALARM_EXACT, ALARM_BELOW, ALARM_ABOVE };

enum alarm_level { ALARM_NONE, ALARM_LOW, ALARM_STOP_LOW, ALARM_HIGH, ALARM_STOP_HIGH };

/*
 * How far inside the lower (upper false) or upper limit a value must be to clear an alarm, in the
 * quantity's unit, 0 or more: a tenth of the way from stop to limit, or a fiftieth of the limit
 * when one of the two is missing, and never more than a quarter of the way between low and high.
 * NAN without a limit on that side.
 */
double alarm_margin(const struct alarm_limits *l, bool upper);

/*
 * The level after a reading, given the one before.  A limit not set is never passed; when the side
 * that was passed has no limits any more the alarm is over.  A kit's bound counts only as far as it
 * is sure: where it could be either it neither raises nor clears.  value NAN: no change.
 */
enum alarm_level alarm_step(enum alarm_level was, double value, enum alarm_bound bound,
			    const struct alarm_limits *l);

/* What one reading says by itself, without margin and without memory; *unsure: a kit's bound could
 * be either. */
enum alarm_level alarm_judge(double value, enum alarm_bound bound, const struct alarm_limits *l,
			     bool *unsure);

/* What happens to a place's quantity: a reading, or other limits from then on (value NAN unless it
 * is to be judged again by them). */
struct alarm_event {
	int64_t at; /* Unix seconds */
	double value;
	enum alarm_bound bound;
	const struct alarm_limits *limits; /* as they hold then; borrowed */
};

#define ALARM_LASTS INT64_MAX /* cleared_at of an alarm that is open */

struct alarm_episode {
	enum alarm_level level;
	int64_t raised_at, cleared_at;
	double value; /* that raised it */
};

/*
 * Plays the events, which stand in order of time, from the level before them.  Writes the episodes
 * to out (room for n + 1) and returns how many.  An episode that was open before the events comes
 * first, with raised_at was_since and value was_value.  Each change of level ends one and begins
 * the next.
 */
size_t alarm_play(enum alarm_level was, int64_t was_since, double was_value,
		  const struct alarm_event *events, size_t n, struct alarm_episode *out);

/* A time without readings that was longer than it may be. */
struct alarm_gap {
	int64_t raised_at, cleared_at;
};

/*
 * The gaps between readings at times[0..n), ascending, that lasted longer than allowed_s, and the
 * one from the last to now (cleared_at ALARM_LASTS).  A gap is raised allowed_s after the reading
 * before it.  Writes to out (room for n) and returns how many.
 */
size_t alarm_gaps(const int64_t *times, size_t n, int64_t allowed_s, int64_t now,
		  struct alarm_gap *out);

#endif

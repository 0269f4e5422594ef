/* See alarm.h. */
#include "domain/alarm.h"

#include <math.h>

static double smaller(double a, double b)
{
	return b < a ? b : a; /* a where b is NAN */
}

double alarm_margin(const struct alarm_limits *l, bool upper)
{
	const double stop = upper ? l->high_stop : l->low_stop;
	const double limit = upper ? l->high : l->low;
	const double set = isnan(limit) ? stop : limit;

	if (isnan(set))
		return NAN;
	const double way = fabs(limit - stop);
	const double margin = way > 0.0 ? way / 10.0 : fabs(set) / 50.0;
	return smaller(margin, fabs(l->high - l->low) / 4.0);
}

/* The bounds between which the true value may lie. */
struct span {
	double least, most;
};

static struct span span_of(double value, enum alarm_bound bound)
{
	return (struct span){ bound == ALARM_BELOW ? -INFINITY : value,
			      bound == ALARM_ABOVE ? INFINITY : value };
}

/* One side of the limits, turned so that passing it means to fall below. */
struct side {
	double stop, limit, margin;
	double least, most; /* the value, turned likewise */
	enum alarm_level passed, stopped;
};

static struct side side_of(const struct alarm_limits *l, struct span v, bool upper)
{
	if (upper)
		return (struct side){ -l->high_stop, -l->high,   alarm_margin(l, true), -v.most,
				      -v.least,      ALARM_HIGH, ALARM_STOP_HIGH };
	return (struct side){ l->low_stop, l->low,    alarm_margin(l, false), v.least,
			      v.most,      ALARM_LOW, ALARM_STOP_LOW };
}

/* What is sure of this side. */
static enum alarm_level surely(const struct side *s)
{
	if (s->most <= s->stop)
		return s->stopped;
	return s->most < s->limit ? s->passed : ALARM_NONE;
}

static bool could_be_worse(const struct side *s)
{
	return surely(s) == ALARM_NONE && (s->least < s->limit || s->least <= s->stop);
}

/* Whether an alarm on this side is over. */
static bool is_back(const struct side *s)
{
	if (isnan(s->margin))
		return true; /* no limits here any more */
	return s->least >= (isnan(s->limit) ? s->stop : s->limit) + s->margin;
}

static enum alarm_level step_side(const struct side *s, enum alarm_level was)
{
	const enum alarm_level now = surely(s);

	if (was == s->stopped)
		return is_back(s) ? ALARM_NONE : s->stopped;
	if (now == ALARM_NONE && was == s->passed && !is_back(s))
		return s->passed;
	return now;
}

enum alarm_level alarm_step(enum alarm_level was, double value, enum alarm_bound bound,
			    const struct alarm_limits *l)
{
	if (isnan(value))
		return was;
	const struct side low = side_of(l, span_of(value, bound), false);
	const struct side high = side_of(l, span_of(value, bound), true);

	/* Beyond the other side at once: that is what counts now. */
	if (surely(&low) != ALARM_NONE)
		return step_side(&low, was);
	if (surely(&high) != ALARM_NONE)
		return step_side(&high, was);
	return was == ALARM_HIGH || was == ALARM_STOP_HIGH ? step_side(&high, was)
							   : step_side(&low, was);
}

enum alarm_level alarm_judge(double value, enum alarm_bound bound, const struct alarm_limits *l,
			     bool *unsure)
{
	*unsure = false;
	if (isnan(value))
		return ALARM_NONE;
	const struct side low = side_of(l, span_of(value, bound), false);
	const struct side high = side_of(l, span_of(value, bound), true);
	const enum alarm_level level = surely(&low) != ALARM_NONE ? surely(&low) : surely(&high);

	*unsure = level == ALARM_NONE && (could_be_worse(&low) || could_be_worse(&high));
	return level;
}

static bool has_limits(const struct alarm_limits *l)
{
	return !(isnan(l->low_stop) && isnan(l->low) && isnan(l->high) && isnan(l->high_stop));
}

size_t alarm_play(enum alarm_level was, int64_t was_since, double was_value,
		  const struct alarm_event *events, size_t n, struct alarm_episode *out)
{
	size_t made = 0;

	if (was != ALARM_NONE)
		out[made++] = (struct alarm_episode){ was, was_since, ALARM_LASTS, was_value };
	for (size_t i = 0; i < n; i++) {
		const struct alarm_event *e = &events[i];
		const enum alarm_level now =
			has_limits(e->limits) ? alarm_step(was, e->value, e->bound, e->limits)
					      : ALARM_NONE;
		if (now == was)
			continue;
		if (was != ALARM_NONE)
			out[made - 1].cleared_at = e->at;
		if (now != ALARM_NONE)
			out[made++] = (struct alarm_episode){ now, e->at, ALARM_LASTS, e->value };
		was = now;
	}
	return made;
}

size_t alarm_gaps(const int64_t *times, size_t n, int64_t allowed_s, int64_t now,
		  struct alarm_gap *out)
{
	size_t made = 0;

	for (size_t i = 0; i < n; i++) {
		const int64_t due = times[i] + allowed_s;
		const bool last = i + 1 == n;

		if ((last ? now : times[i + 1]) > due)
			out[made++] = (struct alarm_gap){ due, last ? ALARM_LASTS : times[i + 1] };
	}
	return made;
}

/* See temperature.h. */
#include "domain/temperature.h"

#include <math.h>

static const double seconds_per_day = 86400.0;

void temperature_fill(struct temperature_days *t)
{
	size_t known = SIZE_MAX; /* index of the last known day */

	for (size_t i = 0; i < t->n; i++) {
		if (isnan(t->mean_c[i]))
			continue;
		const size_t gap = known == SIZE_MAX ? 0 : i - known - 1;
		if (gap > 0 && gap <= TEMPERATURE_GAP_DAYS) {
			const double from = t->mean_c[known], step = t->mean_c[i] - from;
			for (size_t j = 1; j <= gap; j++)
				t->mean_c[known + j] = from + step * (double)j / (double)(gap + 1);
		}
		known = i;
	}
}

/* The day that instant falls in: -1 before the series, n after it. */
static int64_t day_index(const struct temperature_days *t, int64_t instant)
{
	if (t->n == 0 || instant < t->starts[0])
		return -1;
	if (instant >= t->starts[t->n])
		return (int64_t)t->n;
	int64_t i = (instant - t->starts[0]) / 86400; /* right but for a change of the clocks */
	if (i >= (int64_t)t->n)
		i = (int64_t)t->n - 1;
	while (instant < t->starts[i])
		i--;
	while (instant >= t->starts[i + 1])
		i++;
	return i;
}

/* The last known temperature before day i, else the first known from it on, else otherwise_c. */
static double stand_in(const struct temperature_days *t, int64_t i, double otherwise_c)
{
	for (int64_t j = i - 1; j >= 0; j--)
		if (j < (int64_t)t->n && !isnan(t->mean_c[j]))
			return t->mean_c[j];
	if (t->before_c)
		return *t->before_c;
	for (int64_t j = i < 0 ? 0 : i; j < (int64_t)t->n; j++)
		if (!isnan(t->mean_c[j]))
			return t->mean_c[j];
	return t->after_c ? *t->after_c : otherwise_c;
}

static double capped(double temperature_c, double cap_c)
{
	if (temperature_c > cap_c) /* false when there is no cap */
		return cap_c;
	return temperature_c < 0.0 ? 0.0 : temperature_c;
}

struct growth_span temperature_span(const struct temperature_days *t, double cap_c,
				    double otherwise_c, int64_t begin, int64_t end)
{
	struct growth_span span = { .days = (double)(end - begin) / seconds_per_day };
	double last = NAN; /* stand-in of the day before, so that a long gap is looked up once */

	for (int64_t at = begin, i = day_index(t, begin); at < end; i++) {
		const bool inside = i >= 0 && i < (int64_t)t->n;
		int64_t until = i < 0    ? (t->n ? t->starts[0] : end)
				: inside ? t->starts[i + 1]
					 : end;
		if (until > end)
			until = end;
		const double part = (double)(until - at) / seconds_per_day;
		double c = inside ? t->mean_c[i] : NAN;
		if (!isnan(c))
			span.known_days += part;
		else
			c = isnan(last) ? stand_in(t, i, otherwise_c) : last;
		last = c;
		span.degree_days += capped(c, cap_c) * part;
		at = until;
	}
	return span;
}

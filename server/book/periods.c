/* Periods of a report.  See periods.h. */
#include "book/periods.h"

#include <string.h>

#include "base/zone.h"

enum { LONGEST_MONTH = 31 };

enum period period_named(const char *word, size_t length)
{
	static const char *const names[] = {
		[PERIOD_DAY] = "day", [PERIOD_WEEK] = "week", [PERIOD_MONTH] = "month"
	};

	for (enum period p = PERIOD_DAY; p <= PERIOD_MONTH; p++)
		if (strlen(names[p]) == length && strncmp(names[p], word, length) == 0)
			return p;
	return PERIOD_ALL;
}

int64_t period_first(enum period period, int64_t day, int64_t from_day)
{
	switch (period) {
	case PERIOD_DAY:
		return day;
	case PERIOD_WEEK:
		return day_week_start(day);
	case PERIOD_MONTH:
		return day_month_start(day);
	case PERIOD_ALL:
		break;
	}
	return from_day;
}

int64_t period_last(enum period period, int64_t first, int64_t to_day)
{
	int64_t last = to_day;

	if (period == PERIOD_DAY)
		last = first;
	else if (period == PERIOD_WEEK)
		last = first + 6;
	else if (period == PERIOD_MONTH)
		last = day_month_start(first + LONGEST_MONTH) - 1;
	return last < to_day ? last : to_day;
}

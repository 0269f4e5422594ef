/* Days, weeks from their Monday, and months as periods of a report. */
#ifndef WEIRBOOK_BOOK_PERIODS_H
#define WEIRBOOK_BOOK_PERIODS_H

#include <stddef.h>
#include <stdint.h>

/* Days are farm days. */
enum period { PERIOD_ALL, PERIOD_DAY, PERIOD_WEEK, PERIOD_MONTH };

/* "day", "week" or "month" of this length; PERIOD_ALL for any other word. */
enum period period_named(const char *word, size_t length);

/* First day of the period that a day is in: the day, the Monday, the first of the month, or
 * from_day. */
int64_t period_first(enum period period, int64_t day, int64_t from_day);

/* Last day of the period that begins on first, to_day at the latest. */
int64_t period_last(enum period period, int64_t first, int64_t to_day);

#endif

/* The civil calendar and RFC 3339 text: the half of zone.h that needs no zone. */
#include "base/zone.h"

#include <limits.h>
#include <stdio.h>
#include <string.h>

enum { YEAR_MIN = 1900, YEAR_MAX = 2199, DAYS_400_YEARS = 146097 };

static bool is_leap(int64_t year)
{
	return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

static int days_in_month(int year, int month)
{
	static const int days[] = { 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31 };

	return month == 2 && is_leap(year) ? 29 : days[month - 1];
}

/* Whole units of size in n, rounded down also below zero. */
static int64_t floor_div(int64_t n, int64_t size)
{
	return n / size - (n % size < 0);
}

/* Days from 0001-01-01 to the first of January of a year, counted from 1970-01-01. */
static int64_t day_of_year_start(int64_t year)
{
	int64_t past = year - 1;

	return past * 365 + floor_div(past, 4) - floor_div(past, 100) + floor_div(past, 400) -
	       719162; /* 1970-01-01 counted from 0001-01-01 */
}

int64_t day_of_instant(int64_t at)
{
	return floor_div(at, DAY_SECONDS);
}

int64_t day_from_civil(int year, int month, int day)
{
	int64_t n = day_of_year_start(year) + day - 1;

	for (int m = 1; m < month; m++)
		n += days_in_month(year, m);
	return n;
}

void day_to_civil(int64_t day, struct civil *out)
{
	int64_t cycles = floor_div(day, DAYS_400_YEARS);
	int64_t rest = day - cycles * DAYS_400_YEARS; /* 0 to 146096 */
	int64_t year = 1970 + rest / 366;             /* never too late, at most one too early */

	if (cycles > INT_MAX / 400 - 10)
		cycles = INT_MAX / 400 - 10;
	if (cycles < INT_MIN / 400 + 10)
		cycles = INT_MIN / 400 + 10;
	while (day_of_year_start(year + 1) <= rest)
		year++;
	rest -= day_of_year_start(year);

	int month = 1;

	while (rest >= days_in_month((int)year, month))
		rest -= days_in_month((int)year, month++);
	*out = (struct civil){ .year = (int)(year + cycles * 400),
			       .month = month,
			       .day = (int)rest + 1 };
}

int day_weekday(int64_t day)
{
	return (int)(day + 3 - floor_div(day + 3, 7) * 7) + 1; /* 1970-01-01 was a Thursday */
}

int64_t day_week_start(int64_t day)
{
	return day - (day_weekday(day) - 1);
}

int64_t day_month_start(int64_t day)
{
	struct civil c;

	day_to_civil(day, &c);
	return day - (c.day - 1);
}

/* Reads exactly n digits; -1 when one is missing. */
static int digits(const char *p, size_t n)
{
	int value = 0;

	for (size_t i = 0; i < n; i++) {
		if (p[i] < '0' || p[i] > '9')
			return -1;
		value = value * 10 + (p[i] - '0');
	}
	return value;
}

/* Reads YYYY-MM-DD at the start of text. */
static bool read_date(const char *text, int64_t *out)
{
	if (strnlen(text, 10) < 10 || text[4] != '-' || text[7] != '-')
		return false;

	int year = digits(text, 4);
	int month = digits(text + 5, 2);
	int day = digits(text + 8, 2);

	if (year < YEAR_MIN || year > YEAR_MAX || month < 1 || month > 12 || day < 1 ||
	    day > days_in_month(year, month))
		return false;
	*out = day_from_civil(year, month, day);
	return true;
}

bool day_read(const char *text, int64_t *out)
{
	return strnlen(text, 11) == 10 && read_date(text, out);
}

/* Appends mark, then two digits; lists write a time in each row, and printf would be most of their
 * cost. */
static size_t write_two(char *out, char mark, int value)
{
	out[0] = mark;
	out[1] = (char)('0' + value / 10);
	out[2] = (char)('0' + value % 10);
	return 3;
}

size_t day_write(char out[TIME_TEXT_MAX], int64_t day)
{
	struct civil c;
	size_t n = 4;

	day_to_civil(day, &c);
	if (c.year >= 1000 && c.year <= 9999) {
		write_two(out + 1, (char)('0' + c.year / 100 % 10), c.year % 100);
		out[0] = (char)('0' + c.year / 1000);
		n += write_two(out + n, '-', c.month);
		n += write_two(out + n, '-', c.day);
		out[n] = '\0';
		return n;
	}
	return (size_t)snprintf(out, TIME_TEXT_MAX, "%04d-%02d-%02d", c.year, c.month, c.day);
}

/* Reads "Z" or "+HH:MM", all of p, to seconds east of UTC. */
static bool read_offset(const char *p, int *out)
{
	if ((p[0] == 'Z' || p[0] == 'z') && p[1] == '\0') {
		*out = 0;
		return true;
	}
	if ((p[0] != '+' && p[0] != '-') || strnlen(p, 7) != 6 || p[3] != ':')
		return false;

	int hours = digits(p + 1, 2);
	int minutes = digits(p + 4, 2);

	if (hours < 0 || hours > 23 || minutes < 0 || minutes > 59)
		return false;
	*out = (hours * 60 + minutes) * (p[0] == '-' ? -60 : 60);
	return true;
}

bool time_read(const char *text, int64_t *out)
{
	int64_t day;
	int offset_s;

	if (strnlen(text, 20) < 20 || !read_date(text, &day) ||
	    (text[10] != 'T' && text[10] != 't') || text[13] != ':' || text[16] != ':')
		return false;

	int hour = digits(text + 11, 2);
	int minute = digits(text + 14, 2);
	int second = digits(text + 17, 2);
	const char *p = text + 19;

	if (hour < 0 || hour > 23 || minute < 0 || minute > 59 || second < 0 || second > 60)
		return false;
	if (*p == '.') {
		size_t n = strspn(p + 1, "0123456789");

		if (n == 0)
			return false;
		p += 1 + n;
	}
	if (!read_offset(p, &offset_s))
		return false;
	if (second == 60) /* a leap second: Unix time has no number for it */
		second = 59;
	*out = day * DAY_SECONDS + hour * 3600 + minute * 60 + second - offset_s;
	return true;
}

size_t time_write(char out[TIME_TEXT_MAX], int64_t at)
{
	int64_t day = day_of_instant(at);
	int rest = (int)(at - day * DAY_SECONDS);
	size_t n = day_write(out, day);

	n += write_two(out + n, 'T', rest / 3600);
	n += write_two(out + n, ':', rest / 60 % 60);
	n += write_two(out + n, ':', rest % 60);
	out[n++] = 'Z';
	out[n] = '\0';
	return n;
}

bool time_of_day_read(const char *text, int *minutes)
{
	if (strnlen(text, 6) != 5 || text[2] != ':')
		return false;

	int hour = digits(text, 2);
	int minute = digits(text + 3, 2);

	if (hour < 0 || hour > 23 || minute < 0 || minute > 59)
		return false;
	*minutes = hour * 60 + minute;
	return true;
}

/* The rule for far years: see zone_rule.h. */
#include "base/zone_rule.h"

#include "base/zone.h"

enum { HOUR_S = 3600, OFFSET_HOURS_MAX = 24, TIME_HOURS_MAX = 167 };

/* What is left to read. */
struct rest {
	const char *p, *end;
};

static bool take(struct rest *r, char c)
{
	if (r->p == r->end || *r->p != c)
		return false;
	r->p++;
	return true;
}

static bool take_number(struct rest *r, int low, int high, int *out)
{
	int value = 0;
	const char *from = r->p;

	for (; r->p < r->end && *r->p >= '0' && *r->p <= '9'; r->p++) {
		value = value * 10 + (*r->p - '0');
		if (value > high)
			return false;
	}
	*out = value;
	return r->p > from && value >= low;
}

static bool is_letter(char c)
{
	return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
}

/* An abbreviation: letters, or anything between < and >. */
static bool take_name(struct rest *r)
{
	const char *from = r->p;

	if (take(r, '<')) {
		while (r->p < r->end && *r->p != '>')
			r->p++;
		return take(r, '>');
	}
	while (r->p < r->end && is_letter(*r->p))
		r->p++;
	return r->p > from;
}

/* [+-]hh[:mm[:ss]] in seconds. */
static bool take_time(struct rest *r, int hours_max, int *out)
{
	int sign = 1, hours, minutes = 0, seconds = 0;

	if (take(r, '-'))
		sign = -1;
	else
		take(r, '+');
	if (!take_number(r, 0, hours_max, &hours))
		return false;
	if (take(r, ':')) {
		if (!take_number(r, 0, 59, &minutes))
			return false;
		if (take(r, ':') && !take_number(r, 0, 59, &seconds))
			return false;
	}
	*out = sign * (hours * HOUR_S + minutes * 60 + seconds);
	return true;
}

static bool take_day(struct rest *r, struct zone_rule_day *d)
{
	d->time_s = 2 * HOUR_S;
	if (take(r, 'M')) {
		d->form = RULE_MONTH_WEEK;
		if (!take_number(r, 1, 12, &d->month) || !take(r, '.') ||
		    !take_number(r, 1, 5, &d->week) || !take(r, '.') ||
		    !take_number(r, 0, 6, &d->weekday))
			return false;
	} else if (take(r, 'J')) {
		d->form = RULE_JULIAN;
		if (!take_number(r, 1, 365, &d->day))
			return false;
	} else {
		d->form = RULE_ZERO_BASED;
		if (!take_number(r, 0, 365, &d->day))
			return false;
	}
	return !take(r, '/') || take_time(r, TIME_HOURS_MAX, &d->time_s);
}

bool zone_rule_read(const char *text, size_t n, struct zone_rule *out)
{
	struct rest r = { text, text + n };
	struct zone_rule rule = { 0 };
	int west_s; /* POSIX counts to the west */

	if (!take_name(&r) || !take_time(&r, OFFSET_HOURS_MAX, &west_s))
		return false;
	rule.standard_s = -west_s;
	if (r.p < r.end) {
		rule.has_summer = true;
		rule.summer_s = rule.standard_s + HOUR_S;
		if (!take_name(&r))
			return false;
		if (r.p < r.end && *r.p != ',') {
			if (!take_time(&r, OFFSET_HOURS_MAX, &west_s))
				return false;
			rule.summer_s = -west_s;
		}
		if (!take(&r, ',') || !take_day(&r, &rule.start) || !take(&r, ',') ||
		    !take_day(&r, &rule.end))
			return false;
	}
	if (r.p != r.end)
		return false;
	*out = rule;
	return true;
}

static int64_t day_in_year(const struct zone_rule_day *d, int year)
{
	int64_t first = day_from_civil(year, 1, 1);
	int64_t day;

	switch (d->form) {
	case RULE_JULIAN:
		/* from March on, one more in a leap year: J60 is always 1 March */
		return first + d->day - 1 +
		       (d->day >= 60 && day_from_civil(year, 3, 1) - first == 60);
	case RULE_ZERO_BASED:
		return first + d->day;
	case RULE_MONTH_WEEK:
		break;
	}
	first = day_from_civil(year, d->month, 1);
	day = first + (d->weekday + 7 - day_weekday(first) % 7) % 7 + 7 * (d->week - 1);
	if (d->week == 5 && day_month_start(day) != first)
		day -= 7;
	return day;
}

/* The instants on which summer time starts and ends in a year. */
static void changes_in_year(const struct zone_rule *r, int year, int64_t *start, int64_t *end)
{
	*start = day_in_year(&r->start, year) * DAY_SECONDS + r->start.time_s - r->standard_s;
	*end = day_in_year(&r->end, year) * DAY_SECONDS + r->end.time_s - r->summer_s;
}

static int year_of(const struct zone_rule *r, int64_t at)
{
	struct civil c;

	day_to_civil(day_of_instant(at + r->standard_s), &c);
	return c.year;
}

/* The newest change decides, whichever year's it is: a time may lie up to a week outside its day.
 * Where summer time ends as the next begins, it goes on. */
int zone_rule_offset_s(const struct zone_rule *r, int64_t at)
{
	int64_t newest = INT64_MIN;
	bool summer = false;

	if (!r->has_summer)
		return r->standard_s;

	int year = year_of(r, at);

	for (int y = year - 2; y <= year + 1; y++) {
		int64_t start, end;

		changes_in_year(r, y, &start, &end);
		if (end <= at && end > newest) {
			newest = end;
			summer = false;
		}
		if (start <= at && start >= newest) {
			newest = start;
			summer = true;
		}
	}
	return summer ? r->summer_s : r->standard_s;
}

bool zone_rule_next_change(const struct zone_rule *r, int64_t at, int64_t *out)
{
	bool found = false;
	int64_t change[2];

	if (!r->has_summer)
		return false;

	int year = year_of(r, at);

	for (int y = year - 1; y <= year + 2; y++) {
		changes_in_year(r, y, &change[0], &change[1]);
		for (size_t i = 0; i < 2; i++) {
			if (change[i] > at && (!found || change[i] < *out)) {
				*out = change[i];
				found = true;
			}
		}
	}
	return found;
}

/*
 * The rule for far years that stands at the end of a TZif file: the TZ text of POSIX, with the
 * wider hours of RFC 8536 section 3.3.1.  For zone.c alone.
 */
#ifndef WEIRBOOK_BASE_ZONE_RULE_H
#define WEIRBOOK_BASE_ZONE_RULE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* One day a year and the local time on it. */
struct zone_rule_day {
	enum { RULE_MONTH_WEEK, RULE_JULIAN, RULE_ZERO_BASED } form;
	int month, week, weekday; /* Mm.w.d: week 5 is the last; weekday 0 is Sunday */
	int day;                  /* Jn: 1 to 365, without 29 February; n: 0 to 365 */
	int time_s;               /* seconds after local midnight, may lie outside the day */
};

struct zone_rule {
	int standard_s, summer_s; /* to add to UTC; summer_s only when has_summer */
	bool has_summer;
	struct zone_rule_day start, end; /* of summer time */
};

/* Reads all n bytes; false when they are not such a rule. */
bool zone_rule_read(const char *text, size_t n, struct zone_rule *out);

/* Seconds to add to UTC at this instant. */
int zone_rule_offset_s(const struct zone_rule *r, int64_t at);

/* The first change after at; false when there is none. */
bool zone_rule_next_change(const struct zone_rule *r, int64_t at, int64_t *out);

#endif

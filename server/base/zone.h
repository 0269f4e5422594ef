/*
 * Civil time: days, RFC 3339 instants, and IANA zones read from the system's TZif files (RFC 8536),
 * so that several zones can be used in one process and nothing depends on TZ.
 *
 * Instants are Unix seconds, UTC.  A day is counted from 1970-01-01 (day 0), proleptic Gregorian.
 */
#ifndef WEIRBOOK_BASE_ZONE_H
#define WEIRBOOK_BASE_ZONE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/err.h"

struct zone; /* opaque, immutable, may be shared by threads */

struct civil {
	int year, month, day; /* month 1-12, day 1-31 */
	int hour, minute, second;
};

enum { TIME_TEXT_MAX = 32, DAY_SECONDS = 86400 };

/* The UTC day that an instant lies in, also before 1970. */
int64_t day_of_instant(int64_t at);

int64_t day_from_civil(int year, int month, int day);
void day_to_civil(int64_t day, struct civil *out); /* hour, minute, second = 0 */
int day_weekday(int64_t day);                      /* 1 = Monday ... 7 = Sunday */
int64_t day_week_start(int64_t day);               /* the Monday of its week */
int64_t day_month_start(int64_t day);

/* "YYYY-MM-DD", years 1900 to 2199; false for a date that does not exist. */
bool day_read(const char *text, int64_t *out);
size_t day_write(char out[TIME_TEXT_MAX], int64_t day);

/* RFC 3339 with Z or an offset, lower case allowed, fraction dropped; second 60 reads as 59. */
bool time_read(const char *text, int64_t *out);
size_t time_write(char out[TIME_TEXT_MAX], int64_t at); /* YYYY-MM-DDTHH:MM:SSZ */

/* "HH:MM" to minutes after midnight. */
bool time_of_day_read(const char *text, int *minutes);

/* Loads an IANA zone by name ("UTC" always works).  ERR_INPUT names the field time_zone. */
enum err_code zone_load(const char *name, struct zone **out, struct err *err);
/* The same from the bytes of a TZif file. */
enum err_code zone_from_bytes(const char *name, const void *bytes, size_t n, struct zone **out,
			      struct err *err);
void zone_free(struct zone *z); /* NULL is fine */
const char *zone_name(const struct zone *z);

/* Seconds to add to UTC at this instant. */
int zone_offset_s(const struct zone *z, int64_t at);

enum local_time { LOCAL_ONE, LOCAL_SKIPPED, LOCAL_REPEATED };

/* Local to UTC.  LOCAL_SKIPPED: no such time, *at is the instant of the jump.  LOCAL_REPEATED: *at
 * is the first of the two, *later (may be NULL) the second. */
enum local_time zone_to_utc(const struct zone *z, const struct civil *local, int64_t *at,
			    int64_t *later);
void zone_to_local(const struct zone *z, int64_t at, struct civil *out);

/*
 * The farm's day begins when the clock on the wall first shows day_begins_hour (0 to 12) on its
 * date; where the zone skips that time, at the jump.  So a day begun is never gone back from, and
 * one lasts 24 hours, 23 or 25 with the night on which the clock is changed, or what the zone says.
 */
int64_t farm_day(const struct zone *z, int day_begins_hour, int64_t at);
int64_t farm_day_start(const struct zone *z, int day_begins_hour, int64_t day);

#endif

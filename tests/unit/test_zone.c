/*
 * Zones, local time and the farm's day: base/zone.  The nights are those of the IANA time zone database
 * (files europe, northamerica, australasia, asia); other instants are compared with the C library, which
 * reads the same files with a reader of its own.
 */
#include "unit_tests.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/zone.h"
#include "support.h"

static struct zone *zone(const char *name)
{
	struct zone *z = NULL;
	struct err err;

	check_ok(zone_load(name, &z, &err), &err);
	return z;
}

static int64_t instant(const char *text)
{
	int64_t at = 0;

	ck_assert_msg(time_read(text, &at), "%s is no instant", text);
	return at;
}

/* Reads "YYYY-MM-DD HH:MM". */
static struct civil local_time(const char *text)
{
	struct civil c = { 0 };

	ck_assert_int_eq(
		sscanf(text, "%d-%d-%d %d:%d", &c.year, &c.month, &c.day, &c.hour, &c.minute), 5);
	return c;
}

static const struct {
	const char *zone, *local;
	enum local_time kind;
	const char *at, *later; /* of a skipped time: the jump */
} nights[] = {
	/* Directive 2000/84/EC: 01:00 UTC on the last Sundays of March and October */
	{ "Europe/Berlin", "2026-03-29 01:59", LOCAL_ONE, "2026-03-29T00:59:00Z", NULL },
	{ "Europe/Berlin", "2026-03-29 02:00", LOCAL_SKIPPED, "2026-03-29T01:00:00Z", NULL },
	{ "Europe/Berlin", "2026-03-29 02:59", LOCAL_SKIPPED, "2026-03-29T01:00:00Z", NULL },
	{ "Europe/Berlin", "2026-03-29 03:00", LOCAL_ONE, "2026-03-29T01:00:00Z", NULL },
	{ "Europe/Berlin", "2026-10-25 01:59", LOCAL_ONE, "2026-10-24T23:59:00Z", NULL },
	{ "Europe/Berlin", "2026-10-25 02:00", LOCAL_REPEATED, "2026-10-25T00:00:00Z",
	  "2026-10-25T01:00:00Z" },
	{ "Europe/Berlin", "2026-10-25 02:59", LOCAL_REPEATED, "2026-10-25T00:59:00Z",
	  "2026-10-25T01:59:00Z" },
	{ "Europe/Berlin", "2026-10-25 03:00", LOCAL_ONE, "2026-10-25T02:00:00Z", NULL },
	/* by the rule for far years: last Sunday of March 2141 is the 26th */
	{ "Europe/Berlin", "2141-03-26 02:30", LOCAL_SKIPPED, "2141-03-26T01:00:00Z", NULL },
	{ "Europe/Berlin", "2141-07-01 12:00", LOCAL_ONE, "2141-07-01T10:00:00Z", NULL },
	/* since 2007: 02:00 on the second Sunday of March and the first of November */
	{ "America/New_York", "2026-03-08 02:30", LOCAL_SKIPPED, "2026-03-08T07:00:00Z", NULL },
	{ "America/New_York", "2026-03-08 03:00", LOCAL_ONE, "2026-03-08T07:00:00Z", NULL },
	{ "America/New_York", "2026-11-01 01:30", LOCAL_REPEATED, "2026-11-01T05:30:00Z",
	  "2026-11-01T06:30:00Z" },
	{ "America/New_York", "2026-11-01 02:00", LOCAL_ONE, "2026-11-01T07:00:00Z", NULL },
	/* half an hour only: 10:30 and 11:00 east of UTC */
	{ "Australia/Lord_Howe", "2026-10-04 02:15", LOCAL_SKIPPED, "2026-10-03T15:30:00Z", NULL },
	{ "Australia/Lord_Howe", "2026-10-04 02:30", LOCAL_ONE, "2026-10-03T15:30:00Z", NULL },
	{ "Australia/Lord_Howe", "2026-04-05 01:45", LOCAL_REPEATED, "2026-04-04T14:45:00Z",
	  "2026-04-04T15:15:00Z" },
	{ "Australia/Lord_Howe", "2026-04-05 01:29", LOCAL_ONE, "2026-04-04T14:29:00Z", NULL },
	/* a whole day that never was: from 10 hours west of UTC to 14 east */
	{ "Pacific/Apia", "2011-12-29 23:59", LOCAL_ONE, "2011-12-30T09:59:00Z", NULL },
	{ "Pacific/Apia", "2011-12-30 00:00", LOCAL_SKIPPED, "2011-12-30T10:00:00Z", NULL },
	{ "Pacific/Apia", "2011-12-30 23:59", LOCAL_SKIPPED, "2011-12-30T10:00:00Z", NULL },
	{ "Pacific/Apia", "2011-12-31 00:00", LOCAL_ONE, "2011-12-30T10:00:00Z", NULL },
	{ "Asia/Kolkata", "2026-03-29 02:30", LOCAL_ONE, "2026-03-28T21:00:00Z", NULL },
	{ "Asia/Kolkata", "2026-10-25 02:30", LOCAL_ONE, "2026-10-24T21:00:00Z", NULL },
	{ "UTC", "2026-03-29 02:30", LOCAL_ONE, "2026-03-29T02:30:00Z", NULL },
};

START_TEST(local_times_of_known_nights)
{
	struct zone *z = zone(nights[_i].zone);
	struct civil local = local_time(nights[_i].local), back;
	int64_t at = 0, later = 0;

	ck_assert_int_eq(zone_to_utc(z, &local, &at, &later), nights[_i].kind);
	ck_assert_int_eq(at, instant(nights[_i].at));
	ck_assert_int_eq(later, instant(nights[_i].later ? nights[_i].later : nights[_i].at));
	ck_assert_int_eq(zone_to_utc(z, &local, &at, NULL), nights[_i].kind);
	if (nights[_i].kind != LOCAL_SKIPPED) {
		zone_to_local(z, at, &back);
		ck_assert_mem_eq(&back, &local, sizeof(back));
		zone_to_local(z, later, &back);
		ck_assert_mem_eq(&back, &local, sizeof(back));
	}
	zone_free(z);
}
END_TEST

static const char *const zones[] = {
	"Europe/Berlin",       "America/New_York",
	"Australia/Lord_Howe", "Asia/Kolkata",
	"Pacific/Apia",        "America/Sao_Paulo",
	"Europe/Dublin",       "Africa/Casablanca",
	"America/Santiago",    "Asia/Tehran",
	"Pacific/Chatham",     "America/St_Johns",
	"Antarctica/Troll",    "America/Argentina/Buenos_Aires",
	"Asia/Gaza",           "UTC",
};

/* 1,000 seeded instants from 1900 to 2199 and 1,000 near now. */
START_TEST(offsets_agree_with_the_c_library)
{
	struct zone *z = zone(zones[_i]);
	struct chance chance = { .state = 42 };
	int64_t first = instant("1900-01-01T00:00:00Z"), last = instant("2199-12-31T00:00:00Z");
	int64_t near_first = instant("2010-01-01T00:00:00Z");
	int64_t near_last = instant("2050-01-01T00:00:00Z");

	setenv("TZ", zones[_i], 1);
	tzset();
	for (int i = 0; i < 2000; i++) {
		int64_t at = i % 2 ? chance_between(&chance, first, last)
				   : chance_between(&chance, near_first, near_last);
		time_t t = (time_t)at;
		struct tm tm;

		localtime_r(&t, &tm);
		check_that(zone_offset_s(z, at) == tm.tm_gmtoff, "%s at %lld: %d, not %ld",
			   zones[_i], (long long)at, zone_offset_s(z, at), tm.tm_gmtoff);
	}
	zone_free(z);
}
END_TEST

START_TEST(local_time_leads_back_to_its_instant)
{
	struct zone *z = zone(zones[_i]);
	struct chance chance = { .state = 43 };

	for (int i = 0; i < 1000; i++) {
		int64_t want = chance_between(&chance, INT64_C(-2208988800), INT64_C(7258032000));
		int64_t at, later;
		struct civil c;

		zone_to_local(z, want, &c);
		check_that(zone_to_utc(z, &c, &at, &later) != LOCAL_SKIPPED, "%s at %lld",
			   zones[_i], (long long)want);
		check_that(at == want || later == want, "%s at %lld", zones[_i], (long long)want);
	}
	zone_free(z);
}
END_TEST

/* Day begins at 4: the night of 29 March belongs to the 28th, that of 25 October to the 24th. */
static const struct {
	const char *zone, *day;
	int begins_hour, hours;
} day_lengths[] = {
	{ "Europe/Berlin", "2026-03-27", 4, 24 }, { "Europe/Berlin", "2026-03-28", 4, 23 },
	{ "Europe/Berlin", "2026-03-29", 4, 24 }, { "Europe/Berlin", "2026-10-24", 4, 25 },
	{ "Europe/Berlin", "2026-10-25", 4, 24 }, { "Europe/Berlin", "2026-03-29", 0, 23 },
	{ "Europe/Berlin", "2026-10-25", 0, 25 }, { "Asia/Kolkata", "2026-03-28", 4, 24 },
	{ "Pacific/Apia", "2011-12-29", 0, 24 },  { "Pacific/Apia", "2011-12-30", 0, 0 },
	{ "Pacific/Apia", "2011-12-31", 0, 24 },
};

START_TEST(farm_days_last_23_24_or_25_hours)
{
	struct zone *z = zone(day_lengths[_i].zone);
	int begins = day_lengths[_i].begins_hour;
	int64_t day;

	ck_assert(day_read(day_lengths[_i].day, &day));

	int64_t from = farm_day_start(z, begins, day), to = farm_day_start(z, begins, day + 1);

	ck_assert_int_eq(to - from, day_lengths[_i].hours * 3600);
	if (to > from) {
		ck_assert_int_eq(farm_day(z, begins, from), day);
		ck_assert_int_eq(farm_day(z, begins, to - 1), day);
		ck_assert_int_eq(farm_day(z, begins, from - 1) < day, 1);
	}
	zone_free(z);
}
END_TEST

static const struct {
	const char *zone, *at, *day;
	int begins_hour;
} farm_days[] = {
	{ "Europe/Berlin", "2026-06-10T01:59:59Z", "2026-06-09", 4 }, /* 03:59:59 */
	{ "Europe/Berlin", "2026-06-10T02:00:00Z", "2026-06-10", 4 }, /* 04:00 */
	{ "Europe/Berlin", "2026-03-29T01:59:59Z", "2026-03-28", 4 }, /* 03:59:59, an hour early */
	{ "Europe/Berlin", "2026-03-29T02:00:00Z", "2026-03-29", 4 },
	{ "Europe/Berlin", "2026-10-25T02:59:59Z", "2026-10-24", 4 },
	{ "Europe/Berlin", "2026-10-25T03:00:00Z", "2026-10-25", 4 },
	/* the day's own hour is skipped: it begins at the jump */
	{ "Europe/Berlin", "2026-03-29T00:59:59Z", "2026-03-28", 2 },
	{ "Europe/Berlin", "2026-03-29T01:00:00Z", "2026-03-29", 2 },
	/* and repeated: it begins the first time, and is not gone back from */
	{ "Europe/Berlin", "2026-10-24T23:59:59Z", "2026-10-24", 2 },
	{ "Europe/Berlin", "2026-10-25T00:00:00Z", "2026-10-25", 2 },
	{ "Europe/Berlin", "2026-10-25T01:00:00Z", "2026-10-25", 2 },
	{ "America/New_York", "2026-01-01T04:59:59Z", "2025-12-31", 0 },
	{ "Asia/Kolkata", "2025-12-31T18:30:00Z", "2026-01-01", 0 },
	{ "UTC", "1969-12-31T23:59:59Z", "1969-12-31", 0 },
};

START_TEST(an_instant_belongs_to_its_farm_day)
{
	struct zone *z = zone(farm_days[_i].zone);
	char text[TIME_TEXT_MAX];

	day_write(text, farm_day(z, farm_days[_i].begins_hour, instant(farm_days[_i].at)));
	ck_assert_str_eq(text, farm_days[_i].day);
	zone_free(z);
}
END_TEST

/* Every quarter of an hour of two years, each zone, day beginning at 0 to 5. */
START_TEST(farm_days_never_run_backwards)
{
	struct zone *z = zone(zones[_i]);
	int64_t from = instant("2011-06-01T00:00:00Z"), to = instant("2012-06-01T00:00:00Z");

	for (int begins = 0; begins <= 4; begins += 2) {
		int64_t last = farm_day(z, begins, from);

		for (int64_t at = from; at < to; at += 900) {
			int64_t day = farm_day(z, begins, at);

			check_that(day >= last && farm_day_start(z, begins, day) <= at &&
					   farm_day_start(z, begins, day + 1) > at,
				   "%s at %lld", zones[_i], (long long)at);
			last = day;
		}
	}
	zone_free(z);
}
END_TEST

START_TEST(a_zone_that_is_none_is_refused)
{
	static const char *const bad[] = { "",
					   "Berlin/Europe",
					   "../../etc/passwd",
					   "/etc/passwd",
					   "Europe",
					   "Europe/Berlin.",
					   "zone.tab",
					   "Europe/Ber lin",
					   "posixrules\n" };
	struct zone *z = NULL;
	struct err err;

	for (size_t i = 0; i < sizeof(bad) / sizeof(bad[0]); i++) {
		check_refused(zone_load(bad[i], &z, &err), &err, ERR_INPUT, "not_a_time_zone");
		ck_assert_str_eq(err.items[0].field, "time_zone");
		ck_assert_ptr_null(z);
	}
}
END_TEST

START_TEST(utc_needs_no_file)
{
	struct zone *z = zone("UTC");

	ck_assert_str_eq(zone_name(z), "UTC");
	ck_assert_int_eq(zone_offset_s(z, 0), 0);
	zone_free(z);
}
END_TEST

/* A TZif file of our own: version 2, no change, one type, and this footer. */
static size_t make_file(uint8_t out[256], const char *footer)
{
	static const uint8_t header[44] = { 'T', 'Z', 'i', 'f', '2', [39] = 1, [43] = 4 };
	static const uint8_t block[10] = { 0, 0, 0x0E, 0x10, 0, 0, 'X', 'Y', 'Z', 0 };
	size_t n = 0;

	for (int i = 0; i < 2; i++) {
		memcpy(out + n, header, sizeof(header));
		n += sizeof(header);
		memcpy(out + n, block, sizeof(block));
		n += sizeof(block);
	}
	n += (size_t)snprintf((char *)out + n, 256 - n, "\n%s\n", footer);
	return n;
}

/* The forms of POSIX TZ text, RFC 8536 section 3.3.1 and its examples in section 3.3. */
static const struct {
	const char *rule, *at;
	int offset_s;
} rules[] = {
	{ "", "2026-07-01T00:00:00Z", 3600 }, /* no rule: the file's own type */
	{ "<+0330>-3:30", "2026-07-01T00:00:00Z", 12600 },
	{ "EST5EDT,M3.2.0,M11.1.0", "2026-03-08T06:59:59Z", -18000 },
	{ "EST5EDT,M3.2.0,M11.1.0", "2026-03-08T07:00:00Z", -14400 },
	/* the standard's own examples: Nuuk's -1 h until 2023, and Jerusalem's Thursday at 26:00 */
	{ "<-03>3<-02>,M3.5.0/-2,M10.5.0/-1", "2026-03-29T00:59:59Z", -10800 },
	{ "<-03>3<-02>,M3.5.0/-2,M10.5.0/-1", "2026-03-29T01:00:00Z", -7200 },
	{ "IST-2IDT,M3.4.4/26,M10.5.0", "2026-03-26T23:59:59Z", 7200 },
	{ "IST-2IDT,M3.4.4/26,M10.5.0", "2026-03-27T00:00:00Z", 10800 },
	/* winter time as the exception, as in Ireland */
	{ "IST-1GMT0,M10.5.0,M3.5.0/1", "2026-01-01T00:00:00Z", 0 },
	{ "IST-1GMT0,M10.5.0,M3.5.0/1", "2026-07-01T00:00:00Z", 3600 },
	/* J60 is 1 March in every year, 59 is 29 February in a leap year */
	{ "A0B,J60/0,J300/0", "2024-02-29T23:59:59Z", 0 },
	{ "A0B,J60/0,J300/0", "2024-03-01T00:00:00Z", 3600 },
	{ "A0B,59/0,300/0", "2024-02-29T00:00:00Z", 3600 },
	{ "A0B,59/0,300/0", "2023-02-28T23:59:59Z", 0 },
	/* a week before its day, so in the year before (found by the fuzz target) */
	{ "A0B,5/-167,300/0", "2026-12-30T00:59:59Z", 0 },
	{ "A0B,5/-167,300/0", "2026-12-30T01:00:00Z", 3600 },
	/* all year */
	{ "XXX3EDT4,0/0,J365/23", "2026-12-31T23:00:00Z", -14400 },
	{ "XXX3EDT4,0/0,J365/23", "2026-01-01T12:00:00Z", -14400 },
};

START_TEST(rules_for_far_years_are_understood)
{
	uint8_t file[256];
	size_t n = make_file(file, rules[_i].rule);
	struct zone *z = NULL;
	struct err err;

	check_ok(zone_from_bytes("Our/Own", file, n, &z, &err), &err);
	ck_assert_int_eq(zone_offset_s(z, instant(rules[_i].at)), rules[_i].offset_s);
	zone_free(z);
}
END_TEST

START_TEST(a_broken_zone_file_is_refused)
{
	static const char *const bad[] = { "5",
					   "A",
					   "A25",
					   "A0B",
					   "A0B,M3.2.0",
					   "A0B,M13.1.0,M3.1.0",
					   "A0B,M3.6.0,M4.1.0",
					   "A0B,J0,J5",
					   "A0B,366,1",
					   "A0B,1,2 ",
					   "A0B,1/168,2",
					   "<A0",
					   "A0:60" };
	uint8_t file[256];
	struct zone *z = NULL;
	struct err err;
	size_t n = make_file(file, "UTC0");

	for (size_t i = 0; i < n; i++)
		check_refused(zone_from_bytes("Our/Own", file, i, &z, &err), &err, ERR_INPUT,
			      "not_a_time_zone");
	file[4] = '\0'; /* version 1 */
	check_refused(zone_from_bytes("Our/Own", file, n, &z, &err), &err, ERR_INPUT,
		      "not_a_time_zone");
	for (size_t i = 0; i < sizeof(bad) / sizeof(bad[0]); i++) {
		n = make_file(file, bad[i]);
		check_refused(zone_from_bytes("Our/Own", file, n, &z, &err), &err, ERR_INPUT,
			      "not_a_time_zone");
	}
	ck_assert_ptr_null(z);
}
END_TEST

/* RFC 8536 section 3.2 allows leap seconds, but then instants would not be Unix seconds. */
START_TEST(a_file_that_counts_leap_seconds_is_refused)
{
	static const uint8_t header[44] = { 'T', 'Z', 'i', 'f', '2', [31] = 1, [39] = 1, [43] = 4 };
	static const uint8_t block[10] = { 0, 0, 0x0E, 0x10, 0, 0, 'X', 'Y', 'Z', 0 };
	static const uint8_t leap[12] = { [7] = 77, [11] = 1 };
	uint8_t file[256];
	size_t n = 0;
	struct zone *z = NULL;
	struct err err;

	for (size_t size = 8; size <= 12; size += 4) { /* times of four bytes, then of eight */
		memcpy(file + n, header, sizeof(header));
		memcpy(file + n + sizeof(header), block, sizeof(block));
		n += sizeof(header) + sizeof(block);
		memcpy(file + n, leap + 12 - size, size);
		n += size;
	}
	memcpy(file + n, "\nUTC0\n", 6);
	n += 6;
	check_refused(zone_from_bytes("Our/Own", file, n, &z, &err), &err, ERR_INPUT,
		      "not_a_time_zone");
	file[31] = file[44 + 10 + 8 + 31] = 0; /* and that alone is its fault */
	memmove(file + 44 + 10, file + 44 + 10 + 8, n - (44 + 10 + 8));
	memmove(file + 2 * (44 + 10), file + 2 * (44 + 10) + 12, 6);
	check_ok(zone_from_bytes("Our/Own", file, 2 * (44 + 10) + 6, &z, &err), &err);
	zone_free(z);
}
END_TEST

#define N(table) (int)(sizeof(table) / sizeof((table)[0]))

Suite *zone_suite(void)
{
	Suite *s = suite_create("zone");
	TCase *tc = tcase_create("zone");

	suite_add_tcase(s, tc);
	tcase_set_timeout(tc, 60);
	tcase_add_loop_test(tc, local_times_of_known_nights, 0, N(nights));
	tcase_add_loop_test(tc, offsets_agree_with_the_c_library, 0, N(zones));
	tcase_add_loop_test(tc, local_time_leads_back_to_its_instant, 0, N(zones));
	tcase_add_loop_test(tc, farm_days_last_23_24_or_25_hours, 0, N(day_lengths));
	tcase_add_loop_test(tc, an_instant_belongs_to_its_farm_day, 0, N(farm_days));
	tcase_add_loop_test(tc, farm_days_never_run_backwards, 0, N(zones));
	tcase_add_test(tc, a_zone_that_is_none_is_refused);
	tcase_add_test(tc, utc_needs_no_file);
	tcase_add_loop_test(tc, rules_for_far_years_are_understood, 0, N(rules));
	tcase_add_test(tc, a_broken_zone_file_is_refused);
	tcase_add_test(tc, a_file_that_counts_leap_seconds_is_refused);
	return s;
}

/* The civil calendar and RFC 3339 text: base/civil. */
#include "unit_tests.h"

#include <string.h>
#include <time.h>

#include "base/zone.h"
#include "support.h"

START_TEST(days_agree_with_the_c_library_from_1900_to_2200)
{
	int64_t first = day_from_civil(1900, 1, 1), last = day_from_civil(2200, 1, 1);

	for (int64_t day = first; day <= last; day++) {
		time_t at = (time_t)(day * 86400);
		struct tm tm;
		struct civil c;

		gmtime_r(&at, &tm);
		day_to_civil(day, &c);
		check_that(c.year == tm.tm_year + 1900 && c.month == tm.tm_mon + 1 &&
				   c.day == tm.tm_mday,
			   "day %lld", (long long)day);
		check_that(day_weekday(day) % 7 == tm.tm_wday, "day %lld", (long long)day);
		check_that(day_from_civil(c.year, c.month, c.day) == day, "day %lld",
			   (long long)day);
	}
	ck_assert_int_eq(last - first, 109573); /* 300 years, 73 of them leap years */
}
END_TEST

/* Weekdays of ISO 8601, Monday 1.  The first two are examples of the standard (from memory). */
static const struct {
	int year, month, day, weekday;
} weekdays[] = {
	{ 1995, 1, 1, 7 },   { 1996, 12, 31, 2 }, { 2021, 1, 3, 7 },   { 2021, 1, 4, 1 },
	{ 2020, 12, 31, 4 }, { 2005, 1, 1, 6 },   { 2010, 1, 3, 7 },   { 2024, 12, 30, 1 },
	{ 2026, 1, 1, 4 },   { 1969, 12, 29, 1 }, { 1968, 12, 29, 7 },
};

START_TEST(weekdays_are_those_of_iso_8601)
{
	int64_t day = day_from_civil(weekdays[_i].year, weekdays[_i].month, weekdays[_i].day);

	ck_assert_int_eq(day_weekday(day), weekdays[_i].weekday);
	ck_assert_int_eq(day_week_start(day), day - weekdays[_i].weekday + 1);
}
END_TEST

START_TEST(weekdays_agree_with_the_c_library)
{
	for (int64_t day = day_from_civil(1950, 1, 1); day < day_from_civil(2120, 1, 1); day++) {
		time_t at = (time_t)(day * 86400);
		struct tm tm;

		gmtime_r(&at, &tm);
		check_that(day_weekday(day) % 7 == tm.tm_wday, "weekday %d, not %d",
			   day_weekday(day), tm.tm_wday);
	}
}
END_TEST

START_TEST(a_month_starts_on_its_first_day)
{
	ck_assert_int_eq(day_month_start(day_from_civil(2024, 2, 29)), day_from_civil(2024, 2, 1));
	ck_assert_int_eq(day_month_start(day_from_civil(2024, 3, 1)), day_from_civil(2024, 3, 1));
	ck_assert_int_eq(day_month_start(day_from_civil(1965, 7, 31)), day_from_civil(1965, 7, 1));
}
END_TEST

START_TEST(a_date_is_read_and_written_alike)
{
	static const char *const dates[] = { "1900-01-01", "1969-12-31", "1970-01-01",
					     "2000-02-29", "2024-02-29", "2199-12-31" };

	for (size_t i = 0; i < sizeof(dates) / sizeof(dates[0]); i++) {
		char text[TIME_TEXT_MAX];
		int64_t day;

		ck_assert(day_read(dates[i], &day));
		ck_assert_uint_eq(day_write(text, day), 10);
		ck_assert_str_eq(text, dates[i]);
	}
}
END_TEST

START_TEST(a_date_that_does_not_exist_is_refused)
{
	static const char *const bad[] = {
		"",           "2026-02-29", "1900-02-29",  "2100-02-29",
		"2026-13-01", "2026-00-10", "2026-04-31",  "2026-04-00",
		"1899-12-31", "2200-01-01", "2026-4-01",   "2026/04/01",
		"26-04-01",   "2026-04-1",  "2026-04-01 ", " 2026-04-01",
		"20260401",   "2026-04-0x",
	};

	for (size_t i = 0; i < sizeof(bad) / sizeof(bad[0]); i++) {
		int64_t day = 77;

		ck_assert_msg(!day_read(bad[i], &day), "%s was taken", bad[i]);
		ck_assert_int_eq(day, 77);
	}
}
END_TEST

/* RFC 3339 section 5.8, all of its examples, and the instants it says they are. */
static const struct {
	const char *text, *utc;
} instants[] = {
	{ "1985-04-12T23:20:50.52Z", "1985-04-12T23:20:50Z" },
	{ "1996-12-19T16:39:57-08:00", "1996-12-20T00:39:57Z" },
	{ "1990-12-31T23:59:60Z", "1990-12-31T23:59:59Z" }, /* a leap second reads as 59 */
	{ "1990-12-31T15:59:60-08:00", "1990-12-31T23:59:59Z" },
	{ "1937-01-01T12:00:27.87+00:20", "1937-01-01T11:40:27Z" },
	/* section 5.6: T and Z may be lower case; section 4.3: -00:00 */
	{ "2026-03-31t06:30:00z", "2026-03-31T06:30:00Z" },
	{ "2026-03-31T06:30:00-00:00", "2026-03-31T06:30:00Z" },
	{ "1970-01-01T00:00:00Z", "1970-01-01T00:00:00Z" },
	{ "1969-12-31T23:59:59Z", "1969-12-31T23:59:59Z" },
	{ "2026-01-01T05:29:59+05:30", "2025-12-31T23:59:59Z" },
};

START_TEST(examples_of_rfc_3339_are_read)
{
	char text[TIME_TEXT_MAX];
	int64_t at;

	ck_assert_msg(time_read(instants[_i].text, &at), "%s was refused", instants[_i].text);
	time_write(text, at);
	ck_assert_str_eq(text, instants[_i].utc);
}
END_TEST

START_TEST(what_is_not_rfc_3339_is_refused)
{
	static const char *const bad[] = {
		"",
		"2026-03-31",
		"2026-03-31T06:30:00",
		"2026-03-31T06:30Z",
		"2026-03-31 06:30:00Z",
		"2026-03-31T24:00:00Z",
		"2026-03-31T23:60:00Z",
		"2026-03-31T23:59:61Z",
		"2026-03-31T06:30:00.Z",
		"2026-03-31T06:30:00+5:30",
		"2026-03-31T06:30:00+24:00",
		"2026-03-31T06:30:00+05:60",
		"2026-03-31T06:30:00+0530",
		"2026-03-31T06:30:00Zx",
		"2026-03-31T06:30:00+05:30x",
		"2026-02-29T06:30:00Z",
		"2026-03-31T6:30:000Z",
		"2026-03-31T-6:30:00Z",
	};

	for (size_t i = 0; i < sizeof(bad) / sizeof(bad[0]); i++) {
		int64_t at = 77;

		ck_assert_msg(!time_read(bad[i], &at), "%s was taken", bad[i]);
		ck_assert_int_eq(at, 77);
	}
}
END_TEST

START_TEST(an_instant_is_read_and_written_alike)
{
	struct chance chance = { .state = 20260331 };
	int64_t first = day_from_civil(1900, 1, 1) * 86400;
	int64_t last = day_from_civil(2199, 12, 31) * 86400;

	for (int i = 0; i < 1000; i++) {
		int64_t at = chance_between(&chance, first, last), again;
		char text[TIME_TEXT_MAX];

		ck_assert_uint_eq(time_write(text, at), 20);
		ck_assert(time_read(text, &again));
		ck_assert_int_eq(again, at);
	}
}
END_TEST

START_TEST(a_time_of_day_has_two_digits_each)
{
	static const char *const bad[] = { "",      "7:00",   "07:0",     "24:00", "23:60",
					   "07-00", "07:00 ", "07:00:00", "-7:00", "ab:cd" };
	int minutes = 77;

	for (size_t i = 0; i < sizeof(bad) / sizeof(bad[0]); i++)
		ck_assert_msg(!time_of_day_read(bad[i], &minutes), "%s was taken", bad[i]);
	ck_assert_int_eq(minutes, 77);
	ck_assert(time_of_day_read("00:00", &minutes) && minutes == 0);
	ck_assert(time_of_day_read("06:30", &minutes) && minutes == 390);
	ck_assert(time_of_day_read("23:59", &minutes) && minutes == 1439);
}
END_TEST

Suite *civil_suite(void)
{
	Suite *s = suite_create("civil");
	TCase *tc = tcase_create("civil");

	suite_add_tcase(s, tc);
	tcase_add_test(tc, days_agree_with_the_c_library_from_1900_to_2200);
	tcase_add_loop_test(tc, weekdays_are_those_of_iso_8601, 0,
			    sizeof(weekdays) / sizeof(weekdays[0]));
	tcase_add_test(tc, weekdays_agree_with_the_c_library);
	tcase_add_test(tc, a_month_starts_on_its_first_day);
	tcase_add_test(tc, a_date_is_read_and_written_alike);
	tcase_add_test(tc, a_date_that_does_not_exist_is_refused);
	tcase_add_loop_test(tc, examples_of_rfc_3339_are_read, 0,
			    sizeof(instants) / sizeof(instants[0]));
	tcase_add_test(tc, what_is_not_rfc_3339_is_refused);
	tcase_add_test(tc, an_instant_is_read_and_written_alike);
	tcase_add_test(tc, a_time_of_day_has_two_digits_each);
	return s;
}

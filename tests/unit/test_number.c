/* Numbers as text, and which comes first: base/number, base/order. */
#include "unit_tests.h"

#include <float.h>
#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/order.h"
#include "support.h"

static const struct {
	double value;
	const char *text;
} written[] = {
	{ 0, "0" },
	{ -0.0, "0" },
	{ 0.1, "0.1" },
	{ 0.1 + 0.2, "0.3" },
	{ 1.0 / 3, "0.333333333333333" },
	{ 2.0 / 3, "0.666666666666667" },
	{ -2.5, "-2.5" },
	{ 100, "100" },
	{ 120.50, "120.5" },
	{ 123456789012345, "123456789012345" },
	{ 99999999999999.95, "100000000000000" },
	{ 1e15, "1e15" },
	{ 1.5e20, "1.5e20" },
	{ 0.00001, "0.00001" },
	{ 0.0000015, "1.5e-6" },
	{ 1e308, "1e308" },
	{ 5e-324, "4.94065645841247e-324" },
};

START_TEST(a_real_is_written_with_15_digits)
{
	char text[NUMBER_TEXT_MAX];

	ck_assert_uint_eq(number_write_real(text, written[_i].value), strlen(written[_i].text));
	ck_assert_str_eq(text, written[_i].text);
}
END_TEST

/* Reading what was written gives the same double, and the digits are those of the C library's %.15g. */
START_TEST(what_was_written_reads_back_the_same)
{
	struct chance chance = { .state = 15 };

	for (int i = 0; i < 100000; i++) {
		uint64_t bits = chance_next(&chance) ^ chance_next(&chance) << 20;
		double value, again;
		char text[NUMBER_TEXT_MAX], peer[NUMBER_TEXT_MAX];

		memcpy(&value, &bits, sizeof(value));
		if (!isfinite(value))
			continue;
		value = number_round15(value);
		check_that(number_write_real(text, value) < NUMBER_TEXT_MAX, "seed 15");
		check_that(number_read_real(text, '.', &again) && !(again < value) &&
				   !(again > value),
			   "seed 15: %s", text);
		snprintf(peer, sizeof(peer), "%.15g", value);
		check_that(!(strtod(peer, NULL) < value) && !(strtod(peer, NULL) > value),
			   "seed 15: %s is not %s", text, peer);
	}
}
END_TEST

/* Whole numbers and up to three decimals take a short way: it must find what the C library finds. */
START_TEST(short_numbers_are_written_as_printf_writes_them)
{
	static const double scales[] = { 1, 10, 100, 1000, 1e4, 1e6 };
	struct chance chance = { .state = 3 };

	for (int i = 0; i < 100000; i++) {
		const uint64_t bits = chance_next(&chance);
		const int64_t digits = (int64_t)(bits >> 11) % 1000000000000000 >> bits % 50;
		const double value = (bits & 1024 ? -1 : 1) * (double)digits / scales[i % 6];
		char text[NUMBER_TEXT_MAX], peer[NUMBER_TEXT_MAX];

		snprintf(peer, sizeof(peer), "%.15g", value + 0.0);
		if (strchr(peer, 'e') || !strcmp(peer, "-0"))
			continue; /* written in our own form */
		number_write_real(text, value);
		check_that(!strcmp(text, peer), "seed 3: %s is not %s", text, peer);
	}
}
END_TEST

START_TEST(whole_numbers_are_written_whole)
{
	static const struct {
		int64_t value;
		const char *text;
	} whole[] = { { 0, "0" },
		      { 7, "7" },
		      { -7, "-7" },
		      { 1000, "1000" },
		      { INT64_MAX, "9223372036854775807" },
		      { INT64_MIN, "-9223372036854775808" } };
	char text[NUMBER_TEXT_MAX];

	for (size_t i = 0; i < sizeof(whole) / sizeof(whole[0]); i++) {
		ck_assert_uint_eq(number_write_int(text, whole[i].value), strlen(whole[i].text));
		ck_assert_str_eq(text, whole[i].text);
	}
}
END_TEST

START_TEST(rounding_to_15_digits_keeps_what_15_digits_say)
{
	ck_assert_double_eq(number_round15(0.1), 0.1);
	ck_assert_double_eq(number_round15(0.1 + 0.2), 0.3);
	ck_assert_double_eq(number_round15(1.0000000000000002), 1);
	ck_assert(isnan(number_round15((double)NAN)));
	ck_assert(isinf(number_round15((double)INFINITY)));
	ck_assert(isfinite(number_round15(DBL_MAX)));
	ck_assert(isfinite(number_round15(-DBL_MAX)));
}
END_TEST

static const struct {
	const char *text;
	char decimal;
	bool good;
	double value;
} read[] = {
	{ "0.1", '.', true, 0.1 },
	{ "+12", '.', true, 12 },
	{ "-12.50", '.', true, -12.5 },
	{ "007", '.', true, 7 },
	{ "1e308", '.', true, 1e308 },
	{ "1e400", '.', false, 0 },
	{ "-1e400", '.', false, 0 },
	{ "1e99999999999999999999", '.', false, 0 },
	{ "1e-99999999999999999999", '.', true, 0 },
	{ "1.7976931348623157e308", '.', true, 1.79769313486231e308 },
	{ "2E-3", '.', true, 0.002 },
	{ "12345678901234567890", '.', true, 1.23456789012346e19 },
	{ "0.000000000000000000000000000000000000000000001", '.', true, 1e-45 },
	{ "1,5", ',', true, 1.5 },
	{ "1,5", '.', false, 0 },
	{ "1.5", ',', false, 0 },
	{ "1.234,5", ',', false, 0 },
	{ "1,234.5", '.', false, 0 },
	{ "", '.', false, 0 },
	{ "-", '.', false, 0 },
	{ ".5", '.', false, 0 },
	{ "5.", '.', false, 0 },
	{ "1e", '.', false, 0 },
	{ "1e+", '.', false, 0 },
	{ " 1", '.', false, 0 },
	{ "1 ", '.', false, 0 },
	{ "0x10", '.', false, 0 },
	{ "nan", '.', false, 0 },
	{ "inf", '.', false, 0 },
	{ "1_000", '.', false, 0 },
	{ "--1", '.', false, 0 },
	{ "1.5g", '.', false, 0 },
};

START_TEST(a_real_is_read_strictly)
{
	double value = 77;
	bool good = number_read_real(read[_i].text, read[_i].decimal, &value);

	ck_assert_msg(good == read[_i].good, "%s", read[_i].text);
	ck_assert_double_eq(value, good ? read[_i].value : 77);
}
END_TEST

/* More digits than are kept can still break a tie. */
START_TEST(a_long_number_is_rounded_right)
{
	char text[300];
	double value;

	memset(text, '0', sizeof(text));
	memcpy(text, "1.", 2);
	text[sizeof(text) - 2] = '1';
	text[sizeof(text) - 1] = '\0';
	ck_assert(number_read_real(text, '.', &value));
	ck_assert_double_eq(value, 1);
	memset(text, '9', sizeof(text) - 1);
	ck_assert(number_read_real(text, '.', &value));
	ck_assert_double_eq(value, 1e299);
}
END_TEST

static const struct {
	const char *text;
	bool good;
	int64_t value;
} whole[] = {
	{ "0", true, 0 },
	{ "-0", true, 0 },
	{ "+12", true, 12 },
	{ "12.0", true, 12 },
	{ "12.000", true, 12 },
	{ "9007199254740991", true, INT64_C(9007199254740991) },
	{ "-9007199254740991", true, -INT64_C(9007199254740991) },
	{ "9007199254740992", false, 0 },
	{ "9223372036854775808", false, 0 }, /* 2^63 */
	{ "99999999999999999999999999", false, 0 },
	{ "12.5", false, 0 },
	{ "12.", false, 0 },
	{ "12,0", false, 0 },
	{ "1e3", false, 0 },
	{ "", false, 0 },
	{ "-", false, 0 },
	{ "12 ", false, 0 },
	{ " 12", false, 0 },
	{ "0x1", false, 0 },
};

START_TEST(a_whole_number_is_read_strictly)
{
	int64_t value = 77;

	ck_assert_msg(number_read_int(whole[_i].text, '.', &value) == whole[_i].good, "%s",
		      whole[_i].text);
	ck_assert_int_eq(value, whole[_i].good ? whole[_i].value : 77);
}
END_TEST

START_TEST(a_decimal_comma_is_taken_in_whole_numbers_too)
{
	int64_t value;

	ck_assert(number_read_int("12,0", ',', &value) && value == 12);
	ck_assert(!number_read_int("12.0", ',', &value));
}
END_TEST

/* Where this computer has a locale with a decimal comma, it changes nothing. */
START_TEST(the_locale_changes_nothing)
{
	static const char *const locales[] = { "de_DE.UTF-8", "es_ES.UTF-8", "fr_FR.UTF-8",
					       "C.UTF-8" };
	char text[NUMBER_TEXT_MAX];
	double value;

	for (size_t i = 0; i < sizeof(locales) / sizeof(locales[0]); i++) {
		if (!setlocale(LC_ALL, locales[i]))
			continue;
		number_write_real(text, 1234.5);
		ck_assert_str_eq(text, "1234.5");
		ck_assert(number_read_real("1234.5", '.', &value));
		ck_assert_double_eq(value, 1234.5);
	}
}
END_TEST

START_TEST(whole_numbers_far_apart_are_ordered_right)
{
	const int64_t least = INT64_MIN, none = 0, most = INT64_MAX;

	ck_assert_int_lt(order_int64(&least, &most), 0); /* a difference would not fit */
	ck_assert_int_gt(order_int64(&most, &least), 0);
	ck_assert_int_lt(order_int64(&least, &none), 0);
	ck_assert_int_eq(order_int64(&most, &most), 0);
	ck_assert(later_of(least, most) == most && later_of(most, none) == most);
	ck_assert(sooner_of(least, most) == least && sooner_of(most, none) == none);
}
END_TEST

#define N(table) (int)(sizeof(table) / sizeof((table)[0]))

Suite *number_suite(void)
{
	Suite *s = suite_create("number");
	TCase *tc = tcase_create("number");

	suite_add_tcase(s, tc);
	tcase_add_loop_test(tc, a_real_is_written_with_15_digits, 0, N(written));
	tcase_add_test(tc, what_was_written_reads_back_the_same);
	tcase_add_test(tc, short_numbers_are_written_as_printf_writes_them);
	tcase_add_test(tc, whole_numbers_are_written_whole);
	tcase_add_test(tc, rounding_to_15_digits_keeps_what_15_digits_say);
	tcase_add_loop_test(tc, a_real_is_read_strictly, 0, N(read));
	tcase_add_test(tc, a_long_number_is_rounded_right);
	tcase_add_loop_test(tc, a_whole_number_is_read_strictly, 0, N(whole));
	tcase_add_test(tc, a_decimal_comma_is_taken_in_whole_numbers_too);
	tcase_add_test(tc, the_locale_changes_nothing);
	tcase_add_test(tc, whole_numbers_far_apart_are_ordered_right);
	return s;
}

/* Identifiers, SHA-256 and the check character: base/uuid. */
#include "unit_tests.h"

#include <string.h>

#include "base/uuid.h"
#include "support.h"

/* RFC 9562 appendix A.6. */
START_TEST(version_7_matches_the_rfcs_example)
{
	struct uuid u = uuid_v7_from(INT64_C(1645557742000), 0xCC3, UINT64_C(0x18C4DC0C0C07398F));
	char text[UUID_TEXT_MAX];

	uuid_write(text, &u);
	ck_assert_str_eq(text, "017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
	ck_assert(uuid_is_client(&u));
}
END_TEST

/* RFC 9562 appendix B.2 (from memory): SHA-256 over the DNS name space and www.example.com. */
START_TEST(version_8_matches_the_rfcs_example)
{
	static const char bytes[] =
		"\x6B\xA7\xB8\x10\x9D\xAD\x11\xD1\x80\xB4\x00\xC0\x4F\xD4\x30\xC8"
		"www.example.com";
	struct uuid u = uuid_v8(bytes, sizeof(bytes) - 1);
	char text[UUID_TEXT_MAX];

	uuid_write(text, &u);
	ck_assert_str_eq(text, "5c146b14-3c52-8afd-938a-375d0df1fbf6");
	ck_assert(!uuid_is_client(&u));
}
END_TEST

/* FIPS 180-4, the example of the one-block message "abc". */
START_TEST(sha256_matches_the_standards_example)
{
	static const uint8_t want[32] = { 0xBA, 0x78, 0x16, 0xBF, 0x8F, 0x01, 0xCF, 0xEA,
					  0x41, 0x41, 0x40, 0xDE, 0x5D, 0xAE, 0x22, 0x23,
					  0xB0, 0x03, 0x61, 0xA3, 0x96, 0x17, 0x7A, 0x9C,
					  0xB4, 0x10, 0xFF, 0x61, 0xF2, 0x00, 0x15, 0xAD };
	uint8_t got[32];

	sha256(got, "abc", 3);
	ck_assert_mem_eq(got, want, sizeof(want));
}
END_TEST

START_TEST(version_7_is_new_each_time_and_sorts_by_time)
{
	struct uuid last = uuid_v7(1);

	for (int64_t ms = 2; ms < 1000; ms++) {
		struct uuid a = uuid_v7(ms), b = uuid_v7(ms);

		ck_assert_int_eq(a.byte[6] >> 4, 7);
		ck_assert_int_eq(a.byte[8] >> 6, 2);
		ck_assert_int_ne(uuid_compare(&a, &b), 0);
		ck_assert_int_lt(uuid_compare(&last, &a), 0);
		last = a;
	}
}
END_TEST

START_TEST(a_key_is_read_in_either_case)
{
	struct uuid a, b;
	char text[UUID_TEXT_MAX];

	ck_assert(uuid_read("017F22E2-79B0-7CC3-98C4-DC0C0C07398F", &a));
	ck_assert(uuid_read("017f22e2-79b0-7cc3-98c4-dc0c0c07398f", &b));
	ck_assert_int_eq(uuid_compare(&a, &b), 0);
	uuid_write(text, &a);
	ck_assert_str_eq(text, "017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
}
END_TEST

START_TEST(what_is_no_key_is_refused)
{
	static const char *const bad[] = {
		"",
		"017f22e2",
		"017f22e279b07cc398c4dc0c0c07398f",
		"017f22e2-79b0-7cc3-98c4-dc0c0c07398",
		"017f22e2-79b0-7cc3-98c4-dc0c0c07398f0",
		"017f22e2-79b0-7cc3-98c4-dc0c0c07398g",
		"{17f22e2-79b0-7cc3-98c4-dc0c0c07398f",
		"017f22e2-79b0-7cc398-c4-dc0c0c07398f",
		"017f22e2-79b0-7cc3-c8c4-dc0c0c07398f", /* another variant (RFC 9562 4.1) */
		"00000000-0000-0000-0000-000000000000",
	};
	struct uuid u = { { 7 } };

	for (size_t i = 0; i < sizeof(bad) / sizeof(bad[0]); i++)
		ck_assert_msg(!uuid_read(bad[i], &u), "%s was taken", bad[i]);
	ck_assert_int_eq(u.byte[0], 7);
}
END_TEST

START_TEST(clients_make_versions_4_and_7)
{
	static const char versions[] = "12345678";
	struct uuid zero = { { 0 } };

	for (const char *v = versions; *v; v++) {
		char text[] = "017f22e2-79b0-0cc3-98c4-dc0c0c07398f";
		struct uuid u;

		text[14] = *v;
		ck_assert(uuid_read(text, &u));
		ck_assert_int_eq(uuid_is_client(&u), *v == '4' || *v == '7');
		ck_assert(!uuid_is_zero(&u));
	}
	ck_assert(uuid_is_zero(&zero));
	ck_assert(!uuid_is_client(&zero));
}
END_TEST

/* ISO 7064 MOD 37,36: the example of the GRid standard for music releases, A1-2425G-ABC1234002-M, whose
 * check character is this system's (from memory). */
START_TEST(check_character_matches_a_published_example)
{
	ck_assert_int_eq(check_character("A1-2425G-ABC1234002"), 'M');
	ck_assert_int_eq(check_character("a12425gabc1234002"), 'M');
	ck_assert(check_character_holds("A1-2425G-ABC1234002-M"));
	ck_assert(check_character_holds("A12425GABC1234002m"));
	ck_assert(!check_character_holds("A1-2425G-ABC1234002-N"));
}
END_TEST

/* The standard's promise: every wrong single character is found; here in a label code of our own form. */
START_TEST(check_character_finds_every_single_slip)
{
	static const char letters[] = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
	char code[] = "260331A017x";
	size_t n = strlen(code);

	code[n - 1] = '\0';
	code[n - 1] = check_character(code);
	ck_assert(check_character_holds(code));
	for (size_t i = 0; i < n; i++) {
		char right = code[i];

		for (const char *c = letters; *c; c++) {
			code[i] = *c;
			ck_assert_int_eq(check_character_holds(code), *c == right);
		}
		code[i] = right;
	}
}
END_TEST

START_TEST(check_character_wants_letters_and_digits)
{
	ck_assert_int_eq(check_character(""), 0);
	ck_assert_int_eq(check_character("--"), 0);
	ck_assert_int_eq(check_character("AB C"), 0);
	ck_assert_int_eq(check_character("\xC3\x84"), 0);
	ck_assert(!check_character_holds(""));
	ck_assert(!check_character_holds("A"));
	ck_assert(!check_character_holds("-A"));
	ck_assert(!check_character_holds("A1-2425G-ABC1234002-M-"));
}
END_TEST

Suite *uuid_suite(void)
{
	Suite *s = suite_create("uuid");
	TCase *tc = tcase_create("uuid");

	suite_add_tcase(s, tc);
	tcase_add_test(tc, version_7_matches_the_rfcs_example);
	tcase_add_test(tc, version_8_matches_the_rfcs_example);
	tcase_add_test(tc, sha256_matches_the_standards_example);
	tcase_add_test(tc, version_7_is_new_each_time_and_sorts_by_time);
	tcase_add_test(tc, a_key_is_read_in_either_case);
	tcase_add_test(tc, what_is_no_key_is_refused);
	tcase_add_test(tc, clients_make_versions_4_and_7);
	tcase_add_test(tc, check_character_matches_a_published_example);
	tcase_add_test(tc, check_character_finds_every_single_slip);
	tcase_add_test(tc, check_character_wants_letters_and_digits);
	return s;
}

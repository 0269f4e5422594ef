/* QR codes for labels, and the row that a scanned code stands for. */
#include "api_tests.h"

#include <string.h>

#include "base/uuid.h"

START_TEST(a_text_becomes_a_picture)
{
	struct answer a = get("/api/qr.svg?text=https://farm.test/s/T1");
	struct answer other = get("/api/qr.svg?text=T2");

	ck_assert_int_eq(a.status, 200);
	ck_assert_str_eq(a.content_type, "image/svg+xml");
	ck_assert_ptr_nonnull(a.etag);
	/* Version 2, 25 modules (23 bytes at level M), with a border of 4 on each side (ISO/IEC 18004). */
	ck_assert_ptr_nonnull(strstr(a.body, "viewBox=\"0 0 33 33\""));
	ck_assert_ptr_nonnull(strstr(other.body, "viewBox=\"0 0 29 29\""));
	/* The finder pattern in the corner: a bar of seven modules. */
	ck_assert_ptr_nonnull(strstr(a.body, "M4 4h7v1h-7z"));
}
END_TEST

START_TEST(what_a_label_cannot_hold_is_refused)
{
	char target[512] = "/api/qr.svg?text=";
	struct answer none = get("/api/qr.svg"), empty = get("/api/qr.svg?text="), longest;

	assert_problem(&none, 422, "bad_length");
	assert_problem(&empty, 422, "bad_length");
	memset(target + strlen(target), 'A', 200);
	longest = get(target);
	ck_assert_int_eq(longest.status, 200);
	strcat(target, "A");
	longest = get(target);
	assert_problem(&longest, 422, "bad_length");
}
END_TEST

START_TEST(a_code_leads_to_its_row_in_any_case)
{
	struct answer tank = get("/api/codes/t1"), lot = get("/api/codes/F1");

	ck_assert_str_eq(text_at(&tank, "code"), "T1");
	ck_assert_str_eq(text_at(&tank, "kind"), "tanks");
	ck_assert_int_eq(int_at(&tank, "id"), 2);
	ck_assert_str_eq(text_at(&lot, "kind"), "fish-lots");
}
END_TEST

START_TEST(an_unknown_code_says_when_it_is_misread)
{
	char target[64] = "/api/codes/260331A017";
	const size_t n = strlen(target);
	struct answer a;

	target[n] = check_character(target + strlen("/api/codes/"));
	a = get(target);
	assert_problem(&a, 404, "no_such_code");
	target[n] = target[n] == 'Z' ? 'Y' : 'Z';
	a = get(target);
	assert_problem(&a, 404, "misread_code");
}
END_TEST

Suite *labels_suite(void)
{
	Suite *s = suite_create("labels");
	TCase *t = tcase_create("labels");

	tcase_add_checked_fixture(t, api_setup, api_teardown);
	tcase_add_test(t, a_text_becomes_a_picture);
	tcase_add_test(t, what_a_label_cannot_hold_is_refused);
	tcase_add_test(t, a_code_leads_to_its_row_in_any_case);
	tcase_add_test(t, an_unknown_code_says_when_it_is_misread);
	suite_add_tcase(s, t);
	return s;
}

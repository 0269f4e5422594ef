/* What a write must carry, so that no page of another site can write to the farm's record. */
#include "api_tests.h"

#include <stdlib.h>
#include <string.h>

static struct answer write_with(const char *headers)
{
	return ask("POST", "/api/species", "{\"name\":\"Trout\"}", headers);
}

START_TEST(a_write_needs_its_header)
{
	struct answer a = write_with("-X-Weirbook");

	assert_problem(&a, 403, "needs_header");
	a = write_with("-X-Weirbook\nX-Weirbook: 0");
	assert_problem(&a, 403, "needs_header");
	ck_assert_int_eq(write_with("-X-Weirbook\nx-weirbook: 1").status, 201);
}
END_TEST

static const char *const bad_types[] = { "-Content-Type", "-Content-Type\nContent-Type: text/plain",
					 "-Content-Type\nContent-Type: application/jsonp",
					 "-Content-Type\nContent-Type: multipart/form-data",
					 "Content-Type: application/json" /* twice */ };

START_TEST(a_write_is_json)
{
	struct answer a = write_with(bad_types[_i]);

	assert_problem(&a, 415, "needs_json");
}
END_TEST

static const char *const good_types[] = {
	"-Content-Type\nContent-Type: application/json; charset=utf-8",
	"-Content-Type\ncontent-type: Application/JSON",
	"Origin: http://localhost:8080",
	"Origin: https://localhost:8080",
	"Origin: http://LOCALHOST:8080",
};

START_TEST(a_write_of_our_own_page_is_taken)
{
	ck_assert_int_eq(write_with(good_types[_i]).status, 201);
}
END_TEST

static const char *const other_origins[] = { "Origin: null",
					     "Origin: http://localhost",
					     "Origin: http://localhost:8081",
					     "Origin: http://localhost:8080.example",
					     "Origin: ftp://localhost:8080",
					     "Origin: ",
					     "Origin: http://example.org",
					     "-Host\nHost: a\nOrigin: http://a\nOrigin: http://a",
					     "-Host\nOrigin: http://localhost:8080" };

START_TEST(a_write_of_another_origin_is_refused)
{
	struct answer a = write_with(other_origins[_i]);

	assert_problem(&a, 403, "other_origin");
}
END_TEST

START_TEST(a_body_beyond_the_limit_is_refused)
{
	const size_t n = 300 << 10;
	char *body = xmalloc(n + 1);

	memset(body, ' ', n);
	body[n] = '\0';
	memcpy(body, "{\"name\":\"x\"}", 12);

	struct answer a = ask("POST", "/api/species", body, NULL);

	assert_problem(&a, 413, "body_too_large");
	free(body);
}
END_TEST

START_TEST(reading_takes_no_body)
{
	struct answer a = ask("GET", "/api/species", "{}", NULL);

	assert_problem(&a, 400, "no_body");
}
END_TEST

Suite *headers_suite(void)
{
	Suite *s = suite_create("headers");
	TCase *t = tcase_create("headers");

	tcase_add_checked_fixture(t, api_setup, api_teardown);
	tcase_add_test(t, a_write_needs_its_header);
	tcase_add_loop_test(t, a_write_is_json, 0, sizeof(bad_types) / sizeof(bad_types[0]));
	tcase_add_loop_test(t, a_write_of_our_own_page_is_taken, 0,
			    sizeof(good_types) / sizeof(good_types[0]));
	tcase_add_loop_test(t, a_write_of_another_origin_is_refused, 0,
			    sizeof(other_origins) / sizeof(other_origins[0]));
	tcase_add_test(t, a_body_beyond_the_limit_is_refused);
	tcase_add_test(t, reading_takes_no_body);
	suite_add_tcase(s, t);
	return s;
}

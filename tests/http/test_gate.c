/* The checks before a route is looked for, without a socket. */
#include <string.h>

#include "http/gate.h"
#include "http/uri.h"
#include "http_tests.h"

static const char *const hosts[] = { "farm.example", NULL };
static const struct app at_home = { .hosts = (const char **)hosts };
static const struct app on_lan = { .hosts = (const char **)hosts, .open_lan = true };

static const struct {
	const char *host;
	bool at_home, on_lan;
} host_cases[] = {
	{ "localhost", true, true },
	{ "LocalHost:8080", true, true },
	{ "127.0.0.1:1", true, true },
	{ "[::1]:8080", true, true },
	{ "farm.example", true, true },
	{ "FARM.example:8080", true, true },
	{ "192.168.1.7:8080", false, true },
	{ "[fe80::1]:8080", false, true },
	{ "evil.example", false, false },
	{ "farm.example.evil.example", false, false },
	{ "localhost.evil.example", false, false },
	{ "localhost:8080:1", false, false },
	{ "localhost:x", false, false },
	{ "localhost evil", false, false },
	{ "user@localhost", false, false },
	{ "[::1", false, false },
	{ "[]", false, false },
	{ "192.168.1", false, false },
	{ "", false, false },
	{ ":8080", false, false },
};

START_TEST(only_our_hosts_are_answered)
{
	ck_assert_int_eq(gate_host_is_ours(host_cases[_i].host, &at_home), host_cases[_i].at_home);
	ck_assert_int_eq(gate_host_is_ours(host_cases[_i].host, &on_lan), host_cases[_i].on_lan);
}
END_TEST

static const struct {
	const char *target, *path; /* path NULL: refused */
	const char *name, *value;  /* of the last parameter */
} uri_cases[] = {
	{ "/", "/", NULL, NULL },
	{ "/api/tanks?limit=3&after=a%26b", "/api/tanks", "after", "a&b" },
	{ "/a%20b?x=1+2", "/a b", "x", "1 2" },
	{ "/a+b?c%C3%A9=%E2%82%AC", "/a+b", "c\xc3\xa9", "\xe2\x82\xac" },
	{ "/a?x", "/a", "x", "" },
	{ "/a?&&x=1&", "/a", "x", "1" },
	{ "/a?x=a=b", "/a", "x", "a=b" },
	{ "/x/../%2e%2e/", "/x/../../", NULL, NULL },
	{ "/a%00b", NULL, NULL, NULL },
	{ "/a?x=%00", NULL, NULL, NULL },
	{ "/a%0d%0ab", NULL, NULL, NULL },
	{ "/a%", NULL, NULL, NULL },
	{ "/a%4", NULL, NULL, NULL },
	{ "/a%zz", NULL, NULL, NULL },
	{ "/a%ff", NULL, NULL, NULL },
	{ "/a?x=%c0%af", NULL, NULL, NULL },
	{ "http://evil.example/", NULL, NULL, NULL },
	{ "*", NULL, NULL, NULL },
	{ "", NULL, NULL, NULL },
};

START_TEST(targets_are_read_strictly)
{
	struct arena arena;
	struct request req = { .arena = &arena };
	struct err err;
	const char *path = uri_cases[_i].path;

	arena_init(&arena);
	err_clear(&err);
	if (!path) {
		ck_assert_int_eq(uri_read(uri_cases[_i].target, &req, &err), ERR_MALFORMED);
	} else {
		ck_assert_int_eq(uri_read(uri_cases[_i].target, &req, &err), ERR_NONE);
		ck_assert_str_eq(req.path, path);
		if (uri_cases[_i].name) {
			ck_assert_str_eq(req.query[req.n_query - 1].name, uri_cases[_i].name);
			ck_assert_str_eq(req.query[req.n_query - 1].value, uri_cases[_i].value);
		} else {
			ck_assert_uint_eq(req.n_query, 0);
		}
	}
	arena_release(&arena);
}
END_TEST

Suite *gate_suite(void)
{
	Suite *suite = suite_create("gate");
	TCase *t = tcase_create("gate");

	tcase_add_loop_test(t, only_our_hosts_are_answered, 0,
			    sizeof(host_cases) / sizeof(*host_cases));
	tcase_add_loop_test(t, targets_are_read_strictly, 0,
			    sizeof(uri_cases) / sizeof(*uri_cases));
	suite_add_tcase(suite, t);
	return suite;
}

/* ETags: an answer that has not changed is a 304, and one that has is not. */
#include "api_tests.h"

#include <stdio.h>
#include <string.h>

#include "api/events.h"

static struct answer get_if_changed(const char *target, const char *etag)
{
	char header[192];

	snprintf(header, sizeof(header), "If-None-Match: %s", etag);
	return ask("GET", target, NULL, header);
}

static void add_species(void)
{
	static int n;

	ck_assert_int_eq(post("/api/species", "{\"name\":\"Species %d\"}", n++).status, 201);
}

static const char *const cached[] = { "/api/tanks/2",   "/api/tanks",  "/api/tanks?limit=1",
				      "/api/tanks.csv", "/api/record", "/api/openapi.json",
				      "/api/farm" };

START_TEST(an_unchanged_answer_is_304)
{
	struct answer first = get(cached[_i]);

	ck_assert_int_eq(first.status, 200);
	ck_assert_ptr_nonnull(first.etag);
	ck_assert_str_eq(first.cache_control, "private, no-cache");

	struct answer again = get_if_changed(cached[_i], first.etag);

	ck_assert_int_eq(again.status, 304);
	ck_assert_uint_eq(again.length, 0);
	ck_assert_str_eq(again.etag, first.etag);
	ck_assert_int_eq(get_if_changed(cached[_i], "*").status, 304);
	ck_assert_int_eq(get_if_changed(cached[_i], "\"other\"").status, 200);
}
END_TEST

START_TEST(weak_tags_and_lists_of_tags_match)
{
	ck_assert_int_eq(get_if_changed("/api/tanks/2", "W/\"1\"").status, 304);
	ck_assert_int_eq(get_if_changed("/api/tanks/2", "\"9\", \"1\"").status, 304);
	ck_assert_int_eq(get_if_changed("/api/tanks/2", "\"9\",W/\"1\"").status, 304);
	ck_assert_int_eq(get_if_changed("/api/tanks/2", "1").status, 200);
	ck_assert_int_eq(get_if_changed("/api/tanks/2", "\"1").status, 200);
	ck_assert_int_eq(get_if_changed("/api/tanks/2", "").status, 200);
}
END_TEST

START_TEST(a_write_changes_the_tags_of_lists)
{
	struct answer before = get("/api/tanks");

	add_species();
	ck_assert_int_eq(get_if_changed("/api/tanks", before.etag).status, 200);
	ck_assert_int_eq(get_if_changed("/api/tanks/2", "\"1\"").status, 304); /* not its row's */
}
END_TEST

START_TEST(a_refused_write_changes_no_tag)
{
	struct answer before = get("/api/tanks");

	post("/api/species", "{}");
	ck_assert_int_eq(get_if_changed("/api/tanks", before.etag).status, 304);
}
END_TEST

START_TEST(the_farms_day_changes_the_tags_of_lists)
{
	struct answer before = get("/api/tanks");

	bench.now += 86400;
	ck_assert_int_eq(get_if_changed("/api/tanks", before.etag).status, 200);
}
END_TEST

START_TEST(another_build_changes_all_tags_but_a_rows)
{
	struct answer list = get("/api/tanks"), record = get("/api/record");

	bench.app.build = "other";
	ck_assert_int_eq(get_if_changed("/api/tanks", list.etag).status, 200);
	ck_assert_int_eq(get_if_changed("/api/record", record.etag).status, 200);
}
END_TEST

START_TEST(event_names_the_kinds_written_since)
{
	struct event_place place = { 0 }, other = { 0 };
	struct strbuf text;

	strbuf_init(&text);
	events_greet(&bench.app, &place, &text);
	other = place;
	strbuf_clear(&text);
	events_tell(&bench.app, &place, &text);
	ck_assert_uint_eq(text.length, 0); /* nothing moved */
	post("/api/fish-deaths", "{\"tank_id\":2,\"fish\":1,\"at\":\"2026-03-31T07:00:00Z\","
				 "\"confirm\":true}");
	events_tell(&bench.app, &place, &text);
	ck_assert_ptr_nonnull(strstr(text.text, "\"kinds\":[\"fish-deaths\"]"));
	ck_assert_str_eq(text.text + text.length - 2, "\n\n");
	strbuf_clear(&text);
	post("/api/staff", "{\"name\":\"Ines\",\"role\":\"crew\"}");
	events_tell(&bench.app, &place, &text);
	ck_assert_ptr_nonnull(strstr(text.text, "\"kinds\":[\"staff\"]"));
	strbuf_clear(&text);
	events_tell(&bench.app, &other, &text); /* one who was slow hears of both in one */
	ck_assert_ptr_nonnull(strstr(text.text, "\"staff\""));
	ck_assert_ptr_nonnull(strstr(text.text, "\"fish-deaths\""));
	ck_assert_ptr_null(strstr(strstr(text.text, "data:") + 5, "data:"));
	strbuf_clear(&text);
	post("/api/staff", "{\"nme\":\"Ines\"}"); /* refused */
	events_tell(&bench.app, &place, &text);
	ck_assert_uint_eq(text.length, 0);
	strbuf_release(&text);
}
END_TEST

Suite *caching_suite(void)
{
	Suite *s = suite_create("caching");
	TCase *t = tcase_create("caching");

	tcase_add_checked_fixture(t, api_setup, api_teardown);
	tcase_add_test(t, event_names_the_kinds_written_since);
	tcase_add_loop_test(t, an_unchanged_answer_is_304, 0, sizeof(cached) / sizeof(cached[0]));
	tcase_add_test(t, weak_tags_and_lists_of_tags_match);
	tcase_add_test(t, a_write_changes_the_tags_of_lists);
	tcase_add_test(t, a_refused_write_changes_no_tag);
	tcase_add_test(t, the_farms_day_changes_the_tags_of_lists);
	tcase_add_test(t, another_build_changes_all_tags_but_a_rows);
	suite_add_tcase(s, t);
	return s;
}

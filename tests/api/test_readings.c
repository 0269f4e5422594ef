/* Readings over the API: batches in three forms, and a probe's chart. */
#include "api_tests.h"

#include <stdio.h>
#include <string.h>

#include "api/events.h"

static void add_probe(void)
{
	struct answer a = post("/api/probes", "{\"code\":\"DO-T1\",\"place_id\":2,"
					      "\"quantity\":\"do_mg_l\",\"unit\":\"mg/L\","
					      "\"silent_after_min\":30}");

	ck_assert_int_eq(a.status, 201);
}

static void set_up(void)
{
	api_setup();
	add_probe();
}

static struct answer send(const char *type, const char *body)
{
	char header[96];

	snprintf(header, sizeof(header), "-Content-Type\nContent-Type: %s", type);
	return ask("POST", "/api/readings", body, header);
}

static const json_t *error_at(const struct answer *a, size_t i)
{
	return json_array_get(json_object_get(a->json, "errors"), i);
}

static void assert_error(const struct answer *a, size_t i, int line, const char *field,
			 const char *code)
{
	const json_t *e = error_at(a, i);

	ck_assert_msg(e != NULL, "%s", a->body);
	ck_assert_int_eq(json_integer_value(json_object_get(e, "line")), line);
	ck_assert_str_eq(json_string_value(json_object_get(e, "field")), field);
	ck_assert_str_eq(json_string_value(json_object_get(e, "code")), code);
}

static void assert_counts(const struct answer *a, int kept, int same, int refused)
{
	ck_assert_msg(int_at(a, "kept") == kept && int_at(a, "same") == same &&
			      int_at(a, "refused") == refused,
		      "%s", a->body);
}

/* The same three readings, one of them twice, in each form; all ways give the same rows. */
static const struct {
	const char *type, *body;
} forms[] = {
	{ "application/json",
	  "{\"probe\":\"DO-T1\",\"readings\":[{\"at\":\"2026-03-31T07:00:00Z\",\"value\":7.1},"
	  "{\"at\":\"2026-03-31T07:10:00Z\",\"value\":7},"
	  "{\"at\":\"2026-03-31T07:00:00Z\",\"value\":7.1},"
	  "{\"at\":\"2026-03-31T06:00:00Z\",\"value\":6.5,\"probe_id\":1}]}" },
	{ "text/csv", "\xEF\xBB\xBFprobe,at,value\r\nDO-T1,2026-03-31T07:00:00Z,7.1\r\n"
		      "\"DO-T1\",2026-03-31 09:10,7\r\ndo-t1,2026-03-31T09:00:00+02:00,7.10\r\n"
		      "DO-T1,2026-03-31T06:00:00Z,6.5\r\n" },
	{ "application/x-ndjson",
	  "{\"probe\":\"DO-T1\",\"at\":\"2026-03-31T07:00:00Z\",\"value\":7.1}\n\n"
	  "{\"probe_id\":1,\"at\":\"2026-03-31T07:10:00Z\",\"value\":7}\r\n"
	  "{\"probe\":\"DO-T1\",\"at\":\"2026-03-31T07:00:00Z\",\"value\":7.1}\n"
	  "{\"probe\":\"DO-T1\",\"at\":\"2026-03-31T06:00:00Z\",\"value\":6.5}" },
};

START_TEST(a_batch_comes_in_three_forms)
{
	struct answer a = send(forms[_i].type, forms[_i].body);

	ck_assert_int_eq(a.status, 200);
	assert_counts(&a, 3, 1, 0);
	a = send(forms[_i].type, forms[_i].body); /* a logger that got no answer sends it again */
	assert_counts(&a, 0, 4, 0);
	a = get("/api/readings.csv?probe=DO-T1");
	ck_assert_str_eq(a.body,
			 "probe,at,value\r\nDO-T1,2026-03-31T06:00:00Z,6.5\r\n"
			 "DO-T1,2026-03-31T07:00:00Z,7.1\r\nDO-T1,2026-03-31T07:10:00Z,7\r\n");
	ck_assert_str_eq(a.file_name, "readings.csv");
}
END_TEST

START_TEST(each_reading_is_kept_or_refused_by_itself)
{
	struct answer a = send("text/csv", "probe,at,value\nDO-T1,2026-03-31T07:00:00Z,7\n"
					   "DO-T9,2026-03-31T07:00:00Z,7\n"
					   "DO-T1,2026-03-31T07:00:00Z,41\n"
					   "DO-T1,2026-03-31T07:01:00Z,\"a\nb\"\n"
					   "DO-T1,2026-03-31T08:11:00Z,7\n"
					   "DO-T1,2026-03-31T07:02:00Z,7\n");

	ck_assert_int_eq(a.status, 200);
	assert_counts(&a, 2, 0, 4);
	assert_error(&a, 0, 3, "probe", "unknown_reference");
	assert_error(&a, 1, 4, "value", "out_of_range");
	assert_error(&a, 2, 5, "value", "not_a_number");
	assert_error(&a, 3, 7, "at", "in_future");
	a = send("application/x-ndjson",
		 "{\"probe\":\"DO-T1\",\"at\":\"2026-03-31T07:03:00Z\",\"value\":7}\n"
		 "{\"probe\":\"DO-T1\",\"at\":\"2026-03-31T07:03:00Z\",\"value\":\"7\"}\n"
		 "{\"probe\":\"DO-T1\",\"at\":\"2026-03-31T07:03:00Z\",\"wert\":7}\n[]\n{\n"
		 "{\"probe\":\"DO-T1\",\"at\":\"2026-03-31T07:03:00Z\",\"value\":NaN}\n");
	assert_counts(&a, 1, 0, 5);
	assert_error(&a, 0, 2, "value", "wrong_type");
	assert_error(&a, 1, 3, "wert", "unknown_field");
	assert_error(&a, 2, 4, "", "no_object");
	assert_error(&a, 3, 5, "", "bad_json");
	assert_error(&a, 4, 6, "", "bad_json");
}
END_TEST

static const struct {
	const char *type, *body;
	int status;
	const char *code;
} bad[] = {
	{ "application/json", "{\"at\":\"2026-03-31T07:00:00Z\",\"value\":7}", 422, "required" },
	{ "application/json", "{\"probe\":\"DO-T1\",\"value\":7}", 422, "required" },
	{ "application/json", "{\"probe\":\"DO-T1\",\"at\":\"2026-03-31T07:00:00Z\"}", 422,
	  "required" },
	{ "application/json",
	  "{\"probe\":\"DO-T1\",\"probe_id\":1,\"at\":\"2026-03-31T07:00:00Z\",\"value\":7}", 422,
	  "too_many" },
	{ "application/json", "{\"probe\":\"DO-T1\",\"at\":\"today\",\"value\":7}", 422,
	  "not_a_time" },
	{ "application/json", "{\"probe\":\"T1\",\"at\":\"2026-03-31T07:00:00Z\",\"value\":7}", 422,
	  "wrong_kind" },
	{ "application/json", "{\"readings\":[],\"from\":1}", 422, "unknown_field" },
	{ "application/json", "{\"readings\":[1]}", 422, "no_object" },
	{ "application/json", "[]", 400, "no_object" },
	{ "application/json", "{\"value\":1e999}", 400, "number_too_large" },
	{ "text/csv", "probe,at\n", 422, "missing_column" },
	{ "text/csv", "probe,at,value,colour\n", 422, "unknown_column" },
	{ "text/csv", "", 400, "no_body" },
	{ "text/plain", "7", 415, "needs_json" },
	{ "application/x-ndjsonx", "{}", 415, "needs_json" },
};

START_TEST(a_bad_batch_says_what_is_wrong)
{
	struct answer a = send(bad[_i].type, bad[_i].body);

	assert_problem(&a, bad[_i].status, bad[_i].code);
	a = get("/api/readings.csv");
	ck_assert_str_eq(a.body, "probe,at,value\r\n");
}
END_TEST

START_TEST(other_writes_are_json_alone)
{
	struct answer a = ask("POST", "/api/species", "name\nBream\n",
			      "-Content-Type\nContent-Type: text/csv");

	assert_problem(&a, 415, "needs_json");
}
END_TEST

static const json_t *series(const struct answer *a, const char *name)
{
	return json_object_get(json_object_get(a->json, "series"), name);
}

START_TEST(a_chart_has_gaps_where_nothing_came)
{
	send("text/csv", "probe,at,value\nDO-T1,2026-03-30T07:00:00Z,7\n"
			 "DO-T1,2026-03-30T07:10:00Z,7.5\nDO-T1,2026-03-31T07:00:00Z,6\n");

	struct answer a = get("/api/readings?probe=DO-T1");

	ck_assert_str_eq(text_at(&a, "step"), "each");
	ck_assert_str_eq(text_at(&a, "place"), "T1");
	ck_assert_str_eq(text_at(&a, "from"), "2026-03-25");
	ck_assert_str_eq(text_at(&a, "to"), "2026-03-31");
	ck_assert_double_eq(
		json_number_value(json_object_get(json_object_get(a.json, "newest"), "value")), 6);
	ck_assert_uint_eq(json_array_size(series(&a, "at")), 4);
	ck_assert(json_is_null(json_array_get(series(&a, "mean"), 2)));
	ck_assert_ptr_null(series(&a, "low"));

	a = get("/api/readings?probe_id=1&from=2026-03-30&to=2026-03-31&step=day");
	ck_assert_uint_eq(json_array_size(series(&a, "at")), 2);
	ck_assert_double_eq(json_number_value(json_array_get(series(&a, "mean"), 0)), 7.25);
	ck_assert_double_eq(json_number_value(json_array_get(series(&a, "high"), 0)), 7.5);
	ck_assert_int_eq(json_integer_value(json_array_get(series(&a, "readings"), 0)), 2);

	a = get("/api/readings?probe=DO-T1&from=2026-01-01&to=2026-01-31");
	ck_assert_uint_eq(json_array_size(series(&a, "at")), 0);
	ck_assert(!json_is_null(json_object_get(a.json, "newest")));
}
END_TEST

static const struct {
	const char *query, *code;
} bad_queries[] = {
	{ "", "required" },
	{ "?probe=DO-T9", "unknown_reference" },
	{ "?probe=DO-T1&probe_id=1", "too_many" },
	{ "?probe_id=99", "unknown_reference" },
	{ "?probe=DO-T1&step=century", "not_a_choice" },
	{ "?probe=DO-T1&points=5", "out_of_range" },
	{ "?probe=DO-T1&from=2026-02-30", "not_a_date" },
	{ "?probe=DO-T1&limit=5", "unknown_parameter" },
};

START_TEST(a_bad_question_is_refused)
{
	char target[96];

	snprintf(target, sizeof(target), "/api/readings%s", bad_queries[_i].query);

	struct answer a = get(target);

	assert_problem(&a, 400, bad_queries[_i].code);
}
END_TEST

static int again(const char *target, const char *etag)
{
	char header[192];

	snprintf(header, sizeof(header), "If-None-Match: %s", etag);
	return ask("GET", target, NULL, header).status;
}

/* docs/rules.md: readings leave the record's lists as they are. */
START_TEST(readings_change_the_tags_of_readings_alone)
{
	static const char one[] = "probe,at,value\nDO-T1,2026-03-31T07:00:00Z,7\n";
	struct answer tanks = get("/api/tanks"), chart = get("/api/readings?probe=DO-T1");

	ck_assert_int_eq(again("/api/readings?probe=DO-T1", chart.etag), 304);
	send("text/csv", one);
	ck_assert_int_eq(again("/api/tanks", tanks.etag), 304);
	ck_assert_int_eq(again("/api/readings?probe=DO-T1", chart.etag), 200);
	chart = get("/api/readings?probe=DO-T1");
	send("text/csv", one); /* nothing is new */
	ck_assert_int_eq(again("/api/readings?probe=DO-T1", chart.etag), 304);
	post("/api/probe-faults", "{\"probe_id\":1,\"began_at\":\"2026-03-31T06:00:00Z\","
				  "\"at\":\"2026-03-31T07:30:00Z\"}");
	ck_assert_int_eq(again("/api/readings?probe=DO-T1", chart.etag), 200);
	ck_assert_uint_eq(
		json_array_size(json_object_get(
			json_object_get(get("/api/readings?probe=DO-T1").json, "series"), "at")),
		0);
}
END_TEST

START_TEST(an_open_stream_hears_of_readings)
{
	struct event_place place = { 0 };
	struct strbuf text;

	strbuf_init(&text);
	send("text/csv", "probe,at,value\nDO-T1,2026-03-31T07:00:00Z,7\n");
	events_greet(&bench.app, &place, &text);
	strbuf_clear(&text);
	send("text/csv", "probe,at,value\nDO-T1,2026-03-31T07:00:00Z,7\n");
	events_tell(&bench.app, &place, &text);
	ck_assert_uint_eq(text.length, 0); /* nothing is new */
	send("text/csv", "probe,at,value\nDO-T1,2026-03-31T07:10:00Z,7\n");
	events_tell(&bench.app, &place, &text);
	ck_assert_ptr_nonnull(strstr(text.text, "\"kinds\":[\"readings\"]"));
	strbuf_clear(&text);
	events_tell(&bench.app, &place, &text);
	ck_assert_uint_eq(text.length, 0);
	strbuf_release(&text);
}
END_TEST

static const char *const rest_on_readings[] = { "air",    "alarms", "ration",
						"unease", "water",  "waters" };

/* Reports that read probes say so in their tags. */
START_TEST(what_rests_on_readings_is_asked_anew)
{
	char target[64];

	snprintf(target, sizeof(target), "/api/reports/%s", rest_on_readings[_i]);

	struct answer before = get(target), stock = get("/api/reports/stock");

	send("text/csv", "probe,at,value\nDO-T1,2026-03-31T07:00:00Z,7\n");
	ck_assert_int_eq(again(target, before.etag), 200);
	ck_assert_int_eq(again("/api/reports/stock", stock.etag), 304);
}
END_TEST

Suite *readings_suite(void)
{
	Suite *s = suite_create("readings");
	TCase *t = tcase_create("readings");

	tcase_add_checked_fixture(t, set_up, api_teardown);
	tcase_add_loop_test(t, a_batch_comes_in_three_forms, 0, sizeof(forms) / sizeof(forms[0]));
	tcase_add_test(t, each_reading_is_kept_or_refused_by_itself);
	tcase_add_loop_test(t, a_bad_batch_says_what_is_wrong, 0, sizeof(bad) / sizeof(bad[0]));
	tcase_add_test(t, other_writes_are_json_alone);
	tcase_add_test(t, a_chart_has_gaps_where_nothing_came);
	tcase_add_loop_test(t, a_bad_question_is_refused, 0,
			    sizeof(bad_queries) / sizeof(bad_queries[0]));
	tcase_add_test(t, readings_change_the_tags_of_readings_alone);
	tcase_add_test(t, an_open_stream_hears_of_readings);
	tcase_add_loop_test(t, what_rests_on_readings_is_asked_anew, 0,
			    sizeof(rest_on_readings) / sizeof(rest_on_readings[0]));
	suite_add_tcase(s, t);
	return s;
}

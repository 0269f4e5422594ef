/* Every route answers, and addresses that are none say so. */
#include "api_tests.h"

#include <stdio.h>
#include <string.h>

#include "api/routes.h"
#include "model/record.h"

static struct answer make_feeding(void)
{
	return ask("POST", "/api/feedings",
		   "{\"tank_id\":2,\"feed_id\":1,\"amount_g\":350,\"at\":\"2026-03-31T07:00:00Z\"}",
		   NULL);
}

static struct answer check_health(void)
{
	struct answer a = get("/healthz");

	ck_assert_str_eq(text_at(&a, "status"), "ok");
	ck_assert_str_eq(text_at(&a, "now"), "2026-03-31T08:00:00Z");
	ck_assert_str_eq(a.cache_control, "no-store");
	return a;
}

static struct answer check_record(void)
{
	struct answer a = get("/api/record");

	ck_assert_uint_eq(count_at(&a, "kinds"), kind_count());
	return a;
}

static struct answer check_openapi(void)
{
	struct answer a = get("/api/openapi.json");

	ck_assert_str_eq(text_at(&a, "openapi"), "3.1.0");
	return a;
}

static struct answer check_farm(void)
{
	struct answer a = get("/api/farm");

	ck_assert_str_eq(text_at(&a, "time_zone"), "Europe/Madrid");
	return a;
}

static struct answer check_patch_farm(void)
{
	struct answer farm = get("/api/farm");
	char match[64];

	snprintf(match, sizeof(match), "If-Match: %s", farm.etag);

	struct answer a = ask("PATCH", "/api/farm", "{\"name\":\"Sedge farm\"}", match);

	ck_assert_str_eq(text_at(&a, "name"), "Sedge farm");
	return a;
}

static struct answer check_batch(void)
{
	struct answer a = post("/api/batch", "{\"entries\":[]}");

	ck_assert_uint_eq(count_at(&a, "answers"), 0);
	return a;
}

static struct answer check_several(void)
{
	struct answer a = post("/api/several", "{\"asks\":[{\"path\":\"/api/farm\"}]}");

	ck_assert_uint_eq(count_at(&a, "answers"), 1);
	return a;
}

static struct answer check_alike(void)
{
	for (int person = 1; person <= 2; person++) {
		post("/api/staff", "{\"name\":\"Person %d\",\"role\":\"crew\"}", person);
		post("/api/fish-deaths",
		     "{\"tank_id\":2,\"fish\":3,\"staff_id\":%d,\"confirm\":true,"
		     "\"at\":\"2026-03-31T07:%02d:00Z\"}",
		     person, person);
	}

	struct answer a = get("/api/fish-deaths/alike?from=2026-03-31&to=2026-03-31");
	const json_t *pair = json_array_get(json_object_get(a.json, "pairs"), 0);

	ck_assert_int_eq(json_integer_value(json_object_get(pair, "id")), 1);
	ck_assert_int_eq(json_integer_value(json_object_get(pair, "later_id")), 2);
	ck_assert_str_eq(get("/api/fish-deaths/alike").body, a.body);
	ck_assert_int_eq(get("/api/tanks/alike").status, 404);
	return a;
}

static struct answer check_import(void)
{
	struct answer a = post("/api/import", "{\"files\":{\"species.csv\":\"name\\nTrout\\n\"}}");

	ck_assert_uint_eq(count_at(&a, "errors"), 0);
	return a;
}

static struct answer check_calculators(void)
{
	struct answer a = get("/api/calc");

	ck_assert_uint_ge(count_at(&a, "calculators"), 20);
	return a;
}

static struct answer check_calculation(void)
{
	struct answer wrong = get("/api/calc/density?fish=many&weight_g=79.2&volume_l=7800");
	struct answer unknown = get("/api/calc/densty");
	struct answer odd = get("/api/calc/density?fsh=1");
	struct answer a = get("/api/calc/density?fish=600&weight_g=79.2&volume_l=7800");
	const json_t *out = json_object_get(a.json, "outputs");

	assert_problem(&wrong, 422, "not_a_number");
	ck_assert_str_eq(problem_field(&wrong), "fish");
	assert_problem(&unknown, 404, "no_such_calculator");
	ck_assert_str_eq(problem_arg(&unknown, "nearest"), "density");
	assert_problem(&odd, 400, "unknown_parameter");
	ck_assert_double_eq_tol(json_number_value(json_object_get(out, "kg_m3")), 6.0923, 0.0001);
	return a;
}

static struct answer check_qr(void)
{
	return get("/api/qr.svg?text=T1");
}

static struct answer check_events(void)
{
	struct answer a = get("/api/events");

	ck_assert_str_eq(a.content_type, "text/event-stream");
	ck_assert_ptr_nonnull(strstr(a.body, "event: hello\n"));
	return a;
}

static struct answer check_code(void)
{
	return get("/api/codes/T1");
}

static struct answer check_tablets(void)
{
	struct answer a = post("/api/tablets", "{}");

	ck_assert_str_eq(text_at(&a, "letter"), "A");
	for (int i = 0; i < 25; i++)
		a = post("/api/tablets", "{}");
	ck_assert_str_eq(text_at(&a, "letter"), "Z");
	a = post("/api/tablets", "{}");
	ck_assert_str_eq(text_at(&a, "letter"), "AA");
	return a;
}

static struct answer check_demo(void)
{
	struct answer a = get("/api/demo");

	ck_assert(json_is_false(json_object_get(a.json, "demo")));
	ck_assert(json_is_null(json_object_get(a.json, "port")));
	bench.app.demo = true;
	bench.app.beside = 8080;
	a = get("/api/demo");
	ck_assert(json_is_true(json_object_get(a.json, "demo")));
	ck_assert_int_eq(int_at(&a, "beside"), 8080);
	return a;
}

static bool start_fake_demo(void *with)
{
	atomic_store((_Atomic int *)with, 41234);
	return true;
}

static struct answer check_post_demo(void)
{
	struct answer a = post("/api/demo", "{}");

	assert_problem(&a, 409, "farm_is_there");
	for (int id = 2; id <= 4; id++) {
		a = post(id == 4   ? "/api/beds/4/strike"
			 : id == 2 ? "/api/tanks/2/strike"
				   : "/api/tanks/3/strike",
			 "{\"why\":\"not built\"}");
		ck_assert_int_eq(a.status, 200);
	}
	a = post("/api/demo", "{}");
	assert_problem(&a, 503, "no_demo");
	bench.app.start_demo = start_fake_demo;
	bench.app.start_demo_with = &bench.app.demo_port;
	bench.app.demo = true;
	a = post("/api/demo", "{}");
	assert_problem(&a, 409, "is_demo");
	bench.app.demo = false;
	a = post("/api/demo", "{}");
	ck_assert_int_eq(int_at(&a, "port"), 41234);
	return a;
}

static struct answer check_list(void)
{
	make_feeding();

	struct answer a = get("/api/feedings");

	ck_assert_uint_eq(count_at(&a, "items"), 1);
	return a;
}

static struct answer check_list_csv(void)
{
	struct answer a = get("/api/feeds.csv");

	ck_assert_ptr_nonnull(strstr(a.body, "Grower 4 mm"));
	return a;
}

static struct answer check_post(void)
{
	struct answer a = make_feeding();

	ck_assert_int_eq(a.status, 201);
	return a;
}

static struct answer check_get_one(void)
{
	make_feeding();

	struct answer a = get("/api/feedings/1");

	ck_assert_int_eq(int_at(&a, "id"), 1);
	return a;
}

static struct answer check_patch(void)
{
	make_feeding();

	struct answer a = ask("PATCH", "/api/feedings/1", "{\"amount_g\":360}", "If-Match: \"1\"");

	ck_assert_int_eq(int_at(&a, "version"), 2);
	return a;
}

static struct answer check_strike(void)
{
	make_feeding();

	struct answer a = post("/api/feedings/1/strike", "{\"why\":\"wrong tank\"}");

	ck_assert_str_eq(text_at(&a, "struck_why"), "wrong tank");
	return a;
}

static struct answer check_restore(void)
{
	make_feeding();
	post("/api/feedings/1/strike", "{}");

	struct answer a = post("/api/feedings/1/restore", "{}");

	ck_assert_ptr_null(json_object_get(a.json, "struck_at"));
	return a;
}

static struct answer check_report(void)
{
	struct answer a = get("/api/reports/harvest");

	ck_assert_uint_eq(count_at(&a, "rows"), 0);
	return a;
}

static struct answer check_report_csv(void)
{
	struct answer a = get("/api/reports/harvest.csv");

	ck_assert_ptr_nonnull(strstr(a.body, "weight_g"));
	return a;
}

static struct answer check_post_readings(void)
{
	post("/api/probes",
	     "{\"code\":\"DO-T1\",\"place_id\":2,\"quantity\":\"do_mg_l\",\"unit\":\"mg/L\"}");

	struct answer a =
		post("/api/readings",
		     "{\"probe\":\"DO-T1\",\"at\":\"2026-03-31T07:00:00Z\",\"value\":7.1}");

	ck_assert_int_eq(int_at(&a, "kept"), 1);
	return a;
}

static struct answer check_readings(void)
{
	check_post_readings();

	struct answer a = get("/api/readings?probe=DO-T1");

	ck_assert_str_eq(text_at(&a, "unit"), "mg/L");
	return a;
}

static struct answer check_readings_csv(void)
{
	check_post_readings();

	struct answer a = get("/api/readings.csv");

	ck_assert_str_eq(a.body, "probe,at,value\r\nDO-T1,2026-03-31T07:00:00Z,7.1\r\n");
	return a;
}

/* The tested routes: each check makes its route answer well. */
static const struct {
	const char *method, *path;
	struct answer (*check)(void);
} tested[] = {
	{ "GET", "/healthz", check_health },
	{ "GET", "/api/demo", check_demo },
	{ "POST", "/api/demo", check_post_demo },
	{ "GET", "/api/record", check_record },
	{ "GET", "/api/openapi.json", check_openapi },
	{ "GET", "/api/farm", check_farm },
	{ "PATCH", "/api/farm", check_patch_farm },
	{ "POST", "/api/batch", check_batch },
	{ "POST", "/api/several", check_several },
	{ "GET", "/api/{kind}/alike", check_alike },
	{ "POST", "/api/import", check_import },
	{ "GET", "/api/calc", check_calculators },
	{ "GET", "/api/calc/{calculator}", check_calculation },
	{ "GET", "/api/qr.svg", check_qr },
	{ "GET", "/api/events", check_events },
	{ "GET", "/api/codes/{code}", check_code },
	{ "POST", "/api/tablets", check_tablets },
	{ "GET", "/api/reports/{name}.csv", check_report_csv },
	{ "GET", "/api/reports/{name}", check_report },
	{ "GET", "/api/readings", check_readings },
	{ "GET", "/api/readings.csv", check_readings_csv },
	{ "POST", "/api/readings", check_post_readings },
	{ "GET", "/api/{kind}.csv", check_list_csv },
	{ "GET", "/api/{kind}", check_list },
	{ "POST", "/api/{kind}", check_post },
	{ "GET", "/api/{kind}/{id}", check_get_one },
	{ "PATCH", "/api/{kind}/{id}", check_patch },
	{ "POST", "/api/{kind}/{id}/strike", check_strike },
	{ "POST", "/api/{kind}/{id}/restore", check_restore },
};
enum { N_TESTED = sizeof(tested) / sizeof(tested[0]) };

START_TEST(route_answers_well)
{
	struct answer a = tested[_i].check();

	ck_assert_msg(a.status == 200 || a.status == 201, "%s %s: %d %s", tested[_i].method,
		      tested[_i].path, a.status, a.body);
	ck_assert_ptr_nonnull(a.route);
	ck_assert_str_eq(a.route->method, tested[_i].method);
	ck_assert_str_eq(a.route->path, tested[_i].path);
}
END_TEST

START_TEST(every_route_has_a_test)
{
	for (size_t i = 0; i < n_routes; i++) {
		size_t t = 0;

		while (t < N_TESTED && (strcmp(tested[t].method, routes[i].method) != 0 ||
					strcmp(tested[t].path, routes[i].path) != 0))
			t++;
		ck_assert_msg(t < N_TESTED, "no test of %s %s", routes[i].method, routes[i].path);
	}
}
END_TEST

START_TEST(every_route_says_what_it_is)
{
	for (size_t i = 0; i < n_routes; i++) {
		const bool reads = !strcmp(routes[i].method, "GET");

		ck_assert_str_ne(routes[i].summary, "");
		ck_assert(routes[i].fn != NULL);
		ck_assert(reads == (routes[i].body_limit == 0));
		if (strcmp(routes[i].path, "/api/several") != 0) /* reads, asked by a body */
			ck_assert(reads == (routes[i].runs != RUNS_WRITER));
	}
}
END_TEST

static const char *const nowhere[] = { "/api",        "/api/",
				       "/api//",      "/api/tanks/2/x",
				       "/api/tanks/", "/api/tanks/2/strike/x",
				       "/api/.csv",   "/api/reports/.csv",
				       "/no/such.js" };

START_TEST(unknown_addresses_are_404)
{
	struct answer a = get(nowhere[_i]);

	ck_assert_msg(a.status == 404, "%s: %d", nowhere[_i], a.status);
	ck_assert_str_ne(problem_code(&a), "");
}
END_TEST

START_TEST(unknown_kind_names_the_nearest)
{
	struct answer a = get("/api/feeding");

	assert_problem(&a, 404, "no_such_kind");
	ck_assert_str_eq(problem_arg(&a, "nearest"), "feedings");
	a = post("/api/weighing", "{}");
	assert_problem(&a, 404, "no_such_kind");
	a = get("/api/reports/harvests");
	assert_problem(&a, 404, "no_such_report");
	ck_assert_str_eq(problem_arg(&a, "nearest"), "harvest");
}
END_TEST

static const char *const no_rows[] = { "99",
				       "0",
				       "-1",
				       "T1",
				       "1.5",
				       "T1; DROP TABLE tanks",
				       "9223372036854775808",
				       "7b0c4a0e-0d3b-4c9e-9a55-0f6a3d1b2c4d" };

START_TEST(unknown_rows_are_404)
{
	char target[128];

	snprintf(target, sizeof(target), "/api/tanks/%s", no_rows[_i]);

	struct answer a = get(target);

	assert_problem(&a, 404, "no_such_row");
	strcat(target, "/strike");
	a = post(target, "{}");
	assert_problem(&a, 404, "no_such_row");
}
END_TEST

START_TEST(other_methods_are_405_with_allow)
{
	struct answer a = ask("DELETE", "/api/feedings/1", NULL, NULL);

	assert_problem(&a, 405, "no_such_method");
	ck_assert_str_eq(a.allow, "GET, HEAD, PATCH");
	a = ask("GET", "/api/batch", NULL, NULL);
	assert_problem(&a, 405, "no_such_method");
	ck_assert_str_eq(a.allow, "POST");
	a = ask("POST", "/api/farm", "{}", NULL);
	assert_problem(&a, 405, "no_such_method");
	ck_assert_str_eq(a.allow, "GET, HEAD, PATCH");
	a = ask("POST", "/index.html", "{}", NULL);
	ck_assert_int_eq(a.status, 405);
	ck_assert_str_eq(a.allow, "GET, HEAD");
}
END_TEST

START_TEST(kept_by_the_service_is_not_written)
{
	struct answer a = post("/api/changes", "{}");

	assert_problem(&a, 405, "not_written_here");
	ck_assert_str_eq(a.allow, "GET, HEAD");
	a = ask("PATCH", "/api/readings/1", "{\"value\":1}", NULL);
	assert_problem(&a, 405, "not_written_here");
	a = get("/api/readings/1"); /* no id of their own */
	assert_problem(&a, 404, "no_such_row");
	a = post("/api/batch", "{\"entries\":[{\"kind\":\"readings\",\"value\":1}]}");
	ck_assert_ptr_nonnull(strstr(a.body, "not_written_here"));
}
END_TEST

START_TEST(head_finds_get)
{
	struct answer a = ask("HEAD", "/api/tanks", NULL, NULL);

	ck_assert_int_eq(a.status, 200);
	ck_assert_str_eq(a.route->method, "GET");
}
END_TEST

START_TEST(a_list_by_a_filter_leaves_the_serving_thread)
{
	static const struct {
		const char *target;
		enum runs runs;
	} lists[] = { { "/api/feedings", RUNS_INLINE },
		      { "/api/feedings?from=2026-03-01&to=2026-03-31&limit=5&order=-at&fields=at",
			RUNS_INLINE },
		      { "/api/feedings?note=x", RUNS_READER },
		      { "/api/feedings?limit=5&tank_id=2", RUNS_READER },
		      { "/api/feedings?struck=1", RUNS_READER } };

	for (size_t i = 0; i < sizeof(lists) / sizeof(lists[0]); i++) {
		struct answer a = get(lists[i].target);

		ck_assert_int_eq(a.status, 200);
		ck_assert_int_eq(a.route->runs, lists[i].runs);
		ck_assert_str_eq(a.route->path, "/api/{kind}");
	}
}
END_TEST

START_TEST(no_kind_hides_behind_another_address)
{
	char path[96];

	for (size_t i = 0; i < kind_count(); i++) {
		snprintf(path, sizeof(path), "/api/%s", kinds[i]->name);
		for (size_t r = 0; r < n_routes; r++)
			ck_assert_msg(strcmp(routes[r].path, path) != 0 ||
					      !strcmp(path, "/api/farm") ||
					      !strcmp(path, "/api/readings"),
				      "%s is also a route", path);
	}
	ck_assert_ptr_null(kind_find("reports"));
}
END_TEST

START_TEST(no_field_is_named_like_a_parameter)
{
	static const char *const taken[] = {
		"kind",   "id",     "key", "from",   "to",      "limit",   "after",         "order",
		"fields", "struck", "op",  "queued", "version", "confirm", "clock_offset_s"
	};

	for (size_t i = 0; i < kind_count(); i++)
		for (size_t t = 0; t < sizeof(taken) / sizeof(taken[0]); t++)
			ck_assert_msg(kind_field_index(kinds[i], taken[t]) == SIZE_MAX, "%s.%s",
				      kinds[i]->name, taken[t]);
}
END_TEST

START_TEST(writes_wait_while_an_import_runs)
{
	atomic_store(&bench.app.importing, true);

	struct answer a = make_feeding();

	assert_problem(&a, 503, "importing");
	ck_assert_int_gt(a.retry_after_s, 0);
	ck_assert_int_eq(get("/api/tanks").status, 200);
	atomic_store(&bench.app.importing, false);
	ck_assert_int_eq(make_feeding().status, 201);
}
END_TEST

START_TEST(nothing_is_taken_when_writing_is_off)
{
	atomic_store(&bench.app.writing_off, true);

	struct answer a = make_feeding();

	assert_problem(&a, 503, "writing_off");
	ck_assert_int_eq(get("/api/tanks.csv").status, 200);
	a = get("/healthz");
	ck_assert_str_eq(text_at(&a, "status"), "reading_only");
}
END_TEST

Suite *routes_suite(void)
{
	Suite *s = suite_create("routes");
	TCase *t = tcase_create("routes");

	tcase_add_checked_fixture(t, api_setup, api_teardown);
	tcase_add_loop_test(t, route_answers_well, 0, N_TESTED);
	tcase_add_test(t, every_route_has_a_test);
	tcase_add_test(t, every_route_says_what_it_is);
	tcase_add_loop_test(t, unknown_addresses_are_404, 0, sizeof(nowhere) / sizeof(nowhere[0]));
	tcase_add_test(t, unknown_kind_names_the_nearest);
	tcase_add_loop_test(t, unknown_rows_are_404, 0, sizeof(no_rows) / sizeof(no_rows[0]));
	tcase_add_test(t, other_methods_are_405_with_allow);
	tcase_add_test(t, kept_by_the_service_is_not_written);
	tcase_add_test(t, head_finds_get);
	tcase_add_test(t, a_list_by_a_filter_leaves_the_serving_thread);
	tcase_add_test(t, no_kind_hides_behind_another_address);
	tcase_add_test(t, no_field_is_named_like_a_parameter);
	tcase_add_test(t, writes_wait_while_an_import_runs);
	tcase_add_test(t, nothing_is_taken_when_writing_is_off);
	suite_add_tcase(s, t);
	return s;
}

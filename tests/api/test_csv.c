/* Rows of a kind as exchange CSV. */
#include "api_tests.h"

#include <stdlib.h>
#include <string.h>

#define KEY_A "0192f0c4-8c1e-7a52-9b57-3d2f6a1c0e11"

START_TEST(a_kind_is_written_as_import_takes_it)
{
	post("/api/feedings", "{\"tank_id\":2,\"feed_id\":1,\"amount_g\":350.5,\"slot\":1,"
			      "\"at\":\"2026-03-31T07:00:00Z\",\"key\":\"" KEY_A "\","
			      "\"note\":\"windy, \\\"cold\\\"\"}");

	struct answer a = get("/api/feedings.csv");

	ck_assert_int_eq(a.status, 200);
	ck_assert_str_eq(a.content_type, "text/csv; charset=utf-8; header=present");
	ck_assert_str_eq(a.file_name, "feedings.csv");
	ck_assert_str_eq(
		a.body,
		"key,tank,feed,feed_lot,amount_g,slot,appetite,uneaten_g,planned_g,hours,at,"
		"day,staff,incident,note,tablet_at,unsure,look,received_at,struck_at,"
		"struck_why,version\r\n" KEY_A
		",T1,Grower 4 mm,,350.5,1,,,,,2026-03-31T07:00:00Z,2026-03-31,,,"
		"\"windy, \"\"cold\"\"\",,,,2026-03-31T08:00:00Z,,,1\r\n");
}
END_TEST

START_TEST(free_text_is_guarded_and_numbers_are_not)
{
	post("/api/zones", "{\"code\":\"Z1\",\"temperature_low_c\":-5,\"name\":\"=1+1\","
			   "\"note\":\"-x\"}");

	struct answer a = get("/api/zones.csv");

	ck_assert_ptr_nonnull(strstr(a.body, ",'=1+1,"));
	ck_assert_ptr_nonnull(strstr(a.body, ",-5,"));
	ck_assert_ptr_nonnull(strstr(a.body, ",'-x,"));
}
END_TEST

START_TEST(filters_hold_in_csv_too)
{
	post("/api/feedings", "{\"tank_id\":2,\"feed_id\":1,\"amount_g\":1111,"
			      "\"day\":\"2026-03-30\",\"confirm\":true}");
	post("/api/feedings", "{\"tank_id\":3,\"feed_id\":1,\"amount_g\":2222,"
			      "\"day\":\"2026-03-30\",\"confirm\":true}");

	struct answer a = get("/api/feedings.csv?tank_id=3");

	ck_assert_ptr_null(strstr(a.body, "1111"));
	ck_assert_ptr_nonnull(strstr(a.body, "2222"));
	a = get("/api/feedings.csv?from=2026-03-31");
	ck_assert_ptr_null(strstr(a.body, "2222"));
}
END_TEST

static const struct {
	const char *accept;
	bool csv;
} wishes[] = {
	{ "Accept: text/csv", true },
	{ "Accept: text/csv, application/json;q=0.9", true },
	{ "Accept: application/json;q=0.5,text/csv;q=0.6", true },
	{ "Accept: TEXT/CSV;header=present;q=0.7, application/json; q=0.65", true },
	{ "Accept: text/*, application/json;q=0.9", true },
	{ "Accept: text/csv;q=0", false },
	{ "Accept: text/csv;q=0.9, application/json", false },
	{ "Accept: text/csv, application/json", false }, /* as well: JSON */
	{ "Accept: text/csv;q=0.5, */*", false },
	{ "Accept: text/html,application/xhtml+xml,*/*;q=0.8", false },
	{ "Accept: */*", false },
	{ "Accept: ", false },
	{ "Accept: ;;,,q=", false },
};

START_TEST(a_client_gets_csv_when_it_would_rather)
{
	static const char *const targets[] = { "/api/tanks", "/api/reports/harvest" };

	for (size_t i = 0; i < 2; i++) {
		struct answer plain = get(targets[i]);
		struct answer a = ask("GET", targets[i], NULL, wishes[_i].accept);

		ck_assert_msg(!strncmp(a.content_type, "text/csv", 8) == wishes[_i].csv, "%s: %s",
			      wishes[_i].accept, a.content_type);
		ck_assert_str_eq(a.vary, "Accept");
		ck_assert_str_eq(plain.vary, "Accept");
		ck_assert(!strcmp(a.etag, plain.etag) == !wishes[_i].csv);
	}
	ck_assert_str_eq(ask("GET", "/api/tanks/2", NULL, wishes[_i].accept).content_type,
			 "application/json");
}
END_TEST

START_TEST(places_leaves_out_what_other_files_carry)
{
	post("/api/places", "{\"code\":\"P1\",\"name\":\"Packing room\"}");

	struct answer a = get("/api/places.csv");

	ck_assert_ptr_nonnull(strstr(a.body, "P1"));
	ck_assert_ptr_null(strstr(a.body, "T1"));
}
END_TEST

START_TEST(a_large_kind_is_sent_from_a_nameless_file)
{
	char *note = malloc(1900);
	struct answer a;

	ck_assert_ptr_nonnull(note);
	memset(note, 'x', 1899);
	note[1899] = '\0';
	for (int i = 0; i < 200; i++) {
		a = post("/api/species", "{\"name\":\"Species %d\",\"note\":\"%s\"}", i, note);
		ck_assert_int_eq(a.status, 201);
	}
	free(note);
	a = get("/api/species.csv");
	ck_assert_int_eq(a.status, 200);
	ck_assert_uint_gt(a.length, 380000);

	size_t lines = 0;

	for (const char *p = a.body; (p = strstr(p, "\r\n")); p += 2)
		lines++;
	ck_assert_uint_eq(lines, 202); /* head, the first species, 200 more */
}
END_TEST

Suite *csv_suite(void)
{
	Suite *s = suite_create("csv");
	TCase *t = tcase_create("csv");

	tcase_add_checked_fixture(t, api_setup, api_teardown);
	tcase_add_test(t, a_kind_is_written_as_import_takes_it);
	tcase_add_test(t, free_text_is_guarded_and_numbers_are_not);
	tcase_add_test(t, filters_hold_in_csv_too);
	tcase_add_loop_test(t, a_client_gets_csv_when_it_would_rather, 0,
			    sizeof(wishes) / sizeof(wishes[0]));
	tcase_add_test(t, places_leaves_out_what_other_files_carry);
	tcase_add_test(t, a_large_kind_is_sent_from_a_nameless_file);
	suite_add_tcase(s, t);
	return s;
}

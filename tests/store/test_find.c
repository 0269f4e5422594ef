/* Keys, codes, names and labels. */
#include <stdio.h>
#include <string.h>

#include "model/kinds.h"
#include "store_tests.h"

static struct record *supplier(const char *name)
{
	struct record *r = record_new(&partners_kind, &arena);

	record_set_text(r, "name", name);
	return r;
}

START_TEST(a_key_is_used_once_over_all_kinds)
{
	struct record *first = supplier("Hatchery Alder");
	struct record *second = record_new(&trays_kind, &arena);
	struct key_row row;

	keep(first);
	record_set_text(second, "name", "Tray 72");
	record_set_int(second, "cells", 72);
	second->key = first->key;
	second->version = 1;
	ck_refused(store_insert(st, second, sample_fingerprint, &err), ERR_CONFLICT, "taken_key");
	ck_ok(store_find_key(st, &first->key, &row, &err));
	ck_assert_ptr_eq(row.kind, &partners_kind);
	ck_assert_int_eq(row.id, first->id);
	ck_assert_mem_eq(row.fingerprint, sample_fingerprint, 32);
}
END_TEST

START_TEST(an_unknown_key_code_or_name_is_not_found_without_an_item)
{
	struct uuid key = sample_key(12345);
	struct key_row row;
	const struct kind *k = NULL;
	int64_t id = 0;

	ck_assert_int_eq(store_find_key(st, &key, &row, &err), ERR_NOT_FOUND);
	ck_assert_int_eq(store_find_code(st, "T-404", &k, &id, &err), ERR_NOT_FOUND);
	ck_assert_int_eq(store_find_name(st, &feeds_kind, "None", &id, &err), ERR_NOT_FOUND);
	ck_assert_int_eq(store_find_name(st, &tanks_kind, "None", &id, &err), ERR_NOT_FOUND);
	ck_assert_uint_eq(err.n_items, 0);
}
END_TEST

/* Loop over all kinds that have a code: each refuses the code of a tank. */
START_TEST(a_code_is_unique_over_all_kinds_case_ignored)
{
	const struct kind *k = kinds[_i];
	struct samples samples;
	const char *code = NULL;

	for (size_t i = 0; i < kind_field_count(k); i++)
		if (kind_field(k, i)->kind == KIND_CODE)
			code = kind_field(k, i)->name;
	if (!code)
		return;
	keep_tank("Pond-7");
	sample_rows(st, NULL, &samples, &arena);
	struct record *r = sample_record(k, 7, &samples, 900, &arena);
	record_set_text(r, code, "pOND-7");
	ck_assert_int_eq(store_insert(st, r, sample_fingerprint, &err), ERR_CONFLICT);
	ck_assert_str_eq(err.items[0].code, "taken_code");
	ck_assert_str_eq(err.items[0].field, code);
	ck_assert_str_eq(err.items[0].args[0].name, "kind");
	ck_assert_str_eq(err.items[0].args[0].text, "tanks");
}
END_TEST

START_TEST(a_code_follows_its_row)
{
	const struct kind *k = NULL;
	int64_t id = keep_tank("T1"), found = 0;
	struct record *tank = NULL;

	keep_tank("T2");
	ck_ok(store_get(st, &tanks_kind, id, &arena, &tank, &err));
	record_set_text(tank, "code", "t2");
	ck_refused(store_update(st, tank, &err), ERR_CONFLICT, "taken_code");
	record_set_text(tank, "code", "t1"); /* another case of its own */
	ck_ok(store_update(st, tank, &err));
	record_set_text(tank, "code", "T3");
	ck_ok(store_update(st, tank, &err));
	ck_assert_int_eq(store_find_code(st, "T1", &k, &found, &err), ERR_NOT_FOUND);
	ck_ok(store_find_code(st, "T3", &k, &found, &err));
	ck_assert_int_eq(found, id);
	keep_tank("T1"); /* free again */
}
END_TEST

START_TEST(a_harvest_may_get_and_lose_its_code)
{
	struct samples samples;
	const struct kind *k = NULL;
	int64_t found = 0;

	sample_rows(st, &harvests_kind, &samples, &arena);
	struct record *r = sample_record(&harvests_kind, 7, &samples, 0, &arena);
	record_clear(r, "code");
	keep(r);
	record_set_text(r, "code", "H-1");
	ck_ok(store_update(st, r, &err));
	ck_ok(store_find_code(st, "h-1", &k, &found, &err));
	ck_assert_int_eq(found, r->id);
	record_clear(r, "code");
	ck_ok(store_update(st, r, &err));
	ck_assert_int_eq(store_find_code(st, "H-1", &k, &found, &err), ERR_NOT_FOUND);
}
END_TEST

START_TEST(a_name_is_unique_in_its_kind_among_rows_that_stand)
{
	struct record *first = supplier("Hatchery Alder"), *second = supplier("HATCHERY ALDER");
	int64_t id = 0;

	keep(first);
	second->key = sample_key(500);
	second->version = 1;
	ck_refused(store_insert(st, second, sample_fingerprint, &err), ERR_CONFLICT, "taken_name");
	keep_feed("Hatchery Alder"); /* another kind */
	record_set_int(first, "struck_at", 1700000000);
	ck_ok(store_update(st, first, &err));
	ck_assert_int_eq(store_find_name(st, &partners_kind, "hatchery alder", &id, &err),
			 ERR_NOT_FOUND);
	ck_ok(store_insert(st, second, sample_fingerprint, &err));
	ck_ok(store_find_name(st, &partners_kind, "hatchery alder", &id, &err));
	ck_assert_int_eq(id, second->id);
	record_clear(first, "struck_at"); /* to be restored the name must be free */
	ck_refused(store_update(st, first, &err), ERR_CONFLICT, "taken_name");
}
END_TEST

START_TEST(a_label_is_the_code_else_the_name_else_the_key)
{
	int64_t tank = keep_tank("T1"), feed = keep_feed("Sinking 3 mm");
	int64_t feeding = keep_feeding(tank, feed, 1700000000, 100);
	struct record *r = NULL;
	char key[UUID_TEXT_MAX];

	ck_ok(store_get(st, &feedings_kind, feeding, &arena, &r, &err));
	uuid_write(key, &r->key);
	for (int again = 0; again < 2; again++) { /* once looked up, once from the cache */
		ck_assert_str_eq(store_label(st, &tanks_kind, tank), "T1");
		ck_assert_str_eq(store_label(st, &places_kind, tank), "T1");
		ck_assert_str_eq(store_label(st, &feeds_kind, feed), "Sinking 3 mm");
		ck_assert_str_eq(store_label(st, &feedings_kind, feeding), key);
	}
	ck_assert_ptr_null(store_label(st, &feeds_kind, 4711));
	ck_assert_ptr_null(store_label(st, &feeds_kind, -1));
}
END_TEST

START_TEST(a_label_changes_with_its_row)
{
	int64_t tank = keep_tank("T1"), feed = keep_feed("Sinking 3 mm");
	struct record *r = NULL;

	ck_assert_str_eq(store_label(st, &places_kind, tank), "T1");
	ck_assert_str_eq(store_label(st, &feeds_kind, feed), "Sinking 3 mm");
	ck_ok(store_get(st, &tanks_kind, tank, &arena, &r, &err));
	record_set_text(r, "code", "T2");
	ck_ok(store_update(st, r, &err));
	ck_assert_str_eq(store_label(st, &tanks_kind, tank), "T2");
	ck_assert_str_eq(store_label(st, &places_kind, tank), "T2");

	ck_ok(store_savepoint(st, &err));
	ck_ok(store_get(st, &feeds_kind, feed, &arena, &r, &err));
	record_set_text(r, "name", "Sinking 4 mm");
	ck_ok(store_update(st, r, &err));
	ck_assert_str_eq(store_label(st, &feeds_kind, feed), "Sinking 4 mm");
	store_undo(st);
	ck_assert_str_eq(store_label(st, &feeds_kind, feed), "Sinking 3 mm");
}
END_TEST

START_TEST(a_struck_row_is_called_by_its_key)
{
	struct record *r = supplier("Hatchery Alder");
	char key[UUID_TEXT_MAX];

	keep(r);
	ck_assert_str_eq(store_label(st, &partners_kind, r->id), "Hatchery Alder");
	record_set_int(r, "struck_at", 1700000000);
	ck_ok(store_update(st, r, &err));
	uuid_write(key, &r->key);
	ck_assert_str_eq(store_label(st, &partners_kind, r->id), key);
}
END_TEST

START_TEST(sql_in_a_name_is_a_name)
{
	static const char name[] = "x'); DROP TABLE feeds; --\" \\";
	int64_t id = keep_feed(name), found = 0;

	ck_ok(store_find_name(st, &feeds_kind, name, &found, &err));
	ck_assert_int_eq(found, id);
	ck_assert_str_eq(store_label(st, &feeds_kind, id), name);
}
END_TEST

Suite *find_suite(void)
{
	Suite *s = suite_create("find");
	TCase *c = tcase_create("keys, codes, names, labels");

	tcase_add_checked_fixture(c, set_up, tear_down);
	tcase_add_test(c, a_key_is_used_once_over_all_kinds);
	tcase_add_test(c, an_unknown_key_code_or_name_is_not_found_without_an_item);
	tcase_add_loop_test(c, a_code_is_unique_over_all_kinds_case_ignored, 0, (int)kind_count());
	tcase_add_test(c, a_code_follows_its_row);
	tcase_add_test(c, a_harvest_may_get_and_lose_its_code);
	tcase_add_test(c, a_name_is_unique_in_its_kind_among_rows_that_stand);
	tcase_add_test(c, a_label_is_the_code_else_the_name_else_the_key);
	tcase_add_test(c, a_label_changes_with_its_row);
	tcase_add_test(c, a_struck_row_is_called_by_its_key);
	tcase_add_test(c, sql_in_a_name_is_a_name);
	suite_add_tcase(s, c);
	return s;
}

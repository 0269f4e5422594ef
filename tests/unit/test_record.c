/* Values of a record, and the struct they are unpacked into: model/record. */
#include "unit_tests.h"

#include <math.h>
#include <string.h>

#include "model/fish_kinds.h"
#include "model/kinds.h"
#include "support.h"

static struct arena arena;

static void set_up(void)
{
	arena_init(&arena);
}

static void tear_down(void)
{
	arena_release(&arena);
}

START_TEST(a_new_record_has_nothing_given)
{
	struct record *r = record_new(&fish_moves_kind, &arena);

	ck_assert_ptr_eq(r->kind, &fish_moves_kind);
	ck_assert(uuid_is_zero(&r->key));
	for (size_t i = 0; i < kind_field_count(r->kind); i++)
		ck_assert_int_eq(r->values[i].type, VALUE_NONE);
	ck_assert(!record_has(r, "fish"));
	ck_assert_ptr_null(record_value(r, "fish"));
	ck_assert_int_eq(record_int(r, "fish", -1), -1);
	ck_assert(isnan(record_real(r, "weight_g")));
	ck_assert_ptr_null(record_text(r, "reason"));
}
END_TEST

START_TEST(values_are_kept_by_name)
{
	struct record *r = record_new(&fish_moves_kind, &arena);

	record_set_int(r, "fish", 0);
	record_set_real(r, "weight_g", 1250.5);
	record_set_text(r, "reason", "stocking");
	record_set_int(r, "at", 1000); /* a common field */
	ck_assert_int_eq(record_int(r, "fish", -1), 0);
	ck_assert_double_eq(record_real(r, "weight_g"), 1250.5);
	ck_assert_str_eq(record_text(r, "reason"), "stocking");
	ck_assert_int_eq(record_int(r, "at", -1), 1000);
	record_clear(r, "fish");
	record_set_text(r, "reason", NULL);
	ck_assert(!record_has(r, "fish") && !record_has(r, "reason"));
}
END_TEST

START_TEST(unpacking_fills_members_and_says_which_were_given)
{
	struct record *r = record_new(&fish_moves_kind, &arena);
	struct fish_move m;

	record_set_int(r, "fish_lot_id", 7);
	record_set_int(r, "to_tank_id", 3);
	record_set_int(r, "fish", 0);
	record_set_text(r, "reason", "stocking");
	record_set_text(r, "from_tank_id", "T4"); /* not resolved yet: not given */
	memset(&m, 0xAA, sizeof(m));
	record_unpack(r, &m);
	ck_assert_int_eq(m.fish_lot_id, 7);
	ck_assert_int_eq(m.from_tank_id, 0);
	ck_assert_int_eq(m.to_tank_id, 3);
	ck_assert_int_eq(m.fish, 0);
	ck_assert(isnan(m.weight_g));
	ck_assert_str_eq(m.reason, "stocking");
	ck_assert_int_eq(m.into_lot_id, 0);
	ck_assert_int_eq(m.empties, 0);
	for (size_t i = 0; i < fish_moves_kind.n_fields; i++) {
		const char *name = fish_moves_kind.fields[i].name;
		bool given = record_has(r, name) && strcmp(name, "from_tank_id") != 0;

		ck_assert_msg((m.has >> i & 1) == given, "%s", name);
	}
}
END_TEST

/* What has says of a record that has only its i-th field. */
static uint64_t has_after_giving(const struct kind *k, size_t i)
{
	struct record *r = record_new(k, &arena);
	void *out = arena_alloc(&arena, k->struct_size);
	uint64_t has;

	switch (field_value_type(&k->fields[i])) {
	case VALUE_INT:
		record_set_int(r, k->fields[i].name, 5);
		break;
	case VALUE_REAL:
		record_set_real(r, k->fields[i].name, 5);
		break;
	default:
		record_set_text(r, k->fields[i].name, "5");
		break;
	}
	record_unpack(r, out);
	memcpy(&has, (char *)out + k->has_offset, sizeof(has));
	return has;
}

/* Every struct kind, each field given alone: exactly that bit of has is set. */
START_TEST(each_field_sets_its_own_bit)
{
	for (size_t n = 0; kinds[n]; n++)
		for (size_t i = 0; kinds[n]->struct_size > 0 && i < kinds[n]->n_fields; i++)
			ck_assert_msg(has_after_giving(kinds[n], i) == UINT64_C(1) << i, "%s.%s",
				      kinds[n]->name, kinds[n]->fields[i].name);
}
END_TEST

START_TEST(a_copy_is_changed_alone)
{
	struct record *r = record_new(&fish_deaths_kind, &arena), *copy;

	r->id = 9;
	record_set_int(r, "fish", 2);
	record_set_text(r, "cause", "unknown");
	copy = record_copy(r, &arena);
	ck_assert_int_eq(copy->id, 9);
	ck_assert_str_eq(record_text(copy, "cause"), "unknown");
	record_set_int(copy, "fish", 3);
	ck_assert_int_eq(record_int(r, "fish", 0), 2);
}
END_TEST

START_TEST(values_are_equal_in_type_and_content)
{
	const struct value none = { .type = VALUE_NONE }, one = { .type = VALUE_INT, .i = 1 };
	const struct value real = { .type = VALUE_REAL, .r = 1 };
	const struct value text = { .type = VALUE_TEXT, .text = "1" };
	char other[] = "1";
	const struct value same = { .type = VALUE_TEXT, .text = other };

	ck_assert(value_equal(&none, &none) && value_equal(&one, &one) &&
		  value_equal(&real, &real) && value_equal(&text, &same));
	ck_assert(!value_equal(&none, &one) && !value_equal(&one, &real) &&
		  !value_equal(&real, &text) && !value_equal(&text, &none));
	other[0] = '2';
	ck_assert(!value_equal(&text, &same));
}
END_TEST

START_TEST(a_reference_loses_its_id_in_csv)
{
	char out[64];
	size_t tank = kind_field_index(&feedings_kind, "tank_id");
	size_t location = kind_field_index(&partners_kind, "location_id"); /* a text */

	ck_assert_str_eq(field_column(kind_field(&feedings_kind, tank), out), "tank");
	ck_assert_str_eq(field_column(kind_field(&partners_kind, location), out), "location_id");
	ck_assert_uint_eq(kind_column_index(&feedings_kind, "tank"), tank);
	ck_assert_uint_eq(kind_column_index(&feedings_kind, "tank_id"), SIZE_MAX);
}
END_TEST

Suite *record_suite(void)
{
	Suite *s = suite_create("record");
	TCase *tc = tcase_create("record");

	suite_add_tcase(s, tc);
	tcase_add_checked_fixture(tc, set_up, tear_down);
	tcase_add_test(tc, a_new_record_has_nothing_given);
	tcase_add_test(tc, values_are_kept_by_name);
	tcase_add_test(tc, unpacking_fills_members_and_says_which_were_given);
	tcase_add_test(tc, each_field_sets_its_own_bit);
	tcase_add_test(tc, a_copy_is_changed_alone);
	tcase_add_test(tc, values_are_equal_in_type_and_content);
	tcase_add_test(tc, a_reference_loses_its_id_in_csv);
	return s;
}

/* The dictionary holds together: every kind of model/kinds. */
#include "unit_tests.h"

#include <stdio.h>
#include <string.h>

#include "model/kinds.h"
#include "support.h"

/* Fails with the kind's and the field's name. */
#define want(condition, kind, field)                                                               \
	ck_assert_msg(condition, "%s.%s: %s", (kind)->name, (field)->name, #condition)

/* A claim about each kind by itself: what follows is the body, with k the kind. */
#define EVERY_KIND(claim)                                                                          \
	static void claim##_of(const struct kind *k);                                              \
	START_TEST(claim)                                                                          \
	{                                                                                          \
		for (size_t i = 0; kinds[i]; i++)                                                  \
			claim##_of(kinds[i]);                                                      \
	}                                                                                          \
	END_TEST                                                                                   \
	static void claim##_of(const struct kind *k)

EVERY_KIND(a_kind_is_found_by_its_name)
{
	ck_assert_ptr_eq(kind_find(k->name), k);
	ck_assert_ptr_eq(kinds[kind_index(k)], k);
}

EVERY_KIND(a_table_is_named_after_its_path)
{
	char table[64];

	snprintf(table, sizeof(table), "%s", k->name);
	for (char *p = table; *p; p++)
		if (*p == '-')
			*p = '_';
	ck_assert_str_eq(k->table, table);
}

EVERY_KIND(names_of_fields_and_columns_are_unique)
{
	for (size_t i = 0; i < kind_field_count(k); i++) {
		const struct field *f = kind_field(k, i);
		char column[64];

		want(kind_field_index(k, f->name) == i, k, f);
		want(kind_column_index(k, field_column(f, column)) == i, k, f);
	}
	ck_assert_uint_eq(kind_field_index(k, "no_such_field"), SIZE_MAX);
	ck_assert_uint_eq(kind_column_index(k, "no_such_column"), SIZE_MAX);
}

/* Words that the API and CSV keep for themselves. */
EVERY_KIND(no_field_has_a_reserved_name)
{
	static const char *const reserved[] = {
		"kind",   "id",     "key",     "from",   "to",      "limit",   "after",  "order",
		"fields", "struck", "confirm", "queued", "version", "instant", "without"
	};
	for (size_t i = 0; i < kind_field_count(k); i++) {
		const struct field *f = kind_field(k, i);

		for (size_t j = 0; j < sizeof(reserved) / sizeof(reserved[0]); j++)
			want(strcmp(f->name, reserved[j]) != 0, k, f);
		want(strspn(f->name, "abcdefghijklmnopqrstuvwxyz0123456789_") == strlen(f->name), k,
		     f);
		want(strlen(f->name) < 64, k, f);
	}
}

static bool ends_in_id(const char *name)
{
	size_t n = strlen(name);

	return n > 3 && strcmp(name + n - 3, "_id") == 0;
}

EVERY_KIND(every_reference_leads_to_a_kind)
{
	for (size_t i = 0; i < kind_field_count(k); i++) {
		const struct field *f = kind_field(k, i);

		want((f->kind == KIND_REFERENCE) == (f->refers_to != NULL), k, f);
		want(f->kind != KIND_REFERENCE || kind_find(f->refers_to) != NULL, k, f);
		want(f->kind != KIND_REFERENCE || ends_in_id(f->name), k, f);
	}
}

/* What a kind refers to stands before it in kinds[], but for references that go round. */
EVERY_KIND(kinds_stand_in_the_order_of_dependence)
{
	for (size_t i = 0; i < k->n_fields; i++) {
		const struct field *f = &k->fields[i];

		if (f->kind == KIND_REFERENCE && strcmp(f->name, "parent_id") != 0)
			want(kind_index(kind_find(f->refers_to)) < kind_index(k), k, f);
	}
}

static bool field_can_have_range(const struct field *f)
{
	return f->kind == KIND_INTEGER || f->kind == KIND_REAL || f->kind == KIND_NUMBERS;
}

EVERY_KIND(a_field_says_only_what_its_kind_can_mean)
{
	for (size_t i = 0; i < kind_field_count(k); i++) {
		const struct field *f = kind_field(k, i);

		want((int)f->kind >= 0 && f->kind < KIND__MAX, k, f);
		want(!f->has_range || (f->lo <= f->hi && field_can_have_range(f)), k, f);
		want(f->has_range || (f->lo <= 0 && f->lo >= 0 && f->hi <= 0 && f->hi >= 0), k, f);
		want(f->kind != KIND_CHOICE || f->words, k, f);
		want(!f->words || f->kind == KIND_CHOICE || f->kind == KIND_WORDS, k, f);
		want(!f->unit || field_can_have_range(f), k, f);
		want(!(f->required && f->server_set), k, f);
		want(!f->in_place || k->is_place, k, f);
		want(!f->dated || k->class == CLASS_SET_UP, k, f);
	}
}

EVERY_KIND(words_of_a_choice_are_unique_and_plain)
{
	for (size_t i = 0; i < kind_field_count(k); i++) {
		const struct field *f = kind_field(k, i);

		for (size_t j = 0; f->words && f->words[j]; j++) {
			want(strspn(f->words[j], "abcdefghijklmnopqrstuvwxyz0123456789_") ==
				     strlen(f->words[j]),
			     k, f);
			for (size_t l = 0; l < j; l++)
				want(strcmp(f->words[j], f->words[l]) != 0, k, f);
		}
	}
}

EVERY_KIND(choices_name_real_fields)
{
	for (const struct choice_of *c = k->choices; c && c->fields[0]; c++) {
		int n = 0;

		for (; c->fields[n]; n++) {
			size_t at = kind_field_index(k, c->fields[n]);

			ck_assert_msg(at < k->n_fields, "%s has no field %s", k->name,
				      c->fields[n]);
			want(!k->fields[at].required, k, &k->fields[at]);
		}
		ck_assert_msg(n >= 2 && 0 <= c->min && c->min <= c->max && c->max <= n, "%s: %s",
			      k->name, c->fields[0]);
	}
}

EVERY_KIND(a_line_names_its_head)
{
	ck_assert_msg(!k->is_line || (k->class == CLASS_ENTRY && k->line_of), "%s", k->name);
	if (k->line_of) {
		size_t at = kind_field_index(k, k->line_of);

		ck_assert_msg(at != SIZE_MAX, "%s", k->name);
		want(kind_field(k, at)->kind == KIND_REFERENCE, k, kind_field(k, at));
		want(kind_field(k, at)->required, k, kind_field(k, at));
	}
}

static enum value_type type_of_member(enum field_type type)
{
	return type == FIELD_INT ? VALUE_INT : type == FIELD_DOUBLE ? VALUE_REAL : VALUE_TEXT;
}

/* A struct kind: every own field has a member of its type, none shares its bytes with another or has. */
EVERY_KIND(members_of_a_struct_agree_with_their_fields)
{
	ck_assert_msg(k->n_fields > 0, "%s", k->name);
	ck_assert_msg(k->struct_size == 0 || k->n_fields <= 64, "%s", k->name);
	for (size_t i = 0; i < k->n_fields; i++) {
		const struct field *f = &k->fields[i];

		want(f->in_struct == (k->struct_size > 0), k, f);
		if (!f->in_struct)
			continue;
		want(type_of_member(f->type) == field_value_type(f), k, f);
		want(f->offset + sizeof(int64_t) <= k->struct_size, k, f);
		want(f->offset != k->has_offset, k, f);
		for (size_t j = 0; j < i; j++)
			want(f->offset != k->fields[j].offset, k, f);
	}
}

EVERY_KIND(common_fields_come_after_the_own_ones)
{
	size_t n = kind_field_count(k);

	switch (k->class) {
	case CLASS_SYSTEM:
		ck_assert_uint_eq(n, k->n_fields);
		break;
	case CLASS_ENTRY:
		ck_assert_uint_eq(n, k->n_fields + (k->is_line ? n_line_common : n_entry_common));
		ck_assert_uint_eq(kind_field_index(k, "at") == SIZE_MAX, k->is_line);
		break;
	default:
		ck_assert_uint_eq(n, k->n_fields + n_set_up_common);
		ck_assert_uint_ne(kind_field_index(k, "retired_on"), SIZE_MAX);
		break;
	}
}

/* One code and one name at most: a reference is written by either. */
EVERY_KIND(a_kind_has_one_code_and_one_name_at_most)
{
	int codes = 0, names = 0;

	for (size_t i = 0; i < kind_field_count(k); i++) {
		codes += kind_field(k, i)->kind == KIND_CODE;
		names += kind_field(k, i)->kind == KIND_NAME;
	}
	ck_assert_int_le(codes, 1);
	ck_assert_int_le(names, 1);
}

START_TEST(there_is_one_list_of_kinds)
{
	size_t n = kind_count();

	ck_assert_uint_gt(n, 60);
	for (size_t i = 0; i < n; i++)
		for (size_t j = 0; j < i; j++)
			ck_assert_str_ne(kinds[i]->name, kinds[j]->name);
	ck_assert_ptr_null(kind_find("no-such-kind"));
	ck_assert_ptr_null(kind_find(""));
}
END_TEST

Suite *kinds_suite(void)
{
	Suite *s = suite_create("kinds");
	TCase *tc = tcase_create("kinds");

	suite_add_tcase(s, tc);
	tcase_add_test(tc, there_is_one_list_of_kinds);
	tcase_add_test(tc, a_kind_is_found_by_its_name);
	tcase_add_test(tc, a_table_is_named_after_its_path);
	tcase_add_test(tc, names_of_fields_and_columns_are_unique);
	tcase_add_test(tc, no_field_has_a_reserved_name);
	tcase_add_test(tc, every_reference_leads_to_a_kind);
	tcase_add_test(tc, kinds_stand_in_the_order_of_dependence);
	tcase_add_test(tc, a_field_says_only_what_its_kind_can_mean);
	tcase_add_test(tc, words_of_a_choice_are_unique_and_plain);
	tcase_add_test(tc, choices_name_real_fields);
	tcase_add_test(tc, a_line_names_its_head);
	tcase_add_test(tc, members_of_a_struct_agree_with_their_fields);
	tcase_add_test(tc, common_fields_come_after_the_own_ones);
	tcase_add_test(tc, a_kind_has_one_code_and_one_name_at_most);
	return s;
}

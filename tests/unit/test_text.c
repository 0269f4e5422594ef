/* Errors, memory, growing text, JSON text and the nearest word: base/err, arena, strbuf, json_out, nearest. */
#include "unit_tests.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/json_out.h"
#include "base/nearest.h"
#include "base/strbuf.h"
#include "base/utf8.h"
#include "base/word_list.h"
#include "support.h"

START_TEST(err_keeps_the_first_code_and_all_items)
{
	struct err err;

	err_clear(&err);
	ck_assert_int_eq(err_set(&err, ERR_INPUT, "fish", "required", "%s is missing.", "fish"),
			 ERR_INPUT);
	ck_assert_int_eq(err_set(&err, ERR_CONFLICT, NULL, "taken_code", "Taken."), ERR_CONFLICT);
	err_arg(&err, "code", "%s-%d", "T", 4);
	ck_assert_int_eq(err.code, ERR_INPUT);
	ck_assert_uint_eq(err.n_items, 2);
	ck_assert_str_eq(err.items[0].field, "fish");
	ck_assert_str_eq(err.items[0].message, "fish is missing.");
	ck_assert_str_eq(err.items[1].field, "");
	ck_assert_str_eq(err_arg_of(&err.items[1], "code"), "T-4");
	ck_assert_uint_eq(err.items[0].n_args, 0);
	ck_assert(err_has(&err, "required") && err_has(&err, "taken_code"));
	ck_assert(!err_has(&err, "taken"));
}
END_TEST

START_TEST(err_counts_what_has_no_room)
{
	struct err err, more;

	err_clear(&err);
	for (int i = 0; i < ERR_ITEMS_MAX + 3; i++)
		err_set(&err, ERR_INPUT, "", "code", "item %d", i);
	err_arg(&err, "lost", "with its item");
	ck_assert_uint_eq(err.n_items, ERR_ITEMS_MAX);
	ck_assert_uint_eq(err.n_dropped, 3);
	ck_assert_str_eq(err.items[ERR_ITEMS_MAX - 1].message, "item 15");
	ck_assert_uint_eq(err.items[ERR_ITEMS_MAX - 1].n_args, 0);
	err_clear(&more);
	err_append(&more, &err);
	ck_assert_int_eq(more.code, ERR_INPUT);
	err_append(&more, &err);
	ck_assert_uint_eq(more.n_items, ERR_ITEMS_MAX);
	ck_assert_uint_eq(more.n_dropped, 3 + ERR_ITEMS_MAX + 3);
}
END_TEST

START_TEST(err_takes_a_few_arguments_and_no_more)
{
	struct err err;

	err_clear(&err);
	err_arg(&err, "nobody", "here");
	err_set(&err, ERR_INPUT, "", "code", "item");
	for (int i = 0; i < ERR_ARGS_MAX + 2; i++)
		err_arg(&err, "name", "%d", i);
	ck_assert_uint_eq(err.items[0].n_args, ERR_ARGS_MAX);
}
END_TEST

START_TEST(err_may_be_nobodys)
{
	ck_assert_int_eq(err_set(NULL, ERR_STALE, "", "stale", "Moved on."), ERR_STALE);
	err_arg(NULL, "a", "b");
	err_append(NULL, NULL);
}
END_TEST

/* Whatever the length, a cut message is still UTF-8. */
START_TEST(err_cuts_at_whole_characters)
{
	for (int shift = 0; shift < 4; shift++) {
		char text[400];
		struct err err;
		size_t n = (size_t)shift;

		memset(text, 'x', n);
		while (n + 5 < sizeof(text)) {
			memcpy(text + n, "\xF0\x9F\x90\x9F", 4);
			n += 4;
		}
		text[n] = '\0';
		err_clear(&err);
		err_set(&err, ERR_INPUT, text, "code", "%s", text);
		err_arg(&err, text, "%s", text);
		ck_assert(utf8_valid(err.items[0].message, strlen(err.items[0].message)));
		ck_assert_uint_gt(strlen(err.items[0].message), sizeof(err.items[0].message) - 5);
		ck_assert(utf8_valid(err.items[0].field, strlen(err.items[0].field)));
		ck_assert(utf8_valid(err.items[0].args[0].text, strlen(err.items[0].args[0].text)));
	}
}
END_TEST

START_TEST(err_leaves_out_what_is_not_utf8)
{
	struct err err;

	err_clear(&err);
	err_set(&err, ERR_INPUT, "a\xFF", "code", "t\xC3\xA4nk \"%.3s\" \xC0\x80 \xFF\x80\x80\x80.",
		"ab\xC3\xA4");
	err_arg(&err, "given", "\xED\xA0\x80x");
	ck_assert_str_eq(err.items[0].field, "a");
	ck_assert_str_eq(err.items[0].message, "t\xC3\xA4nk \"ab\"  .");
	ck_assert_str_eq(err_arg_of(&err.items[0], "given"), "x");
}
END_TEST

START_TEST(arena_gives_zeroed_aligned_memory)
{
	struct arena a;
	struct chance chance = { .state = 3 };

	arena_init(&a);
	for (int round = 0; round < 3; round++) {
		for (int i = 0; i < 500; i++) {
			size_t n = (size_t)chance_between(&chance, 0, i % 50 ? 300 : 300000);
			unsigned char *p = arena_alloc(&a, n);

			check_that((uintptr_t)p % _Alignof(max_align_t) == 0, "%zu bytes", n);
			check_that(n == 0 || (p[0] == 0 && memcmp(p, p + 1, n - 1) == 0),
				   "%zu bytes", n);
			memset(p, 0xAA, n);
		}
		arena_reset(&a);
		ck_assert_uint_eq(a.used, 0);
	}
	ck_assert_str_eq(arena_printf(&a, "%s %05d", "T", 42), "T 00042");
	ck_assert_str_eq(arena_strndup(&a, "abcdef", 3), "abc");
	ck_assert_str_eq(arena_strdup(&a, ""), "");
	arena_release(&a);
	ck_assert_ptr_null(a.head);
}
END_TEST

/* Alone it grows where it stands; behind something newer, or over the end of a block, it moves. */
START_TEST(arena_grows_an_array_whole_and_zeroed)
{
	struct arena a;

	arena_init(&a);
	for (int apart = 0; apart < 2; apart++) {
		int64_t *list = NULL;
		size_t room = 0, moved = 0;

		for (size_t n = 0; n < 70000; n++) {
			int64_t *before = list;

			list = arena_grow(&a, list, n, &room, sizeof(*list));
			moved += before && list != before;
			for (size_t i = n; i < room && i < n + 3; i++)
				ck_assert_int_eq(list[i], 0);
			list[n] = (int64_t)n;
			if (apart && n % 1000 == 0)
				memset(arena_alloc(&a, 24), 0xff, 24);
		}
		for (size_t n = 0; n < 70000; n++)
			ck_assert_int_eq(list[n], (int64_t)n);
		ck_assert(moved < (apart ? 14 : 9));
		ck_assert(!apart || moved > 0);
	}
	arena_release(&a);
}
END_TEST

START_TEST(strbuf_grows_and_is_given_away)
{
	struct strbuf s;
	size_t n;
	char *text;

	strbuf_init(&s);
	ck_assert_str_eq(s.text, "");
	strbuf_clear(&s);
	for (int i = 0; i < 1000; i++) {
		strbuf_adds(&s, "ab");
		strbuf_addc(&s, '\0');
		strbuf_addf(&s, "%03d", i);
	}
	ck_assert_uint_eq(s.length, 6000);
	ck_assert_mem_eq(s.text + 5994,
			 "ab\0"
			 "999",
			 7);
	text = strbuf_detach(&s, &n);
	ck_assert_uint_eq(n, 6000);
	ck_assert_uint_eq(s.length, 0);
	free(text);
	text = strbuf_detach(&s, NULL);
	ck_assert_str_eq(text, "");
	free(text);
	strbuf_release(&s);
}
END_TEST

START_TEST(json_puts_commas_where_they_belong)
{
	struct strbuf s;
	struct json_out j;

	strbuf_init(&s);
	json_out_init(&j, &s);
	json_out_open(&j, '{');
	json_out_name(&j, "a");
	json_out_open(&j, '[');
	json_out_close(&j, ']');
	json_out_name(&j, "b");
	json_out_open(&j, '[');
	json_out_int(&j, INT64_MIN);
	json_out_real(&j, 0.1);
	json_out_real(&j, (double)NAN);
	json_out_real(&j, (double)-INFINITY);
	json_out_bool(&j, true);
	json_out_bool(&j, false);
	json_out_open(&j, '{');
	json_out_close(&j, '}');
	json_out_raw(&j, "{\"x\":1}");
	json_out_text(&j, NULL);
	json_out_close(&j, ']');
	json_out_name(&j, "c");
	json_out_text(&j, "d");
	json_out_close(&j, '}');
	ck_assert_str_eq(s.text,
			 "{\"a\":[],\"b\":[-9223372036854775808,0.1,null,null,true,false,{},"
			 "{\"x\":1},null],\"c\":\"d\"}");
	strbuf_release(&s);
}
END_TEST

/* RFC 8259 section 7: quote, backslash and all below U+0020; everything else stays as it is. */
START_TEST(json_escapes_what_rfc_8259_names)
{
	struct strbuf s;
	struct json_out j;

	strbuf_init(&s);
	json_out_init(&j, &s);
	json_out_text(&j, "\"\\/\b\f\n\r\t\x01\x1F\x7F t\xC3\xA4nk \xF0\x9F\x90\x9F");
	ck_assert_str_eq(s.text, "\"\\\"\\\\/\\b\\f\\n\\r\\t\\u0001\\u001f\x7F t\xC3\xA4nk "
				 "\xF0\x9F\x90\x9F\"");
	strbuf_release(&s);
}
END_TEST

static const char *word_of(size_t i, const void *with)
{
	return ((const char *const *)with)[i];
}

START_TEST(the_nearest_word_is_found)
{
	static const char *const words[] = { "tank", "day", "amount_g", "feed", "feed_lot" };
	static const struct {
		const char *unknown, *nearest;
	} slips[] = {
		{ "tanks", "tank" },
		{ "amount", "amount_g" },
		{ "feeds", "feed" },
		{ "feedlot", "feed_lot" },
		{ "amuont_g", "amount_g" },
		{ "tnak", "tank" },
		{ "tent", NULL }, /* half of it is wrong */
		{ "zzz", NULL },
		{ "", NULL },
		{ "pH", NULL },
	};

	for (size_t i = 0; i < sizeof(slips) / sizeof(slips[0]); i++) {
		const char *got = nearest_word(slips[i].unknown, 5, word_of, words);

		ck_assert_pstr_eq(got, slips[i].nearest);
	}
	ck_assert_ptr_null(nearest_word("tank", 0, word_of, words));
}
END_TEST

START_TEST(distance_counts_single_edits)
{
	char a[200], b[200];

	/* the usual worked example of this distance (from memory) */
	ck_assert_uint_eq(word_distance("kitten", "sitting"), 3);
	ck_assert_uint_eq(word_distance("sitting", "kitten"), 3);
	ck_assert_uint_eq(word_distance("", "abc"), 3);
	ck_assert_uint_eq(word_distance("abc", ""), 3);
	ck_assert_uint_eq(word_distance("abc", "abc"), 0);
	ck_assert_uint_eq(word_distance("tnak", "tank"), 1); /* a swap is one slip */
	ck_assert_uint_eq(word_distance("amuotn_g", "amount_g"), 2);
	ck_assert_uint_eq(word_distance("ab", "ba"), 1);
	ck_assert_uint_eq(word_distance("abc", "cab"), 2);
	memset(a, 'a', sizeof(a));
	memset(b, 'b', sizeof(b));
	a[199] = b[199] = '\0';
	ck_assert_uint_eq(word_distance(a, b), 64); /* looks no further */
}
END_TEST

START_TEST(a_list_of_words_has_whole_words_alone)
{
	size_t n = 0;

	ck_assert_uint_eq(word_list_count(NULL), 0);
	ck_assert_uint_eq(word_list_count(" "), 0);
	ck_assert_uint_eq(word_list_count(" ph  tan_mg_l "), 2);
	ck_assert_ptr_null(word_list_next("", &n));
	ck_assert_str_eq(word_list_next("  ph do", &n), "ph do");
	ck_assert_uint_eq(n, 2);
	ck_assert(word_list_has("tan_mg_l ph", "ph"));
	ck_assert(word_list_has("ph tan_mg_l", "ph"));
	ck_assert(!word_list_has("phosphate_p_mg_l", "ph"));
	ck_assert(!word_list_has("low_ph", "ph"));
	ck_assert(!word_list_has("PH", "ph"));
	ck_assert(!word_list_has(NULL, "ph"));
}
END_TEST

Suite *text_suite(void)
{
	Suite *s = suite_create("text");
	TCase *tc = tcase_create("text");

	suite_add_tcase(s, tc);
	tcase_add_test(tc, err_keeps_the_first_code_and_all_items);
	tcase_add_test(tc, err_counts_what_has_no_room);
	tcase_add_test(tc, a_list_of_words_has_whole_words_alone);
	tcase_add_test(tc, err_takes_a_few_arguments_and_no_more);
	tcase_add_test(tc, err_may_be_nobodys);
	tcase_add_test(tc, err_cuts_at_whole_characters);
	tcase_add_test(tc, err_leaves_out_what_is_not_utf8);
	tcase_add_test(tc, arena_gives_zeroed_aligned_memory);
	tcase_add_test(tc, arena_grows_an_array_whole_and_zeroed);
	tcase_add_test(tc, strbuf_grows_and_is_given_away);
	tcase_add_test(tc, json_puts_commas_where_they_belong);
	tcase_add_test(tc, json_escapes_what_rfc_8259_names);
	tcase_add_test(tc, the_nearest_word_is_found);
	tcase_add_test(tc, distance_counts_single_edits);
	return s;
}

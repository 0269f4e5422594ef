/* Values from text and to text, by the kind of the field: model/field_text, canonical, name. */
#include "unit_tests.h"

#include <string.h>

#include "model/name.h"
#include "model/record.h"
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

static const char *const colours[] = { "red", "green", "blue", NULL };

/* A field of each kind, of our own making. */
static const struct field samples[KIND__MAX] = {
	[KIND_TEXT] = { .name = "text", .kind = KIND_TEXT },
	[KIND_CODE] = { .name = "code", .kind = KIND_CODE },
	[KIND_NAME] = { .name = "name", .kind = KIND_NAME },
	[KIND_INTEGER] = { .name = "integer", .kind = KIND_INTEGER },
	[KIND_REAL] = { .name = "real", .kind = KIND_REAL },
	[KIND_BOOL] = { .name = "bool", .kind = KIND_BOOL },
	[KIND_CHOICE] = { .name = "choice", .kind = KIND_CHOICE, .words = colours },
	[KIND_WORDS] = { .name = "words", .kind = KIND_WORDS, .words = colours },
	[KIND_NUMBERS] = { .name = "numbers", .kind = KIND_NUMBERS, RANGE(-100, 1e6) },
	[KIND_CLOCKS] = { .name = "clocks", .kind = KIND_CLOCKS },
	[KIND_CLOCK] = { .name = "clock", .kind = KIND_CLOCK },
	[KIND_DAY] = { .name = "day", .kind = KIND_DAY },
	[KIND_TIME] = { .name = "time", .kind = KIND_TIME },
	[KIND_REFERENCE] = { .name = "tank_id", .kind = KIND_REFERENCE, .refers_to = "tanks" },
	[KIND_UUID] = { .name = "uuid", .kind = KIND_UUID },
};

/* Text in, and as it is written again. */
static const struct {
	enum field_kind kind;
	const char *text, *written;
} good[] = {
	{ KIND_TEXT, " as it is ", " as it is " },
	{ KIND_TEXT, "two\nlines\tand \xC3\xA4", "two\nlines\tand \xC3\xA4" },
	{ KIND_CODE, "T-4", "T-4" },
	{ KIND_CODE, "260331a017x", "260331a017x" },
	{ KIND_NAME, "  Nile   bream ", "Nile bream" },
	{ KIND_NAME, "Forelle", "Forelle" },
	{ KIND_INTEGER, "12", "12" },
	{ KIND_INTEGER, "12.0", "12" },
	{ KIND_INTEGER, "-9007199254740991", "-9007199254740991" },
	{ KIND_REAL, "0.10", "0.1" },
	{ KIND_REAL, "1e3", "1000" },
	{ KIND_REAL, "0.30000000000000004", "0.3" },
	{ KIND_BOOL, "1", "1" },
	{ KIND_BOOL, "0", "0" },
	{ KIND_CHOICE, "green", "green" },
	{ KIND_WORDS, "  blue red", "blue red" },
	{ KIND_WORDS, "red", "red" },
	{ KIND_NUMBERS, " 20  4310.0 18 3902.50 ", "20 4310 18 3902.5" },
	{ KIND_NUMBERS, "-1", "-1" },
	{ KIND_CLOCKS, "06:30  12:00 19:45", "06:30 12:00 19:45" },
	{ KIND_CLOCK, "06:30", "06:30" },
	{ KIND_DAY, "2024-02-29", "2024-02-29" },
	{ KIND_TIME, "2026-03-31T06:30:00+02:00", "2026-03-31T04:30:00Z" },
	{ KIND_REFERENCE, "T4", "T4" },
	{ KIND_REFERENCE, "Feed 'A', 3 mm", "Feed 'A', 3 mm" },
	{ KIND_UUID, "017F22E2-79B0-7CC3-98C4-DC0C0C07398F",
	  "017f22e2-79b0-7cc3-98c4-dc0c0c07398f" },
};

START_TEST(good_text_is_read_to_its_canonical_form)
{
	const struct field *f = &samples[good[_i].kind];
	struct value v, again;
	struct err err;

	check_ok(field_read(f, good[_i].text, '.', &arena, &v, &err), &err);
	ck_assert_str_eq(field_write(f, &v, &arena), good[_i].written);
	check_ok(field_read(f, good[_i].written, '.', &arena, &again, &err), &err);
	ck_assert(value_equal(&v, &again));
}
END_TEST

static const struct {
	enum field_kind kind;
	const char *text, *code;
} bad[] = {
	{ KIND_TEXT, "\xFF", "bad_text" },
	{ KIND_TEXT, "a\x01", "bad_text" },
	{ KIND_TEXT, "a\x7F", "bad_text" },
	{ KIND_CODE, "T 4", "bad_code" },
	{ KIND_CODE, "T_4", "bad_code" },
	{ KIND_CODE, "-4", "bad_code" },
	{ KIND_CODE, "t\xC3\xA4nk", "bad_code" },
	{ KIND_CODE, " T4", "bad_code" },
	{ KIND_NAME, "two\nlines", "bad_text" },
	{ KIND_INTEGER, "12.5", "not_whole" },
	{ KIND_INTEGER, "9223372036854775808", "not_whole" },
	{ KIND_INTEGER, "twelve", "not_a_number" },
	{ KIND_INTEGER, " 12", "not_a_number" },
	{ KIND_REAL, "1,5", "not_a_number" },
	{ KIND_REAL, "1e400", "not_a_number" },
	{ KIND_REAL, "12 g", "not_a_number" },
	{ KIND_BOOL, "yes", "not_a_bool" },
	{ KIND_BOOL, "2", "not_a_bool" },
	{ KIND_CHOICE, "gren", "not_a_choice" },
	{ KIND_CHOICE, "Red", "not_a_choice" },
	{ KIND_WORDS, "red gren", "not_a_choice" },
	{ KIND_WORDS, "red blue red", "twice" },
	{ KIND_NUMBERS, "1 x", "not_a_number" },
	{ KIND_NUMBERS, "1\t2", "bad_text" },
	{ KIND_NUMBERS, "1 1000001", "out_of_range" },
	{ KIND_CLOCKS, "06:30 6:45", "not_a_clock" },
	{ KIND_CLOCKS, "12:00 06:30", "not_ascending" },
	{ KIND_CLOCKS, "06:30 06:30", "not_ascending" },
	{ KIND_CLOCK, "24:00", "not_a_clock" },
	{ KIND_CLOCK, "06:30 07:00", "not_a_clock" },
	{ KIND_DAY, "31.03.2026", "not_a_date" },
	{ KIND_DAY, "2026-02-30", "not_a_date" },
	{ KIND_TIME, "2026-03-31 06:30", "not_a_time" },
	{ KIND_REFERENCE, "a\nb", "bad_text" },
	{ KIND_UUID, "017f22e2", "not_a_key" },
};

START_TEST(bad_text_is_refused_with_its_reason)
{
	const struct field *f = &samples[bad[_i].kind];
	struct value v = { .type = VALUE_INT, .i = 77 };
	struct err err;

	check_refused(field_read(f, bad[_i].text, '.', &arena, &v, &err), &err, ERR_INPUT,
		      bad[_i].code);
	ck_assert_uint_eq(err.n_items, 1);
	ck_assert_str_eq(err.items[0].field, f->name);
	ck_assert(v.type == VALUE_INT && v.i == 77);
}
END_TEST

START_TEST(empty_text_is_not_given)
{
	for (int kind = 0; kind < KIND__MAX; kind++) {
		struct value v = { .type = VALUE_INT, .i = 77 };
		struct err err;

		check_ok(field_read(&samples[kind], "", '.', &arena, &v, &err), &err);
		ck_assert_int_eq(v.type, VALUE_NONE);
		ck_assert_str_eq(field_write(&samples[kind], &v, &arena), "");
	}
}
END_TEST

START_TEST(a_list_or_name_of_spaces_is_not_given)
{
	static const enum field_kind spaced[] = { KIND_NAME, KIND_WORDS, KIND_NUMBERS,
						  KIND_CLOCKS };

	for (size_t i = 0; i < sizeof(spaced) / sizeof(spaced[0]); i++) {
		struct value v = { .type = VALUE_INT, .i = 77 };
		struct err err;

		check_ok(field_read(&samples[spaced[i]], "   ", '.', &arena, &v, &err), &err);
		ck_assert_int_eq(v.type, VALUE_NONE);
	}
}
END_TEST

START_TEST(a_decimal_comma_is_taken_when_told)
{
	struct value v;
	struct err err;

	check_ok(field_read(&samples[KIND_REAL], "1,5", ',', &arena, &v, &err), &err);
	ck_assert_double_eq(v.r, 1.5);
	check_ok(field_read(&samples[KIND_NUMBERS], "1,5 2", ',', &arena, &v, &err), &err);
	ck_assert_str_eq(v.text, "1.5 2");
	check_refused(field_read(&samples[KIND_REAL], "1.5", ',', &arena, &v, &err), &err,
		      ERR_INPUT, "not_a_number");
}
END_TEST

START_TEST(an_unknown_word_names_the_nearest)
{
	struct value v;
	struct err err;

	check_refused(field_read(&samples[KIND_CHOICE], "gren", '.', &arena, &v, &err), &err,
		      ERR_INPUT, "not_a_choice");
	ck_assert_str_eq(err_arg_of(&err.items[0], "nearest"), "green");
	ck_assert_str_eq(err_arg_of(&err.items[0], "given"), "gren");
	check_refused(field_read(&samples[KIND_CHOICE], "42", '.', &arena, &v, &err), &err,
		      ERR_INPUT, "not_a_choice");
	ck_assert_uint_eq(err.items[0].n_args, 1);
}
END_TEST

static char *text_of_length(size_t n)
{
	char *text = arena_alloc(&arena, n + 1);

	memset(text, 'a', n);
	return text;
}

START_TEST(texts_have_a_longest_length)
{
	static const struct field note = { .name = "note", .kind = KIND_TEXT };
	static const struct {
		const struct field *field;
		size_t most;
	} lengths[] = { { &samples[KIND_TEXT], 4000 },
			{ &note, 20000 },
			{ &samples[KIND_CODE], 64 },
			{ &samples[KIND_NAME], 200 },
			{ &samples[KIND_REFERENCE], 200 } };

	for (size_t i = 0; i < sizeof(lengths) / sizeof(lengths[0]); i++) {
		struct value v;
		struct err err;

		check_ok(field_read(lengths[i].field, text_of_length(lengths[i].most), '.', &arena,
				    &v, &err),
			 &err);
		check_refused(field_read(lengths[i].field, text_of_length(lengths[i].most + 1), '.',
					 &arena, &v, &err),
			      &err, ERR_INPUT, "too_long");
	}
}
END_TEST

START_TEST(what_is_read_outlives_its_text)
{
	char text[] = "T4";
	struct value v;
	struct err err;

	check_ok(field_read(&samples[KIND_CODE], text, '.', &arena, &v, &err), &err);
	text[0] = 'X';
	ck_assert_str_eq(v.text, "T4");
}
END_TEST

/* Unicode character charts, Latin-1 Supplement and Latin Extended-A; NFC is Unicode annex 15. */
static const struct {
	const char *typed, *canonical;
} names[] = {
	{ "Cafe\xCC\x81", "Caf\xC3\xA9" },         /* e + acute */
	{ "Jalapen\xCC\x83o", "Jalape\xC3\xB1o" }, /* n + tilde */
	{ "Mu\xCC\x88ller", "M\xC3\xBCller" },     /* u + diaeresis */
	{ "A\xCC\x8Angstrom", "\xC3\x85ngstrom" }, /* A + ring */
	{ "Kos\xCC\x8C", "Ko\xC5\xA1" },           /* s + caron */
	{ "Poz\xCC\x87", "Po\xC5\xBC" },           /* z + dot above */
	{ "g\xCC\xA7", "\xC4\xA3" },               /* g + cedilla */
	{ "Caf\xC3\xA9", "Caf\xC3\xA9" },
	{ "x\xCC\x81", "x\xCC\x81" }, /* no such character: stays */
	{ " a  b ", "a b" },
	{ "", "" },
	{ "   ", "" },
	{ "e\xCC", "e\xCC" }, /* cut short: stays */
};

START_TEST(names_have_one_form)
{
	const char *want = names[_i].canonical;

	ck_assert_str_eq(name_canonical(names[_i].typed, &arena), want);
	ck_assert_str_eq(name_canonical(want, &arena), want);
}
END_TEST

#define N(table) (int)(sizeof(table) / sizeof((table)[0]))

Suite *field_text_suite(void)
{
	Suite *s = suite_create("field_text");
	TCase *tc = tcase_create("field_text");

	suite_add_tcase(s, tc);
	tcase_add_checked_fixture(tc, set_up, tear_down);
	tcase_add_loop_test(tc, good_text_is_read_to_its_canonical_form, 0, N(good));
	tcase_add_loop_test(tc, bad_text_is_refused_with_its_reason, 0, N(bad));
	tcase_add_test(tc, empty_text_is_not_given);
	tcase_add_test(tc, a_list_or_name_of_spaces_is_not_given);
	tcase_add_test(tc, a_decimal_comma_is_taken_when_told);
	tcase_add_test(tc, an_unknown_word_names_the_nearest);
	tcase_add_test(tc, texts_have_a_longest_length);
	tcase_add_test(tc, what_is_read_outlives_its_text);
	tcase_add_loop_test(tc, names_have_one_form, 0, N(names));
	return s;
}

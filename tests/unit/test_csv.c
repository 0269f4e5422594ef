/* CSV text: base/csv.  Source: RFC 4180 section 2; RFC 3629 for UTF-8. */
#include "unit_tests.h"

#include <string.h>

#include "base/csv.h"
#include "base/utf8.h"
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

/* Reads all of text into one line a row: "line:[cell][cell]", or "line,column code" for a fault. */
static const char *read_all_of(const char *text, size_t n, char separator)
{
	struct strbuf out;
	struct csv_reader r;
	struct csv_row row;
	enum err_code rc;

	strbuf_init(&out);
	csv_reader_init(&r, text, n, separator);
	for (;;) {
		struct err err;

		err_clear(&err);
		rc = csv_read(&r, &arena, &row, &err);
		if (rc == ERR_NOT_FOUND)
			break;
		if (rc) {
			ck_assert_int_eq(rc, ERR_MALFORMED);
			ck_assert_uint_eq(err.n_items, 1);
			strbuf_addf(&out, "%s,%s %s\n", err_arg_of(&err.items[0], "line"),
				    err_arg_of(&err.items[0], "column"), err.items[0].code);
			continue;
		}
		strbuf_addf(&out, "%zu:", row.line);
		for (size_t i = 0; i < row.n; i++)
			strbuf_addf(&out, row.quoted[i] ? "{%s}" : "[%s]", row.cells[i]);
		strbuf_addc(&out, '\n');
	}

	const char *all = arena_strdup(&arena, out.text);

	strbuf_release(&out);
	return all;
}

static const char *read_all(const char *text)
{
	return read_all_of(text, strlen(text), ',');
}

static const struct {
	const char *text, *rows; /* {} stood in quotes */
} cases[] = {
	/* RFC 4180 2.1 and 2.2: CRLF between, the last one optional */
	{ "aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", "1:[aaa][bbb][ccc]\n2:[zzz][yyy][xxx]\n" },
	{ "aaa,bbb,ccc\r\nzzz,yyy,xxx", "1:[aaa][bbb][ccc]\n2:[zzz][yyy][xxx]\n" },
	{ "aaa,bbb,ccc\nzzz,yyy,xxx\n", "1:[aaa][bbb][ccc]\n2:[zzz][yyy][xxx]\n" },
	/* 2.4: spaces are data */
	{ " a , b\r\n", "1:[ a ][ b]\n" },
	/* 2.5 */
	{ "\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx", "1:{aaa}{bbb}{ccc}\n2:[zzz][yyy][xxx]\n" },
	/* 2.6: a line break within quotes */
	{ "\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx",
	  "1:{aaa}{b\r\nbb}{ccc}\n3:[zzz][yyy][xxx]\n" },
	/* 2.7 */
	{ "\"aaa\",\"b\"\"bb\",\"ccc\"", "1:{aaa}{b\"bb}{ccc}\n" },
	{ "\"a,b\",c", "1:{a,b}[c]\n" },
	{ "\"\"\"\",\"\"", "1:{\"}{}\n" },
	/* not in the RFC: a byte-order mark, empty lines, empty cells */
	{ "\xEF\xBB\xBF"
	  "a,b\n",
	  "1:[a][b]\n" },
	{ "\xEF\xBB\xBF\"a\",b\n", "1:{a}[b]\n" },
	{ "a\n\n\r\nb\n\n", "1:[a]\n4:[b]\n" },
	{ ",\n,,", "1:[][]\n2:[][][]\n" },
	{ "", "" },
	{ "\xEF\xBB\xBF", "" },
	{ "\n", "" },
	{ "t\xC3\xA4nk,\xF0\x9F\x90\x9F\n", "1:[t\xC3\xA4nk][\xF0\x9F\x90\x9F]\n" },
	/* faults, and the reading that goes on */
	{ "a\"b,c\nd,e\n", "1,2 csv_quote\n2:[d][e]\n" },
	{ "x,\"a\"b,c\nd,e\n", "1,6 csv_quote\n2:[d][e]\n" },
	{ "x\ny,\"a\nd,e\n", "1:[x]\n2,3 csv_open_quote\n3:[d][e]\n" },
	{ "\"", "1,1 csv_open_quote\n" },
	{ "\"\"\"", "1,1 csv_open_quote\n" },
	{ "\"a\r\nb\"x,c\r\nd\r\n", "2,3 csv_quote\n3:[d]\n" },
	{ "\xC3\xA4,\xC3\xA4\"\n", "1,4 csv_quote\n" }, /* characters, not bytes */
	{ "\xEF\xBB\xBF"
	  "a\"\nb\n",
	  "1,2 csv_quote\n2:[b]\n" },
	/* 2: TEXTDATA holds no CR; CR alone is no line end */
	{ "a\rb,c\nd\n", "1,2 csv_lone_cr\n2:[d]\n" },
	{ "\"a\"\rb,c\nd\n", "1,4 csv_lone_cr\n2:[d]\n" },
	{ "\"a\rb\",c\n", "1:{a\rb}[c]\n" },
	{ "a,\xFF\nb\n", "1,3 csv_utf8\n2:[b]\n" },
	{ "a,\"\xC0\x80\"\nb\n", "1,4 csv_utf8\n2:[b]\n" },
	{ "a,\xE4\n\nb\n", "1,3 csv_utf8\n3:[b]\n" }, /* Latin-1 */
};

START_TEST(rows_are_read_as_rfc_4180_has_them)
{
	ck_assert_str_eq(read_all(cases[_i].text), cases[_i].rows);
}
END_TEST

START_TEST(a_nul_byte_is_named_with_its_place)
{
	static const char text[] = "a,b\nc,\0d\ne\n";

	ck_assert_str_eq(read_all_of(text, sizeof(text) - 1, ','),
			 "1:[a][b]\n2,3 csv_nul\n3:[e]\n");
}
END_TEST

START_TEST(a_row_may_have_100_cells_and_no_more)
{
	struct strbuf text;
	struct csv_reader r;
	struct csv_row row;
	struct err err;

	strbuf_init(&text);
	for (int i = 1; i < CSV_COLUMNS_MAX; i++)
		strbuf_addc(&text, ',');
	strbuf_adds(&text, "\n");
	csv_reader_init(&r, text.text, text.length, ',');
	check_ok(csv_read(&r, &arena, &row, &err), &err);
	ck_assert_uint_eq(row.n, CSV_COLUMNS_MAX);
	strbuf_clear(&text);
	for (int i = 0; i < CSV_COLUMNS_MAX; i++)
		strbuf_addc(&text, ',');
	strbuf_adds(&text, "\nnext");
	csv_reader_init(&r, text.text, text.length, ',');
	check_refused(csv_read(&r, &arena, &row, &err), &err, ERR_MALFORMED, "csv_too_wide");
	ck_assert_str_eq(err_arg_of(&err.items[0], "column"), "101");
	check_ok(csv_read(&r, &arena, &row, &err), &err);
	ck_assert_str_eq(row.cells[0], "next");
	strbuf_release(&text);
}
END_TEST

START_TEST(a_cell_has_a_longest_length)
{
	size_t n = CSV_CELL_MAX + 1;
	char *text = arena_alloc(&arena, n + 1);
	struct csv_reader r;
	struct csv_row row;
	struct err err;

	memset(text, 'a', n);
	csv_reader_init(&r, text, n - 1, ',');
	check_ok(csv_read(&r, &arena, &row, &err), &err);
	ck_assert_uint_eq(strlen(row.cells[0]), CSV_CELL_MAX);
	csv_reader_init(&r, text, n, ',');
	check_refused(csv_read(&r, &arena, &row, &err), &err, ERR_MALFORMED, "csv_cell_too_long");
	ck_assert_int_eq(csv_read(&r, &arena, &row, &err), ERR_NOT_FOUND);
}
END_TEST

START_TEST(another_separator_is_taken_when_told)
{
	ck_assert_str_eq(read_all_of("a;1,5;\"b;c\"\n", 12, ';'), "1:[a][1,5]{b;c}\n");
	ck_assert_str_eq(read_all_of("a\t1,5\n", 6, '\t'), "1:[a][1,5]\n");
}
END_TEST

START_TEST(the_separator_of_the_first_line_is_guessed)
{
	static const struct {
		const char *text;
		char separator;
	} lines[] = {
		{ "tank,day,amount_g\n1;2;3;4;5", ',' },
		{ "tank;day;amount_g\n1,2,3,4,5", ';' },
		{ "tank\tday\n", '\t' },
		{ "\"a;b;c\",d\n", ',' },
		{ "tank\n", ',' },
		{ "", ',' },
	};

	for (size_t i = 0; i < sizeof(lines) / sizeof(lines[0]); i++)
		ck_assert_int_eq(csv_guess_separator(lines[i].text, strlen(lines[i].text)),
				 lines[i].separator);
}
END_TEST

START_TEST(what_was_written_is_read_back)
{
	static const char *const cells[] = { "plain", "a,b",     "say \"so\"", "two\r\nlines",
					     "",      "\"",      "semi;colon", " space ",
					     "tab\t", "\xC3\xA4" };
	const size_t n = sizeof(cells) / sizeof(cells[0]);
	static const char separators[] = ",;\t";

	for (const char *separator = separators; *separator; separator++) {
		struct strbuf text;
		struct csv_reader r;
		struct csv_row row;
		struct err err;

		strbuf_init(&text);
		for (size_t i = 0; i < n; i++)
			csv_write_cell(&text, cells[i], *separator, i == 0);
		csv_write_end(&text);
		csv_reader_init(&r, text.text, text.length, *separator);
		check_ok(csv_read(&r, &arena, &row, &err), &err);
		ck_assert_uint_eq(row.n, n);
		for (size_t i = 0; i < n; i++)
			ck_assert_str_eq(row.cells[i], cells[i]);
		strbuf_release(&text);
	}
}
END_TEST

START_TEST(a_cell_is_quoted_only_where_it_must_be)
{
	struct strbuf text;

	strbuf_init(&text);
	csv_write_cell(&text, "a", ',', true);
	csv_write_cell(&text, "b;c", ',', false);
	csv_write_cell(&text, "d,e", ',', false);
	csv_write_cell(&text, "f\"g", ',', false);
	csv_write_end(&text);
	ck_assert_str_eq(text.text, "a,b;c,\"d,e\",\"f\"\"g\"\r\n");
	strbuf_release(&text);
}
END_TEST

/* OWASP ASVS 5.0 item 1.2.10; the quote itself is guarded too, so that taking off is exact. */
START_TEST(a_guarded_text_comes_back_as_it_was)
{
	static const char *const texts[] = { "=1+1", "+49 30", "-5",  "@home", "\tx", "'quoted'",
					     "''",   "plain",  "a=b", "",      "'",   "'=x" };

	for (size_t i = 0; i < sizeof(texts) / sizeof(texts[0]); i++) {
		const char *guarded = csv_guard(&arena, texts[i]);

		ck_assert_ptr_null(guarded[0] ? strchr("=+-@\t", guarded[0]) : NULL);
		ck_assert_str_eq(csv_unguard(guarded), texts[i]);
	}
	ck_assert_str_eq(csv_guard(&arena, "=1"), "'=1");
	ck_assert_str_eq(csv_unguard("'tis"), "'tis"); /* nobody guarded this one */
}
END_TEST

START_TEST(utf8_is_well_formed_or_not)
{
	/* RFC 3629 sections 3, 4 and 7 */
	static const char *const good[] = { "",
					    "A\xE2\x89\xA2\xCE\x91.",
					    "\xED\x95\x9C\xEA\xB5\xAD\xEC\x96\xB4",
					    "\xEF\xBB\xBF\xF0\xA3\x8E\xB4",
					    "\xF4\x8F\xBF\xBF",
					    "\xED\x9F\xBF",
					    "\xC2\x80" };
	static const char *const bad[] = { "\x80",
					   "\xC0\x80",
					   "\xC1\xBF",
					   "\xC0\xAF",
					   "\xE0\x80\xAF",
					   "\xF0\x80\x80\xAF",
					   "\xF0\x9F\x90",
					   "\xE0\x9F\xBF",
					   "\xED\xA0\x80",
					   "\xED\xBF\xBF",
					   "\xF0\x8F\xBF\xBF",
					   "\xF4\x90\x80\x80",
					   "\xF5\x80\x80\x80",
					   "\xE2\x89",
					   "\xC3",
					   "\xFF",
					   "\xE2\x89!" };

	for (size_t i = 0; i < sizeof(good) / sizeof(good[0]); i++)
		ck_assert(utf8_valid(good[i], strlen(good[i])));
	for (size_t i = 0; i < sizeof(bad) / sizeof(bad[0]); i++)
		ck_assert_msg(!utf8_valid(bad[i], strlen(bad[i])), "case %zu", i);
	ck_assert(!utf8_valid("a\0b", 3));
}
END_TEST

Suite *csv_suite(void)
{
	Suite *s = suite_create("csv");
	TCase *tc = tcase_create("csv");

	suite_add_tcase(s, tc);
	tcase_add_checked_fixture(tc, set_up, tear_down);
	tcase_add_loop_test(tc, rows_are_read_as_rfc_4180_has_them, 0,
			    sizeof(cases) / sizeof(cases[0]));
	tcase_add_test(tc, a_nul_byte_is_named_with_its_place);
	tcase_add_test(tc, a_row_may_have_100_cells_and_no_more);
	tcase_add_test(tc, a_cell_has_a_longest_length);
	tcase_add_test(tc, another_separator_is_taken_when_told);
	tcase_add_test(tc, the_separator_of_the_first_line_is_guessed);
	tcase_add_test(tc, what_was_written_is_read_back);
	tcase_add_test(tc, a_cell_is_quoted_only_where_it_must_be);
	tcase_add_test(tc, a_guarded_text_comes_back_as_it_was);
	tcase_add_test(tc, utf8_is_well_formed_or_not);
	return s;
}

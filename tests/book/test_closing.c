/* Closed months: the figures kept then, and what a late entry, a correction and a strike show beside them. */
#include "book_tests.h"

#include "base/strbuf.h"
#include "book/ledger.h"
#include "support/mini_farm.h"
#include "support/report_cells.h"

static struct mini_farm f;
static struct report_result got;
static size_t row;

/* 600 fish of 79.2 g eat 36 kg in March and weigh 129.2 g at its end: 30 kg of gain, 1.20. */
static void open_farm(void)
{
	mini_farm_open(&f);
	f.hand.now = instant_of("2026-04-02T08:00:00Z");
	mini_keep(&f, mini_row(&f, "feedings", "tank_id", "T1", "feed_id", "Grower 32", "amount_g",
			       "36000", "at", "2026-03-09T09:00:00Z", NULL));
	mini_keep(&f, mini_row(&f, "weighings", "tank_id", "T1", "fish_lot_id", "F1", "fish", "60",
			       "weight_g", "7752", "at", "2026-04-01T01:59:59Z", NULL));
}

static void close_farm(void)
{
	mini_farm_close(&f);
}

static struct record *close_march(void)
{
	struct record *closing = mini_keep(&f, mini_row(&f, "closings", "month", "2026-03-01", "at",
							"2026-04-02T08:00:00Z", NULL));

	f.hand.now += 86400;
	return closing;
}

static struct record *feed_late(void)
{
	return mini_keep(&f, mini_row(&f, "feedings", "tank_id", "T1", "feed_id", "Grower 32",
				      "amount_g", "12000", "at", "2026-03-19T09:00:00Z", NULL));
}

static void ask(void)
{
	const struct report_query q = report_query_at(f.hand.now);

	report_run(f.book, "restated", &q, &f.arena, &got);
	row = report_row(&got, "tank", "T1");
}

START_TEST(a_month_that_nothing_reached_since_has_not_moved)
{
	close_march();
	ask();
	ck_assert_int_eq(report_int(&got, row, "month"), day_of("2026-03-01"));
	ck_assert_double_eq_tol(report_real(&got, row, "fcr_then"), 1.20, 0.001);
	ck_assert_double_eq(report_real(&got, row, "fcr_now"), report_real(&got, row, "fcr_then"));
	ck_assert_double_eq(report_real(&got, row, "feed_g_then"), 36000);
	ck_assert_int_eq(report_int(&got, row, "moved"), 0);
	ck_assert_int_eq(report_int(&got, row, "touched"), 0);
}
END_TEST

static void add_finding(const char *text, void *with)
{
	strbuf_adds(with, text);
}

START_TEST(check_finds_nothing_amiss_in_a_closed_month)
{
	struct strbuf findings;

	strbuf_init(&findings);
	close_march();
	ck_assert(!ledger_rebuild(f.book, &f.err));
	ck_assert(!book_check(f.book, add_finding, &findings, &f.err));
	ck_assert_str_eq(findings.text ? findings.text : "", "");
	strbuf_release(&findings);
}
END_TEST

START_TEST(a_late_entry_shows_both_figures_and_when_it_came)
{
	close_march();
	feed_late();
	ask();
	ck_assert_double_eq_tol(report_real(&got, row, "fcr_then"), 1.20, 0.001);
	ck_assert_double_eq_tol(report_real(&got, row, "fcr_now"), 1.60, 0.001);
	ck_assert_double_eq(report_real(&got, row, "feed_g_now"), 48000);
	ck_assert_int_eq(report_int(&got, row, "moved"), 1);
	ck_assert_int_eq(report_int(&got, row, "touched"), 1);
	ck_assert_int_eq(report_int(&got, row, "touched_at"), instant_of("2026-04-03T08:00:00Z"));
}
END_TEST

START_TEST(a_late_entry_that_is_struck_out_again_moves_nothing)
{
	close_march();
	ck_assert(!mini_strike(&f, feed_late(), NULL));
	ask();
	ck_assert_int_eq(report_int(&got, row, "moved"), 0);
	ck_assert_int_eq(report_int(&got, row, "touched"), 1);
}
END_TEST

START_TEST(a_correction_after_closing_shows)
{
	struct record *early = feed_late();

	close_march();
	ask();
	ck_assert_int_eq(report_int(&got, row, "moved"), 0);
	ck_assert(!mini_patch(&f, early, "amount_g", "24000", NULL));
	ask();
	ck_assert_double_eq_tol(report_real(&got, row, "fcr_then"), 1.60, 0.001);
	ck_assert_double_eq_tol(report_real(&got, row, "fcr_now"), 2.00, 0.001);
	ck_assert_int_eq(report_int(&got, row, "touched"), 1);
}
END_TEST

START_TEST(closing_again_takes_the_new_figures)
{
	close_march();
	feed_late();
	close_march();
	ask();
	ck_assert_uint_eq(report_count(&got, "tank", "T1"), 1);
	ck_assert_double_eq_tol(report_real(&got, row, "fcr_then"), 1.60, 0.001);
	ck_assert_int_eq(report_int(&got, row, "moved"), 0);
}
END_TEST

START_TEST(a_closing_that_is_struck_out_takes_its_lines_along)
{
	struct record *closing = close_march();
	const struct report_query q = report_query_at(f.hand.now);

	ck_assert(!mini_strike(&f, closing, NULL));
	report_run(f.book, "restated", &q, &f.arena, &got);
	ck_assert_uint_eq(got.n_rows, 0);
	ck_assert(!mini_restore(&f, closing, NULL));
	ask();
	ck_assert_double_eq_tol(report_real(&got, row, "fcr_then"), 1.20, 0.001);
}
END_TEST

START_TEST(only_a_whole_month_that_is_over_can_be_closed)
{
	ck_assert_int_eq(mini_create(&f,
				     mini_row(&f, "closings", "month", "2026-03-02", "at",
					      "2026-04-02T08:00:00Z", NULL),
				     NULL),
			 ERR_INPUT);
	ck_assert(err_has(&f.err, "not_a_month"));
	ck_assert_int_eq(mini_create(&f,
				     mini_row(&f, "closings", "month", "2026-04-01", "at",
					      "2026-04-02T08:00:00Z", NULL),
				     NULL),
			 ERR_INPUT);
	ck_assert(err_has(&f.err, "month_not_over"));
}
END_TEST

Suite *closing_suite(void)
{
	Suite *s = suite_create("closed months");
	TCase *t = tcase_create("restated");

	tcase_add_checked_fixture(t, open_farm, close_farm);
	tcase_add_test(t, a_month_that_nothing_reached_since_has_not_moved);
	tcase_add_test(t, check_finds_nothing_amiss_in_a_closed_month);
	tcase_add_test(t, a_late_entry_shows_both_figures_and_when_it_came);
	tcase_add_test(t, a_late_entry_that_is_struck_out_again_moves_nothing);
	tcase_add_test(t, a_correction_after_closing_shows);
	tcase_add_test(t, closing_again_takes_the_new_figures);
	tcase_add_test(t, a_closing_that_is_struck_out_takes_its_lines_along);
	tcase_add_test(t, only_a_whole_month_that_is_over_can_be_closed);
	suite_add_tcase(s, t);
	return s;
}

/* The fish ledger's rules, one by one, over the record: book/fish_*.c and the reports on them. */
#include "book_tests.h"
#include "support/fish_farm.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "book/ledger.h"

START_TEST(weight_at_arrival_is_the_lots_mass)
{
	stock("FA", "X", "1000", "100000", "2026-03-01T08:00:00Z");
	stock_at("2026-03-01T08:00:00Z");
	ck_assert_int_eq(fish_in("X", "FA"), 1000);
	ck_assert_double_eq_tol(mean_in("X", "FA"), 100.0, 1e-9);
	ck_assert_str_eq(report_text(&got, row_of("X", "FA"), "basis"), "weighed");
	ck_assert_double_eq_tol(report_real(&got, row_of("X", "FA"), "density_kg_m3"), 10.0, 1e-9);
}
END_TEST

START_TEST(a_weighed_part_takes_its_mass_and_the_rest_keeps_the_rest)
{
	stock("FA", "X", "1000", "100000", "2026-03-01T08:00:00Z");
	move("FA", "X", "Y", "400", "60000", "2026-03-01T08:00:01Z");
	stock_at("2026-03-01T08:00:01Z");
	ck_assert_int_eq(fish_in("X", "FA"), 600);
	ck_assert_double_eq_tol(mean_in("Y", "FA"), 150.0, 0.001);
	ck_assert_double_eq_tol(mean_in("X", "FA"), 40000.0 / 600.0, 0.001);
}
END_TEST

START_TEST(an_unweighed_part_goes_at_the_mean)
{
	stock("FA", "X", "1000", "100000", "2026-03-01T08:00:00Z");
	move("FA", "X", "Y", "400", "", "2026-03-01T08:00:01Z");
	stock_at("2026-03-01T08:00:01Z");
	ck_assert_double_eq_tol(mean_in("Y", "FA"), mean_in("X", "FA"), 0.001);
}
END_TEST

START_TEST(a_grading_between_weighings_still_arrives)
{
	/* 400 big ones of 150 g leave on the 11th; on the 31st the rest weigh 130 g */
	stock("FA", "X", "1000", "100000", "2026-03-01T08:00:00Z");
	move("FA", "X", "Y", "400", "60000", "2026-03-11T08:00:00Z");
	weigh("FA", "X", "60", "7800", "2026-03-31T08:00:00Z");
	stock_at("2026-03-31T07:59:59Z");
	ck_assert_double_eq_tol(mean_in("X", "FA"), 130.0, 0.01);
	/* the coefficient is one: before and after the grading the same specific rate */
	stock_at("2026-03-11T07:59:59Z");
	const double before = mean_in("X", "FA");
	stock_at("2026-03-11T08:00:01Z");
	const double after = mean_in("X", "FA");
	ck_assert_double_eq_tol(log(before / 100.0) / 10.0, log(130.0 / after) / 20.0, 1e-6);
	ck_assert_double_eq_tol(600.0 * after, 1000.0 * before - 60000.0, 1.0);
}
END_TEST

START_TEST(moving_all_to_an_empty_tank_goes_on_with_the_same_stretch)
{
	stock("FA", "X", "1000", "100000", "2026-03-01T08:00:00Z");
	move("FA", "X", "Y", "1000", "", "2026-03-21T08:00:00Z");
	weigh("FA", "Y", "50", "10000", "2026-03-31T08:00:00Z");
	stock_at("2026-03-16T08:00:00Z");
	ck_assert_double_eq_tol(mean_in("X", "FA"), sqrt(100.0 * 200.0), 0.01);
}
END_TEST

/* A move stands in two rows of the ledger, a harvest with culls that empties in three: there can be more rows
 * than entries by far. */
START_TEST(a_lot_that_only_moves_is_replayed_whole)
{
	enum { MOVES = 700 };
	char at[32];

	stock("FA", "X", "1000", "100000", "2026-03-01T08:00:00Z");
	for (int i = 0; i < MOVES; i++) {
		snprintf(at, sizeof(at), "2026-03-01T%02d:%02d:00Z", 9 + i / 60, i % 60);
		move("FA", i % 2 ? "Y" : "X", i % 2 ? "X" : "Y", "1000", "", at);
	}
	stock_at("2026-03-01T23:00:00Z");
	ck_assert_int_eq(fish_in("X", "FA"), 1000);
	ck_assert_double_eq_tol(mean_in("X", "FA"), 100.0, 5.0);
}
END_TEST

/* Of the days before the first temperature nobody knows it: the first stands in, whatever days are asked for. */
START_TEST(the_end_of_one_range_is_the_start_of_the_next)
{
	stock("FA", "X", "1000", "100000", "2026-03-01T08:00:00Z");
	move("FA", "X", "Y", "10", "", "2026-03-28T08:00:00Z");
	warm("X", "15", "2026-03-20T08:00:00Z");
	conversion("tank", "2026-03-01", "2026-03-09");
	const double end_g = report_real(&got, report_row(&got, "tank", "X"), "end_biomass_g");
	conversion("tank", "2026-03-10", "2026-03-25");
	const double start_g = report_real(&got, report_row(&got, "tank", "X"), "start_biomass_g");
	ck_assert_double_eq_tol(end_g, start_g, 1e-6 * start_g);
	/* by the prior 1 g^(1/3) in 1000 degree-days: to the end of the farm's 9th, at 15 degC */
	ck_assert_double_eq_tol(end_g, 1000.0 * pow(cbrt(100.0) + 15.0 * 9.0 / 1000.0, 3.0), 400.0);
}
END_TEST

/* The last temperature stands in for as long as none is known, also beyond what a report reads of it. */
START_TEST(the_last_temperature_holds_until_the_next)
{
	warm("X", "20", "2026-01-02T08:00:00Z");
	stock("FA", "X", "1000", "100000", "2026-01-05T08:00:00Z");
	stock("FB", "X", "1000", "100000", "2026-05-01T08:00:00Z");
	warm("X", "10", "2026-07-12T08:00:00Z");
	stock_at("2026-07-10T08:00:00Z");
	ck_assert_double_eq_tol(mean_in("X", "FB"), pow(cbrt(100.0) + 20.0 * 70.0 / 1000.0, 3.0),
				0.01);
}
END_TEST

/* As the writer does when it is idle. */
static void settle(void)
{
	struct err err;

	err_clear(&err);
	ck_assert(!store_commit(own_farm.store, &err));
	while (book_settle(own_farm.book))
		;
	ck_assert(!store_begin(own_farm.store, &err));
}

/* A first temperature that comes late reaches lots that are long gone: what is kept of them must follow. */
START_TEST(a_first_temperature_reaches_all_time_before_it)
{
	stock("FA", "X", "1000", "100000", "2026-03-01T08:00:00Z");
	move("FA", "X", "Y", "1000", "", "2026-03-21T08:00:00Z");
	settle();
	warm("X", "10", "2026-05-20T08:00:00Z");
	settle();
	stock_at("2026-03-11T08:00:00Z");
	ck_assert_double_eq_tol(mean_in("X", "FA"), pow(cbrt(100.0) + 10.0 * 10.0 / 1000.0, 3.0),
				0.01);
	stock_at("2026-03-31T08:00:00Z");
	ck_assert_double_eq_tol(mean_in("Y", "FA"), pow(cbrt(100.0) + 10.0 * 30.0 / 1000.0, 3.0),
				0.01);
}
END_TEST

/* Fish weighed at next to nothing, then a harvest by weight alone: too many for any count. */
START_TEST(fish_by_weight_alone_stay_a_count)
{
	stock("FA", "X", "1000", "100000", "2026-03-01T08:00:00Z");
	weigh("FA", "X", "10000000", "0.0001", "2026-03-02T08:00:00Z");
	mini_keep(&own_farm,
		  mini_row(&own_farm, "harvests", "fish_lot_id", "FA", "tank_id", "X", "weight_g",
			   "10000000000", "at", "2026-03-02T09:00:00Z", NULL));
	conversion("tank", "2026-03-01", "2026-03-03");
	ck_assert_int_eq(report_int(&got, report_row(&got, "tank", "X"), "unexplained_fish"),
			 100000000 - 1000);
}
END_TEST

START_TEST(a_count_is_taken_and_the_rest_is_unexplained)
{
	stock("FA", "X", "1000", "100000", "2026-03-01T08:00:00Z");
	mini_keep(&own_farm, mini_row(&own_farm, "fish-counts", "fish_lot_id", "FA", "tank_id", "X",
				      "counted", "990", "at", "2026-03-10T08:00:00Z", NULL));
	stock_at("2026-03-10T08:00:00Z");
	ck_assert_int_eq(fish_in("X", "FA"), 990);
	ck_assert_int_eq(report_int(&got, row_of("X", "FA"), "unexplained_fish"), -10);
	/* a late death changes the difference, not the count */
	dead("FA", "X", "4", "", "2026-03-05T08:00:00Z");
	stock_at("2026-03-10T08:00:00Z");
	ck_assert_int_eq(fish_in("X", "FA"), 990);
	ck_assert_int_eq(report_int(&got, row_of("X", "FA"), "unexplained_fish"), -6);
}
END_TEST

START_TEST(closing_out_leaves_nothing_and_says_what_is_missing)
{
	stock("FA", "X", "1000", "100000", "2026-03-01T08:00:00Z");
	mini_keep(&own_farm, mini_row(&own_farm, "harvests", "fish_lot_id", "FA", "tank_id", "X",
				      "pieces", "980", "weight_g", "196000", "empties", "1", "at",
				      "2026-03-31T08:00:00Z", NULL));
	stock_at("2026-03-31T08:00:00Z");
	ck_assert_uint_eq(report_count(&got, "tank", "X"), 0);
	conversion("tank", "2026-03-01", "2026-03-31");
	ck_assert_int_eq(report_int(&got, report_row(&got, "tank", "X"), "unexplained_fish"), -20);
	ck_assert_double_eq_tol(report_real(&got, report_row(&got, "tank", "X"), "gain_g"), 96000.0,
				0.5);
}
END_TEST

START_TEST(more_dead_than_there_stands_as_found)
{
	stock("FA", "X", "10", "1000", "2026-03-01T08:00:00Z");
	dead("FA", "X", "12", "", "2026-03-02T08:00:00Z");
	stock_at("2026-03-02T08:00:00Z");
	ck_assert_uint_eq(report_count(&got, "tank", "X"), 0);
	conversion("tank", "2026-03-01", "2026-03-03");
	ck_assert_int_eq(report_int(&got, report_row(&got, "tank", "X"), "unexplained_fish"), 2);
	ck_assert_int_eq(report_int(&got, report_row(&got, "tank", "X"), "dead_fish"), 12);
}
END_TEST

START_TEST(deaths_of_no_lot_split_by_number_largest_remainder_to_the_older)
{
	stock("FA", "X", "100", "10000", "2026-03-01T08:00:00Z");
	stock("FB", "X", "100", "4000", "2026-03-02T08:00:00Z");
	dead("", "X", "3", "", "2026-03-03T08:00:00Z");
	stock_at("2026-03-03T08:00:00Z");
	ck_assert_int_eq(fish_in("X", "FA"), 98); /* 1.5 each: the tie goes to the older lot */
	ck_assert_int_eq(fish_in("X", "FB"), 99);
}
END_TEST

START_TEST(a_death_by_day_stands_before_the_emptying_of_that_day)
{
	stock("FA", "X", "100", "10000", "2026-03-01T08:00:00Z");
	move("FA", "X", "Y", "99", "", "2026-03-05T08:00:00Z");
	mini_keep(&own_farm, mini_row(&own_farm, "fish-deaths", "fish_lot_id", "FA", "tank_id", "X",
				      "fish", "1", "day", "2026-03-05", NULL));
	mini_keep(&own_farm, mini_row(&own_farm, "fish-moves", "fish_lot_id", "FA", "from_tank_id",
				      "X", "to_tank_id", "Y", "fish", "0", "empties", "1", "reason",
				      "transfer", "at", "2026-03-05T09:00:00Z", NULL));
	stock_at("2026-03-06T08:00:00Z");
	ck_assert_uint_eq(report_count(&got, "tank", "X"), 0);
	conversion("fish_lot", "2026-03-01", "2026-03-06");
	const size_t lot = report_row(&got, "fish_lot", "FA");
	ck_assert_int_eq(report_int(&got, lot, "unexplained_fish"), 0);
	ck_assert_int_eq(report_int(&got, lot, "dead_fish"), 1);
}
END_TEST

/* Two moves by day stand at noon: Y is filled and emptied at one instant, and the dead lay in it between. */
START_TEST(a_death_by_day_stands_between_a_filling_and_an_emptying_at_one_instant)
{
	mini_keep(&own_farm, mini_row(&own_farm, "tanks", "code", "Z", "loop_id", "L1", "volume_l",
				      "10000", NULL));
	stock("FA", "X", "100", "10000", "2026-03-01T08:00:00Z");
	mini_keep(&own_farm, mini_row(&own_farm, "fish-moves", "fish_lot_id", "FA", "from_tank_id",
				      "X", "to_tank_id", "Y", "fish", "100", "empties", "1",
				      "reason", "transfer", "day", "2026-03-05", NULL));
	mini_keep(&own_farm, mini_row(&own_farm, "fish-moves", "fish_lot_id", "FA", "from_tank_id",
				      "Y", "to_tank_id", "Z", "fish", "99", "empties", "1",
				      "reason", "transfer", "day", "2026-03-05", NULL));
	mini_keep(&own_farm, mini_row(&own_farm, "fish-deaths", "fish_lot_id", "FA", "tank_id", "Y",
				      "fish", "1", "day", "2026-03-05", NULL));
	stock_at("2026-03-06T08:00:00Z");
	ck_assert_int_eq(fish_in("Z", "FA"), 99);
	ck_assert_uint_eq(report_count(&got, "tank", "Y"), 0);
	/* nothing was found, and nothing is missing: what was found would count as added */
	conversion("fish_lot", "2026-03-02", "2026-03-06");
	const size_t lot = report_row(&got, "fish_lot", "FA");
	ck_assert_double_eq_tol(report_real(&got, lot, "added_g"), 0.0, 1e-9);
	ck_assert_int_eq(report_int(&got, lot, "dead_fish"), 1);
}
END_TEST

/* Whoever types 0 g beside a number of fish did not weigh them. */
START_TEST(a_weight_of_nothing_is_no_weight)
{
	stock("FA", "X", "100", "10000", "2026-03-01T08:00:00Z");
	dead("FA", "X", "10", "0", "2026-03-01T08:00:01Z");
	mini_keep(&own_farm, mini_row(&own_farm, "harvests", "fish_lot_id", "FA", "tank_id", "X",
				      "pieces", "10", "weight_g", "0", "culled_pieces", "5",
				      "culled_g", "0", "at", "2026-03-01T08:00:02Z", NULL));
	stock_at("2026-03-01T08:00:03Z");
	ck_assert_int_eq(fish_in("X", "FA"), 75);
	ck_assert_double_eq_tol(mean_in("X", "FA"), 100.0, 0.001);
}
END_TEST

START_TEST(fish_found_after_a_move_of_none_weigh_what_the_lot_weighs)
{
	stock("FA", "X", "100", "10000", "2026-03-01T08:00:00Z");
	move("FA", "X", "Y", "0", "", "2026-03-01T08:00:01Z");
	mini_keep(&own_farm, mini_row(&own_farm, "fish-counts", "fish_lot_id", "FA", "tank_id", "Y",
				      "counted", "10", "at", "2026-03-01T08:00:02Z", NULL));
	stock_at("2026-03-01T08:00:03Z");
	ck_assert_double_eq_tol(mean_in("Y", "FA"), 100.0, 0.001);
}
END_TEST

START_TEST(dead_by_weight_alone_are_estimated_in_number)
{
	stock("FA", "X", "100", "10000", "2026-03-01T08:00:00Z");
	dead("FA", "X", "", "310", "2026-03-01T08:00:01Z");
	stock_at("2026-03-01T08:00:02Z");
	ck_assert_int_eq(fish_in("X", "FA"), 97);
	ck_assert_double_eq_tol(mean_in("X", "FA"), (10000.0 - 310.0) / 97.0, 0.001);
}
END_TEST

START_TEST(feed_of_a_shared_tank_is_shared_by_biomass)
{
	stock("FA", "X", "100", "30000", "2026-03-01T08:00:00Z");
	stock("FB", "X", "100", "10000", "2026-03-01T08:00:00Z");
	feed("X", "400", "2026-03-01T09:00:00Z");
	conversion("fish_lot", "2026-03-01", "2026-03-01");
	ck_assert_double_eq_tol(report_real(&got, report_row(&got, "fish_lot", "FA"), "feed_g"),
				300.0, 0.01);
	ck_assert_double_eq_tol(report_real(&got, report_row(&got, "fish_lot", "FB"), "feed_g"),
				100.0, 0.01);
}
END_TEST

START_TEST(feed_in_an_empty_tank_counts_for_the_tank_and_no_lot)
{
	feed("X", "400", "2026-03-01T09:00:00Z");
	stock("FA", "X", "100", "30000", "2026-03-03T08:00:00Z");
	feed("X", "100", "2026-03-03T09:00:00Z");
	conversion("tank", "2026-03-01", "2026-03-03");
	ck_assert_double_eq_tol(report_real(&got, report_row(&got, "tank", "X"), "feed_g"), 500.0,
				1e-6);
	conversion("fish_lot", "2026-03-01", "2026-03-03");
	ck_assert_double_eq_tol(report_real(&got, report_row(&got, "fish_lot", "FA"), "feed_g"),
				100.0, 1e-6);
}
END_TEST

START_TEST(a_merge_carries_fish_and_mass_into_the_other_lot)
{
	stock("FA", "X", "100", "10000", "2026-03-01T08:00:00Z");
	stock("FB", "X", "100", "30000", "2026-03-01T08:00:00Z");
	mini_keep(&own_farm,
		  mini_row(&own_farm, "fish-moves", "fish_lot_id", "FA", "from_tank_id", "X",
			   "fish", "100", "reason", "merge", "into_lot_id", "FB", "empties", "1",
			   "to_tank_id", "", "at", "2026-03-01T08:00:01Z", NULL));
	stock_at("2026-03-01T08:00:01Z");
	ck_assert_uint_eq(got.n_rows, 1);
	ck_assert_int_eq(fish_in("X", "FB"), 200);
	ck_assert_double_eq_tol(mean_in("X", "FB"), 200.0, 0.001);
}
END_TEST

START_TEST(without_a_weight_the_first_weighing_is_carried_back)
{
	stock("FA", "X", "100", "", "2026-03-01T08:00:00Z");
	stock_at("2026-03-02T08:00:00Z");
	ck_assert(isnan(mean_in("X", "FA")));
	ck_assert_str_eq(report_text(&got, row_of("X", "FA"), "basis"), "unknown");
	weigh("FA", "X", "20", "4000", "2026-03-11T08:00:00Z");
	stock_at("2026-03-02T08:00:00Z");
	/* tgc 1 at the optimum of 28 degC, the only temperature that is known */
	const double c = cbrt(200.0) - 1.0 / 1000.0 * 28.0 * 9.0;
	ck_assert_double_eq_tol(mean_in("X", "FA"), c * c * c, 0.05);
	ck_assert_str_eq(report_text(&got, row_of("X", "FA"), "basis"), "carried_back");
}
END_TEST

START_TEST(economic_gives_the_dead_nothing_and_biological_adds_them)
{
	stock("FA", "X", "100", "10000", "2026-03-01T08:00:00Z");
	dead("FA", "X", "10", "1200", "2026-03-15T08:00:00Z");
	weigh("FA", "X", "90", "18000", "2026-03-31T08:00:00Z");
	feed("X", "10000", "2026-03-20T08:00:00Z");
	struct report_query q = report_query_at(instant_of("2026-03-31T08:00:00Z"));
	q.from_day = day_of("2026-03-01");
	report_run(own_farm.book, "feed-conversion", &q, &own_farm.arena, &got);
	const size_t x = report_row(&got, "tank", "X");
	ck_assert_double_eq_tol(report_real(&got, x, "gain_g"), 8000.0, 0.5);
	ck_assert_double_eq_tol(report_real(&got, x, "fcr_economic"), 1.25, 0.0001);
	ck_assert_double_eq_tol(report_real(&got, x, "fcr_biological"), 10000.0 / 9200.0, 0.0001);
}
END_TEST

START_TEST(no_gain_has_no_conversion_and_says_why)
{
	stock("FA", "X", "100", "10000", "2026-03-01T08:00:00Z");
	weigh("FA", "X", "100", "9000", "2026-03-31T08:00:00Z");
	feed("X", "1000", "2026-03-20T08:00:00Z");
	conversion("tank", "2026-03-01", "2026-03-31");
	const size_t x = report_row(&got, "tank", "X");
	ck_assert(isnan(report_real(&got, x, "fcr_economic")));
	ck_assert_str_eq(report_text(&got, x, "reason"), "no_gain");
}
END_TEST

START_TEST(gain_without_feed_has_no_conversion_and_says_why)
{
	stock("FA", "X", "100", "10000", "2026-03-01T08:00:00Z");
	weigh("FA", "X", "100", "11000", "2026-03-31T08:00:00Z");
	conversion("tank", "2026-03-01", "2026-03-31");
	const size_t x = report_row(&got, "tank", "X");
	ck_assert_double_eq_tol(report_real(&got, x, "gain_g"), 1000.0, 30.0);
	ck_assert(isnan(report_real(&got, x, "fcr_economic")));
	ck_assert(isnan(report_real(&got, x, "fcr_biological")));
	ck_assert(isnan(report_real(&got, x, "low")));
	ck_assert_str_eq(report_text(&got, x, "reason"), "no_feed");
}
END_TEST

START_TEST(a_tank_without_fish_has_a_row_that_says_so)
{
	stock("FA", "X", "100", "10000", "2026-03-01T08:00:00Z");
	conversion("tank", "2026-03-01", "2026-03-31");
	const size_t y = report_row(&got, "tank", "Y");
	ck_assert_str_eq(report_text(&got, y, "reason"), "no_fish");
	ck_assert_int_eq(report_int(&got, y, "from"), day_of("2026-03-01"));
	ck_assert_int_eq(report_int(&got, y, "to"), day_of("2026-03-31"));
	ck_assert_double_eq(report_real(&got, y, "feed_g"), 0.0);
	ck_assert_uint_eq(got.n_notes, 0);
}
END_TEST

/* Once a tank, whether it never had fish, or has them on other days only. */
START_TEST(feed_without_fish_is_noted)
{
	stock("FA", "X", "100", "10000", "2026-03-10T08:00:00Z");
	feed("X", "700", "2026-03-05T08:00:00Z");
	feed("X", "700", "2026-03-15T08:00:00Z");
	feed("Y", "300", "2026-03-15T08:00:00Z");
	conversion("tank", "2026-03-01", "2026-03-31");
	ck_assert_uint_eq(got.n_notes, 2);
	for (size_t i = 0; i < 2; i++)
		ck_assert_str_eq(got.notes[i].code, "loose_feed");
	ck_assert_str_eq(got.notes[0].of, "X");
	ck_assert_str_eq(got.notes[1].of, "Y");
	ck_assert_double_eq(report_real(&got, report_row(&got, "tank", "Y"), "feed_g"), 300.0);
	conversion("tank", "2026-03-12", "2026-03-31");
	ck_assert_uint_eq(got.n_notes, 1);
}
END_TEST

START_TEST(a_gain_smaller_than_its_error_leaves_the_range_open_and_says_why)
{
	stock("FA", "X", "1000", "100000", "2026-03-01T08:00:00Z");
	weigh("FA", "X", "20", "2040", "2026-03-04T08:00:00Z");
	feed("X", "3000", "2026-03-02T08:00:00Z");
	conversion("tank", "2026-03-01", "2026-03-04");
	const size_t x = report_row(&got, "tank", "X");
	ck_assert(report_real(&got, x, "fcr_economic") > 0.0);
	ck_assert(report_real(&got, x, "low") < 0.5);
	ck_assert(isnan(report_real(&got, x, "high")));
	ck_assert_str_eq(report_text(&got, x, "reason"), "gain_unsure");
}
END_TEST

START_TEST(kept_rows_and_rows_computed_at_once_are_the_same)
{
	stock("FA", "X", "1000", "100000", "2026-03-01T08:00:00Z");
	move("FA", "X", "Y", "400", "60000", "2026-03-11T08:00:00Z");
	dead("", "X", "3", "", "2026-03-12T08:00:00Z");
	weigh("FA", "X", "60", "7800", "2026-03-31T08:00:00Z");
	feed("X", "1000", "2026-03-20T08:00:00Z");
	conversion("tank", "2026-03-01", "2026-04-10");
	const char *computed = report_as_text(&got, &own_farm.arena);
	ck_assert(!ledger_rebuild(own_farm.book, &own_farm.err));
	conversion("tank", "2026-03-01", "2026-04-10");
	ck_assert_str_eq(report_as_text(&got, &own_farm.arena), computed);
}
END_TEST

static void count_finding(const char *text, void *with)
{
	(void)text;
	++*(int *)with;
}

START_TEST(check_finds_a_kept_figure_that_the_entries_do_not_give)
{
	int findings = 0;

	stock("FA", "X", "1000", "100000", "2026-03-01T08:00:00Z");
	feed("X", "1000", "2026-03-20T08:00:00Z");
	ck_assert(!ledger_rebuild(own_farm.book, &own_farm.err));
	ck_assert(!ledger_check(own_farm.book, count_finding, &findings, &own_farm.err));
	ck_assert_int_eq(findings, 0);
	/* as if a row had been lost: the death is struck out, but no one was told */
	struct record *d = dead("FA", "X", "3", "", "2026-03-05T08:00:00Z");
	ck_assert(!ledger_rebuild(own_farm.book, &own_farm.err));
	record_set_int(d, "struck_at", own_farm.hand.now);
	ck_assert(!store_update(own_farm.store, d, &own_farm.err));
	ck_assert(!ledger_check(own_farm.book, count_finding, &findings, &own_farm.err));
	ck_assert_int_eq(findings, 2); /* its rows, and its growth */
}
END_TEST

START_TEST(check_finds_kept_fish_of_a_lot_without_entries)
{
	int findings = 0;
	struct record *arrival = stock("FB", "Y", "500", "50000", "2026-03-01T08:00:00Z");

	ck_assert(!ledger_rebuild(own_farm.book, &own_farm.err));
	/* as if the strike had told no one */
	record_set_int(arrival, "struck_at", own_farm.hand.now);
	ck_assert(!store_update(own_farm.store, arrival, &own_farm.err));
	ck_assert(!ledger_check(own_farm.book, count_finding, &findings, &own_farm.err));
	ck_assert_int_eq(findings, 2); /* its rows, and its growth */
}
END_TEST

START_TEST(check_finds_kept_growth_that_is_gone)
{
	const struct record *lot;
	int findings = 0;

	stock("FA", "X", "1000", "100000", "2026-03-01T08:00:00Z");
	lot = weigh("FA", "X", "60", "7800", "2026-03-31T08:00:00Z");
	ck_assert(!ledger_rebuild(own_farm.book, &own_farm.err));
	ck_assert(!ledger_check(own_farm.book, count_finding, &findings, &own_farm.err));
	ck_assert_int_eq(findings, 0);
	ck_assert(!store_run_ints(own_farm.store, Q_FISH_STRETCHES_DROP, &own_farm.err, ":lot_id",
				  record_int(lot, "fish_lot_id", 0), NULL));
	ck_assert(!ledger_check(own_farm.book, count_finding, &findings, &own_farm.err));
	ck_assert_int_eq(findings, 1);
}
END_TEST

/* What moved out counts in removed_g: its list must be there beside that of what moved in. */
START_TEST(why_of_a_tank_lists_the_moves_in_and_out)
{
	struct report_query q = report_query_at(own_farm.hand.now);
	const struct record *in, *out;
	const struct explanation *e;
	int found = 0;

	in = stock("FA", "X", "100", "10000", "2026-01-05T08:00:00Z");
	out = move("FA", "X", "Y", "40", "6000", "2026-01-20T08:00:00Z");
	q.by = "tank";
	q.step = "all";
	q.explain = true;
	report_run(own_farm.book, "feed-conversion", &q, &own_farm.arena, &got);
	e = report_explanation("feed-conversion", &got, report_row(&got, "tank", "X"));
	for (size_t i = 0; i < e->n_entries; i++) {
		const char *part = e->entries[i].part;
		const struct record *of = !part ? NULL : !strcmp(part, "in") ? in : out;

		if (!of)
			continue;
		ck_assert_str_eq(e->entries[i].address,
				 arena_printf(&own_farm.arena, "/api/fish-moves?id=%lld",
					      (long long)of->id));
		ck_assert_int_eq(e->entries[i].count, 1);
		found++;
	}
	ck_assert_int_eq(found, 2);
}
END_TEST

Suite *fish_ledger_suite(void)
{
	Suite *s = suite_create("fish ledger");
	TCase *c = tcase_create("rules");

	tcase_add_checked_fixture(c, fish_farm_open, fish_farm_close);
	tcase_add_test(c, weight_at_arrival_is_the_lots_mass);
	tcase_add_test(c, a_weighed_part_takes_its_mass_and_the_rest_keeps_the_rest);
	tcase_add_test(c, an_unweighed_part_goes_at_the_mean);
	tcase_add_test(c, a_grading_between_weighings_still_arrives);
	tcase_add_test(c, moving_all_to_an_empty_tank_goes_on_with_the_same_stretch);
	tcase_add_test(c, a_lot_that_only_moves_is_replayed_whole);
	tcase_add_test(c, the_end_of_one_range_is_the_start_of_the_next);
	tcase_add_test(c, the_last_temperature_holds_until_the_next);
	tcase_add_test(c, a_first_temperature_reaches_all_time_before_it);
	tcase_add_test(c, fish_by_weight_alone_stay_a_count);
	tcase_add_test(c, a_count_is_taken_and_the_rest_is_unexplained);
	tcase_add_test(c, why_of_a_tank_lists_the_moves_in_and_out);
	tcase_add_test(c, closing_out_leaves_nothing_and_says_what_is_missing);
	tcase_add_test(c, more_dead_than_there_stands_as_found);
	tcase_add_test(c, deaths_of_no_lot_split_by_number_largest_remainder_to_the_older);
	tcase_add_test(c, a_death_by_day_stands_before_the_emptying_of_that_day);
	tcase_add_test(c, a_death_by_day_stands_between_a_filling_and_an_emptying_at_one_instant);
	tcase_add_test(c, a_weight_of_nothing_is_no_weight);
	tcase_add_test(c, fish_found_after_a_move_of_none_weigh_what_the_lot_weighs);
	tcase_add_test(c, dead_by_weight_alone_are_estimated_in_number);
	tcase_add_test(c, feed_of_a_shared_tank_is_shared_by_biomass);
	tcase_add_test(c, feed_in_an_empty_tank_counts_for_the_tank_and_no_lot);
	tcase_add_test(c, a_merge_carries_fish_and_mass_into_the_other_lot);
	tcase_add_test(c, without_a_weight_the_first_weighing_is_carried_back);
	tcase_add_test(c, economic_gives_the_dead_nothing_and_biological_adds_them);
	tcase_add_test(c, no_gain_has_no_conversion_and_says_why);
	tcase_add_test(c, gain_without_feed_has_no_conversion_and_says_why);
	tcase_add_test(c, a_tank_without_fish_has_a_row_that_says_so);
	tcase_add_test(c, feed_without_fish_is_noted);
	tcase_add_test(c, a_gain_smaller_than_its_error_leaves_the_range_open_and_says_why);
	tcase_add_test(c, kept_rows_and_rows_computed_at_once_are_the_same);
	tcase_add_test(c, check_finds_a_kept_figure_that_the_entries_do_not_give);
	tcase_add_test(c, check_finds_kept_fish_of_a_lot_without_entries);
	tcase_add_test(c, check_finds_kept_growth_that_is_gone);
	suite_add_tcase(s, c);
	return s;
}

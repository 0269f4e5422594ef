/* Numbers of fish in one tank, step by step. */
#include "book_tests.h"

#include "book/tank_numbers.h"

static struct arena arena;
static struct tank_gap *gaps;
static size_t n_gaps;

static void open_arena(void)
{
	arena_init(&arena);
}

static void close_arena(void)
{
	arena_release(&arena);
}

#define COMES(l, n, d)                                                                             \
	{                                                                                          \
		.lot = (l), .change = (n), .set_to = NO_COUNT, .day = (d)                          \
	}
#define LEAVES(l, n, d) COMES(l, -(n), d)
#define COUNTED(l, n, d)                                                                           \
	{                                                                                          \
		.lot = (l), .set_to = (n), .day = (d)                                              \
	}
#define EMPTIED(l, n, d)                                                                           \
	{                                                                                          \
		.lot = (l), .change = -(n), .set_to = NO_COUNT, .day = (d), .empties = true        \
	}
#define DIED_BY_DAY(l, n, d)                                                                       \
	{                                                                                          \
		.lot = (l), .change = -(n), .set_to = NO_COUNT, .day = (d), .by_day_death = true   \
	}

#define PLAY(...)                                                                                  \
	do {                                                                                       \
		struct tank_step steps[] = { __VA_ARGS__ };                                        \
		tank_numbers(steps, sizeof(steps) / sizeof(steps[0]), &arena, &gaps, &n_gaps);     \
	} while (0)

static void ck_gap(size_t i, int64_t lot, int64_t day, int64_t there, int64_t asked)
{
	ck_assert_uint_lt(i, n_gaps);
	ck_assert_int_eq(gaps[i].lot, lot);
	ck_assert_int_eq(gaps[i].day, day);
	ck_assert_int_eq(gaps[i].there, there);
	ck_assert_int_eq(gaps[i].asked, asked);
}

START_TEST(what_is_there_may_all_leave)
{
	PLAY(COMES(1, 100, 1), LEAVES(1, 40, 2), LEAVES(1, 60, 3));
	ck_assert_uint_eq(n_gaps, 0);
}
END_TEST

START_TEST(more_than_there_leaves_a_gap_and_none)
{
	PLAY(COMES(1, 100, 1), LEAVES(1, 101, 2), LEAVES(1, 5, 3));
	ck_assert_uint_eq(n_gaps, 2);
	ck_gap(0, 1, 2, 100, 101);
	ck_gap(1, 1, 3, 0, 5);
}
END_TEST

START_TEST(a_count_is_taken_at_its_time)
{
	PLAY(COMES(1, 100, 1), COUNTED(1, 90, 2), LEAVES(1, 95, 3));
	ck_assert_uint_eq(n_gaps, 1);
	ck_gap(0, 1, 3, 90, 95);
}
END_TEST

START_TEST(lots_that_swim_together_are_apart)
{
	PLAY(COMES(1, 100, 1), COMES(2, 50, 1), LEAVES(2, 51, 2));
	ck_assert_uint_eq(n_gaps, 1);
	ck_gap(0, 2, 2, 50, 51);
}
END_TEST

/* docs/rules.md, fish deaths: split by number, largest remainder, ties to the older lot. */
START_TEST(deaths_without_a_lot_are_split_by_number)
{
	/* 10 of 300 and 100: 7.5 and 2.5; the tie goes to the older, 8 and 2 */
	PLAY(COMES(1, 300, 1), COMES(2, 100, 1), LEAVES(0, 10, 2), LEAVES(1, 293, 3),
	     LEAVES(2, 99, 3));
	ck_assert_uint_eq(n_gaps, 2);
	ck_gap(0, 1, 3, 292, 293);
	ck_gap(1, 2, 3, 98, 99);
}
END_TEST

START_TEST(deaths_without_a_lot_beyond_the_tank_are_a_gap_of_it)
{
	PLAY(COMES(1, 3, 1), COMES(2, 2, 1), LEAVES(0, 6, 2), LEAVES(1, 1, 3));
	ck_assert_uint_eq(n_gaps, 2);
	ck_gap(0, 0, 2, 5, 6);
	ck_gap(1, 1, 3, 0, 1);
}
END_TEST

START_TEST(deaths_in_a_tank_without_fish_are_a_gap)
{
	PLAY(LEAVES(0, 1, 2));
	ck_assert_uint_eq(n_gaps, 1);
	ck_gap(0, 0, 2, 0, 1);
}
END_TEST

/* docs/rules.md, Order and time. */
START_TEST(a_death_by_day_stands_before_the_emptying_of_its_day)
{
	PLAY(COMES(1, 100, 1), EMPTIED(1, 90, 2), DIED_BY_DAY(1, 3, 2));
	ck_assert_uint_eq(n_gaps, 0);
	/* taken to the last one: with the dead, one more left than stood there */
	PLAY(COMES(1, 100, 1), LEAVES(1, 100, 2), DIED_BY_DAY(1, 1, 2));
	ck_assert_uint_eq(n_gaps, 1);
	ck_gap(0, 1, 2, 99, 100);
}
END_TEST

START_TEST(several_deaths_by_day_stand_before_the_emptying)
{
	PLAY(COMES(1, 60, 1), COMES(2, 40, 1), EMPTIED(1, 50, 2), EMPTIED(2, 30, 2),
	     DIED_BY_DAY(1, 3, 2), DIED_BY_DAY(2, 4, 2), DIED_BY_DAY(0, 2, 2));
	ck_assert_uint_eq(n_gaps, 0);
}
END_TEST

START_TEST(a_death_by_day_after_the_day_of_the_emptying_is_a_gap)
{
	PLAY(COMES(1, 100, 1), EMPTIED(1, 90, 2), DIED_BY_DAY(1, 3, 3));
	ck_assert_uint_eq(n_gaps, 1);
	ck_gap(0, 1, 3, 0, 3);
}
END_TEST

START_TEST(a_tank_filled_again_that_day_has_its_own_deaths)
{
	PLAY(COMES(1, 100, 1), EMPTIED(1, 90, 2), COMES(1, 50, 2), DIED_BY_DAY(1, 3, 2),
	     LEAVES(1, 48, 3));
	ck_assert_uint_eq(n_gaps, 1);
	ck_gap(0, 1, 3, 47, 48);
}
END_TEST

Suite *tank_numbers_suite(void)
{
	Suite *s = suite_create("tank_numbers");
	TCase *t = tcase_create("tank_numbers");

	tcase_add_checked_fixture(t, open_arena, close_arena);
	tcase_add_test(t, what_is_there_may_all_leave);
	tcase_add_test(t, more_than_there_leaves_a_gap_and_none);
	tcase_add_test(t, a_count_is_taken_at_its_time);
	tcase_add_test(t, lots_that_swim_together_are_apart);
	tcase_add_test(t, deaths_without_a_lot_are_split_by_number);
	tcase_add_test(t, deaths_without_a_lot_beyond_the_tank_are_a_gap_of_it);
	tcase_add_test(t, deaths_in_a_tank_without_fish_are_a_gap);
	tcase_add_test(t, a_death_by_day_stands_before_the_emptying_of_its_day);
	tcase_add_test(t, several_deaths_by_day_stand_before_the_emptying);
	tcase_add_test(t, a_death_by_day_after_the_day_of_the_emptying_is_a_gap);
	tcase_add_test(t, a_tank_filled_again_that_day_has_its_own_deaths);
	suite_add_tcase(s, t);
	return s;
}

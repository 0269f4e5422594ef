/* The bed as a queue: domain/bed_queue.  The ledger that plays entries into it has test_crop_ledger.c. */
#include "book_tests.h"

#include <math.h>

#include "domain/bed_queue.h"

enum { ROOM = 16, LOT_A = 11, LOT_B = 22, LOT_C = 33 };

/* A bed of our own: 10 m by 2.5 m, rafts of 1 m by 1.25 m, two abreast. */
static const struct bed_size small_bed = { .length_m = 10,
					   .width_m = 2.5,
					   .raft_length_m = 1,
					   .raft_width_m = 1.25,
					   .sites_per_raft = 30 };

/* Common practice, no source: a bed of 30.5 m by 2.4 m holds 1,800 plants. */
static const struct bed_size long_bed = { .length_m = 30.5,
					  .width_m = 2.4,
					  .raft_length_m = 1.22,
					  .raft_width_m = 2.4,
					  .sites_per_raft = 72 };

START_TEST(bed_of_common_practice_holds_1800_plants)
{
	int64_t rafts = bed_rafts_needed(1800, long_bed.sites_per_raft);

	ck_assert_int_eq(bed_rafts_abreast(&long_bed), 1);
	ck_assert_int_eq(rafts, 25);
	ck_assert_double_eq_tol(bed_rafts_length_m(&long_bed, rafts), 30.5, 1e-9);
	ck_assert_double_eq_tol(bed_planted_area_m2(&long_bed, rafts, 1800), 30.5 * 2.4, 1e-9);
}
END_TEST

/* Planted at one end and harvested at the other: five weekly lots of five rafts; each week the oldest is
 * harvested at the foot and the next is planted at the head.  Common practice, no source. */
START_TEST(bed_is_planted_at_one_end_and_harvested_at_the_other)
{
	struct bed_stretch queue[ROOM];
	struct bed_span spans[ROOM];
	size_t n = 0;

	for (int64_t week = 1; week <= 5; week++)
		n = bed_append(queue, n, week, 5);
	for (int64_t week = 6; week <= 60; week++) {
		bed_spans(&long_bed, queue, n, spans);
		ck_assert_uint_eq(n, 5);
		ck_assert_int_eq(queue[0].lot, week - 5); /* the oldest is at the foot */
		ck_assert_double_eq_tol(spans[0].to_m, 30.5, 1e-9);
		ck_assert_double_eq_tol(spans[n - 1].from_m, 0.0, 1e-9); /* and the bed is full */
		n = bed_take(queue, n, week - 5, 5);
		bed_spans(&long_bed, queue, n, spans);
		ck_assert_double_eq_tol(spans[0].to_m, 30.5, 1e-9); /* pushed down to the foot */
		ck_assert_double_eq_tol(spans[n - 1].from_m, 6.1, 1e-9);
		n = bed_append(queue, n, week, 5);
	}
}
END_TEST

START_TEST(head_appends_and_foot_prepends)
{
	struct bed_stretch queue[ROOM];
	size_t n = bed_append(queue, 0, LOT_A, 4);

	n = bed_append(queue, n, LOT_B, 2);
	n = bed_prepend(queue, n, LOT_C, 3);
	ck_assert_uint_eq(n, 3);
	ck_assert_int_eq(queue[0].lot, LOT_C);
	ck_assert_int_eq(queue[1].lot, LOT_A);
	ck_assert_int_eq(queue[2].lot, LOT_B);
	ck_assert_int_eq(queue[0].rafts, 3);
}
END_TEST

START_TEST(no_rafts_plant_nothing)
{
	struct bed_stretch queue[ROOM];

	ck_assert_uint_eq(bed_append(queue, 0, LOT_A, 0), 0);
	ck_assert_uint_eq(bed_prepend(queue, 0, LOT_A, -2), 0);
}
END_TEST

START_TEST(neighbours_of_one_lot_are_one_stretch)
{
	struct bed_stretch queue[ROOM];
	size_t n = bed_append(queue, 0, LOT_A, 4);

	n = bed_append(queue, n, LOT_A, 2);
	n = bed_prepend(queue, n, LOT_A, 1);
	ck_assert_uint_eq(n, 1);
	ck_assert_int_eq(queue[0].rafts, 7);
}
END_TEST

START_TEST(lot_taken_from_the_middle_closes_up)
{
	struct bed_stretch queue[ROOM];
	struct bed_span spans[ROOM];
	size_t n = bed_append(queue, 0, LOT_A, 4);

	n = bed_append(queue, n, LOT_B, 6);
	n = bed_append(queue, n, LOT_C, 2);
	n = bed_take(queue, n, LOT_B, 6);
	bed_spans(&small_bed, queue, n, spans);
	ck_assert_uint_eq(n, 2);
	ck_assert_double_eq_tol(spans[0].from_m, 8.0, 1e-9);
	ck_assert_double_eq_tol(spans[0].to_m, 10.0, 1e-9);
	ck_assert_int_eq(queue[1].lot, LOT_C);
	ck_assert_double_eq_tol(spans[1].from_m, 7.0, 1e-9);
	ck_assert_double_eq_tol(spans[1].to_m, 8.0, 1e-9);
}
END_TEST

START_TEST(halves_of_a_lot_join_when_what_stood_between_is_taken)
{
	struct bed_stretch queue[ROOM];
	size_t n = bed_append(queue, 0, LOT_A, 4);

	n = bed_append(queue, n, LOT_B, 6);
	n = bed_append(queue, n, LOT_A, 2);
	n = bed_take(queue, n, LOT_B, 9); /* more than it has takes all */
	ck_assert_uint_eq(n, 1);
	ck_assert_int_eq(queue[0].rafts, 6);
}
END_TEST

START_TEST(taking_begins_at_the_foot)
{
	struct bed_stretch queue[ROOM];
	size_t n = bed_append(queue, 0, LOT_A, 4);

	n = bed_append(queue, n, LOT_B, 1);
	n = bed_append(queue, n, LOT_A, 4);
	n = bed_take(queue, n, LOT_A, 5);
	ck_assert_uint_eq(n, 2);
	ck_assert_int_eq(queue[0].lot, LOT_B);
	ck_assert_int_eq(queue[1].lot, LOT_A);
	ck_assert_int_eq(queue[1].rafts, 3);
}
END_TEST

START_TEST(part_row_counts_in_part)
{
	struct bed_stretch queue[ROOM];
	struct bed_span spans[ROOM];
	size_t n = bed_append(queue, 0, LOT_A, 5);

	bed_spans(&small_bed, queue, n, spans);
	ck_assert_double_eq_tol(spans[0].from_m, 7.5, 1e-9);
}
END_TEST

START_TEST(what_stands_beyond_the_bed_is_shown)
{
	struct bed_stretch queue[ROOM];
	struct bed_span spans[ROOM];
	size_t n = bed_append(queue, 0, LOT_A, 18);

	n = bed_append(queue, n, LOT_B, 6);
	bed_spans(&small_bed, queue, n, spans);
	ck_assert_double_eq_tol(spans[1].from_m, -2.0, 1e-9);
	ck_assert_double_eq_tol(spans[1].to_m, 1.0, 1e-9);
}
END_TEST

START_TEST(bed_without_raft_length_has_no_places)
{
	struct bed_size bed = small_bed;
	struct bed_stretch queue[ROOM];
	struct bed_span spans[ROOM];
	size_t n = bed_append(queue, 0, LOT_A, 2);

	bed.raft_length_m = NAN;
	bed_spans(&bed, queue, n, spans);
	ck_assert(isnan(spans[0].from_m) && isnan(spans[0].to_m));
	ck_assert(isnan(bed_planted_area_m2(&bed, 2, 60)));
}
END_TEST

static const struct {
	double width_m, raft_width_m;
	int64_t abreast;
} abreast_rows[] = {
	{ 2.4, 1.2, 2 },  { 2.4, 2.4, 1 },
	{ 2.4, 2.41, 1 }, { 2.4, 1.205, 2 }, /* a hair too wide */
	{ 2.4, 1.22, 1 }, { 1.2, 2.4, 1 },
	{ 2.4, NAN, 1 },  { 2.4, 0.0, 1 },
};

START_TEST(rafts_abreast)
{
	struct bed_size bed = { .length_m = 10,
				.width_m = abreast_rows[_i].width_m,
				.raft_width_m = abreast_rows[_i].raft_width_m };

	ck_assert_int_eq(bed_rafts_abreast(&bed), abreast_rows[_i].abreast);
}
END_TEST

static const struct {
	int64_t rafts, plants, taken, freed;
} freed_rows[] = {
	{ 10, 300, 150, 5 },  { 10, 300, 149, 4 },  { 10, 300, 29, 0 },
	{ 10, 300, 300, 10 }, { 10, 300, 400, 10 }, { 10, 300, 0, 0 },
	{ 0, 300, 150, 0 },   { 10, 0, 5, 10 },     { 1000000, 100000000, 99999999, 999999 },
};

START_TEST(rafts_freed_is_the_floor_of_the_share_taken)
{
	ck_assert_int_eq(
		bed_rafts_freed(freed_rows[_i].rafts, freed_rows[_i].plants, freed_rows[_i].taken),
		freed_rows[_i].freed);
}
END_TEST

static const struct {
	int64_t plants, sites, rafts;
} needed_rows[] = {
	{ 1800, 72, 25 }, { 1801, 72, 26 }, { 1, 72, 1 }, { 0, 72, 0 }, { 100, 0, 0 },
};

START_TEST(rafts_needed_is_the_ceiling)
{
	ck_assert_int_eq(bed_rafts_needed(needed_rows[_i].plants, needed_rows[_i].sites),
			 needed_rows[_i].rafts);
}
END_TEST

START_TEST(plants_are_shared_by_rafts_and_add_up)
{
	struct bed_stretch queue[ROOM] = { { LOT_A, 1 }, { LOT_B, 7 }, { LOT_A, 1 }, { LOT_A, 1 } };
	int64_t shares[ROOM];

	bed_share_plants(queue, 4, LOT_A, 100, shares);
	ck_assert_int_eq(shares[0], 34); /* the tie goes to the foot */
	ck_assert_int_eq(shares[1], 0);
	ck_assert_int_eq(shares[2], 33);
	ck_assert_int_eq(shares[3], 33);
}
END_TEST

START_TEST(rafts_without_a_living_plant_are_not_planted)
{
	ck_assert_double_eq_tol(bed_planted_area_m2(&small_bed, 10, 300), 12.5, 1e-9);
	ck_assert_double_eq_tol(bed_planted_area_m2(&small_bed, 10, 4), 5.0, 1e-9);
	ck_assert_double_eq(bed_planted_area_m2(&small_bed, 10, 0), 0.0);
}
END_TEST

#define ROWS(t) (int)(sizeof(t) / sizeof((t)[0]))

Suite *bed_queue_suite(void)
{
	Suite *s = suite_create("bed_queue");
	TCase *t = tcase_create("queue");

	tcase_add_test(t, bed_of_common_practice_holds_1800_plants);
	tcase_add_test(t, bed_is_planted_at_one_end_and_harvested_at_the_other);
	tcase_add_test(t, head_appends_and_foot_prepends);
	tcase_add_test(t, no_rafts_plant_nothing);
	tcase_add_test(t, neighbours_of_one_lot_are_one_stretch);
	tcase_add_test(t, lot_taken_from_the_middle_closes_up);
	tcase_add_test(t, halves_of_a_lot_join_when_what_stood_between_is_taken);
	tcase_add_test(t, taking_begins_at_the_foot);
	tcase_add_test(t, part_row_counts_in_part);
	tcase_add_test(t, what_stands_beyond_the_bed_is_shown);
	tcase_add_test(t, bed_without_raft_length_has_no_places);
	tcase_add_loop_test(t, rafts_abreast, 0, ROWS(abreast_rows));
	tcase_add_loop_test(t, rafts_freed_is_the_floor_of_the_share_taken, 0, ROWS(freed_rows));
	tcase_add_loop_test(t, rafts_needed_is_the_ceiling, 0, ROWS(needed_rows));
	tcase_add_test(t, plants_are_shared_by_rafts_and_add_up);
	tcase_add_test(t, rafts_without_a_living_plant_are_not_planted);
	suite_add_tcase(s, t);
	return s;
}

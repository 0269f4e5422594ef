/* The ledger of plants as a pure function of its entries: book/crop_replay. */
#include "book_tests.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "book/crop_replay.h"

enum {
	SEEDS = 1, /* beds by id: germination, nursery, two raft beds */
	NURSERY,
	RAFTS,
	RAFTS_2,
	N_BEDS = 4,
	LOT = 100,
	OTHER = 101,
	ROOM = 32,
	DAY_S = 86400
};

static const struct bed_size no_rafts = { .length_m = 6, .width_m = 1.2 };
static const struct bed_size raft_bed = { .length_m = 30,
					  .width_m = 1.2,
					  .raft_length_m = 1,
					  .raft_width_m = 1.2,
					  .sites_per_raft = 30 };

/* One farm under test: events are added, then played. */
static struct {
	struct arena arena;
	struct crop_event events[ROOM];
	size_t n;
	struct crop_bed beds[N_BEDS];
	struct crop_state state;
} farm;

static void set_up(void)
{
	memset(&farm, 0, sizeof(farm));
	arena_init(&farm.arena);
	for (int64_t bed = SEEDS; bed <= RAFTS_2; bed++)
		farm.beds[bed - 1] =
			(struct crop_bed){ .bed = bed, .size = bed < RAFTS ? no_rafts : raft_bed };
}

static void tear_down(void)
{
	arena_release(&farm.arena);
}

/* An entry at noon of day; its key follows from the order in which it is added. */
static struct crop_event *add(enum crop_sort sort, int64_t day, int64_t lot, int64_t bed,
			      int64_t plants)
{
	struct crop_event *e = &farm.events[farm.n++];

	*e = (struct crop_event){ .sort = sort,
				  .id = (int64_t)farm.n,
				  .day = day,
				  .instant = day * DAY_S + DAY_S / 2,
				  .lot = lot,
				  .bed = bed,
				  .plants = plants,
				  .rafts = CROP_NONE,
				  .raft_sites = CROP_NONE };
	e->key.byte[15] = (uint8_t)farm.n;
	return e;
}

static struct crop_event *sow(int64_t day, int64_t lot, int64_t bed, int64_t cubes)
{
	struct crop_event *e = add(CROP_SOWN, day, lot, bed, cubes);

	e->cubes = cubes;
	e->instant = day * DAY_S;
	return e;
}

static struct crop_event *move(int64_t day, int64_t lot, int64_t from, int64_t to, int64_t plants)
{
	struct crop_event *e = add(CROP_MOVED, day, lot, from, plants);

	e->to_bed = to;
	return e;
}

static struct crop_event *germinated(int64_t day, int64_t lot, int64_t bed, int64_t plants)
{
	struct crop_event *e = add(CROP_COUNTED, day, lot, bed, plants);

	e->germination = true;
	return e;
}

static void play_until(int64_t until)
{
	crop_replay(farm.events, farm.n, farm.beds, N_BEDS, until, &farm.arena, &farm.state);
}

static void play(void)
{
	play_until(INT64_MAX);
}

static int64_t plants(int64_t lot, int64_t bed)
{
	const struct crop_holding *h = crop_holding_of(&farm.state, lot, bed);

	return h ? h->plants : 0;
}

static int64_t rafts(int64_t lot, int64_t bed)
{
	const struct crop_bed *b = crop_bed_of(&farm.state, bed);

	return bed_rafts_of(b->queue, b->n, lot);
}

static int64_t unexplained(int64_t lot)
{
	return crop_sums_of(&farm.state, lot)->unexplained;
}

START_TEST(sowing_stands_at_its_estimate)
{
	ck_assert_int_eq(crop_plants_estimated(600, 92.5), 555);
	ck_assert_int_eq(crop_plants_estimated(600, NAN), 600); /* no seed lot: 100 % */
	sow(10, LOT, SEEDS, 600)->plants = 555;
	play();
	ck_assert_int_eq(plants(LOT, SEEDS), 555);
	ck_assert(crop_holding_of(&farm.state, LOT, SEEDS)->estimated);
	ck_assert_int_eq(crop_sums_of(&farm.state, LOT)->sown_day, 10);
}
END_TEST

START_TEST(germination_count_replaces_the_estimate_and_leaves_no_unexplained)
{
	sow(10, LOT, SEEDS, 600)->plants = 555;
	germinated(17, LOT, SEEDS, 540);
	play();
	ck_assert_int_eq(plants(LOT, SEEDS), 540);
	ck_assert(!crop_holding_of(&farm.state, LOT, SEEDS)->estimated);
	ck_assert_int_eq(unexplained(LOT), 0);
}
END_TEST

START_TEST(later_counts_give_unexplained)
{
	sow(10, LOT, SEEDS, 600);
	germinated(17, LOT, SEEDS, 540);
	add(CROP_COUNTED, 20, LOT, SEEDS, 530);
	germinated(21, LOT, SEEDS, 533); /* the estimate is gone: a count like any other */
	play();
	ck_assert_int_eq(plants(LOT, SEEDS), 533);
	ck_assert_int_eq(unexplained(LOT), 533 - 540);
}
END_TEST

START_TEST(germination_may_be_counted_after_the_whole_lot_has_moved)
{
	sow(10, LOT, SEEDS, 600);
	move(15, LOT, SEEDS, NURSERY, 600);
	germinated(17, LOT, NURSERY, 540);
	play();
	ck_assert_int_eq(plants(LOT, NURSERY), 540);
	ck_assert_int_eq(unexplained(LOT), 0);
}
END_TEST

START_TEST(late_loss_changes_the_difference_not_the_count)
{
	sow(10, LOT, SEEDS, 600);
	germinated(17, LOT, SEEDS, 540);
	add(CROP_COUNTED, 20, LOT, SEEDS, 530);
	add(CROP_LOST, 19, LOT, SEEDS, 8); /* entered last, happened before the count */
	play();
	ck_assert_int_eq(plants(LOT, SEEDS), 530);
	ck_assert_int_eq(unexplained(LOT), -2);
	ck_assert_int_eq(crop_sums_of(&farm.state, LOT)->lost, 8);
}
END_TEST

START_TEST(move_to_rafts_takes_as_many_as_its_plants_need)
{
	sow(10, LOT, SEEDS, 600);
	move(24, LOT, SEEDS, RAFTS, 541);
	play();
	ck_assert_int_eq(rafts(LOT, RAFTS), 19); /* ceil(541 / 30) */
	ck_assert_int_eq(plants(LOT, SEEDS), 59);
	ck_assert_int_eq(crop_holding_of(&farm.state, LOT, RAFTS)->moved_day, 24);
	ck_assert_int_eq(crop_holding_of(&farm.state, LOT, SEEDS)->moved_day, CROP_NONE);
}
END_TEST

START_TEST(rafts_of_a_move_stand_as_given)
{
	sow(10, LOT, SEEDS, 600);
	move(24, LOT, SEEDS, RAFTS, 541)->rafts = 20;
	play();
	ck_assert_int_eq(rafts(LOT, RAFTS), 20);
}
END_TEST

/* Respaced from 30 to 15 sites a raft: half the plants stay on the rafts they have. */
START_TEST(respacing_takes_more_rafts_in_the_new_bed)
{
	sow(10, LOT, SEEDS, 300);
	move(24, LOT, SEEDS, RAFTS, 300);
	move(34, LOT, RAFTS, RAFTS_2, 150)->raft_sites = 15;
	play();
	ck_assert_int_eq(rafts(LOT, RAFTS), 5); /* floor(10 x 150 / 300) came free */
	ck_assert_int_eq(rafts(LOT, RAFTS_2), 10);
}
END_TEST

START_TEST(respacing_within_a_bed_goes_to_the_head)
{
	sow(10, LOT, SEEDS, 300);
	sow(10, OTHER, SEEDS, 300);
	move(24, LOT, SEEDS, RAFTS, 300);
	move(25, OTHER, SEEDS, RAFTS, 300);
	move(34, LOT, RAFTS, RAFTS, 300)->raft_sites = 20;
	play();

	const struct crop_bed *b = crop_bed_of(&farm.state, RAFTS);

	ck_assert_uint_eq(b->n, 2);
	ck_assert_int_eq(b->queue[0].lot, OTHER);
	ck_assert_int_eq(b->queue[1].lot, LOT);
	ck_assert_int_eq(b->queue[1].rafts, 15);
	ck_assert_int_eq(plants(LOT, RAFTS), 300);
	ck_assert_int_eq(unexplained(LOT), 0);
}
END_TEST

START_TEST(rafts_pushed_whole_free_as_many_as_they_take)
{
	sow(10, LOT, SEEDS, 300);
	move(24, LOT, SEEDS, RAFTS, 300);
	add(CROP_LOST, 30, LOT, RAFTS, 60);
	move(34, LOT, RAFTS, RAFTS_2, 90)->rafts = 4; /* with their holes */
	play();
	ck_assert_int_eq(rafts(LOT, RAFTS), 6);
	ck_assert_int_eq(rafts(LOT, RAFTS_2), 4);
}
END_TEST

START_TEST(losses_leave_holes_not_length)
{
	sow(10, LOT, SEEDS, 300);
	move(24, LOT, SEEDS, RAFTS, 300);
	add(CROP_LOST, 30, LOT, RAFTS, 299);
	play();
	ck_assert_int_eq(rafts(LOT, RAFTS), 10);
	ck_assert_int_eq(plants(LOT, RAFTS), 1);
}
END_TEST

START_TEST(rafts_come_free_with_the_last_plant)
{
	sow(10, LOT, SEEDS, 300);
	move(24, LOT, SEEDS, RAFTS, 300);
	add(CROP_LOST, 30, LOT, RAFTS, 300);
	play();
	ck_assert_int_eq(rafts(LOT, RAFTS), 0);
	ck_assert_int_eq(crop_sums_of(&farm.state, LOT)->ended_at, 30 * DAY_S + DAY_S / 2);
}
END_TEST

START_TEST(harvest_takes_the_sites_it_empties)
{
	ck_assert_int_eq(crop_sites_emptied(CROP_NONE, 100, 8, false, false), 108);
	ck_assert_int_eq(crop_sites_emptied(110, 100, 8, false, false), 110);
	ck_assert_int_eq(crop_sites_emptied(CROP_NONE, CROP_NONE, 8, false, false), CROP_NONE);
	ck_assert_int_eq(crop_sites_emptied(CROP_NONE, 100, CROP_NONE, true, false), 0);
	ck_assert_int_eq(crop_sites_emptied(CROP_NONE, 100, CROP_NONE, true, true), CROP_NONE);
	sow(10, LOT, SEEDS, 300);
	move(24, LOT, SEEDS, RAFTS, 300);
	add(CROP_HARVESTED, 50, LOT, RAFTS, 108);
	play();
	ck_assert_int_eq(plants(LOT, RAFTS), 192);
	ck_assert_int_eq(rafts(LOT, RAFTS), 7); /* floor(10 x 108 / 300) = 3 came free */
	ck_assert_int_eq(crop_sums_of(&farm.state, LOT)->harvested, 108);
}
END_TEST

START_TEST(crop_cut_again_stays)
{
	sow(10, LOT, SEEDS, 300);
	move(24, LOT, SEEDS, RAFTS, 300);
	add(CROP_HARVESTED, 50, LOT, RAFTS, 0)->rafts = 10; /* ten rafts cut, none freed */
	play();
	ck_assert_int_eq(plants(LOT, RAFTS), 300);
	ck_assert_int_eq(rafts(LOT, RAFTS), 10);
	ck_assert_int_eq(crop_sums_of(&farm.state, LOT)->last_cut_day, 50);
}
END_TEST

START_TEST(harvest_by_weight_that_empties_takes_all_that_stands)
{
	sow(10, LOT, SEEDS, 300);
	move(24, LOT, SEEDS, RAFTS, 280);
	add(CROP_HARVESTED, 50, LOT, RAFTS, CROP_NONE)->empties = true;
	play();
	ck_assert_int_eq(plants(LOT, RAFTS), 0);
	ck_assert_int_eq(crop_sums_of(&farm.state, LOT)->harvested, 280);
	ck_assert_int_eq(unexplained(LOT), 0);
}
END_TEST

START_TEST(closing_out_makes_the_rest_unexplained)
{
	sow(10, LOT, SEEDS, 300);
	move(24, LOT, SEEDS, RAFTS, 280)->empties = true;
	add(CROP_HARVESTED, 50, LOT, RAFTS, 270)->empties = true;
	play();
	ck_assert_int_eq(plants(LOT, SEEDS), 0);
	ck_assert_int_eq(plants(LOT, RAFTS), 0);
	ck_assert_int_eq(rafts(LOT, RAFTS), 0);
	ck_assert_int_eq(unexplained(LOT), -20 - 10);
	ck_assert_int_eq(crop_holding_of(&farm.state, LOT, RAFTS)->unexplained, -10);
}
END_TEST

START_TEST(more_than_there_is_kept_and_stands_as_unexplained)
{
	sow(10, LOT, SEEDS, 300);
	move(24, LOT, SEEDS, RAFTS, 320);
	play();
	ck_assert_int_eq(plants(LOT, SEEDS), 0);
	ck_assert_int_eq(plants(LOT, RAFTS), 320);
	ck_assert_int_eq(unexplained(LOT), 20);
	ck_assert_uint_eq(farm.state.n_gaps, 1);
	ck_assert_int_eq(farm.state.gaps[0].there, 300);
	ck_assert_int_eq(farm.state.gaps[0].asked, 320);
	ck_assert_int_eq(farm.state.gaps[0].day, 24);
}
END_TEST

START_TEST(moves_of_one_instant_fill_before_they_empty)
{
	sow(10, LOT, SEEDS, 300);
	move(24, LOT, RAFTS, RAFTS_2, 100); /* keys run against the order */
	move(24, LOT, NURSERY, RAFTS, 200);
	move(24, LOT, SEEDS, NURSERY, 300);
	play();
	ck_assert_uint_eq(farm.state.n_gaps, 0);
	ck_assert_int_eq(plants(LOT, NURSERY), 100);
	ck_assert_int_eq(plants(LOT, RAFTS), 100);
	ck_assert_int_eq(plants(LOT, RAFTS_2), 100);
}
END_TEST

START_TEST(ring_of_moves_falls_back_to_the_key)
{
	sow(10, LOT, SEEDS, 300);
	move(24, LOT, SEEDS, NURSERY, 300);
	move(24, LOT, NURSERY, SEEDS, 100);
	play();
	ck_assert_int_eq(plants(LOT, NURSERY), 200);
	ck_assert_int_eq(plants(LOT, SEEDS), 100);
	ck_assert_uint_eq(farm.state.n_gaps, 0);
}
END_TEST

static struct crop_event *lose_by_day(int64_t day, int64_t lot, int64_t bed, int64_t lost)
{
	struct crop_event *e = add(CROP_LOST, day, lot, bed, lost);

	e->by_day = true;
	e->instant = (day + 1) * DAY_S - 1;
	return e;
}

START_TEST(loss_by_day_stands_before_the_emptying_of_that_day)
{
	sow(10, LOT, SEEDS, 300);
	move(24, LOT, SEEDS, NURSERY, 280)->empties = true;
	lose_by_day(24, LOT, SEEDS, 15);
	play();
	ck_assert_uint_eq(farm.state.n_gaps, 0);
	ck_assert_int_eq(unexplained(LOT), -5); /* 300 - 15 - 280 */
	ck_assert_int_eq(crop_sums_of(&farm.state, LOT)->lost, 15);
}
END_TEST

START_TEST(loss_by_day_stays_where_the_bed_was_filled_again)
{
	sow(10, LOT, SEEDS, 300);
	move(24, LOT, SEEDS, NURSERY, 280)->empties = true;
	move(24, LOT, NURSERY, SEEDS, 100)->instant += 60;
	lose_by_day(24, LOT, SEEDS, 15);
	play();
	ck_assert_int_eq(plants(LOT, SEEDS), 85);
	ck_assert_int_eq(unexplained(LOT), -20);
}
END_TEST

START_TEST(loss_with_a_time_stands_at_its_time)
{
	sow(10, LOT, SEEDS, 300);
	move(24, LOT, SEEDS, NURSERY, 280)->empties = true;
	lose_by_day(24, LOT, SEEDS, 15)->by_day = false;
	play();
	ck_assert_uint_eq(farm.state.n_gaps, 1);
	ck_assert_int_eq(unexplained(LOT), -20 + 15);
}
END_TEST

START_TEST(lot_that_comes_back_has_not_ended)
{
	sow(10, LOT, SEEDS, 300);
	add(CROP_LOST, 20, LOT, SEEDS, 300);
	add(CROP_COUNTED, 22, LOT, SEEDS, 12);
	play();
	ck_assert_int_eq(crop_sums_of(&farm.state, LOT)->ended_at, CROP_NONE);
	play_until(21 * DAY_S);
	ck_assert_int_eq(crop_sums_of(&farm.state, LOT)->ended_at, 20 * DAY_S + DAY_S / 2);
}
END_TEST

START_TEST(any_instant_can_be_asked)
{
	sow(10, LOT, SEEDS, 300);
	move(24, LOT, SEEDS, RAFTS, 300);
	add(CROP_HARVESTED, 50, LOT, RAFTS, 300);
	play_until(24 * DAY_S); /* before noon */
	ck_assert_int_eq(plants(LOT, SEEDS), 300);
	ck_assert_int_eq(rafts(LOT, RAFTS), 0);
	play_until(24 * DAY_S + DAY_S / 2); /* the instant itself counts */
	ck_assert_int_eq(rafts(LOT, RAFTS), 10);
	play();
	ck_assert_int_eq(rafts(LOT, RAFTS), 0);
}
END_TEST

/* A season of two lots, with everything in it. */
static void add_season(void)
{
	sow(10, LOT, SEEDS, 600)->plants = 555;
	sow(10, OTHER, SEEDS, 200);
	germinated(17, LOT, SEEDS, 540);
	move(24, LOT, NURSERY, RAFTS, 300);
	move(24, LOT, SEEDS, NURSERY, 530)->empties = true;
	lose_by_day(24, LOT, SEEDS, 7);
	move(25, OTHER, SEEDS, RAFTS, 200)->foot = true;
	add(CROP_LOST, 28, LOT, RAFTS, 4);
	move(31, LOT, NURSERY, RAFTS, 230);
	move(38, LOT, RAFTS, RAFTS_2, 260)->raft_sites = 15;
	add(CROP_HARVESTED, 45, OTHER, RAFTS, 90);
	add(CROP_COUNTED, 46, OTHER, RAFTS, 104);
	add(CROP_HARVESTED, 50, LOT, RAFTS, 280)->empties = true;
}

static void assert_same(const struct crop_state *a, const struct crop_state *b)
{
	ck_assert_uint_eq(a->n_lots, b->n_lots);
	for (size_t i = 0; i < a->n_lots; i++) {
		ck_assert_int_eq(a->lots[i].plants, b->lots[i].plants);
		ck_assert_int_eq(a->lots[i].lost, b->lots[i].lost);
		ck_assert_int_eq(a->lots[i].harvested, b->lots[i].harvested);
		ck_assert_int_eq(a->lots[i].unexplained, b->lots[i].unexplained);
		ck_assert_int_eq(a->lots[i].ended_at, b->lots[i].ended_at);
	}
	for (size_t i = 0; i < a->n_beds; i++) {
		ck_assert_uint_eq(a->beds[i].n, b->beds[i].n);
		ck_assert_mem_eq(a->beds[i].queue, b->beds[i].queue,
				 a->beds[i].n * sizeof(struct bed_stretch));
	}
}

START_TEST(order_of_arrival_changes_nothing)
{
	struct crop_bed beds[N_BEDS];
	struct crop_state first;
	struct crop_event sorted[ROOM];
	unsigned seed = (unsigned)_i + 1;

	add_season();
	memcpy(beds, farm.beds, sizeof(beds));
	memcpy(sorted, farm.events, sizeof(sorted));
	crop_replay(sorted, farm.n, beds, N_BEDS, INT64_MAX, &farm.arena, &first);
	for (size_t i = farm.n; i-- > 1;) {
		size_t j = (size_t)rand_r(&seed) % (i + 1);
		struct crop_event e = farm.events[i];

		farm.events[i] = farm.events[j];
		farm.events[j] = e;
	}
	play();
	assert_same(&first, &farm.state);
	ck_assert_int_eq(crop_sums_of(&farm.state, OTHER)->plants, 104);
	/* 540 counted, 7 + 4 lost, 280 harvested, 260 stand: 11 were not there */
	ck_assert_int_eq(crop_sums_of(&farm.state, LOT)->plants, 260);
}
END_TEST

/* What was counted in = what stands + lost + harvested - unexplained. */
START_TEST(plants_are_conserved)
{
	add_season();
	for (int64_t day = 17; day < 52; day++) {
		play_until(day * DAY_S + DAY_S - 1);

		const struct crop_sums *s = crop_sums_of(&farm.state, LOT);

		ck_assert_int_eq(540, s->plants + s->lost + s->harvested - s->unexplained);
	}
}
END_TEST

Suite *crop_replay_suite(void)
{
	Suite *s = suite_create("crop_replay");
	TCase *t = tcase_create("entries");

	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_test(t, sowing_stands_at_its_estimate);
	tcase_add_test(t, germination_count_replaces_the_estimate_and_leaves_no_unexplained);
	tcase_add_test(t, later_counts_give_unexplained);
	tcase_add_test(t, germination_may_be_counted_after_the_whole_lot_has_moved);
	tcase_add_test(t, late_loss_changes_the_difference_not_the_count);
	tcase_add_test(t, move_to_rafts_takes_as_many_as_its_plants_need);
	tcase_add_test(t, rafts_of_a_move_stand_as_given);
	tcase_add_test(t, respacing_takes_more_rafts_in_the_new_bed);
	tcase_add_test(t, respacing_within_a_bed_goes_to_the_head);
	tcase_add_test(t, rafts_pushed_whole_free_as_many_as_they_take);
	tcase_add_test(t, losses_leave_holes_not_length);
	tcase_add_test(t, rafts_come_free_with_the_last_plant);
	tcase_add_test(t, harvest_takes_the_sites_it_empties);
	tcase_add_test(t, crop_cut_again_stays);
	tcase_add_test(t, harvest_by_weight_that_empties_takes_all_that_stands);
	tcase_add_test(t, closing_out_makes_the_rest_unexplained);
	tcase_add_test(t, more_than_there_is_kept_and_stands_as_unexplained);
	suite_add_tcase(s, t);

	t = tcase_create("order");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_test(t, moves_of_one_instant_fill_before_they_empty);
	tcase_add_test(t, ring_of_moves_falls_back_to_the_key);
	tcase_add_test(t, loss_by_day_stands_before_the_emptying_of_that_day);
	tcase_add_test(t, loss_by_day_stays_where_the_bed_was_filled_again);
	tcase_add_test(t, loss_with_a_time_stands_at_its_time);
	tcase_add_test(t, lot_that_comes_back_has_not_ended);
	tcase_add_test(t, any_instant_can_be_asked);
	tcase_add_loop_test(t, order_of_arrival_changes_nothing, 0, 40);
	tcase_add_test(t, plants_are_conserved);
	suite_add_tcase(s, t);
	return s;
}

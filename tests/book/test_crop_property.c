/* What holds for any season of entries about plants, right or wrong ones: 1,000 seeded seasons. */
#include "book_tests.h"

#include <stdlib.h>
#include <string.h>

#include "book/crop_replay.h"

enum { SEASONS = 1000, BEDS = 4, LOTS = 3, ENTRIES = 24, DAYS = 60, DAY_S = 86400 };

static const struct bed_size trays = { .length_m = 6, .width_m = 1.2 };
static const struct bed_size raft_bed = { .length_m = 30,
					  .width_m = 2.4,
					  .raft_length_m = 1,
					  .raft_width_m = 1.2,
					  .sites_per_raft = 20 };

static struct arena arena;

static void set_up(void)
{
	arena_init(&arena);
}

static void tear_down(void)
{
	arena_release(&arena);
}

static int64_t below(unsigned *seed, int64_t limit)
{
	return rand_r(seed) % limit;
}

static struct crop_event sowing(unsigned *seed, int64_t lot)
{
	int64_t cubes = 1 + below(seed, 300), day = below(seed, 10);

	return (struct crop_event){ .sort = CROP_SOWN,
				    .day = day,
				    .instant = day * DAY_S,
				    .lot = lot,
				    .bed = 1,
				    .plants = cubes,
				    .cubes = cubes,
				    .rafts = CROP_NONE,
				    .raft_sites = CROP_NONE };
}

/* Anything a person or a queue may send: also more than there is, before the sowing, in a ring. */
static struct crop_event entry(unsigned *seed)
{
	int64_t day = below(seed, DAYS);
	bool by_day = below(seed, 2) != 0;
	struct crop_event e = { .sort = (enum crop_sort)(1 + below(seed, 4)),
				.day = day,
				.by_day = by_day,
				.instant =
					day * DAY_S + (by_day ? DAY_S - 1 : below(seed, 4) * 3600),
				.lot = 1 + below(seed, LOTS),
				.bed = 1 + below(seed, BEDS),
				.to_bed = 1 + below(seed, BEDS),
				.plants = below(seed, 200),
				.rafts = below(seed, 3) ? CROP_NONE : below(seed, 12),
				.raft_sites = below(seed, 4) ? CROP_NONE : 1 + below(seed, 40),
				.foot = below(seed, 4) == 0,
				.empties = below(seed, 4) == 0 };

	if (e.sort == CROP_HARVESTED && below(seed, 5) == 0)
		e.plants = CROP_NONE;
	return e;
}

static void season(unsigned seed, struct crop_event events[ENTRIES])
{
	for (int i = 0; i < ENTRIES; i++) {
		events[i] = i < LOTS ? sowing(&seed, i + 1) : entry(&seed);
		events[i].id = i + 1;
		events[i].key.byte[0] = (uint8_t)below(&seed, 256);
		events[i].key.byte[15] = (uint8_t)i;
	}
}

static struct crop_bed *empty_beds(void)
{
	struct crop_bed *beds = arena_array(&arena, BEDS, sizeof(*beds));

	for (int64_t bed = 1; bed <= BEDS; bed++)
		beds[bed - 1] = (struct crop_bed){ .bed = bed,
						   .stage = bed > 2 ? CROP_RAFTS : CROP_NURSERY,
						   .size = bed > 2 ? raft_bed : trays };
	return beds;
}

static void play(struct crop_event *events, int64_t until, struct crop_state *out)
{
	crop_replay(events, ENTRIES, empty_beds(), BEDS, until, &arena, out);
}

/* NULL, or what does not hold. */
static const char *queue_amiss(const struct crop_state *s)
{
	for (size_t b = 0; b < s->n_beds; b++)
		for (size_t i = 0; i < s->beds[b].n; i++) {
			const struct bed_stretch *q = &s->beds[b].queue[i];
			const struct crop_holding *h = crop_holding_of(s, q->lot, s->beds[b].bed);

			if (q->rafts < 1)
				return "a stretch without rafts";
			if (i && q->lot == q[-1].lot)
				return "one lot in two neighbouring stretches";
			if (!h || h->plants < 1)
				return "rafts without a plant";
		}
	return NULL;
}

/* What a report of yields says of a lot: each plant that came up is somewhere, each loss at some stage. */
static const char *sums_amiss(const struct crop_state *s, const struct crop_sums *sums)
{
	int64_t lost = 0, found = 0;

	for (int stage = 0; stage < CROP_STAGE__MAX; stage++)
		lost += sums->lost_at[stage];
	for (size_t i = 0; i < s->n_found; i++)
		if (s->found[i].lot == sums->lot)
			found += s->found[i].plants;
	if (sums->came_up + sums->unexplained != sums->plants + sums->lost + sums->harvested)
		return "plants are not conserved";
	if (lost != sums->lost)
		return "the stages do not add up to what was lost";
	return found == sums->unexplained ? NULL : "what was found does not add up";
}

static const char *numbers_amiss(const struct crop_state *s)
{
	for (size_t l = 0; l < s->n_lots; l++) {
		const struct crop_sums *sums = &s->lots[l];
		int64_t plants = 0, unexplained = 0;

		for (size_t i = sums->holdings; i != SIZE_MAX; i = s->holdings[i].next) {
			if (s->holdings[i].plants < 0)
				return "fewer than no plants";
			plants += s->holdings[i].plants;
			unexplained += s->holdings[i].unexplained;
		}
		if (plants != sums->plants || unexplained != sums->unexplained)
			return "the beds do not add up to the lot";
		if (sums_amiss(s, sums))
			return sums_amiss(s, sums);
		if (sums->plants > 0 && sums->ended_at != CROP_NONE)
			return "an ended lot stands";
	}
	return NULL;
}

static bool same(const struct crop_state *a, const struct crop_state *b)
{
	for (size_t i = 0; i < a->n_lots; i++)
		if (a->lots[i].plants != b->lots[i].plants ||
		    a->lots[i].unexplained != b->lots[i].unexplained ||
		    a->lots[i].lost != b->lots[i].lost ||
		    a->lots[i].came_up != b->lots[i].came_up ||
		    memcmp(a->lots[i].lost_at, b->lots[i].lost_at, sizeof(a->lots[i].lost_at)) !=
			    0 ||
		    a->lots[i].harvested != b->lots[i].harvested ||
		    a->lots[i].ended_at != b->lots[i].ended_at)
			return false;
	for (size_t i = 0; i < a->n_beds; i++)
		if (a->beds[i].n != b->beds[i].n ||
		    (a->beds[i].n && memcmp(a->beds[i].queue, b->beds[i].queue,
					    a->beds[i].n * sizeof(struct bed_stretch)) != 0))
			return false;
	return a->n_gaps == b->n_gaps && a->n_found == b->n_found;
}

static void shuffle(struct crop_event *events, unsigned seed)
{
	for (int64_t i = ENTRIES; i-- > 1;) {
		int64_t j = below(&seed, i + 1);
		struct crop_event e = events[i];

		events[i] = events[j];
		events[j] = e;
	}
}

START_TEST(any_season_adds_up_at_any_instant)
{
	struct crop_event events[ENTRIES];
	struct crop_state s;

	for (unsigned seed = 1; seed <= SEASONS; seed++) {
		const char *amiss = NULL;

		season(seed, events);
		for (int64_t day = 0; day <= DAYS && !amiss; day += 7) {
			play(events, day * DAY_S + DAY_S / 3, &s);
			amiss = queue_amiss(&s);
			amiss = amiss ? amiss : numbers_amiss(&s);
		}
		if (amiss)
			ck_abort_msg("season %u: %s", seed, amiss);
		arena_reset(&arena);
	}
}
END_TEST

START_TEST(any_season_is_the_same_in_any_order)
{
	struct crop_event events[ENTRIES], shuffled[ENTRIES];
	struct crop_state first, second;

	for (unsigned seed = 1; seed <= SEASONS; seed++) {
		season(seed, events);
		memcpy(shuffled, events, sizeof(shuffled));
		shuffle(shuffled, seed + 7);
		play(events, INT64_MAX, &first);
		play(shuffled, INT64_MAX, &second);
		if (!same(&first, &second))
			ck_abort_msg("season %u", seed);
		arena_reset(&arena);
	}
}
END_TEST

START_TEST(any_season_in_steps_is_the_season_at_each_day)
{
	struct crop_event events[ENTRIES], stepped[ENTRIES];
	struct crop_state whole, steps;

	for (unsigned seed = 1; seed <= SEASONS; seed++) {
		season(seed, events);
		memcpy(stepped, events, sizeof(stepped));
		crop_replay_begin(stepped, ENTRIES, empty_beds(), BEDS, &arena, &steps);
		for (int64_t day = 0; day <= DAYS; day += 1 + seed % 3) {
			crop_replay_on(&steps, (day + 1) * DAY_S - 1);
			play(events, (day + 1) * DAY_S - 1, &whole);
			if (!same(&whole, &steps))
				ck_abort_msg("season %u, day %d", seed, (int)day);
		}
		arena_reset(&arena);
	}
}
END_TEST

/* A lot that has ended stands at no instant from its end on: what crop_ends rests on. */
START_TEST(no_plant_stands_after_the_end_of_its_lot)
{
	struct crop_event events[ENTRIES];
	struct crop_state whole, then;

	for (unsigned seed = 1; seed <= SEASONS; seed++) {
		season(seed, events);
		play(events, INT64_MAX, &whole);
		for (size_t l = 0; l < whole.n_lots; l++) {
			if (whole.lots[l].ended_at == CROP_NONE)
				continue;
			for (int64_t at = whole.lots[l].ended_at; at < (DAYS + 1) * DAY_S;
			     at += 3 * DAY_S + 3601) {
				play(events, at, &then);
				if (crop_sums_of(&then, whole.lots[l].lot)->plants != 0)
					ck_abort_msg("season %u, lot %d", seed,
						     (int)whole.lots[l].lot);
			}
		}
		arena_reset(&arena);
	}
}
END_TEST

Suite *crop_property_suite(void)
{
	Suite *s = suite_create("crop_property");
	TCase *t = tcase_create("seasons");

	tcase_set_timeout(t, 60);
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_test(t, any_season_adds_up_at_any_instant);
	tcase_add_test(t, any_season_is_the_same_in_any_order);
	tcase_add_test(t, any_season_in_steps_is_the_season_at_each_day);
	tcase_add_test(t, no_plant_stands_after_the_end_of_its_lot);
	suite_add_tcase(s, t);
	return s;
}

/* When an entry happened and where it stands: docs/rules.md, "Order and time".  The farm is in Europe/Madrid and
 * its day begins at 4; offsets are those of the IANA zone: +1, from 29 March 2026 01:00Z +2. */
#include "book_tests.h"

#include <string.h>

#include "book/import.h"
#include "support/mini_farm.h"

static struct mini_farm f;

static void open_farm(void)
{
	mini_farm_open(&f);
}

static void close_farm(void)
{
	mini_farm_close(&f);
}

static struct record *a_note(const char *field, const char *text)
{
	return mini_row(&f, "fish-counts", "tank_id", "T1", "fish_lot_id", "F1", "counted", "600",
			field, text, NULL);
}

START_TEST(the_day_begins_at_its_hour)
{
	/* 03:59 local is still the day before, 04:00 the new day */
	struct record *early = mini_keep(&f, a_note("at", "2026-03-10T02:59:59Z"));
	struct record *late = mini_keep(&f, a_note("at", "2026-03-10T03:00:00Z"));

	ck_assert_int_eq(record_int(early, "day", 0), day_of("2026-03-09"));
	ck_assert_int_eq(record_int(late, "day", 0), day_of("2026-03-10"));
}
END_TEST

START_TEST(neither_time_nor_day_is_refused)
{
	ck_assert_int_eq(mini_create(&f,
				     mini_row(&f, "fish-counts", "tank_id", "T1", "fish_lot_id",
					      "F1", "counted", "600", NULL),
				     NULL),
			 ERR_INPUT);
	ck_assert_str_eq(f.err.items[0].field, "at");
	ck_assert_str_eq(f.err.items[0].code, "required");
}
END_TEST

/* Where entries by day alone stand. */
static const struct {
	const char *kind, *extra[8];
	const char *instant;
} by_day[] = {
	{ "fish-moves",
	  { "fish_lot_id", "F2", "to_tank_id", "T2", "fish", "9", "reason", "stocking" },
	  "2026-03-10T03:00:00Z" }, /* arrives: the day's start */
	{ "fish-deaths", { "tank_id", "T1", "fish", "2" }, "2026-03-11T02:59:59Z" }, /* its end */
	{ "water-tests", { "place_id", "T1", "ph", "7" }, "2026-03-10T11:00:00Z" },  /* noon */
	{ "crop-losses",
	  { "crop_lot_id", "C1", "bed_id", "N1", "plants", "2" },
	  "2026-03-11T02:59:59Z" },
};

START_TEST(an_entry_by_day_alone_stands_by_its_kind)
{
	struct record *r = record_new(kind_find(by_day[_i].kind), &f.arena);

	for (size_t i = 0; i < 8 && by_day[_i].extra[i]; i += 2) {
		size_t field = kind_field_index(r->kind, by_day[_i].extra[i]);

		ck_assert(!field_read(kind_field(r->kind, field), by_day[_i].extra[i + 1], '.',
				      &f.arena, &r->values[field], &f.err));
	}
	record_set_int(r, "day", day_of("2026-03-10"));

	struct record *kept = mini_keep(&f, r);

	ck_assert_int_eq(kept->instant, instant_of(by_day[_i].instant));
	ck_assert(!record_has(kept, "at"));
	ck_assert_int_eq(record_int(kept, "day", 0), day_of("2026-03-10"));
}
END_TEST

static struct record *a_move(const char *from, const char *to, const char *reason)
{
	return mini_row(&f, "fish-moves", "fish_lot_id", "F1", "from_tank_id", from, "to_tank_id",
			to, "fish", "10", "reason", reason, "day", "2026-03-10", NULL);
}

START_TEST(a_move_by_day_stands_by_its_direction)
{
	ck_assert_int_eq(mini_keep(&f, a_move("T1", "T2", "transfer"))->instant,
			 instant_of("2026-03-10T11:00:00Z"));
	ck_assert_int_eq(mini_keep(&f, a_move("T1", "", "sold_live"))->instant,
			 instant_of("2026-03-11T02:59:59Z"));
}
END_TEST

START_TEST(a_move_by_day_whose_direction_is_corrected_stands_anew)
{
	struct record *move = mini_keep(&f, a_move("T1", "", "transfer")), *kept;

	ck_assert(!mini_patch(&f, move, "to_tank_id", "T2", &kept));
	ck_assert_int_eq(kept->instant, instant_of("2026-03-10T11:00:00Z"));
}
END_TEST

START_TEST(the_day_on_which_clocks_change_ends_an_hour_sooner)
{
	f.hand.now = instant_of("2026-04-05T12:00:00Z");

	/* 29 March begins at 04:00 = 02:00Z in summer time; so does 30 March: 24 h.  The day that holds the
	 * lost hour is the 28th: 28th 03:00Z to 29th 02:00Z, 23 h. */
	struct record *death = mini_keep(&f, mini_row(&f, "fish-deaths", "tank_id", "T1", "fish",
						      "2", "day", "2026-03-28", NULL));

	ck_assert_int_eq(death->instant, instant_of("2026-03-29T01:59:59Z"));

	struct record *noon = mini_keep(&f, a_note("day", "2026-03-29"));

	ck_assert_int_eq(noon->instant, instant_of("2026-03-29T10:00:00Z"));
}
END_TEST

START_TEST(time_and_day_must_agree)
{
	struct record *r = a_note("at", "2026-03-10T02:59:59Z");

	record_set_int(r, "day", day_of("2026-03-10"));
	ck_assert_int_eq(mini_create(&f, r, NULL), ERR_INPUT);
	ck_assert(err_has(&f.err, "day_disagrees"));
	ck_assert_str_eq(f.err.items[0].args[0].text, "2026-03-09");
	record_set_int(r, "day", day_of("2026-03-09"));
	mini_keep(&f, r);
}
END_TEST

START_TEST(the_future_is_refused_but_for_ten_minutes)
{
	mini_keep(&f, a_note("at", "2026-03-20T12:10:00Z"));
	for (int arrival = ARRIVES_ON_SCREEN; arrival <= ARRIVES_IMPORTED; arrival++) {
		f.hand.arrival = (enum arrival)arrival;
		f.hand.confirm = true;
		ck_assert_int_eq(mini_create(&f, a_note("at", "2026-03-20T12:10:01Z"), NULL),
				 ERR_INPUT);
		ck_assert(err_has(&f.err, "in_future"));
		ck_assert_int_eq(mini_create(&f, a_note("day", "2026-03-21"), NULL), ERR_INPUT);
		ck_assert(err_has(&f.err, "in_future"));
	}
	f.hand.arrival = ARRIVES_ON_SCREEN;
	mini_keep(&f, a_note("day", "2026-03-20")); /* today, though it is not over */
}
END_TEST

START_TEST(a_tablets_time_is_corrected_by_its_offset)
{
	f.hand.tablet = "B";
	f.hand.has_clock_offset = true;
	f.hand.clock_offset_s = -3600; /* the tablet is an hour ahead */

	struct record *kept = mini_keep(&f, a_note("at", "2026-03-20T12:55:00Z"));

	ck_assert_int_eq(record_int(kept, "at", 0), instant_of("2026-03-20T11:55:00Z"));
	ck_assert_int_eq(record_int(kept, "tablet_at", 0), instant_of("2026-03-20T12:55:00Z"));
	ck_assert_int_eq(record_int(kept, "received_at", 0), f.hand.now);
	ck_assert(!record_has(kept, "unsure"));
}
END_TEST

START_TEST(a_tablet_whose_offset_is_not_known_is_unsure)
{
	f.hand.tablet = "B";

	struct record *kept = mini_keep(&f, a_note("at", "2026-03-20T11:55:00Z"));

	ck_assert_int_eq(record_int(kept, "at", 0), instant_of("2026-03-20T11:55:00Z"));
	ck_assert_int_eq(record_int(kept, "unsure", 0), 1);
}
END_TEST

START_TEST(while_the_services_clock_is_behind_the_tablets_holds)
{
	mini_keep(&f, a_note("at", "2026-03-20T11:00:00Z")); /* received at 12:00 */
	f.hand.now = instant_of("2026-03-20T08:00:00Z");     /* the clock was set back */
	f.hand.tablet = "B";
	f.hand.has_clock_offset = true;
	f.hand.clock_offset_s = -4 * 3600; /* service minus tablet, by the wrong clock */

	struct record *kept = mini_keep(&f, a_note("at", "2026-03-20T12:01:00Z"));

	ck_assert_int_eq(record_int(kept, "at", 0), instant_of("2026-03-20T12:01:00Z"));
	ck_assert_int_eq(record_int(kept, "unsure", 0), 1);
}
END_TEST

START_TEST(an_import_says_nothing_of_this_clock)
{
	f.hand.arrival = ARRIVES_IMPORTED;

	struct record *r = a_note("at", "2026-03-10T11:00:00Z");

	record_set_int(r, "received_at", instant_of("2031-01-01T00:00:00Z"));
	record_set_int(r, "tablet_at", instant_of("2026-03-10T11:02:00Z"));

	struct record *kept = mini_keep(&f, r);

	ck_assert_int_eq(record_int(kept, "at", 0), instant_of("2026-03-10T11:00:00Z"));
	ck_assert_int_eq(record_int(kept, "tablet_at", 0), instant_of("2026-03-10T11:02:00Z"));
	ck_assert_int_eq(record_int(kept, "received_at", 0), instant_of("2031-01-01T00:00:00Z"));
	f.hand.arrival = ARRIVES_ON_SCREEN;
	ck_assert(!record_has(mini_keep(&f, a_note("at", "2026-03-20T11:00:00Z")), "unsure"));
}
END_TEST

START_TEST(another_hour_for_the_days_begin_moves_days_and_instants)
{
	struct record *at = mini_keep(&f, a_note("at", "2026-03-10T02:30:00Z"));
	struct record *day = mini_keep(&f, mini_row(&f, "fish-deaths", "tank_id", "T1", "fish", "2",
						    "day", "2026-03-10", NULL));
	struct record farm = { .kind = kind_find("farm"), .id = 1 };

	ck_assert_int_eq(record_int(at, "day", 0), day_of("2026-03-09"));
	ck_assert(!mini_patch(&f, &farm, "day_begins_hour", "0", NULL));
	ck_assert_int_eq(record_int(mini_get(&f, at), "day", 0), day_of("2026-03-10"));
	ck_assert_int_eq(mini_get(&f, at)->version, 1);
	ck_assert_int_eq(record_int(mini_get(&f, day), "day", 0), day_of("2026-03-10"));
	ck_assert_int_eq(mini_get(&f, day)->instant, instant_of("2026-03-10T22:59:59Z"));
}
END_TEST

static void count_finding(const char *text, void *with)
{
	(void)text;
	++*(int *)with;
}

START_TEST(check_finds_a_day_that_is_out_of_date)
{
	struct record *row = mini_keep(&f, a_note("at", "2026-03-10T11:00:00Z"));
	int found = 0;

	err_clear(&f.err);
	ck_assert(!book_check(f.book, count_finding, &found, &f.err));
	ck_assert_int_eq(found, 0);
	record_set_int(row, "day", day_of("2026-03-08"));
	ck_assert(!store_update(f.store, row, &f.err));
	ck_assert(!book_check(f.book, count_finding, &found, &f.err));
	ck_assert_int_eq(found, 1);
	ck_assert(!book_rebuild(f.book, &f.err));
	found = 0;
	ck_assert(!book_check(f.book, count_finding, &found, &f.err));
	ck_assert_int_eq(found, 0);
}
END_TEST

/* New York's clocks went from -4 to -5 at 06:00Z on 1 November 2026 (IANA): what is advised must be so there. */
START_TEST(a_time_that_came_twice_is_advised_with_its_own_offsets)
{
	static const char text[] = "tank,fish_lot,counted,at\r\nT1,F1,600,2026-11-01 01:30\r\n";
	const struct import_file file = { "fish-counts.csv", text, sizeof(text) - 1, NULL };
	const struct import_options options = { .separator = ',',
						.decimal = '.',
						.now = instant_of("2026-11-02T12:00:00Z") };
	struct import_result result;
	const struct record farm = { .kind = kind_find("farm"), .id = 1 };

	ck_assert(!mini_patch(&f, &farm, "time_zone", "America/New_York", NULL));
	ck_assert_int_eq(book_import(f.book, &file, 1, &options, &f.arena, &result, &f.err),
			 ERR_INPUT);
	ck_assert_str_eq(result.errors[0].item.code, "repeated_hour");
	ck_assert_ptr_nonnull(strstr(result.errors[0].item.message, "2026-11-01T01:30:00-04:00"));
	ck_assert_ptr_nonnull(strstr(result.errors[0].item.message, "2026-11-01T01:30:00-05:00"));
}
END_TEST

Suite *times_suite(void)
{
	Suite *s = suite_create("times");
	TCase *t = tcase_create("times");

	tcase_add_checked_fixture(t, open_farm, close_farm);
	tcase_add_test(t, the_day_begins_at_its_hour);
	tcase_add_test(t, neither_time_nor_day_is_refused);
	tcase_add_loop_test(t, an_entry_by_day_alone_stands_by_its_kind, 0,
			    sizeof(by_day) / sizeof(by_day[0]));
	tcase_add_test(t, a_move_by_day_stands_by_its_direction);
	tcase_add_test(t, a_move_by_day_whose_direction_is_corrected_stands_anew);
	tcase_add_test(t, the_day_on_which_clocks_change_ends_an_hour_sooner);
	tcase_add_test(t, time_and_day_must_agree);
	tcase_add_test(t, the_future_is_refused_but_for_ten_minutes);
	tcase_add_test(t, a_tablets_time_is_corrected_by_its_offset);
	tcase_add_test(t, a_tablet_whose_offset_is_not_known_is_unsure);
	tcase_add_test(t, while_the_services_clock_is_behind_the_tablets_holds);
	tcase_add_test(t, an_import_says_nothing_of_this_clock);
	tcase_add_test(t, another_hour_for_the_days_begin_moves_days_and_instants);
	tcase_add_test(t, check_finds_a_day_that_is_out_of_date);
	tcase_add_test(t, a_time_that_came_twice_is_advised_with_its_own_offsets);
	suite_add_tcase(s, t);
	return s;
}

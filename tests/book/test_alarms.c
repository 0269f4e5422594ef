/* Alarms of the book: raised, cleared, forgotten and brought back as the entries say, in whatever order they come. */
#include "book_tests.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "book/alarms.h"
#include "book/open_alarms.h"
#include "book/readings.h"
#include "support/mini_farm.h"
#include "support/report_cells.h"
#include "support/support.h"

static struct mini_farm f;

static void limit(const char *quantity, const char *low_stop, const char *low, const char *high,
		  const char *high_stop)
{
	mini_keep(&f, mini_row(&f, "species-limits", "species_id", "Tilapia", "quantity", quantity,
			       "low_stop", low_stop, "low", low, "high", high, "high_stop",
			       high_stop, NULL));
}

static void open_farm(void)
{
	mini_farm_open(&f);
	limit("do_mg_l", "3", "5", "", "");
	limit("nh3_n_mg_l", "", "", "0.05", "0.4");
}

static void close_farm(void)
{
	mini_farm_close(&f);
}

static void look(const char *now)
{
	enum err_code rc;

	for (int i = 0; (rc = alarms_look(f.book, instant_of(now), &f.err)) == ERR_NONE; i++)
		ck_assert_int_lt(i, 100); /* it comes to an end */
	ck_assert_int_eq(rc, ERR_NOT_FOUND);
}

static struct record *oxygen(const char *place, const char *at, const char *mg_l)
{
	return mini_keep(&f, mini_row(&f, "water-tests", "place_id", place, "at", at, "do_mg_l",
				      mg_l, NULL));
}

static size_t count_open(void)
{
	struct open_alarm *open;
	size_t n;

	ck_assert(!open_alarms_load(f.book, &f.arena, &open, &n, &f.err));
	return n;
}

static struct open_alarm only_open(void)
{
	struct open_alarm *open;
	size_t n;

	ck_assert(!open_alarms_load(f.book, &f.arena, &open, &n, &f.err));
	ck_assert_uint_eq(n, 1);
	return open[0];
}

static struct record *row_of(int64_t id)
{
	struct record *r;

	ck_assert(!store_get(f.store, kind_find("alarms"), id, &f.arena, &r, &f.err));
	return r;
}

START_TEST(low_oxygen_raises_and_a_good_reading_clears)
{
	oxygen("T1", "2026-03-19T06:00:00Z", "4.4");
	look("2026-03-19T06:01:00Z");
	const struct open_alarm a = only_open();
	ck_assert_str_eq(a.place, "T1");
	ck_assert_str_eq(a.quantity, "do_mg_l");
	ck_assert_str_eq(a.level, "low");
	ck_assert_double_eq(a.value, 4.4);
	ck_assert_int_eq(a.raised_at, instant_of("2026-03-19T06:00:00Z"));
	oxygen("T1", "2026-03-19T07:00:00Z", "5.1"); /* within the margin */
	look("2026-03-19T07:00:00Z");
	ck_assert_int_eq(only_open().id, a.id);
	oxygen("T1", "2026-03-19T08:00:00Z", "5.6");
	look("2026-03-19T08:00:00Z");
	ck_assert_uint_eq(count_open(), 0);
	ck_assert_int_eq(record_int(row_of(a.id), "cleared_at", 0),
			 instant_of("2026-03-19T08:00:00Z"));
}
END_TEST

START_TEST(a_stop_is_an_alarm_of_its_own)
{
	oxygen("T1", "2026-03-19T06:00:00Z", "4.4");
	look("2026-03-19T06:00:00Z");
	const struct open_alarm low = only_open();
	oxygen("T1", "2026-03-19T06:30:00Z", "2.8");
	look("2026-03-19T06:30:00Z");
	const struct open_alarm stop = only_open();
	ck_assert_int_ne(stop.id, low.id);
	ck_assert_str_eq(stop.level, "stop_low");
	ck_assert_int_eq(record_int(row_of(low.id), "cleared_at", 0),
			 instant_of("2026-03-19T06:30:00Z"));
}
END_TEST

START_TEST(a_tank_without_fish_raises_nothing)
{
	oxygen("T2", "2026-03-19T06:00:00Z", "2");
	look("2026-03-19T06:00:00Z");
	ck_assert_uint_eq(count_open(), 0);
	/* stocked after that: the water is bad for them from then on */
	mini_keep(&f, mini_row(&f, "fish-moves", "fish_lot_id", "F2", "to_tank_id", "T2", "fish",
			       "50", "reason", "stocking", "at", "2026-03-19T07:00:00Z", NULL));
	look("2026-03-19T07:00:00Z");
	ck_assert_int_eq(only_open().raised_at, instant_of("2026-03-19T07:00:00Z"));
	mini_keep(&f, mini_row(&f, "fish-moves", "fish_lot_id", "F2", "from_tank_id", "T2", "fish",
			       "50", "reason", "sold_live", "at", "2026-03-19T09:00:00Z", NULL));
	look("2026-03-19T09:00:00Z");
	ck_assert_uint_eq(count_open(), 0);
}
END_TEST

START_TEST(a_struck_reading_takes_its_alarm_along_and_restored_brings_it_back)
{
	struct record *test = oxygen("T1", "2026-03-19T06:00:00Z", "2");
	struct record *row;

	look("2026-03-19T06:00:00Z");
	const struct open_alarm a = only_open();
	ck_assert(!mini_patch(&f, row_of(a.id), "action", "Turned the spare blower on", &row));
	ck_assert(!mini_strike(&f, test, NULL));
	look("2026-03-19T06:05:00Z");
	ck_assert_uint_eq(count_open(), 0);
	row = row_of(a.id);
	ck_assert(record_has(row, "struck_at")); /* never erased, and what was done stays on it */
	ck_assert_str_eq(record_text(row, "action"), "Turned the spare blower on");
	ck_assert(!mini_restore(&f, test, NULL));
	look("2026-03-19T06:10:00Z");
	ck_assert_int_eq(only_open().id, a.id);
	ck_assert_str_eq(only_open().action, "Turned the spare blower on");
}
END_TEST

START_TEST(a_corrected_reading_corrects_its_alarm)
{
	struct record *test = oxygen("T1", "2026-03-19T06:00:00Z", "4.4");

	look("2026-03-19T06:00:00Z");
	ck_assert(!mini_patch(&f, test, "do_mg_l", "6.4", &test));
	look("2026-03-19T06:05:00Z");
	ck_assert_uint_eq(count_open(), 0);
}
END_TEST

START_TEST(what_a_person_struck_out_does_not_come_again_while_it_lasts)
{
	oxygen("T1", "2026-03-19T06:00:00Z", "4.4");
	look("2026-03-19T06:00:00Z");
	const struct open_alarm a = only_open();
	ck_assert(!mini_strike(&f, row_of(a.id), NULL));
	oxygen("T1", "2026-03-19T06:30:00Z", "4.3");
	look("2026-03-19T06:30:00Z");
	ck_assert_uint_eq(count_open(), 0);
	/* over, and low again: that is another one; and a stop is another one too */
	oxygen("T1", "2026-03-19T07:00:00Z", "6");
	oxygen("T1", "2026-03-19T08:00:00Z", "4.3");
	look("2026-03-19T08:00:00Z");
	ck_assert_int_ne(only_open().id, a.id);
}
END_TEST

START_TEST(a_stop_comes_through_what_was_struck_out)
{
	oxygen("T1", "2026-03-19T06:00:00Z", "4.4");
	look("2026-03-19T06:00:00Z");
	ck_assert(!mini_strike(&f, row_of(only_open().id), NULL));
	oxygen("T1", "2026-03-19T06:30:00Z", "2.5");
	look("2026-03-19T06:30:00Z");
	ck_assert_str_eq(only_open().level, "stop_low");
}
END_TEST

START_TEST(what_was_done_does_not_move_what_was_read)
{
	oxygen("T1", "2026-03-19T06:00:00Z", "4.4");
	look("2026-03-19T06:00:00Z");
	struct record *row = row_of(only_open().id);

	ck_assert(!mini_patch(&f, row, "seen_by_id", "Nadia", &row));
	ck_assert_int_ne(only_open().seen_by_id, 0);
	check_refused(mini_patch(&f, row_of(row->id), "value", "6", &row), &f.err, ERR_INPUT,
		      "kept_by_service");
	check_refused(mini_patch(&f, row_of(row->id), "cleared_at", "2026-03-19T06:10:00Z", &row),
		      &f.err, ERR_INPUT, "kept_by_service");
}
END_TEST

START_TEST(a_reading_too_old_raises_by_the_clock_alone)
{
	bool waits;

	oxygen("T1", "2026-03-19T06:00:00Z", "6.4");
	look("2026-03-19T06:00:00Z");
	look("2026-03-20T08:00:00Z"); /* 26 hours */
	ck_assert_uint_eq(count_open(), 0);
	ck_assert(!alarms_wait(f.book, instant_of("2026-03-20T07:59:59Z"), &waits, &f.err) &&
		  !waits);
	look("2026-03-20T08:00:01Z");
	const struct open_alarm a = only_open();
	ck_assert_str_eq(a.level, "old");
	ck_assert(isnan(a.value));
	ck_assert_int_eq(a.raised_at, instant_of("2026-03-20T08:00:00Z"));
	oxygen("T1", "2026-03-20T08:30:00Z", "6");
	look("2026-03-20T08:30:00Z");
	ck_assert_uint_eq(count_open(), 0);
}
END_TEST

START_TEST(a_probe_that_goes_quiet_raises)
{
	struct record *probe =
		mini_keep(&f, mini_row(&f, "probes", "code", "P1", "place_id", "T1", "quantity",
				       "do_mg_l", "unit", "mg/L", "silent_after_min", "10", NULL));
	struct readings_in in;

	readings_begin(&in, f.book, f.hand.now);
	ck_assert(!readings_take(&in, "P1", instant_of("2026-03-20T12:00:00Z"), 6.1, &f.err));
	ck_assert(!readings_end(&in, ERR_NONE, &f.err));
	look("2026-03-20T12:10:00Z");
	ck_assert_uint_eq(count_open(), 0);
	look("2026-03-20T12:10:01Z");
	ck_assert_str_eq(only_open().level, "silent");
	ck_assert_int_eq(only_open().probe_id, probe->id);
	ck_assert_int_eq(only_open().raised_at, instant_of("2026-03-20T12:10:00Z"));
}
END_TEST

START_TEST(ammonia_that_nobody_typed_raises_too)
{
	mini_keep(&f, mini_row(&f, "water-tests", "place_id", "T1", "at", "2026-03-19T09:00:00Z",
			       "tan_mg_l", "3", "ph", "7.6", "temperature_c", "28", NULL));
	look("2026-03-19T09:00:00Z");
	ck_assert_str_eq(only_open().quantity, "nh3_n_mg_l");
	ck_assert_double_eq_tol(only_open().value, 0.0813, 0.0002);
}
END_TEST

START_TEST(what_comes_a_month_late_changes_no_alarm)
{
	f.hand.now = instant_of("2026-04-20T12:00:00Z");
	oxygen("T1", "2026-03-20T11:59:59Z", "2");
	look("2026-04-20T12:00:00Z");
	struct open_alarm *open;
	size_t n;
	ck_assert(!open_alarms_load(f.book, &f.arena, &open, &n, &f.err));
	for (size_t i = 0; i < n; i++)
		ck_assert_str_eq(open[i].level, "old");
}
END_TEST

START_TEST(report_ranks_the_gravest_first_with_air_left)
{
	struct report_query q = report_query_at(instant_of("2026-03-19T09:05:00Z"));
	struct report_result got;

	mini_keep(&f, mini_row(&f, "fish-moves", "fish_lot_id", "F2", "to_tank_id", "T2", "fish",
			       "100", "weight_g", "60000", "reason", "stocking", "at",
			       "2026-03-02T07:00:00Z", NULL));
	oxygen("T1", "2026-03-19T09:00:00Z", "2.5");
	oxygen("T2", "2026-03-19T09:01:00Z", "4.5");
	look("2026-03-19T09:05:00Z");
	report_run(f.book, "alarms", &q, &f.arena, &got);
	ck_assert_uint_eq(got.n_rows, 2);
	ck_assert_str_eq(report_text(&got, 0, "place"), "T1");
	ck_assert_double_eq(report_real(&got, 0, "air_left_min"), 0);
	ck_assert_double_eq(report_real(&got, 0, "limit_value"), 3);
	/* 5000 L x 1.5 mg/L over some 60 kg x 300 mg/kg/h: about 25 minutes; the fish have grown a little */
	ck_assert_double_eq_tol(report_real(&got, 1, "air_left_min"), 25, 5);
	report_run(f.book, "air", &q, &f.arena, &got);
	ck_assert_uint_eq(got.n_rows, 2);
	ck_assert_str_eq(report_text(&got, 0, "tank"), "T1");
	ck_assert_int_eq(report_int(&got, 0, "usual_uptake"), 1);
	ck_assert_int_eq(report_int(&got, 0, "usual_stop"), 0);
}
END_TEST

/* --- any order of arrival ----------------------------------------------------------------------------- */

enum { ENTRIES_MAX = 40 };

struct entry {
	char at[32], oxygen[16], key[40];
	const char *place;
	bool strike, correct;
};

static void make_entries(struct chance *c, struct entry *all, size_t n)
{
	for (size_t i = 0; i < n; i++) {
		const int64_t minute = chance_between(c, 0, 9 * 24 * 60 - 1);

		snprintf(all[i].at, sizeof(all[i].at), "2026-03-%02dT%02d:%02d:%02dZ",
			 (int)(10 + minute / 1440), (int)(minute / 60 % 24), (int)(minute % 60),
			 (int)i);
		snprintf(all[i].oxygen, sizeof(all[i].oxygen), "%.1f",
			 (double)chance_between(c, 20, 70) / 10.0);
		snprintf(all[i].key, sizeof(all[i].key), "0000%04x-0000-4000-8000-%012x",
			 (unsigned)i, (unsigned)i + 1);
		all[i].place = chance_between(c, 0, 3) ? "T1" : "T2";
		all[i].strike = chance_between(c, 0, 7) == 0;
		all[i].correct = chance_between(c, 0, 7) == 0;
	}
}

static void keep_entry(const struct entry *e)
{
	struct record *r =
		mini_keep(&f, mini_row(&f, "water-tests", "key", e->key, "place_id", e->place, "at",
				       e->at, "do_mg_l", e->oxygen, NULL));

	if (e->correct)
		ck_assert(!mini_patch(&f, r, "do_mg_l", "6.6", &r));
	if (e->strike)
		ck_assert(!mini_strike(&f, r, NULL));
}

static void stock_t2(void)
{
	mini_keep(&f, mini_row(&f, "fish-moves", "fish_lot_id", "F2", "to_tank_id", "T2", "fish",
			       "50", "reason", "stocking", "at", "2026-03-14T07:00:00Z", NULL));
}

/* All alarms that stand, as one text in their own order. */
static const char *alarms_text(void)
{
	const struct list_query all = { .kind = kind_find("alarms"),
					.from_day = INT64_MIN,
					.to_day = INT64_MAX };
	struct record_list *list;
	const struct record *r;
	const char *lines[400];
	size_t n = 0;
	const char *text = "";

	ck_assert(!record_list_open(f.store, &all, &list, &f.err));
	while (!record_list_next(list, &r, &f.err))
		lines[n++] = arena_printf(&f.arena, "%lld %lld %s %s %lld %g\n",
					  (long long)record_int(r, "raised_at", 0),
					  (long long)record_int(r, "place_id", 0),
					  record_text(r, "quantity"), record_text(r, "level"),
					  (long long)record_int(r, "cleared_at", -1),
					  record_real(r, "value"));
	record_list_close(list);
	err_clear(&f.err);
	for (size_t i = 0; i < n; i++)
		for (size_t j = i + 1; j < n; j++)
			if (strcmp(lines[j], lines[i]) < 0) {
				const char *swap = lines[i];
				lines[i] = lines[j];
				lines[j] = swap;
			}
	for (size_t i = 0; i < n; i++)
		text = arena_printf(&f.arena, "%s%s", text, lines[i]);
	return text;
}

static int by_at(const void *a, const void *b)
{
	return strcmp(((const struct entry *)a)->at, ((const struct entry *)b)->at);
}

START_TEST(any_order_of_arrival_gives_the_same_alarms)
{
	struct chance c = { 20260319 + (uint64_t)_i };
	struct entry all[ENTRIES_MAX];
	const size_t n = (size_t)chance_between(&c, 5, ENTRIES_MAX);
	char in_order[16384];

	make_entries(&c, all, n);
	/* in order, looked at after each, as the days go by */
	qsort(all, n, sizeof(*all), by_at);
	for (size_t i = 0; i < n; i++) {
		if (strcmp(all[i].at, "2026-03-14T07") >= 0 &&
		    (i == 0 || strcmp(all[i - 1].at, "2026-03-14T07") < 0))
			stock_t2();
		keep_entry(&all[i]);
		look(all[i].at);
	}
	if (strcmp(all[n - 1].at, "2026-03-14T07") < 0)
		stock_t2();
	look(MINI_FARM_NOW);
	snprintf(in_order, sizeof(in_order), "%s", alarms_text());
	close_farm();
	open_farm();
	/* the same in any order, looked at now and then, on the last day */
	for (size_t i = n; i > 1; i--) {
		const size_t j = (size_t)chance_between(&c, 0, (int64_t)i - 1);
		const struct entry swap = all[i - 1];

		all[i - 1] = all[j];
		all[j] = swap;
	}
	const size_t stocked = (size_t)chance_between(&c, 0, (int64_t)n - 1);
	for (size_t i = 0; i < n; i++) {
		if (i == stocked)
			stock_t2();
		keep_entry(&all[i]);
		if (chance_between(&c, 0, 2) == 0)
			look(MINI_FARM_NOW);
	}
	look(MINI_FARM_NOW);
	check_that(strcmp(in_order, alarms_text()) == 0, "seed %d\nin order:\n%sshuffled:\n%s", _i,
		   in_order, alarms_text());
}
END_TEST

Suite *alarms_suite(void)
{
	Suite *s = suite_create("alarms");
	TCase *t = tcase_create("book");

	tcase_add_checked_fixture(t, open_farm, close_farm);
	tcase_add_test(t, low_oxygen_raises_and_a_good_reading_clears);
	tcase_add_test(t, a_stop_is_an_alarm_of_its_own);
	tcase_add_test(t, a_tank_without_fish_raises_nothing);
	tcase_add_test(t, a_struck_reading_takes_its_alarm_along_and_restored_brings_it_back);
	tcase_add_test(t, a_corrected_reading_corrects_its_alarm);
	tcase_add_test(t, what_a_person_struck_out_does_not_come_again_while_it_lasts);
	tcase_add_test(t, a_stop_comes_through_what_was_struck_out);
	tcase_add_test(t, what_was_done_does_not_move_what_was_read);
	tcase_add_test(t, a_reading_too_old_raises_by_the_clock_alone);
	tcase_add_test(t, a_probe_that_goes_quiet_raises);
	tcase_add_test(t, ammonia_that_nobody_typed_raises_too);
	tcase_add_test(t, what_comes_a_month_late_changes_no_alarm);
	tcase_add_test(t, report_ranks_the_gravest_first_with_air_left);
	tcase_add_loop_test(t, any_order_of_arrival_gives_the_same_alarms, 0, 60);
	suite_add_tcase(s, t);
	return s;
}

/* Readings of probes: one for each instant, their hours and days, wrong stretches, charts, and CSV.  The farm
 * is in Europe/Madrid and its day begins at 4. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "book/import.h"
#include "book/readings_csv.h"
#include "book/readings_series.h"
#include "book/readings_sums.h"
#include "book_tests.h"
#include "support/mini_farm.h"
#include "support/support.h"

static struct mini_farm f;

static struct record *add_probe(const char *code, const char *silent_after_min)
{
	return mini_keep(&f, mini_row(&f, "probes", "code", code, "place_id", "T1", "quantity",
				      "do_mg_l", "unit", "mg/L", "silent_after_min",
				      silent_after_min, NULL));
}

static void open_farm(void)
{
	mini_farm_open(&f);
	add_probe("DO-1", "60");
	add_probe("DO-2", "");
}

static void close_farm(void)
{
	mini_farm_close(&f);
}

static struct probe probe(const char *code)
{
	struct probe p;

	check_ok(probe_find(f.book, code, &f.arena, &p, &f.err), &f.err);
	return p;
}

/* A batch of one; returns 1 when it was kept, 0 when it was there already. */
static int64_t take(const char *code, const char *at, double value)
{
	struct readings_in in;

	readings_begin(&in, f.book, f.hand.now);
	err_clear(&f.err);
	enum err_code rc = readings_take(&in, code, instant_of(at), value, &f.err);
	const int64_t kept = in.kept;
	ck_assert_int_eq(readings_end(&in, rc, &f.err), ERR_NONE);
	ck_assert_int_eq(in.kept + in.same, 1);
	return kept;
}

static void add_one(const struct sums *s, void *with)
{
	sums_add_part(with, s);
}

/* All of the hours, or days, that are kept. */
static struct sums total(const char *code, enum query query)
{
	struct sums all = { 0 };

	check_ok(sums_read(f.book, query, probe(code).id, INT64_MIN, INT64_MAX, add_one, &all,
			   &f.err),
		 &f.err);
	return all;
}

static void count_finding(const char *text, void *with)
{
	(void)text;
	++*(int *)with;
}

static int findings(void)
{
	int n = 0;

	check_ok(readings_check_sums(f.book, count_finding, &n, &f.err), &f.err);
	return n;
}

/* --- one for each instant ------------------------------------------------------------------------ */

START_TEST(a_probe_has_one_reading_for_an_instant)
{
	ck_assert_int_eq(take("DO-1", "2026-03-19T07:00:00Z", 7.1), 1);
	ck_assert_int_eq(take("DO-1", "2026-03-19T07:00:00Z", 7.1), 0);
	ck_assert_int_eq(take("DO-1", "2026-03-19T07:01:00Z", 7.3), 1);
	ck_assert_int_eq(take("DO-1", "2026-03-19T07:00:00Z", 6.5), 1); /* the last one stands */
	ck_assert_int_eq(take("DO-2", "2026-03-19T07:00:00Z", 9), 1);

	const struct sums hours = total("DO-1", Q_READING_HOURS);

	ck_assert_int_eq(hours.readings, 2);
	ck_assert_double_eq(hours.sum, 6.5 + 7.3);
	ck_assert_double_eq(hours.low, 6.5);
	ck_assert_double_eq(hours.high, 7.3);
	ck_assert_int_eq(total("DO-1", Q_READING_DAYS).readings, 2);
	ck_assert_int_eq(total("DO-2", Q_READING_DAYS).readings, 1);
}
END_TEST

START_TEST(what_cannot_be_is_refused)
{
	const struct probe p = probe("DO-1");
	const int64_t now = f.hand.now;

	ck_assert_double_eq(p.most, 40); /* as the dictionary has it for a water test */
	check_refused(reading_check(&p, now, 40.1, now, &f.err), &f.err, ERR_INPUT, "out_of_range");
	check_refused(reading_check(&p, now, -0.1, now, &f.err), &f.err, ERR_INPUT, "out_of_range");
	check_refused(reading_check(&p, now + 601, 7, now, &f.err), &f.err, ERR_INPUT, "in_future");
	check_ok(reading_check(&p, now + 600, 40, now, &f.err), &f.err);
	check_refused(probe_find(f.book, "DO-9", &f.arena, &(struct probe){ 0 }, &f.err), &f.err,
		      ERR_INPUT, "unknown_reference");
	check_refused(probe_find(f.book, "T1", &f.arena, &(struct probe){ 0 }, &f.err), &f.err,
		      ERR_INPUT, "wrong_kind");
	check_refused(probe_find(f.book, "#999", &f.arena, &(struct probe){ 0 }, &f.err), &f.err,
		      ERR_INPUT, "unknown_reference");
}
END_TEST

/* --- hours and days, in any order ---------------------------------------------------------------- */

enum { SENT = 600, DAYS = 6 };

struct sent {
	int64_t at;
	double value;
};

static struct sent all[SENT];

static int by_time(const void *a, const void *b)
{
	const struct sent *x = a, *y = b;

	return x->at < y->at ? -1 : x->at > y->at;
}

/* Sends them in batches of random length. */
static void send_all(const char *code, struct chance *c)
{
	size_t i = 0;

	while (i < SENT) {
		struct readings_in in;
		enum err_code rc = ERR_NONE;
		size_t end = i + (size_t)chance_between(c, 1, 50);

		readings_begin(&in, f.book, f.hand.now);
		for (; !rc && i < end && i < SENT; i++)
			rc = readings_take(&in, code, all[i].at, all[i].value, &f.err);
		ck_assert_int_eq(readings_end(&in, rc, &f.err), ERR_NONE);
	}
}

/* What the hour, or the farm's day, must be by going through all that was sent: the last of an instant counts. */
static struct sums by_hand(int64_t unit, bool day)
{
	struct sums s = { .at = unit };

	for (size_t i = 0; i < SENT; i++) {
		bool stands = (day ? book_day(f.book, all[i].at) : hour_of(all[i].at)) == unit;
		for (size_t later = i + 1; stands && later < SENT; later++)
			stands = all[later].at != all[i].at;
		if (stands)
			sums_add(&s, all[i].value);
	}
	return s;
}

static void take_sums(const struct sums *s, void *with)
{
	*(struct sums *)with = *s;
}

static struct sums kept(const char *code, enum query query, int64_t unit)
{
	struct sums s = { .at = unit };

	check_ok(sums_read(f.book, query, probe(code).id, unit, unit + 1, take_sums, &s, &f.err),
		 &f.err);
	return s;
}

static void compare(const struct sums *a, const struct sums *b, double tolerance, uint64_t seed)
{
	check_that(a->readings == b->readings && a->low == b->low && a->high == b->high &&
			   fabs(a->sum - b->sum) <= tolerance,
		   "seed %llu: %lld of %lld", (unsigned long long)seed, (long long)a->readings,
		   (long long)b->readings);
}

/* Late, again and out of order, in a zone of half hours over a change of daylight saving or not. */
START_TEST(hours_and_days_are_what_the_readings_give)
{
	const uint64_t seed = (uint64_t)_i + 1;
	const char *zone = _i % 2 ? "Australia/Lord_Howe" : "Asia/Kolkata";
	struct chance c = { seed };
	/* Lord Howe's clocks go back half an hour on 2026-04-05: IANA time zone database */
	const int64_t begin = instant_of("2026-04-02T00:00:00Z");
	struct record *farm, *now;

	f.hand.now = instant_of("2026-06-01T00:00:00Z");
	check_ok(store_get(f.store, kind_find("farm"), 1, &f.arena, &farm, &f.err), &f.err);
	check_ok(mini_patch(&f, farm, "time_zone", zone, &now), &f.err);
	for (size_t i = 0; i < SENT; i++) {
		/* some instants come twice, with the same value or another */
		all[i].at = begin + chance_between(&c, 0, DAYS * 86400 / 600) * 600;
		all[i].value = (double)chance_between(&c, 0, 4000) / 100;
	}
	send_all("DO-1", &c);
	for (int64_t h = hour_of(begin) - 1; h <= hour_of(begin) + DAYS * 24; h++) {
		const struct sums a = kept("DO-1", Q_READING_HOURS, h), b = by_hand(h, false);
		compare(&a, &b, 1e-9, seed);
	}
	const int64_t first = book_day(f.book, begin);
	for (int64_t d = first - 1; d <= first + DAYS + 1; d++) {
		const struct sums a = kept("DO-1", Q_READING_DAYS, d), b = by_hand(d, true);
		compare(&a, &b, 1e-9, seed);
	}
	ck_assert_int_eq(findings(), 0);

	/* the same in the order of time gives the same digits */
	size_t n = 0;
	for (size_t i = 0; i < SENT; i++) {
		bool stands = true;
		for (size_t later = i + 1; stands && later < SENT; later++)
			stands = all[later].at != all[i].at;
		if (stands)
			all[n++] = all[i];
	}
	qsort(all, n, sizeof(all[0]), by_time);
	for (size_t i = n; i < SENT; i++)
		all[i] = all[n - 1];
	send_all("DO-2", &c);
	for (int64_t d = first - 1; d <= first + DAYS + 1; d++) {
		const struct sums a = kept("DO-1", Q_READING_DAYS, d),
				  b = kept("DO-2", Q_READING_DAYS, d);
		compare(&a, &b, 0, seed);
	}
}
END_TEST

/* --- wrong stretches ------------------------------------------------------------------------------ */

static void take_three(void)
{
	take("DO-1", "2026-03-18T07:10:00Z", 7);
	take("DO-1", "2026-03-19T07:10:00Z", 1); /* out of the water */
	take("DO-1", "2026-03-19T08:10:00Z", 8);
}

START_TEST(a_wrong_stretch_counts_for_nothing_and_can_be_taken_back)
{
	struct series_point newest;
	struct record *fault, *now;

	take_three();
	fault = mini_keep(&f,
			  mini_row(&f, "probe-faults", "probe_id", "DO-1", "began_at",
				   "2026-03-19T07:10:00Z", "ended_at", "2026-03-19T07:10:00Z", "at",
				   "2026-03-19T09:00:00Z", "cause", "out of the water", NULL));
	ck_assert_int_eq(total("DO-1", Q_READING_HOURS).readings, 2);
	ck_assert_double_eq(total("DO-1", Q_READING_DAYS).low, 7);
	ck_assert_int_eq(findings(), 0);

	/* it lasts: the newest that stands is the day before's; a late reading in it does not count */
	check_ok(mini_patch(&f, fault, "ended_at", "", &fault), &f.err);
	ck_assert_int_eq(total("DO-1", Q_READING_DAYS).readings, 1);
	ck_assert_int_eq(take("DO-1", "2026-03-19T09:10:00Z", 3), 1);
	ck_assert_int_eq(total("DO-1", Q_READING_DAYS).readings, 1);
	check_ok(reading_newest(f.book, probe("DO-1").id, INT64_MAX, &newest, &f.err), &f.err);
	ck_assert_double_eq(newest.mean, 7);

	check_ok(mini_strike(&f, fault, &now), &f.err);
	ck_assert_int_eq(total("DO-1", Q_READING_DAYS).readings, 4);
	check_ok(mini_restore(&f, fault, &now), &f.err);
	ck_assert_int_eq(total("DO-1", Q_READING_HOURS).readings, 1);
	ck_assert_int_eq(findings(), 0);
	ck_assert_int_eq(
		mini_create(&f,
			    mini_row(&f, "probe-faults", "probe_id", "DO-1", "began_at",
				     "2026-03-19T08:00:00Z", "ended_at", "2026-03-19T07:00:00Z",
				     "at", "2026-03-19T09:00:00Z", NULL),
			    NULL),
		ERR_INPUT);
}
END_TEST

START_TEST(days_follow_the_hour_at_which_they_begin)
{
	struct record *farm, *now;

	take("DO-1", "2026-03-19T02:30:00Z", 7); /* 03:30 in Madrid: the day before */
	ck_assert_int_eq(kept("DO-1", Q_READING_DAYS, day_of("2026-03-18")).readings, 1);
	check_ok(store_get(f.store, kind_find("farm"), 1, &f.arena, &farm, &f.err), &f.err);
	check_ok(mini_patch(&f, farm, "day_begins_hour", "0", &now), &f.err);
	ck_assert_int_eq(kept("DO-1", Q_READING_DAYS, day_of("2026-03-18")).readings, 0);
	ck_assert_int_eq(kept("DO-1", Q_READING_DAYS, day_of("2026-03-19")).readings, 1);
}
END_TEST

START_TEST(check_finds_what_is_lost_and_rebuild_mends_it)
{
	static const enum query drops[] = { Q_READING_HOURS_DROP, Q_READING_DAYS_DROP };

	take_three();
	for (size_t i = 0; i < 2; i++) {
		const int64_t last =
			i ? day_of("2026-03-19") : hour_of(instant_of("2026-03-19T08:10:00Z"));

		check_ok(store_run_ints(f.store, drops[i], &f.err, ":probe_id", probe("DO-1").id,
					":begin", last, ":end", last + 1, NULL),
			 &f.err);
		ck_assert_int_eq(findings(), 1);
		check_ok(readings_rebuild(f.book, &f.err), &f.err);
		ck_assert_int_eq(findings(), 0);
	}
	ck_assert_int_eq(total("DO-1", Q_READING_DAYS).readings, 3);
}
END_TEST

/* --- charts --------------------------------------------------------------------------------------- */

/* Readings every so many seconds, at first 5.0, then by 0.1 more. */
static void take_every(const char *code, const char *from, int64_t seconds, int64_t n)
{
	struct readings_in in;
	enum err_code rc = ERR_NONE;

	readings_begin(&in, f.book, f.hand.now);
	for (int64_t i = 0; !rc && i < n; i++)
		rc = readings_take(&in, code, instant_of(from) + i * seconds,
				   5 + (double)(i % 100) / 10, &f.err);
	ck_assert_int_eq(readings_end(&in, rc, &f.err), ERR_NONE);
}

static struct series load(const char *code, const char *from, const char *to, enum series_step step,
			  int64_t most)
{
	struct probe p = probe(code);
	struct series s;

	check_ok(
		series_load(f.book, &p, day_of(from), day_of(to), step, most, &f.arena, &s, &f.err),
		&f.err);
	return s;
}

static size_t gaps(const struct series *s)
{
	size_t n = 0;

	for (size_t i = 0; i < s->n; i++)
		n += s->points[i].readings == 0;
	return n;
}

START_TEST(the_step_is_the_finest_that_fits)
{
	static const struct {
		int64_t most;
		enum series_step step;
	} fits[] = {
		{ 5000, STEP_EACH },        { 2880, STEP_EACH },        { 2879, STEP_FIVE_MINUTES },
		{ 576, STEP_FIVE_MINUTES }, { 575, STEP_QUARTER_HOUR }, { 200, STEP_QUARTER_HOUR },
		{ 100, STEP_HOUR },         { 20, STEP_SIX_HOURS },     { 7, STEP_DAY },
		{ 1, STEP_WEEK },
	};

	/* two days of minutes from a day's start; 3 o'clock UTC is 4 in Madrid */
	take_every("DO-1", "2026-03-17T03:00:00Z", 60, 2880);
	for (size_t i = 0; i < sizeof(fits) / sizeof(fits[0]); i++) {
		/* days without readings around them are not looked at */
		const struct series s =
			load("DO-1", "2016-01-01", "2026-03-20", STEP_AUTO, fits[i].most);

		check_that(s.step == fits[i].step, "%lld points: %s", (long long)fits[i].most,
			   series_step_words[s.step]);
		check_that(fits[i].most == 1 || (int64_t)s.n <= fits[i].most, "%zu points", s.n);
		ck_assert_uint_eq(gaps(&s), 0);
	}
}
END_TEST

START_TEST(points_hold_what_their_step_has)
{
	struct series s;

	take_every("DO-1", "2026-03-17T03:00:00Z", 60, 2880);
	s = load("DO-1", "2026-03-17", "2026-03-18", STEP_FIVE_MINUTES, 0);
	ck_assert_uint_eq(s.n, 576);
	ck_assert_int_eq(s.points[1].at, instant_of("2026-03-17T03:05:00Z"));
	ck_assert_double_eq_tol(s.points[1].mean, 5.7, 1e-12);
	ck_assert_double_eq(s.points[1].low, 5.5);
	ck_assert_double_eq(s.points[1].high, 5.9);
	s = load("DO-1", "2026-03-18", "2026-03-18", STEP_HOUR, 0);
	ck_assert_uint_eq(s.n, 24);
	ck_assert_int_eq(s.points[0].at, instant_of("2026-03-18T03:00:00Z"));
	s = load("DO-1", "2026-03-16", "2026-03-20", STEP_DAY, 0);
	ck_assert_uint_eq(s.n, 2);
	ck_assert_int_eq(s.points[0].at, instant_of("2026-03-17T03:00:00Z"));
	ck_assert_int_eq(s.points[1].readings, 1440);
	s = load("DO-1", "2026-03-16", "2026-03-20", STEP_WEEK, 0);
	ck_assert_uint_eq(s.n, 1);
	ck_assert_int_eq(s.points[0].at, instant_of("2026-03-16T03:00:00Z")); /* a Monday */
	ck_assert_int_eq(s.points[0].readings, 2880);
	ck_assert_uint_eq(load("DO-1", "2026-03-01", "2026-03-10", STEP_AUTO, 100).n, 0);
}
END_TEST

START_TEST(a_gap_is_longer_than_the_probe_may_be_silent)
{
	struct series s;

	/* DO-1 may be silent for an hour; DO-2 is not set and comes every ten minutes */
	take_every("DO-1", "2026-03-17T03:00:00Z", 600, 6);
	take_every("DO-1", "2026-03-17T04:50:00Z", 600, 6); /* after 60 minutes: none */
	take_every("DO-1", "2026-03-17T06:41:00Z", 600, 6); /* after 61 */
	s = load("DO-1", "2026-03-17", "2026-03-17", STEP_EACH, 0);
	ck_assert_uint_eq(s.n, 19);
	ck_assert_uint_eq(gaps(&s), 1);
	ck_assert_int_eq(s.points[12].readings, 0);
	ck_assert_int_gt(s.points[12].at, instant_of("2026-03-17T05:40:00Z"));
	ck_assert_int_lt(s.points[12].at, instant_of("2026-03-17T06:41:00Z"));

	take_every("DO-2", "2026-03-17T03:00:00Z", 600, 6);
	take_every("DO-2", "2026-03-17T04:20:00Z", 600, 6); /* after 30 minutes: none */
	take_every("DO-2", "2026-03-17T05:41:00Z", 600, 6); /* after 31 */
	s = load("DO-2", "2026-03-17", "2026-03-17", STEP_EACH, 0);
	ck_assert_uint_eq(gaps(&s), 1);

	/* by the hour: one that is missing */
	take_every("DO-2", "2026-03-18T03:00:00Z", 600, 12);
	take_every("DO-2", "2026-03-18T06:00:00Z", 600, 12);
	s = load("DO-2", "2026-03-18", "2026-03-18", STEP_HOUR, 0);
	ck_assert_uint_eq(s.n, 5);
	ck_assert_int_eq(s.points[2].readings, 0);
	ck_assert_int_eq(s.points[2].at, instant_of("2026-03-18T05:00:00Z"));
}
END_TEST

/* The night of 29 March 2026 is an hour short in Madrid: days follow each other all the same. */
START_TEST(a_change_of_the_clocks_is_no_gap)
{
	f.hand.now = instant_of("2026-04-10T00:00:00Z");
	take_every("DO-2", "2026-03-26T03:00:00Z", 600, 8 * 144);

	const struct series s = load("DO-2", "2026-03-20", "2026-04-10", STEP_DAY, 0);

	ck_assert_uint_eq(gaps(&s), 0);
	ck_assert_int_eq(s.points[2].readings, 144 - 6);
}
END_TEST

/* --- versions -------------------------------------------------------------------------------------- */

START_TEST(readings_have_a_version_of_their_own)
{
	check_ok(store_commit(f.store, &f.err), &f.err);
	const int64_t record = store_version(f.store), readings = store_readings_version(f.store);

	check_ok(store_begin(f.store, &f.err), &f.err);
	take("DO-1", "2026-03-19T07:00:00Z", 7);
	check_ok(store_commit(f.store, &f.err), &f.err);
	ck_assert_int_eq(store_version(f.store), record);
	ck_assert_int_eq(store_readings_version(f.store), readings + 1);

	/* the same again, and what is undone, change nothing */
	check_ok(store_begin(f.store, &f.err), &f.err);
	take("DO-1", "2026-03-19T07:00:00Z", 7);
	check_ok(store_savepoint(f.store, &f.err), &f.err);
	take("DO-1", "2026-03-19T08:00:00Z", 7);
	store_undo(f.store);
	check_ok(store_commit(f.store, &f.err), &f.err);
	ck_assert_int_eq(store_version(f.store), record);
	ck_assert_int_eq(store_readings_version(f.store), readings + 1);

	/* an entry beside them */
	check_ok(store_begin(f.store, &f.err), &f.err);
	take("DO-1", "2026-03-19T09:00:00Z", 7);
	add_probe("DO-3", "");
	check_ok(store_commit(f.store, &f.err), &f.err);
	ck_assert_int_eq(store_version(f.store), record + 1);
	ck_assert_int_eq(store_readings_version(f.store), readings + 2);
	check_ok(store_begin(f.store, &f.err), &f.err); /* the farm closes with one open */
}
END_TEST

/* --- CSV -------------------------------------------------------------------------------------------- */

static enum err_code import(const char *text, struct import_result *result)
{
	const struct import_file file = { "readings.csv", text, strlen(text), NULL };
	const struct import_options options = { .separator = ',',
						.decimal = '.',
						.now = f.hand.now };

	err_clear(&f.err);
	return book_import(f.book, &file, 1, &options, &f.arena, result, &f.err);
}

static enum err_code keep_text(void *with, struct err *err)
{
	(void)with;
	(void)err;
	return ERR_NONE;
}

static const char *exported(bool wrong_too)
{
	const struct readings_wanted w = { .begin = INT64_MIN,
					   .end = INT64_MAX,
					   .wrong_too = wrong_too };
	struct strbuf text;

	strbuf_init(&text);
	check_ok(readings_csv_write(f.book, &w, &text, keep_text, NULL, &f.err), &f.err);
	const char *kept_text = arena_strndup(&f.arena, text.text, text.length);
	strbuf_release(&text);
	return kept_text;
}

START_TEST(a_file_of_readings_goes_in_and_comes_out)
{
	static const char in_order[] = "probe,at,value\r\n"
				       "DO-1,2026-03-19T07:00:00Z,7.1\r\n"
				       "DO-1,2026-03-19T07:10:00Z,0.1\r\n"
				       "DO-2,2026-03-19T07:00:00Z,8\r\n";
	struct import_result result;
	const size_t k = kind_index(kind_find("readings"));

	/* columns and rows in any order, a time by the farm's clock, a code in small letters */
	ck_assert_int_eq(import("value,probe,at\r\n"
				"8,DO-2,2026-03-19 08:00\r\n"
				"0.1,do-1,2026-03-19T07:10:00Z\r\n"
				"7.1,DO-1,2026-03-19T08:00:00+01:00\r\n",
				&result),
			 ERR_NONE);
	ck_assert_int_eq(result.counts[k].added, 3);
	ck_assert_str_eq(exported(true), in_order);
	ck_assert_int_eq(import(in_order, &result), ERR_NONE);
	ck_assert_int_eq(result.counts[k].added, 0);
	ck_assert_int_eq(result.counts[k].same, 3);
	mini_keep(&f, mini_row(&f, "probe-faults", "probe_id", "DO-1", "began_at",
			       "2026-03-19T07:05:00Z", "at", "2026-03-19T09:00:00Z", NULL));
	ck_assert_str_eq(exported(true), in_order);
	ck_assert_ptr_null(strstr(exported(false), "0.1"));
	ck_assert_int_eq(findings(), 0);
}
END_TEST

START_TEST(a_file_with_a_bad_line_leaves_nothing)
{
	static const struct {
		const char *line, *field, *code;
	} bad[] = {
		{ "DO-9,2026-03-19T07:00:00Z,7", "probe", "unknown_reference" },
		{ "DO-1,2026-02-30T07:00:00Z,7", "at", "not_a_time" },
		{ "DO-1,2026-03-19T07:00:00Z,seven", "value", "not_a_number" },
		{ "DO-1,2026-03-19T07:00:00Z,1e999", "value", "not_a_number" },
		{ "DO-1,2026-03-19T07:00:00Z,nan", "value", "not_a_number" },
		{ "DO-1,2026-03-19T07:00:00Z,", "value", "required" },
		{ "DO-1,,7", "at", "required" },
		{ ",2026-03-19T07:00:00Z,7", "probe", "required" },
		{ "DO-1,2026-03-19T07:00:00Z,41", "value", "out_of_range" },
		{ "DO-1,2027-03-19T07:00:00Z,7", "at", "in_future" },
		{ "DO-1,2026-03-19T07:00:00Z", "", "cell_count" },
	};
	struct import_result result;

	for (size_t i = 0; i < sizeof(bad) / sizeof(bad[0]); i++) {
		const char *text = arena_printf(
			&f.arena, "probe,at,value\nDO-1,2026-03-19T06:00:00Z,7\n%s\n", bad[i].line);

		ck_assert_int_eq(import(text, &result), ERR_INPUT);
		ck_assert_uint_eq(result.n_faults, 1);
		check_that(result.errors[0].line == 3 &&
				   !strcmp(result.errors[0].item.field, bad[i].field) &&
				   !strcmp(result.errors[0].item.code, bad[i].code),
			   "%s: %s %s", bad[i].line, result.errors[0].item.field,
			   result.errors[0].item.code);
		ck_assert_int_eq(total("DO-1", Q_READING_HOURS).readings, 0);
	}
	ck_assert_int_eq(import("probe,at,value,key\nDO-1,2026-03-19T06:00:00Z,7,\n", &result),
			 ERR_INPUT);
	ck_assert_str_eq(result.errors[0].item.code, "unknown_column");
	ck_assert_int_eq(import("probe,at\n", &result), ERR_INPUT);
	ck_assert_str_eq(result.errors[0].item.code, "missing_column");
}
END_TEST

Suite *readings_suite(void)
{
	Suite *s = suite_create("readings");
	TCase *t = tcase_create("readings");

	tcase_add_checked_fixture(t, open_farm, close_farm);
	tcase_add_test(t, a_probe_has_one_reading_for_an_instant);
	tcase_add_test(t, what_cannot_be_is_refused);
	tcase_add_loop_test(t, hours_and_days_are_what_the_readings_give, 0, 20);
	tcase_add_test(t, a_wrong_stretch_counts_for_nothing_and_can_be_taken_back);
	tcase_add_test(t, days_follow_the_hour_at_which_they_begin);
	tcase_add_test(t, check_finds_what_is_lost_and_rebuild_mends_it);
	tcase_add_test(t, the_step_is_the_finest_that_fits);
	tcase_add_test(t, points_hold_what_their_step_has);
	tcase_add_test(t, a_gap_is_longer_than_the_probe_may_be_silent);
	tcase_add_test(t, a_change_of_the_clocks_is_no_gap);
	tcase_add_test(t, readings_have_a_version_of_their_own);
	tcase_add_test(t, a_file_of_readings_goes_in_and_comes_out);
	tcase_add_test(t, a_file_with_a_bad_line_leaves_nothing);
	suite_add_tcase(s, t);
	return s;
}

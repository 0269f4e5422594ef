/*
 * A projection moves by what becomes known, never by the calendar: fish that live a random spring, written down as
 * crews do, then weeks in which nobody writes anything.
 */
#include "book_tests.h"
#include "support/fish_farm.h"
#include "support/support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { SEEDS = 40, LIVED_DAYS = 50, SILENT_DAYS = 24 };

static struct chance c;
static double mean_g;
static int64_t fish;

static const char *when(int64_t day, int64_t second)
{
	char *text = arena_alloc(&own_farm.arena, TIME_TEXT_MAX);

	time_write(text, instant_of("2026-03-01T00:00:00Z") + day * 86400 + second);
	return text;
}

static const char *number(double v)
{
	return arena_printf(&own_farm.arena, "%.0f", v);
}

static bool happens(int64_t percent)
{
	return chance_between(&c, 1, 100) <= percent;
}

static void set_up(void)
{
	const char *floor = happens(50) ? "1" : "";

	mini_keep(&own_farm, mini_row(&own_farm, "species", "name", "Market fish", "tgc_prior", "1",
				      "tgc_prior_sd", "0.2", "temperature_optimum_c", "28",
				      "market_weight_g", "300", "conversion_floor", floor, NULL));
	mini_keep(&own_farm, mini_row(&own_farm, "fish-lots", "code", "FM", "species_id",
				      "Market fish", NULL));
	mean_g = (double)chance_between(&c, 40, 150);
	fish = chance_between(&c, 400, 2000);
	stock("FM", "X", number((double)fish), number(mean_g * (double)fish),
	      when(0, chance_between(&c, 0, 86399)));
}

/* One day of the crew's; some of it is forgotten. */
static void live(int64_t day, bool scarce)
{
	const double share = scarce ? 0.004 : 0.02;

	mean_g *= 1.0 + (double)chance_between(&c, 0, 20) / 1000.0;
	if (happens(60))
		warm("X", number((double)chance_between(&c, 18, 31)), when(day, 21600));
	for (int64_t meal = 0; meal < 2; meal++)
		if (happens(85))
			feed("X", number(share * mean_g * (double)fish / 2.0),
			     when(day, 25200 + meal * 28800));
	if (happens(10)) {
		dead("FM", "X", "2", "", when(day, 30000));
		fish -= 2;
	}
	if (happens(8))
		weigh("FM", "X", "50", number(mean_g * 50.0), when(day, 36000));
	if (day == 30 && happens(50)) {
		move("FM", "X", "Y", number((double)fish / 4.0), "", when(day, 40000));
		fish -= (int64_t)((double)fish / 4.0);
	}
}

static double nth(const char *list, int64_t i)
{
	char *end = NULL;
	double v = NAN;

	for (const char *at = list; i >= 0; i--, at = end)
		v = strtod(at, &end);
	return v;
}

/* At some time of the day, but not before the farm's day before is over too: until then more may be fed. */
/* At some time of a day when the farm's day before is over: until then more may be fed. */
static void growth_on(int64_t day, struct report_result *out)
{
	struct report_query q =
		report_query_at(instant_of(when(day, chance_between(&c, 43200, 86399))));

	report_run(own_farm.book, "growth", &q, &own_farm.arena, out);
}

/* Every row of a day without news against those of the first such day. */
static void compare(const struct report_result *first, const struct report_result *now, int seed,
		    int64_t day)
{
	ck_assert_uint_eq(first->n_rows, now->n_rows);
	for (size_t i = 0; i < now->n_rows; i++) {
		const char *tank = report_text(now, i, "tank");
		const int64_t was = report_int(first, i, "market_on"),
			      is = report_int(now, i, "market_on");
		const int64_t ahead =
			report_int(now, i, "first_day") - report_int(first, i, "first_day");

		ck_assert_msg(is == was, "seed %d, %s, %d silent days: market day moved by %lld",
			      seed, tank, (int)day, (long long)(is - was));
		if (!report_text(first, i, "projected_g"))
			continue; /* fish of the farm that nobody weighed */
		const double said = nth(report_text(first, i, "projected_g"), ahead);
		const double says = nth(report_text(now, i, "projected_g"), 0);
		ck_assert_msg(fabs(said - says) <= 0.001 * said,
			      "seed %d, %s, %d silent days: %.3f g was said, now %.3f g", seed,
			      tank, (int)day, said, says);
	}
}

START_TEST(market_day_stands_while_nothing_new_is_known)
{
	struct report_result first, now;
	bool scarce;

	c.state = 9100 + (uint64_t)_i;
	set_up();
	scarce = happens(30);
	for (int64_t day = 1; day <= LIVED_DAYS; day++)
		live(day, scarce);
	growth_on(LIVED_DAYS + 1, &first);
	ck_assert(report_int(&first, report_row(&first, "fish_lot", "FM"), "market_on") != NO_INT);
	for (int64_t day = 2; day <= SILENT_DAYS; day++) {
		growth_on(LIVED_DAYS + day, &now);
		compare(&first, &now, _i, day);
	}
}
END_TEST

Suite *growth_property_suite(void)
{
	Suite *s = suite_create("growth property");
	TCase *t = tcase_create("silence");

	tcase_add_checked_fixture(t, fish_farm_open, fish_farm_close);
	tcase_set_timeout(t, 60);
	tcase_add_loop_test(t, market_day_stands_while_nothing_new_is_known, 0, SEEDS);
	suite_add_tcase(s, t);
	return s;
}

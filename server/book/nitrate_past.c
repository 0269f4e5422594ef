/* See nitrate_past.h. */
#include "book/nitrate_past.h"

#include <math.h>

#include "book/loop_tests.h"
#include "domain/balance.h"
#include "model/kinds.h"

enum { HELD_DAYS = 7, HELD_BACK = 28, OLDEST_START = 2 * OLD_NITRATE_DAYS };

/* Stand of ours: without own harvests a planted m2 takes 0.13 g a day (25 heads of 0.147 g N,
 * Licamele 2009, in 28 days). */
static const double usual_uptake = 25 * 0.147 / 28;

/* What left the water on a day. */
struct taken {
	double crop_n_g, litres;
};

struct loading {
	struct book *b;
	const struct water_loop *loop;
	const struct loop_days *loop_days;
	size_t at;
	int64_t first, today, now;
	size_t n_days;
	struct arena *arena;
	struct nitrate_day *days;
	struct taken *taken;
	struct nitrate_record *out;
};

static const struct loop_day *recorded(const struct loading *l, int64_t day)
{
	return loop_day_of(l->loop_days, l->at, day);
}

static double feed_n_g(const struct loop_day *d)
{
	return nitrogen_of_feed_g(d->protein_g, 100.0);
}

/* The mean of the last seven days before this one that have a record: g of feed, and of nitrogen in
 * it. */
static double held_before(const struct loading *l, int64_t day, double *feed_g)
{
	double g = 0.0, n_g = 0.0;
	int found = 0;

	for (int64_t d = day - 1; d >= l->first && d >= day - HELD_BACK && found < HELD_DAYS; d--) {
		if (!recorded(l, d)->feedings)
			continue;
		g += loop_day_eaten_g(recorded(l, d));
		n_g += feed_n_g(recorded(l, d));
		found++;
	}
	*feed_g = found ? g / found : NAN;
	return found ? n_g / found : NAN;
}

static void fill_days(struct loading *l)
{
	double g;

	for (int64_t day = l->first; day <= l->today; day++) {
		const struct loop_day *d = recorded(l, day);
		const bool whole = d->feedings && day < l->today;

		l->days[day - l->first] =
			(struct nitrate_day){ .feed_n_g =
						      whole ? feed_n_g(d) : held_before(l, day, &g),
					      .planted_m2 = d->planted_m2 };
	}
	l->out->held =
		(struct nitrate_day){ .feed_n_g = held_before(l, l->today, &l->out->held_feed_g),
				      .planted_m2 = recorded(l, l->today)->planted_m2 };
}

static enum err_code load_crops(struct loading *l, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(l->b), Q_CROP_MASS_OF_LOOP_BY_DAY, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":loop_id", l->loop->id);
	stmt_bind_int(q, ":from", l->first);
	stmt_bind_int(q, ":to", l->today - 1);
	while (!(rc = stmt_row(q, err)))
		l->taken[stmt_int(q, 0) - l->first].crop_n_g += nitrogen_of_crop_g(
			(double)stmt_int(q, 3) / 1000.0, stmt_real(q, 1), stmt_real(q, 2));
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	return rc;
}

/* The test that forecasts of today begin with is known once the tests are loaded. */
static int64_t start_day(const struct loading *l)
{
	const struct nitrate_past *past = &l->out->past;

	return l->out->start < past->n_tests ? past->tests[l->out->start].day : l->today;
}

static bool is_learned_from(const struct loading *l, int64_t day)
{
	return day >= start_day(l) - NITRATE_LEARN_DAYS && day <= start_day(l);
}

static enum err_code load_discharge(struct loading *l, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(l->b), Q_WATER_MOVES_OF_LOOP, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":loop_id", l->loop->id);
	stmt_bind_int(q, ":begin", book_day_start(l->b, l->first));
	stmt_bind_int(q, ":end", book_day_start(l->b, l->today));
	while (!(rc = stmt_row(q, err))) {
		const int64_t day = book_day(l->b, stmt_int(q, 0));

		if (stmt_is_null(q, 2))
			continue;
		l->taken[day - l->first].litres += stmt_real(q, 2);
		if (is_learned_from(l, day) && day < start_day(l))
			chosen_add(&l->out->discharges, &water_moves_kind, "past", stmt_int(q, 3),
				   l->arena);
	}
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	return rc;
}

/* As known when a day begins, from the 8 weeks before it. */
static struct nitrate_water water_known(const struct loading *l, size_t day, bool *assumed,
					bool *absent)
{
	const size_t from = day > NITRATE_LEARN_DAYS ? day - NITRATE_LEARN_DAYS : 0;
	double n_g = 0.0, m2_days = 0.0, litres = 0.0;

	for (size_t i = from; i < day; i++) {
		n_g += l->taken[i].crop_n_g;
		litres += l->taken[i].litres;
		m2_days += l->days[i].planted_m2;
	}
	*assumed = !(n_g > 0.0 && m2_days > 0.0);
	*absent = !(litres > 0.0);
	return (struct nitrate_water){
		.volume_m3 = l->loop->volume_l / 1000.0,
		.uptake_g_m2_day = *assumed ? usual_uptake : n_g / m2_days,
		.removed = *absent ? 0.0
				   : fmin(1.0, litres / (double)(day - from) / l->loop->volume_l),
	};
}

/* The tests of nitrate, those of one day as their mean. */
static enum err_code load_tests(struct loading *l, struct err *err)
{
	struct loop_test *all;
	struct nitrate_test *tests;
	size_t n = 0, made = 0, same = 0;
	enum err_code rc = loop_tests_load(l->b, l->loop->id, book_day_start(l->b, l->first),
					   l->now, l->arena, &all, &n, err);

	if (rc)
		return rc;
	tests = arena_array(l->arena, n + 1, sizeof(*tests));
	for (size_t i = 0; i < n; i++) {
		if (isnan(all[i].nitrate_n_mg_l))
			continue;
		same = made && tests[made - 1].day == all[i].day ? same + 1 : 1;
		if (same == 1)
			tests[made++] = (struct nitrate_test){ .day = all[i].day };
		tests[made - 1].mg_l +=
			(all[i].nitrate_n_mg_l - tests[made - 1].mg_l) / (double)same;
	}
	l->out->past.tests = tests;
	l->out->past.n_tests = made;
	l->out->start = made && tests[made - 1].day >= l->today - OLDEST_START ? made - 1 : made;
	for (size_t i = 0; i < n; i++)
		if (!isnan(all[i].nitrate_n_mg_l) && is_learned_from(l, all[i].day))
			chosen_add(&l->out->tests, &water_tests_kind, "past", all[i].id, l->arena);
	return ERR_NONE;
}

static void fill_waters(struct loading *l)
{
	const int64_t known_on = start_day(l);
	struct nitrate_water *waters = arena_array(l->arena, l->n_days, sizeof(*waters));

	for (size_t i = 0; i < l->n_days; i++) {
		bool assumed, absent;

		waters[i] = water_known(l, i, &assumed, &absent);
		if (l->first + (int64_t)i == known_on) {
			l->out->uptake_assumed = assumed;
			l->out->discharge_absent = absent;
		}
	}
	l->out->past.waters = waters;
}

enum err_code nitrate_record_load(struct book *b, const struct water_loop *loop,
				  const struct loop_days *days, size_t at, int64_t today,
				  int64_t now, struct arena *arena, struct nitrate_record *out,
				  struct err *err)
{
	struct loading l = { .b = b,
			     .loop = loop,
			     .loop_days = days,
			     .at = at,
			     .first = today - NITRATE_PAST_DAYS,
			     .today = today,
			     .now = now,
			     .n_days = NITRATE_PAST_DAYS + 1,
			     .arena = arena,
			     .out = out };
	enum err_code rc;

	l.days = arena_array(arena, l.n_days, sizeof(*l.days));
	l.taken = arena_array(arena, l.n_days, sizeof(*l.taken));
	*out = (struct nitrate_record){ .past = { .first = l.first, .days = l.days } };
	fill_days(&l);
	rc = load_crops(&l, err);
	if (!rc)
		rc = load_tests(&l, err);
	if (!rc)
		rc = load_discharge(&l, err);
	if (!rc)
		fill_waters(&l);
	return rc;
}

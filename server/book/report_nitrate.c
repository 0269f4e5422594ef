/*
 * Report nitrate: the nitrate of each loop for eight weeks to come, from the model of domain/nitrate, calibrated on the
 * measured past and scored against it; as it is planned, or with a fish harvest or a planting more.
 */
#include <math.h>
#include <stddef.h>
#include <string.h>
#include <strings.h>

#include "base/number.h"
#include "book/fish_view.h"
#include "book/inside.h"
#include "book/loop_days.h"
#include "book/loop_tests.h"
#include "book/place_fish.h"
#include "book/report.h"
#include "book/report_list.h"
#include "domain/balance.h"
#include "domain/learn.h"
#include "domain/nitrate.h"

enum {
	AHEAD = 56,
	LEARN_DAYS = 56,
	SHORTEST = 6,
	HALVES_APART = 21,
	HELD_DAYS = 7,
	HELD_BACK = 28
};

/*
 * Stands of ours: a nitrate test is good to 5 %, 1 mg/L at least; a model that was never scored drifts by 2 mg/L in a
 * week; without own harvests a planted m2 takes 0.13 g a day (25 heads of 0.147 g N, Licamele 2009, in 28 days).
 */
static const double test_sd_share = 0.05, test_sd_least = 1.0, unscored_drift = 4.0 / 7.0,
		    usual_uptake = 25 * 0.147 / 28;

struct nitrate_row {
	const struct explanation *explain;
	const char *loop;
	int64_t day;
	double nitrate_n_mg_l, low, high, measured_mg_l, feed_g, planted_m2, feed_g_m2_day,
		share_pct;
	int64_t own_intervals, scored_tests;
	double score_rms_mg_l, score_inside_pct;
};

static const struct field columns[] = {
	FIELD(nitrate_row, loop, KIND_CODE),
	FIELD(nitrate_row, day, KIND_DAY),
	FIELD(nitrate_row, nitrate_n_mg_l, KIND_REAL, .unit = "mg/L"),
	FIELD(nitrate_row, low, KIND_REAL, .unit = "mg/L"),
	FIELD(nitrate_row, high, KIND_REAL, .unit = "mg/L"),
	FIELD(nitrate_row, measured_mg_l, KIND_REAL, .unit = "mg/L"),
	FIELD(nitrate_row, feed_g, KIND_REAL, .unit = "g"),
	FIELD(nitrate_row, planted_m2, KIND_REAL, .unit = "m2"),
	FIELD(nitrate_row, feed_g_m2_day, KIND_REAL, .unit = "g/m2/day"),
	FIELD(nitrate_row, share_pct, KIND_REAL, .unit = "%"),
	FIELD(nitrate_row, own_intervals, KIND_INTEGER),
	FIELD(nitrate_row, scored_tests, KIND_INTEGER),
	FIELD(nitrate_row, score_rms_mg_l, KIND_REAL, .unit = "mg/L"),
	FIELD(nitrate_row, score_inside_pct, KIND_REAL, .unit = "%"),
};

static const char *const wishes[] = { "as_planned", "fish_harvest", "planting", NULL };
static const char *const manners[] = { "at_once", "halves", NULL };

struct job {
	struct book *b;
	const struct report_query *q;
	struct report_result *out;
	int64_t today, first; /* first day of `days` */
	struct water_loop *loops;
	size_t n_loops;
	struct loop_days loop_days;
	double size; /* kg of fish, or m2 */
	int64_t wish_day;
	struct nitrate_row *rows;
	/* of the loop at hand */
	size_t at;
	struct nitrate_day *days; /* from `first` to today, gaps filled as held */
	struct nitrate_day held;  /* a day to come as it is planned */
	double held_feed_g;
	double biomass_kg;
	struct nitrate_water water;
	struct loop_test *tests; /* of nitrate alone */
	size_t n_tests;
};

static double test_sd(double mg_l)
{
	return fmax(test_sd_least, test_sd_share * mg_l);
}

static const struct nitrate_day *day_at(const struct job *j, int64_t day)
{
	return day > j->today ? &j->held : &j->days[day - j->first];
}

/* What the days before an origin teach. */
static struct learning calibrate(const struct job *j, int64_t origin)
{
	const struct loop_test *a = NULL;
	struct learning l;

	learn_begin(&l, nitrate_share_handbook, nitrate_share_spread);
	for (size_t i = 0; i < j->n_tests; i++) {
		const struct loop_test *z = &j->tests[i];

		if (z->day > origin || z->day < origin - LEARN_DAYS ||
		    (a && z->day - a->day < SHORTEST))
			continue;
		if (a) {
			const struct nitrate_day *d = day_at(j, a->day);
			const size_t n = (size_t)(z->day - a->day);

			learn_add(&l,
				  nitrate_share_of(a->nitrate_n_mg_l, z->nitrate_n_mg_l, d, n,
						   &j->water),
				  nitrate_share_variance(d, n, &j->water,
							 test_sd(z->nitrate_n_mg_l)));
		}
		a = z;
	}
	return l;
}

/* The newest test on or before a day and not too old; NULL: none. */
static const struct loop_test *start_of(const struct job *j, int64_t day)
{
	const struct loop_test *found = NULL;

	for (size_t i = 0; i < j->n_tests; i++)
		if (j->tests[i].day <= day && j->tests[i].day >= day - OLD_NITRATE_DAYS * 2)
			found = &j->tests[i];
	return found;
}

/* How the model did: each week of the past is foretold from its start, with the feed and planting that came. */
struct score {
	int64_t tests, inside;
	double squares, drift; /* sums of error^2 and of error^2 a day */
};

static void score_from(const struct job *j, int64_t origin, double drift, struct score *s)
{
	const struct learning l = calibrate(j, origin);
	const struct loop_test *start = start_of(j, origin);
	double n = start ? start->nitrate_n_mg_l : NAN;

	for (size_t i = 0; start && i < j->n_tests; i++) {
		const struct loop_test *z = &j->tests[i];
		int64_t day = start->day;

		if (z->day <= origin || z->day > origin + AHEAD)
			continue;
		for (n = start->nitrate_n_mg_l; day < z->day; day++)
			n = nitrate_step(n, day_at(j, day), &j->water, learn_value(&l));
		const double off = z->nitrate_n_mg_l - n, ahead = (double)(z->day - start->day);
		const double sd = test_sd(z->nitrate_n_mg_l);

		s->tests++;
		s->squares += off * off;
		s->drift += fmax(0.0, off * off - sd * sd) / ahead;
		s->inside += fabs(off) <= 1.96 * sqrt(sd * sd + drift * ahead);
	}
}

static struct score score(const struct job *j, double drift)
{
	struct score s = { 0 };

	for (int64_t origin = j->today - LEARN_DAYS; origin < j->today; origin += 7)
		score_from(j, origin, drift, &s);
	return s;
}

/* The share of the loop's fish that go; NAN when nobody knows how much stands there. */
static double share_taken(const struct job *j)
{
	return j->biomass_kg > 0.0 ? fmin(1.0, j->size / j->biomass_kg) : NAN;
}

static struct nitrate_day wished(const struct job *j, int64_t day)
{
	struct nitrate_day d = *day_at(j, day);
	const bool halves = j->q->step && strcmp(j->q->step, "halves") == 0;
	double done = day < j->wish_day ? 0.0 : 1.0;

	if (halves && day >= j->wish_day && day < j->wish_day + HALVES_APART)
		done = 0.5;
	if (!j->q->by || day <= j->today || strcmp(j->q->by, "as_planned") == 0)
		return d;
	if (strcmp(j->q->by, "planting") == 0)
		d.planted_m2 += done * j->size;
	else
		d.feed_n_g *= done > 0.0 ? 1.0 - done * share_taken(j) : 1.0;
	return d;
}

static const struct explanation *explain(const struct job *j, const struct learning *l)
{
	enum { INPUTS = 6 };
	struct arena *arena = j->out->arena;
	struct explanation *e = arena_alloc(arena, sizeof(*e));
	struct explained_input *in = arena_array(arena, INPUTS, sizeof(*in));
	struct explained_entries *of = arena_alloc(arena, sizeof(*of));

	in[0] = (struct explained_input){ "water_volume_l", j->water.volume_m3 * 1000.0 };
	in[1] = (struct explained_input){ "feed_nitrogen_g", j->held.feed_n_g };
	in[2] = (struct explained_input){ "planted_m2", j->held.planted_m2 };
	in[3] = (struct explained_input){ "uptake_g_m2_day", j->water.uptake_g_m2_day };
	in[4] = (struct explained_input){ "share_pct", learn_value(l) * 100.0 };
	in[5] = (struct explained_input){ "handbook_share_pct", learn_handbook_share(l) * 100.0 };
	*of = (struct explained_entries){ .kind = "water-tests",
					  .count = NO_INT,
					  .sum = NAN,
					  .address = arena_printf(
						  arena, "/api/water-tests?from=%s&to=%s",
						  book_day_text(arena, j->today - LEARN_DAYS),
						  book_day_text(arena, j->today)) };
	*e = (struct explanation){ .formula = "next day = today x (1 - discharged share) + (share "
					      "x feed nitrogen - uptake x planted "
					      "area) / volume",
				   .source = "docs/formulas/balance.md; the share is learned from "
					     "own tests, with 0.092 x 6.25 as the "
					     "handbook's",
				   .inputs = in,
				   .n_inputs = INPUTS,
				   .entries = of,
				   .n_entries = 1 };
	return e;
}

static double measured_on(const struct job *j, int64_t day)
{
	double mg_l = NAN;

	for (size_t i = 0; i < j->n_tests; i++)
		if (j->tests[i].day == day)
			mg_l = j->tests[i].nitrate_n_mg_l;
	return mg_l;
}

static void add_rows(struct job *j)
{
	const struct learning l = calibrate(j, j->today);
	const struct score first = score(j, unscored_drift);
	const double drift = first.tests >= 5 ? first.drift / (double)first.tests : unscored_drift;
	const struct score s = score(j, drift);
	const struct loop_test *start = start_of(j, j->today);
	const double share = learn_value(&l), feed_per_n = j->held_feed_g / j->held.feed_n_g;
	const struct explanation *why = j->q->explain ? explain(j, &l) : NULL;
	double n = NAN, fed = 0.0;

	for (int64_t day = j->today - LEARN_DAYS; day <= j->today + AHEAD; day++) {
		const struct nitrate_day d = wished(j, day);
		struct nitrate_row *row = &j->rows[j->out->n_rows++];
		const double ahead = start ? (double)(day - start->day) : NAN;

		if (start && day == start->day)
			n = start->nitrate_n_mg_l;
		const double unsure = learn_next_se(&l) * fed / j->water.volume_m3;
		const double se =
			sqrt(test_sd(n) * test_sd(n) +
			     (first.tests >= 5 ? drift * ahead : drift * ahead + unsure * unsure));
		*row = (struct nitrate_row){
			.loop = j->loops[j->at].code,
			.day = day,
			.nitrate_n_mg_l = n,
			.low = isnan(n) ? NAN : fmax(0.0, n - 1.96 * se),
			.high = n + 1.96 * se,
			.measured_mg_l = measured_on(j, day),
			.feed_g = d.feed_n_g * feed_per_n,
			.planted_m2 = d.planted_m2,
			.feed_g_m2_day =
				d.planted_m2 > 0.0 ? d.feed_n_g * feed_per_n / d.planted_m2 : NAN,
			.share_pct = share * 100.0,
			.own_intervals = (int64_t)l.own,
			.scored_tests = s.tests,
			.score_rms_mg_l = s.tests ? sqrt(s.squares / (double)s.tests) : NAN,
			.score_inside_pct =
				s.tests ? 100.0 * (double)s.inside / (double)s.tests : NAN,
			.explain = why,
		};
		fed += isnan(n) ? 0.0 : d.feed_n_g;
		n = nitrate_step(n, &d, &j->water, share);
	}
	if (!start)
		report_add_note(
			j->out, "nitrate_untested", j->loops[j->at].code,
			"Nitrate was not tested in the last 30 days: nothing to start from.");
}

/* Days as they were; those without a record, and all to come, as the mean of the last seven that have one. */
static void fill_days(struct job *j)
{
	const int64_t n_days = j->today - j->first + 1;
	double feed_g = 0.0, n_g = 0.0;
	int found = 0;

	j->days = arena_array(j->out->arena, (size_t)n_days + 1, sizeof(*j->days));
	for (int64_t day = j->today - 1; day > j->today - HELD_BACK && found < HELD_DAYS; day--) {
		const struct loop_day *d = loop_day_of(&j->loop_days, j->at, day);

		if (!d->feedings)
			continue;
		feed_g += loop_day_eaten_g(d);
		n_g += nitrogen_of_feed_g(d->protein_g, 100.0);
		found++;
	}
	j->held_feed_g = found ? feed_g / found : NAN;
	j->held.feed_n_g = found ? n_g / found : NAN;
	j->held.planted_m2 = loop_day_of(&j->loop_days, j->at, j->today)->planted_m2;
	for (int64_t day = j->first; day <= j->today; day++) {
		const struct loop_day *d = loop_day_of(&j->loop_days, j->at, day);
		const bool whole = d->feedings && day < j->today;

		j->days[day - j->first] =
			(struct nitrate_day){ .feed_n_g = whole ? nitrogen_of_feed_g(d->protein_g,
										     100.0)
								: j->held.feed_n_g,
					      .planted_m2 = d->planted_m2 };
	}
}

/* Nitrogen that the loop's crops took in the days learned from, over the area that stood; NAN: not known. */
static enum err_code own_uptake(struct job *j, double *out, struct err *err)
{
	struct stmt *q = NULL;
	double g = 0.0, m2_days = 0.0;
	enum err_code rc = store_query(book_store(j->b), Q_CROP_MASS_BY_LOOP, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":from", j->today - LEARN_DAYS);
	stmt_bind_int(q, ":to", j->today - 1);
	while (!(rc = stmt_row(q, err)))
		if (stmt_int(q, 0) == j->loops[j->at].id)
			g += nitrogen_of_crop_g((double)(stmt_int(q, 5) + stmt_int(q, 6)) / 1000.0,
						stmt_real(q, 2), stmt_real(q, 3));
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
	for (int64_t day = j->today - LEARN_DAYS; day < j->today; day++)
		m2_days += loop_day_of(&j->loop_days, j->at, day)->planted_m2;
	*out = g > 0.0 && m2_days > 0.0 ? g / m2_days : NAN;
out:
	stmt_done(q);
	return rc;
}

static enum err_code load_water(struct job *j, struct err *err)
{
	const struct water_loop *l = &j->loops[j->at];
	struct stmt *q = NULL;
	double uptake = NAN, litres = 0.0;
	enum err_code rc = own_uptake(j, &uptake, err);

	if (!rc)
		rc = store_query(book_store(j->b), Q_DISCHARGE_BY_LOOP, &q, err);
	if (rc)
		goto out;
	stmt_bind_int(q, ":loop_id", l->id);
	stmt_bind_int(q, ":begin", book_day_start(j->b, j->today - LEARN_DAYS));
	stmt_bind_int(q, ":end", book_day_start(j->b, j->today));
	rc = stmt_row(q, err);
	if (!rc)
		litres = (double)stmt_int(q, 0) / 1000.0;
	j->water =
		(struct nitrate_water){ .volume_m3 = l->volume_l / 1000.0,
					.uptake_g_m2_day = isnan(uptake) ? usual_uptake : uptake,
					.removed = fmin(1.0, litres / LEARN_DAYS / l->volume_l) };
	if (isnan(uptake))
		report_add_note(j->out, "uptake_assumed", l->code,
				"What the crops take is not known from harvests: 0.13 g of "
				"nitrogen a m2 and day "
				"is taken.");
	if (litres <= 0.0)
		report_add_note(j->out, "no_discharge", l->code,
				"No discharge is on record: what left with water is learned with "
				"the rest.");
out:
	stmt_done(q);
	return rc;
}

static enum err_code load_tests(struct job *j, struct err *err)
{
	struct loop_test *all;
	size_t n;
	enum err_code rc = loop_tests_load(j->b, j->loops[j->at].id, book_day_start(j->b, j->first),
					   j->q->now, j->out->arena, &all, &n, err);

	j->tests = all;
	j->n_tests = 0;
	for (size_t i = 0; !rc && i < n; i++)
		if (!isnan(all[i].nitrate_n_mg_l))
			j->tests[j->n_tests++] = all[i];
	return rc;
}

static enum err_code load_biomass(struct job *j, struct err *err)
{
	struct id_set tanks;
	struct fish_view v;
	enum err_code rc = place_tanks(j->b, j->loops[j->at].id, j->out->arena, &tanks, err);

	j->biomass_kg = 0.0;
	if (!rc)
		rc = fish_view_open(j->b, j->q->now, j->q->now, 0, 0, j->out->arena, &v, err);
	for (size_t i = 0; !rc && i < v.n_cells; i++)
		if (id_set_find(&tanks, v.tank_ids.ids[v.cells[i].tank]) >= 0)
			j->biomass_kg +=
				fish_standing_at(&v, &v.cells[i], j->q->now, false).biomass_g /
				1000.0;
	return rc;
}

static enum err_code read_wish(struct job *j, struct err *err)
{
	const struct report_query *q = j->q;

	j->wish_day = q->day == NO_INT ? j->today + 1 : q->day;
	j->size = 0.0;
	if (!q->by || strcmp(q->by, "as_planned") == 0)
		return ERR_NONE;
	if (!q->size)
		report_add_note(
			j->out, "no_size", NULL,
			"No size was asked for: nothing is taken or planted beyond the plan.");
	else if (!number_read_real(q->size, '.', &j->size) || !(j->size >= 0.0 && j->size <= 1e7))
		return err_set(err, ERR_INPUT, "size", "out_of_range",
			       "size is how many kg of fish go, or how many m2 are planted.");
	return ERR_NONE;
}

static enum err_code add_loop(struct job *j, struct err *err)
{
	enum err_code rc;

	fill_days(j);
	rc = load_water(j, err);
	if (!rc)
		rc = load_tests(j, err);
	if (!rc && j->q->by && strcmp(j->q->by, "fish_harvest") == 0)
		rc = load_biomass(j, err);
	if (!rc && j->q->by && strcmp(j->q->by, "fish_harvest") == 0 && isnan(share_taken(j)))
		report_add_note(j->out, "biomass_unknown", j->loops[j->at].code,
				"How much fish stands there is not known: what its harvest does is "
				"not either.");
	if (!rc)
		add_rows(j);
	return rc;
}

static enum err_code run(struct book *b, const struct report_query *q, struct report_result *out,
			 struct err *err)
{
	struct job j = { .b = b, .q = q, .out = out, .today = book_day(b, q->now) };
	enum err_code rc = read_wish(&j, err);

	j.first = j.today - 2 * LEARN_DAYS - OLD_NITRATE_DAYS * 2;
	if (!rc)
		rc = water_loops(b, j.today, out->arena, &j.loops, &j.n_loops, err);
	if (!rc)
		rc = loop_days_load(b, j.loops, j.n_loops, j.first, j.today, j.first, out->arena,
				    &j.loop_days, err);
	if (rc)
		return rc;
	j.rows = arena_array(out->arena, j.n_loops * (LEARN_DAYS + AHEAD + 1) + 1, sizeof(*j.rows));
	for (j.at = 0; !rc && j.at < j.n_loops; j.at++)
		if (!q->only || strcasecmp(q->only, j.loops[j.at].code) == 0)
			rc = add_loop(&j, err);
	report_add_note(out, "as_it_stands", NULL,
			"Feed is held at the mean of the last seven days on record, planting at "
			"what stands today.");
	out->rows = (const char *)j.rows;
	out->from_day = j.today - LEARN_DAYS;
	out->to_day = j.today + AHEAD;
	out->as_of = q->now;
	return rc;
}

static const struct report_question questions[] = {
	{ .name = "only", .help = "code of a loop" },
	{ .name = "by",
	  .words = wishes,
	  .help = "as it is planned, or with a fish harvest or planting more" },
	{ .name = "size", .help = "kg of fish that go, or m2 that are planted" },
	{ .name = "day",
	  .help = "farm day on which they go or are planted; tomorrow when not given" },
	{ .name = "step",
	  .words = manners,
	  .help = "all at once, or half then and half three weeks later" },
};

const struct report nitrate_report = {
	.name = "nitrate",
	.summary = "Nitrate of each loop for eight weeks to come, with what a harvest or planting "
		   "would do",
	.columns = columns,
	.n_columns = sizeof(columns) / sizeof(columns[0]),
	.row_size = sizeof(struct nitrate_row),
	.explain_offset = offsetof(struct nitrate_row, explain),
	.questions = questions,
	.n_questions = sizeof(questions) / sizeof(questions[0]),
	.changes_by_clock = true,
	.run = run,
};

/*
 * Report nitrate: the nitrate of each loop for eight weeks to come, from the model of
 * domain/nitrate, calibrated on the measured past and scored against it; as it is planned, or with
 * a fish harvest or a planting more.
 */
#include <math.h>
#include <stddef.h>
#include <string.h>
#include <strings.h>

#include "base/number.h"
#include "book/fish_view.h"
#include "book/inside.h"
#include "book/nitrate_past.h"
#include "book/place_fish.h"
#include "book/report.h"
#include "book/report_list.h"
#include "domain/normal.h"

enum { SHOWN_BACK = 56, AHEAD = NITRATE_AHEAD_DAYS, HALVES_APART = 21 };

struct nitrate_row {
	const struct explanation *explain;
	const char *loop;
	int64_t day;
	double nitrate_n_mg_l, low, high, measured_mg_l, feed_g, planted_m2, feed_g_m2_day,
		share_pct;
	int64_t own_intervals, scored_tests;
	double score_rms_mg_l, score_inside_pct, widened;
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
	FIELD(nitrate_row, widened, KIND_REAL),
};

enum wish { AS_PLANNED, FISH_HARVEST, PLANTING };
static const char *const wishes[] = {
	[AS_PLANNED] = "as_planned", [FISH_HARVEST] = "fish_harvest", [PLANTING] = "planting", NULL
};
static const char *const manners[] = { "at_once", "halves", NULL };

struct job {
	struct book *b;
	const struct report_query *q;
	struct report_result *out;
	int64_t today;
	struct water_loop *loops;
	size_t n_loops;
	struct loop_days loop_days;
	enum wish wish;
	double size; /* kg of fish, or m2 */
	int64_t wish_day;
	bool halves;
	struct nitrate_row *rows;
	/* of the loop at hand */
	size_t at;
	struct nitrate_record record;
	double biomass_kg;
};

static const struct nitrate_day *day_at(const struct job *j, int64_t day)
{
	const struct nitrate_past *past = &j->record.past;

	return day > j->today ? &j->record.held : &past->days[day - past->first];
}

/* The share of the loop's fish that go; NAN when nobody knows how much stands there. */
static double share_taken(const struct job *j)
{
	return j->biomass_kg > 0.0 ? fmin(1.0, j->size / j->biomass_kg) : NAN;
}

/* How much of the wish is done by a day, 0 to 1. */
static double done_by(const struct job *j, int64_t day)
{
	if (day <= j->today || day < j->wish_day)
		return 0.0;
	return j->halves && day < j->wish_day + HALVES_APART ? 0.5 : 1.0;
}

static struct nitrate_day wished(const struct job *j, int64_t day)
{
	struct nitrate_day d = *day_at(j, day);
	const double done = done_by(j, day);

	if (j->wish == PLANTING)
		d.planted_m2 += done * j->size;
	else if (j->wish == FISH_HARVEST && done > 0.0) /* the share may not be known */
		d.feed_n_g *= 1.0 - done * share_taken(j);
	return d;
}

/* The tests that it learns from and begins with, and what was fed, discharged, harvested and planted meanwhile. */
static void list_entries(const struct job *j, const struct nitrate_forecast *f,
			 struct explained_lists *lists)
{
	const int64_t first = f->day - NITRATE_LEARN_DAYS;
	const int64_t loop_id = j->loops[j->at].id;

	chosen_list(&j->record.tests, lists);
	chosen_list(&j->record.discharges, lists);
	loop_days_list_feedings(&j->loop_days, j->at, first, j->today, "past", lists);
	explained_add(lists, "harvests",
		      arena_printf(lists->arena, "/api/harvests?bed_id.loop_id=%lld&from=%s&to=%s",
				   (long long)loop_id, book_day_text(lists->arena, first),
				   book_day_text(lists->arena, f->day - 1)))
		->part = "past";
	loop_list_planted(loop_id, j->today, lists);
}

static const struct explanation *explain(const struct job *j, const struct nitrate_forecast *f)
{
	enum { INPUTS = 6 };
	struct arena *arena = j->out->arena;
	struct explanation *e = arena_alloc(arena, sizeof(*e));
	struct explained_input *in = arena_array(arena, INPUTS, sizeof(*in));
	struct explained_lists lists = { .arena = arena };

	in[0] = (struct explained_input){ "water_volume_l", f->water.volume_m3 * 1000.0 };
	in[1] = (struct explained_input){ "feed_nitrogen_g", j->record.held.feed_n_g };
	in[2] = (struct explained_input){ "planted_m2", j->record.held.planted_m2 };
	in[3] = (struct explained_input){ "uptake_g_m2_day", f->water.uptake_g_m2_day };
	in[4] = (struct explained_input){ "share_pct", learn_value(&f->share) * 100.0 };
	in[5] = (struct explained_input){ "handbook_share_pct",
					  learn_handbook_share(&f->share) * 100.0 };
	list_entries(j, f, &lists);
	*e = (struct explanation){ .formula = "next day = today x (1 - discharged share) + (share "
					      "x feed nitrogen - uptake x planted "
					      "area) / volume",
				   .source = "docs/formulas/balance.md; the share is learned from "
					     "own tests, with 0.092 x 6.25 as the "
					     "handbook's",
				   .inputs = in,
				   .n_inputs = INPUTS };
	explained_give(&lists, e);
	return e;
}

static double measured_on(const struct job *j, int64_t day)
{
	const struct nitrate_past *past = &j->record.past;

	for (size_t i = 0; i < past->n_tests; i++)
		if (past->tests[i].day == day)
			return past->tests[i].mg_l;
	return NAN;
}

/* What is the same in every row of the loop, and what a day has without a forecast. */
static struct nitrate_row row_of(const struct job *j, const struct nitrate_row *usual, int64_t day,
				 const struct nitrate_day *d)
{
	struct nitrate_row row = *usual;

	row.day = day;
	row.measured_mg_l = measured_on(j, day);
	row.feed_g = d->feed_n_g * j->record.held_feed_g / j->record.held.feed_n_g;
	row.planted_m2 = d->planted_m2;
	row.feed_g_m2_day = d->planted_m2 > 0.0 ? row.feed_g / d->planted_m2 : NAN;
	return row;
}

static void set_forecast(struct nitrate_row *row, const struct nitrate_forecast *f)
{
	const double range = Z95 * nitrate_forecast_se(f, row->widened);

	row->nitrate_n_mg_l = f->mg_l;
	row->low = isnan(f->mg_l) ? NAN : fmax(0.0, f->mg_l - range);
	row->high = isnan(f->mg_l) ? NAN : f->mg_l + range;
}

/* A loop that has nothing to start from. */
static struct nitrate_row unknown_row(const struct job *j)
{
	return (struct nitrate_row){ .loop = j->loops[j->at].code,
				     .nitrate_n_mg_l = NAN,
				     .low = NAN,
				     .high = NAN,
				     .share_pct = NAN,
				     .score_rms_mg_l = NAN,
				     .score_inside_pct = NAN,
				     .widened = NAN };
}

static struct nitrate_row usual_row(const struct job *j, const struct nitrate_forecast *f)
{
	const struct nitrate_score s = nitrate_score_up_to(&j->record.past, j->record.start);
	struct nitrate_row row = unknown_row(j);

	row.share_pct = learn_value(&f->share) * 100.0;
	row.own_intervals = (int64_t)f->share.own;
	row.scored_tests = (int64_t)s.tests;
	row.score_rms_mg_l = s.tests ? sqrt(s.squares / (double)s.tests) : NAN;
	row.score_inside_pct = s.tests ? 100.0 * (double)s.inside / (double)s.tests : NAN;
	row.widened = s.widened;
	row.explain = j->q->explain ? explain(j, f) : NULL;
	return row;
}

static void add_rows(struct job *j)
{
	const struct nitrate_past *past = &j->record.past;
	const bool known = j->record.start < past->n_tests;
	struct nitrate_forecast f = { .day = INT64_MAX };
	struct nitrate_row usual = unknown_row(j);

	if (known) {
		f = nitrate_forecast_from(past, j->record.start);
		usual = usual_row(j, &f);
	}
	for (int64_t day = j->today - SHOWN_BACK; day <= j->today + AHEAD; day++) {
		const struct nitrate_day d = wished(j, day);
		struct nitrate_row *row = &j->rows[j->out->n_rows++];

		*row = row_of(j, &usual, day, &d);
		if (day < f.day)
			continue;
		set_forecast(row, &f);
		nitrate_forecast_step(&f, &d);
	}
}

static void add_notes(struct job *j)
{
	const char *loop = j->loops[j->at].code;

	if (j->record.uptake_assumed)
		report_add_note(j->out, "uptake_assumed", loop,
				"What the crops take is not known from harvests: 0.13 g of "
				"nitrogen a m2 and day "
				"is taken.");
	if (j->record.discharge_absent)
		report_add_note(j->out, "no_discharge", loop,
				"No discharge is on record: what left with water is learned with "
				"the rest.");
	if (j->record.start == j->record.past.n_tests)
		report_add_note(
			j->out, "nitrate_untested", loop,
			"Nitrate was not tested in the last 30 days: nothing to start from.");
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

static enum wish wish_of(const char *word)
{
	for (int w = AS_PLANNED; word && wishes[w]; w++)
		if (strcmp(wishes[w], word) == 0)
			return (enum wish)w;
	return AS_PLANNED;
}

static enum err_code read_wish(struct job *j, struct err *err)
{
	const struct report_query *q = j->q;

	j->wish = wish_of(q->by);
	j->wish_day = q->day == NO_INT ? j->today + 1 : q->day;
	j->halves = q->step && strcmp(q->step, "halves") == 0;
	if (j->wish == AS_PLANNED)
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
	enum err_code rc = nitrate_record_load(j->b, &j->loops[j->at], &j->loop_days, j->at,
					       j->today, j->q->now, j->out->arena, &j->record, err);

	if (!rc && j->wish == FISH_HARVEST)
		rc = load_biomass(j, err);
	if (rc)
		return rc;
	if (j->wish == FISH_HARVEST && isnan(share_taken(j)))
		report_add_note(j->out, "biomass_unknown", j->loops[j->at].code,
				"How much fish stands there is not known: what its harvest does is "
				"not either.");
	add_rows(j);
	add_notes(j);
	return ERR_NONE;
}

static enum err_code run(struct book *b, const struct report_query *q, struct report_result *out,
			 struct err *err)
{
	struct job j = { .b = b, .q = q, .out = out, .today = book_day(b, q->now) };
	enum err_code rc = read_wish(&j, err);

	if (!rc)
		rc = water_loops(b, j.today, out->arena, &j.loops, &j.n_loops, err);
	if (!rc)
		rc = loop_days_load(b, j.loops, j.n_loops, j.today - NITRATE_PAST_DAYS, j.today,
				    j.today - NITRATE_PAST_DAYS, out->arena, &j.loop_days, err);
	if (rc)
		return rc;
	j.rows = arena_array(out->arena, j.n_loops * (SHOWN_BACK + AHEAD + 1) + 1, sizeof(*j.rows));
	for (j.at = 0; !rc && j.at < j.n_loops; j.at++)
		if (!q->only || strcasecmp(q->only, j.loops[j.at].code) == 0)
			rc = add_loop(&j, err);
	report_add_note(out, "as_it_stands", NULL,
			"Feed is held at the mean of the last seven days on record, planting at "
			"what stands today.");
	out->rows = (const char *)j.rows;
	out->from_day = j.today - SHOWN_BACK;
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

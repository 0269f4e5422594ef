/* Report loading: what each day's feed asks of a loop's water and filters, and how it stands to the planted area. */
#include <math.h>
#include <stddef.h>
#include <strings.h>

#include "base/order.h"
#include "book/inside.h"
#include "book/loop_days.h"
#include "book/report.h"
#include "book/report_list.h"
#include "domain/balance.h"
#include "domain/loading.h"

enum { DAYS_BACK = 27, DAYS_MAX = 800, WEEK = 7 };

struct loading_row {
	const struct explanation *explain;
	const char *loop;
	int64_t day;
	double feed_g, tan_g, oxygen_g, co2_g, solids_g, alkalinity_g, filter_load_pct, planted_m2,
		feed_g_m2_day, band_low_g_m2_day, band_high_g_m2_day;
	const char *band;
};

static const struct field columns[] = {
	FIELD(loading_row, loop, KIND_CODE),
	FIELD(loading_row, day, KIND_DAY),
	FIELD(loading_row, feed_g, KIND_REAL, .unit = "g"),
	FIELD(loading_row, tan_g, KIND_REAL, .unit = "g"),
	FIELD(loading_row, oxygen_g, KIND_REAL, .unit = "g"),
	FIELD(loading_row, co2_g, KIND_REAL, .unit = "g"),
	FIELD(loading_row, solids_g, KIND_REAL, .unit = "g"),
	FIELD(loading_row, alkalinity_g, KIND_REAL, .unit = "g"),
	FIELD(loading_row, filter_load_pct, KIND_REAL, .unit = "%"),
	FIELD(loading_row, planted_m2, KIND_REAL, .unit = "m2"),
	FIELD(loading_row, feed_g_m2_day, KIND_REAL, .unit = "g/m2/day"),
	FIELD(loading_row, band_low_g_m2_day, KIND_REAL, .unit = "g/m2/day"),
	FIELD(loading_row, band_high_g_m2_day, KIND_REAL, .unit = "g/m2/day"),
	FIELD(loading_row, band, KIND_TEXT),
};

struct job {
	struct book *b;
	const struct report_query *q;
	struct report_result *out;
	int64_t today;
	struct water_loop *loops;
	size_t n_loops;
	struct loop_days days;
	struct loading_row *rows;
};

static const char *band_word(const struct water_loop *l, double ratio)
{
	static const char *const words[] = { "below", "within", "above" };

	if (isnan(ratio) || (isnan(l->ratio_min) && isnan(l->ratio_max)))
		return NULL;
	return words[1 + feed_band_side(ratio, l->ratio_min, l->ratio_max)];
}

/* A day that is not over would pull the week's mean down until evening: its week ends with the day before. */
static int64_t week_end(const struct job *j, int64_t day)
{
	return day >= j->today ? j->today - 1 : day;
}

static struct loop_week week_of(const struct job *j, size_t loop, int64_t day)
{
	return loop_week_of(&j->days, loop, week_end(j, day));
}

static const struct explanation *explain(const struct job *j, size_t loop, int64_t day,
					 const struct loop_week *w)
{
	enum { INPUTS = 6 };
	struct arena *arena = j->out->arena;
	struct explanation *e = arena_alloc(arena, sizeof(*e));
	struct explained_input *in = arena_array(arena, INPUTS, sizeof(*in));
	struct explained_lists lists = { .arena = arena };
	const struct loop_day *d = loop_day_of(&j->days, loop, day);
	const int64_t last = week_end(j, day);

	in[0] = (struct explained_input){ "feed_g", (double)d->feed_mg / 1000.0 };
	in[1] = (struct explained_input){ "uneaten_g", (double)d->uneaten_mg / 1000.0 };
	in[2] = (struct explained_input){ "protein_g", d->protein_g };
	in[3] = (struct explained_input){ "filter_g_day", j->loops[loop].filter_g_day };
	in[4] = (struct explained_input){ "week_feed_g_day", w->feed_g_day };
	in[5] = (struct explained_input){ "week_planted_m2", w->planted_m2 };
	loop_days_list_feedings(&j->days, loop, day, day, NULL, &lists);
	loop_days_list_feedings(&j->days, loop, last - WEEK + 1, last, "week", &lists);
	loop_list_planted(j->loops[loop].id, later_of(day, last), &lists);
	*e = (struct explanation){ .formula = "feed = given - taken out again; TAN = protein x "
					      "0.092; oxygen = feed x 0.40; CO2 = "
					      "oxygen x 1.375; solids = feed x 0.25; alkalinity = "
					      "TAN x 7.05; filter load = TAN / "
					      "(media area x rate); feed per area = mean feed of 7 "
					      "days / mean planted area of them",
				   .source = "docs/formulas/balance.md: Timmons and Ebeling (2013) "
					     "and Ebeling and others (2006), "
					     "from memory; Rakocy (2007)",
				   .inputs = in,
				   .n_inputs = INPUTS };
	explained_give(&lists, e);
	return e;
}

static void add_row(struct job *j, size_t loop, int64_t day)
{
	const struct water_loop *l = &j->loops[loop];
	const struct loop_day *d = loop_day_of(&j->days, loop, day);
	const struct loop_week w = week_of(j, loop, day);
	const double eaten_g = d->feedings ? loop_day_eaten_g(d) : NAN;
	const double protein_pct = eaten_g > 0.0 ? d->protein_g / eaten_g * 100.0 : 0.0;
	const struct feed_load load = feed_load_of(eaten_g, protein_pct, &feed_loads_usual);

	j->rows[j->out->n_rows++] = (struct loading_row){
		.loop = l->code,
		.day = day,
		.feed_g = eaten_g,
		.tan_g = load.tan_g,
		.oxygen_g = load.oxygen_g,
		.co2_g = load.co2_g,
		.solids_g = load.solids_g,
		.alkalinity_g = load.alkalinity_g,
		.filter_load_pct =
			l->filter_g_day > 0.0 ? load.tan_g / l->filter_g_day * 100.0 : NAN,
		.planted_m2 = d->planted_m2,
		.feed_g_m2_day = w.ratio_g_m2_day,
		.band_low_g_m2_day = l->ratio_min,
		.band_high_g_m2_day = l->ratio_max,
		.band = band_word(l, w.ratio_g_m2_day),
		.explain = j->q->explain ? explain(j, loop, day, &w) : NULL,
	};
}

static void note_loop(struct job *j, size_t loop, int64_t last)
{
	const struct water_loop *l = &j->loops[loop];
	const struct loop_week w = week_of(j, loop, last);

	if (w.days < WEEK)
		report_add_note(
			j->out, "days_unrecorded", l->code,
			arena_printf(j->out->arena,
				     "On %d of the last 7 days no feeding is on record: the mean "
				     "leaves them out.",
				     WEEK - w.days));
	if (isnan(w.planted_m2))
		report_add_note(j->out, "no_measures", l->code,
				"A raft bed lacks the measures of its rafts: the planted area is "
				"not known.");
	if (isnan(l->filter_g_day))
		report_add_note(
			j->out, "no_filter", l->code,
			"No unit of this loop has a media area: the filter load is not known.");
	else if (l->filter_rate_assumed)
		report_add_note(
			j->out, "filter_rate_assumed", l->code,
			"A filter has no rate of its own: 0.47 g of TAN a m2 and day is taken, "
			"Somerville and others (2014).");
}

/* What is published stands beside the farm's own band. */
static void note_bands(struct job *j)
{
	for (size_t i = 0; i < FEED_BANDS; i++) {
		const struct feed_band *f = &feed_bands[i];

		report_add_note(
			j->out, arena_printf(j->out->arena, "published_%s", f->name), NULL,
			arena_printf(j->out->arena, "Published for %s: %g to %g g/m2/day. %s.",
				     i == 0 ? "rafts" : f->name, f->low, f->high, f->source));
	}
}

static enum err_code run(struct book *b, const struct report_query *q, struct report_result *out,
			 struct err *err)
{
	struct job j = { .b = b, .q = q, .out = out, .today = book_day(b, q->now) };
	const int64_t to = q->to_day == NO_INT ? j.today : q->to_day;
	const int64_t from = q->from_day == NO_INT ? to - DAYS_BACK : q->from_day;
	enum err_code rc;

	if (to - from >= DAYS_MAX)
		return err_set(err, ERR_INPUT, "to", "too_long", "Ask for %d days at most.",
			       DAYS_MAX);
	rc = water_loops(b, to, out->arena, &j.loops, &j.n_loops, err);
	/* the week that ends yesterday lies before from when from is today */
	if (!rc) {
		const int64_t first = (from < j.today ? from : j.today) - WEEK;

		rc = loop_days_load(b, j.loops, j.n_loops, first, to > j.today ? to : j.today,
				    first, out->arena, &j.days, err);
	}
	if (rc)
		return rc;
	j.rows = arena_array(out->arena, j.n_loops * (size_t)(to - from + 1) + 1, sizeof(*j.rows));
	for (size_t i = 0; i < j.n_loops; i++) {
		if (q->only && strcasecmp(q->only, j.loops[i].code) != 0)
			continue;
		for (int64_t day = from; day <= to; day++)
			add_row(&j, i, day);
		note_loop(&j, i, to);
	}
	note_bands(&j);
	out->rows = (const char *)j.rows;
	out->from_day = from;
	out->to_day = to;
	out->as_of = q->now;
	return ERR_NONE;
}

static const struct report_question questions[] = {
	{ .name = "from", .help = "first farm day; four weeks back when not given" },
	{ .name = "to", .help = "last farm day; today when not given" },
	{ .name = "only", .help = "code of a loop" },
};

const struct report loading_report = {
	.name = "loading",
	.summary = "What each day's feed asks of the water and filters, and feed per planted area",
	.columns = columns,
	.n_columns = sizeof(columns) / sizeof(columns[0]),
	.row_size = sizeof(struct loading_row),
	.explain_offset = offsetof(struct loading_row, explain),
	.questions = questions,
	.n_questions = sizeof(questions) / sizeof(questions[0]),
	.changes_by_clock = true,
	.run = run,
};

/* Report growth: each lot in each tank, its weighings, what its growth rests on, its weight by day ahead, and
 * when it reaches market weight. */
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "base/strbuf.h"
#include "book/feed_shares.h"
#include "book/fish_entries.h"
#include "book/fish_fed.h"
#include "book/fish_forecast.h"
#include "book/report.h"
#include "book/tank_facts.h"
#include "domain/growth.h"

enum { SHOWN_DAYS = 56, SHOWN_MOST = 400, HORIZON_DAYS = 730 };

struct growth_row {
	uint64_t has;
	const struct explanation *explain;
	const char *fish_lot, *tank, *species;
	int64_t fish;
	int64_t weighings;
	const char *weighed_days, *weighed_g; /* lists */
	double mean_weight_g, mean_weight_se_g;
	const char *basis, *fit;
	double k, k_se;
	int64_t own_stretches;
	double handbook_share;
	int64_t scored, scored_inside;
	double widened;
	int64_t first_day;
	const char *projected_g, *low_g, *high_g; /* lists, a number a day */
	double market_weight_g;
	int64_t market_on, market_low, market_high;
	const char *reason;
};

static const struct field growth_columns[] = {
	FIELD(growth_row, fish_lot, KIND_TEXT),
	FIELD(growth_row, tank, KIND_TEXT),
	FIELD(growth_row, species, KIND_TEXT),
	FIELD(growth_row, fish, KIND_INTEGER),
	FIELD(growth_row, weighings, KIND_INTEGER),
	FIELD(growth_row, weighed_days, KIND_WORDS),
	FIELD(growth_row, weighed_g, KIND_NUMBERS, .unit = "g"),
	FIELD(growth_row, mean_weight_g, KIND_REAL, .unit = "g"),
	FIELD(growth_row, mean_weight_se_g, KIND_REAL, .unit = "g"),
	FIELD(growth_row, basis, KIND_TEXT),
	FIELD(growth_row, fit, KIND_TEXT),
	FIELD(growth_row, k, KIND_REAL),
	FIELD(growth_row, k_se, KIND_REAL),
	FIELD(growth_row, own_stretches, KIND_INTEGER),
	FIELD(growth_row, handbook_share, KIND_REAL),
	FIELD(growth_row, scored, KIND_INTEGER),
	FIELD(growth_row, scored_inside, KIND_INTEGER),
	FIELD(growth_row, widened, KIND_REAL),
	FIELD(growth_row, first_day, KIND_DAY),
	FIELD(growth_row, projected_g, KIND_NUMBERS, .unit = "g"),
	FIELD(growth_row, low_g, KIND_NUMBERS, .unit = "g"),
	FIELD(growth_row, high_g, KIND_NUMBERS, .unit = "g"),
	FIELD(growth_row, market_weight_g, KIND_REAL, .unit = "g"),
	FIELD(growth_row, market_on, KIND_DAY),
	FIELD(growth_row, market_low, KIND_DAY),
	FIELD(growth_row, market_high, KIND_DAY),
	FIELD(growth_row, reason, KIND_TEXT),
};

/* A run of the report. */
struct growths {
	struct book *b;
	const struct report_query *q;
	struct report_result *out;
	struct fish_view v;
	int64_t at, first_day; /* of what is ahead: the day after `at` */
	size_t shown;
	int64_t *starts; /* HORIZON_DAYS of them */
	struct forecast_day *days;
};

static const char *fit_word(enum growth_model model)
{
	static const char *const words[] = {
		[GROWTH_NONE] = "none", [GROWTH_THERMAL] = "thermal", [GROWTH_SPECIFIC] = "specific"
	};
	return words[model];
}

/* The weighings of the whole in the cell, newest last. */
static void list_weighings(struct growths *g, const struct fish_view_cell *c,
			   struct growth_row *row)
{
	struct strbuf days, means;
	char day[TIME_TEXT_MAX];

	strbuf_init(&days);
	strbuf_init(&means);
	row->weighings = 0;
	for (size_t i = 0; i < fish_rows_until(c, g->at); i++) {
		const struct fish_row *r = &c->rows[i];
		if (!fish_is_weighed(c, i))
			continue;
		day_write(day, r->day);
		strbuf_addf(&days, "%s%s", row->weighings ? " " : "", day);
		strbuf_addf(&means, "%s%.6g", row->weighings ? " " : "", r->mean_g);
		row->weighings++;
	}
	row->weighed_days = row->weighings ? arena_strdup(g->out->arena, days.text) : NULL;
	row->weighed_g = row->weighings ? arena_strdup(g->out->arena, means.text) : NULL;
	strbuf_release(&days);
	strbuf_release(&means);
}

static double day_member(const struct forecast_day *d, size_t offset)
{
	return *(const double *)(const void *)((const char *)d + offset);
}

static const char *list_days(struct growths *g, size_t offset)
{
	struct strbuf text;

	strbuf_init(&text);
	for (size_t i = 0; i < g->shown; i++)
		strbuf_addf(&text, "%s%.6g", i ? " " : "", day_member(&g->days[i], offset));
	const char *kept = arena_strdup(g->out->arena, g->shown ? text.text : "");
	strbuf_release(&text);
	return kept;
}

/* The bounds of the weight that are asked when they are at market weight. */
static const struct bound {
	size_t offset;
	double errors; /* standard errors above the mean */
} the_mean = { offsetof(struct forecast_day, mean_g), 0.0 },
  upper = { offsetof(struct forecast_day, high_g), 1.96 },
  lower = { offsetof(struct forecast_day, low_g), -1.96 };

/* A bound of the weight when a day began that is over, or is today, by what is known now. */
static double bound_then(const struct fish_standing *st, const struct bound *bound, double widen)
{
	const enum growth_model model = st->row->model;
	const double se = st->mean_se_g * growth_d_scale(model, st->mean_g);

	return growth_unscale(model, growth_scale(model, st->mean_g) + bound->errors * widen * se);
}

/* The day on which a bound that is at market weight came there, since the fish were weighed here: the calendar
 * alone moves it no further. */
static int64_t reached(const struct growths *g, const struct fish_view_cell *c,
		       const struct fish_row *now, const struct bound *bound,
		       const struct growth_row *row)
{
	int64_t day = g->first_day;

	for (;; day--) {
		const struct fish_standing st =
			fish_standing_at(&g->v, c, book_day_start(g->b, day - 1), true);

		if (!st.row || st.fish == 0 || st.row->stretch != now->stretch ||
		    !(bound_then(&st, bound, row->widened) >= row->market_weight_g))
			return day;
	}
}

/* The first day on which a bound of the weight is at market weight; NO_INT: not within the horizon. */
static int64_t reaches(const struct growths *g, const struct fish_view_cell *c,
		       const struct fish_row *now, const struct bound *bound,
		       const struct growth_row *row)
{
	for (size_t i = 0; i < HORIZON_DAYS; i++)
		if (day_member(&g->days[i], bound->offset) >= row->market_weight_g)
			return i ? g->first_day + (int64_t)i : reached(g, c, now, bound, row);
	return NO_INT;
}

static void project(struct growths *g, const struct fish_view_cell *c,
		    const struct fish_standing *st, const struct score *score,
		    struct growth_row *row)
{
	row->widened = score_factor(score);
	if (st->row->stretch >= 0 &&
	    g->v.lots[c->lot].stretches[st->row->stretch].ends_at != NO_INSTANT) {
		row->reason = "weighed_since"; /* a day of the past: there is nothing to project */
		return;
	}
	if (!forecast_days(&g->v, c, st, g->at, g->starts, HORIZON_DAYS, row->widened, g->days)) {
		row->reason = isnan(st->mean_g) ? "no_weight" : "no_growth";
		return;
	}
	row->projected_g = list_days(g, offsetof(struct forecast_day, mean_g));
	row->low_g = list_days(g, offsetof(struct forecast_day, low_g));
	row->high_g = list_days(g, offsetof(struct forecast_day, high_g));
	if (isnan(row->market_weight_g)) {
		row->reason = "no_market_weight";
		return;
	}
	row->market_on = reaches(g, c, st->row, &the_mean, row);
	row->market_low = reaches(g, c, st->row, &upper, row);
	row->market_high = reaches(g, c, st->row, &lower, row);
	if (row->market_on == NO_INT)
		row->reason = "beyond_two_years";
	else if (row->market_high == NO_INT)
		row->reason = "late_end_open";
}

/* What was fed since the fish were weighed holds the mean of today (fish_fed.h). */
static enum err_code list_feedings(const struct growths *g, const struct fish_view_cell *c,
				   const struct fish_standing *st, struct explained_lists *lists,
				   struct err *err)
{
	const struct fish_view_lot *lot = &g->v.lots[c->lot];
	const int64_t tank_id = g->v.tank_ids.ids[c->tank];
	const int64_t begin = fish_held_since(&g->v, c, st->row);

	if (begin == NO_INSTANT || isnan(lot->facts.conversion_floor))
		return ERR_NONE;

	const int64_t first = book_day_start(g->b, book_day(g->b, begin));
	struct conversion fed = { .begin = first, .end = g->at + 1 };
	const enum err_code rc = feed_of_tank(g->b, tank_id, &fed, err);

	if (rc || !fed.feedings)
		return rc;
	struct explained_entries *e = explained_add(
		lists, "feedings",
		arena_printf(lists->arena, "/api/feedings?tank_id=%lld&%s", (long long)tank_id,
			     explained_span(g->b, first, g->at + 1, lists->arena)));
	e->count = fed.feedings;
	e->sum = fed.feed_g;
	e->sum_of = "amount_g";
	return ERR_NONE;
}

/* Here, and in the other tanks that the lot was in: its coefficient is learned from all of them. */
static enum err_code list_entries(const struct growths *g, const struct fish_view_cell *c,
				  const struct fish_standing *st, struct explained_lists *lists,
				  struct err *err)
{
	struct chosen_entries chosen = { 0 };
	struct fish_view all;
	const int64_t tank_id = g->v.tank_ids.ids[c->tank];
	const enum err_code rc = fish_view_open(g->b, INT64_MIN / 4, g->at, 0,
						g->v.lot_ids.ids[c->lot], lists->arena, &all, err);

	if (rc)
		return rc;
	fish_choose_weighed(c, g->at, NULL, &chosen, lists->arena);
	for (size_t i = 0; i < all.n_cells; i++)
		if (all.tank_ids.ids[all.cells[i].tank] != tank_id)
			fish_choose_weighed(&all.cells[i], g->at, "elsewhere", &chosen,
					    lists->arena);
	chosen_list(&chosen, lists);
	return list_feedings(g, c, st, lists, err);
}

static const struct explanation *explain(struct growths *g, const struct growth_row *row,
					 const struct explained_lists *lists)
{
	struct arena *arena = g->out->arena;
	struct explanation *e = arena_alloc(arena, sizeof(*e));
	struct explained_input *in = arena_array(arena, 5, sizeof(*in));

	in[0] = (struct explained_input){ "mean_weight_g", row->mean_weight_g };
	in[1] = (struct explained_input){ "k", row->k };
	in[2] = (struct explained_input){ "k_se", row->k_se };
	in[3] = (struct explained_input){ "handbook_share", row->handbook_share };
	in[4] = (struct explained_input){ "widened", row->widened };
	*e = (struct explanation){
		.formula = strcmp(row->fit, "specific") == 0
				   ? "W2 = W1 exp(k/100 x days); range: 1.96 x widened x se"
				   : "W2 = (W1^(1/3) + k/1000 x degree-days)^3; range: 1.96 x "
				     "widened x se",
		.source = "docs/formulas, fish ledger and growth ahead; Iwama and Tautz 1981",
		.inputs = in,
		.n_inputs = 5,
	};
	explained_give(lists, e);
	return e;
}

static bool is_asked(const struct growths *g, const struct growth_row *row)
{
	const char *only = g->q->only;

	return !only || strcasecmp(only, row->tank) == 0 || strcasecmp(only, row->fish_lot) == 0 ||
	       strcasecmp(only, row->species) == 0;
}

static enum err_code fill_row(struct growths *g, const struct fish_view_cell *c,
			      struct growth_row *row, struct err *err)
{
	const struct fish_standing st = fish_standing_at(&g->v, c, g->at, true);
	const struct fish_view_lot *lot = &g->v.lots[c->lot];
	const int64_t tank_id = g->v.tank_ids.ids[c->tank];
	struct tank_facts tank;
	struct forecast_fit fit;
	struct score score;
	enum err_code rc =
		tank_facts_load(g->b, tank_id, g->first_day - 1, g->out->arena, &tank, err);

	if (rc)
		return rc;
	forecast_fit(&g->v, c, st.row, &fit);
	forecast_score(&g->v, lot->facts.species_id, &score);
	*row = (struct growth_row){
		.fish_lot = lot->facts.code,
		.tank = tank.code,
		.species = lot->facts.species,
		.fish = st.fish,
		.mean_weight_g = st.mean_g,
		.mean_weight_se_g = st.mean_se_g,
		.basis = fish_basis_word(st.basis),
		.fit = fit_word(fit.model),
		.k = fit.model == GROWTH_NONE ? NAN : fit.k,
		.k_se = fit.k_se,
		.own_stretches = (int64_t)fit.own,
		.handbook_share = fit.handbook_share,
		.scored = (int64_t)score.n,
		.scored_inside = (int64_t)score.inside,
		.first_day = g->first_day,
		.market_weight_g = lot->facts.market_weight_g,
		.market_on = NO_INT,
		.market_low = NO_INT,
		.market_high = NO_INT,
	};
	list_weighings(g, c, row);
	project(g, c, &st, &score, row);
	if (!g->q->explain || !is_asked(g, row))
		return ERR_NONE;
	struct explained_lists lists = { .arena = g->out->arena };
	rc = list_entries(g, c, &st, &lists, err);
	row->explain = explain(g, row, &lists);
	return rc;
}

static enum err_code add_rows(struct growths *g, struct growth_row *rows, struct err *err)
{
	size_t *order = arena_array(g->out->arena, g->v.tank_ids.n + 1, sizeof(*order));
	enum err_code rc = tank_walk_order(g->b, &g->v.tank_ids, g->out->arena, order, err);

	for (size_t t = 0; !rc && t < g->v.tank_ids.n; t++)
		for (size_t i = 0; !rc && i < g->v.n_cells; i++) {
			const struct fish_view_cell *c = &g->v.cells[i];
			struct growth_row *row = &rows[g->out->n_rows];
			if (c->tank != order[t] ||
			    fish_standing_at(&g->v, c, g->at, false).fish == 0)
				continue;
			rc = fill_row(g, c, row, err);
			if (!rc && is_asked(g, row))
				g->out->n_rows++;
		}
	return rc;
}

static void set_days(struct growths *g, int64_t day)
{
	int64_t last = g->q->to_day == NO_INT ? day + SHOWN_DAYS : g->q->to_day;

	g->first_day = day + 1;
	last = last > day + SHOWN_MOST ? day + SHOWN_MOST : last;
	g->shown = last > day ? (size_t)(last - day) : 0;
	g->starts = arena_array(g->out->arena, HORIZON_DAYS, sizeof(*g->starts));
	g->days = arena_array(g->out->arena, HORIZON_DAYS, sizeof(*g->days));
	for (int64_t i = 0; i < HORIZON_DAYS; i++)
		g->starts[i] = book_day_start(g->b, g->first_day + i);
}

static enum err_code run_growth(struct book *b, const struct report_query *q,
				struct report_result *out, struct err *err)
{
	struct growths g = { .b = b, .q = q, .out = out };
	const int64_t today = book_day(b, q->now);
	const int64_t day = q->day == NO_INT ? today : q->day;

	g.at = day >= today ? q->now : book_day_start(b, day + 1) - 1;
	enum err_code rc = fish_view_open(b, g.at, g.at, 0, 0, out->arena, &g.v, err);
	if (rc)
		return rc;
	set_days(&g, book_day(b, g.at));
	struct growth_row *rows = arena_array(out->arena, g.v.n_cells + 1, sizeof(*rows));
	rc = add_rows(&g, rows, err);
	out->rows = (const char *)rows;
	out->from_day = g.first_day;
	out->to_day = g.first_day + (int64_t)g.shown - 1;
	out->as_of = g.at;
	return rc;
}

static const struct report_question growth_questions[] = {
	{ .name = "day", .help = "the farm day, at its end; today is as of now" },
	{ .name = "to", .help = "last farm day shown; eight weeks ahead when not given" },
	{ .name = "only", .help = "code or name of a tank, lot or species: only rows of it" },
};

const struct report growth_report = {
	.name = "growth",
	.summary = "Weighings, fit, weight by day ahead, and the day of market weight",
	.columns = growth_columns,
	.n_columns = sizeof(growth_columns) / sizeof(growth_columns[0]),
	.row_size = sizeof(struct growth_row),
	.explain_offset = offsetof(struct growth_row, explain),
	.questions = growth_questions,
	.n_questions = sizeof(growth_questions) / sizeof(growth_questions[0]),
	.changes_by_clock = true,
	.run = run_growth,
};

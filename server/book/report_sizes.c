/* Report sizes: how much the fish of each lot in a tank spread, how well their mean was weighed,
 * when to grade. */
#include <math.h>
#include <stddef.h>
#include <strings.h>

#include "book/fish_entries.h"
#include "book/fish_sample.h"
#include "book/report.h"
#include "book/report_list.h"
#include "book/tank_facts.h"
#include "domain/fish_measures.h"
#include "domain/normal.h"
#include "model/kinds.h"

static const double wanted_pct = 5.0; /* error of a mean that is good enough */

struct sizes_row {
	uint64_t has;
	const struct explanation *explain;
	const char *tank, *fish_lot;
	int64_t fish, weighed_on, sample_fish;
	double mean_weight_g, cv_pct;
	const char *cv_from;
	double error_pct;
	int64_t more_fish;
	const char *grade;
};

static const struct field sizes_columns[] = {
	FIELD(sizes_row, tank, KIND_TEXT),
	FIELD(sizes_row, fish_lot, KIND_TEXT),
	FIELD(sizes_row, fish, KIND_INTEGER),
	FIELD(sizes_row, weighed_on, KIND_DAY),
	FIELD(sizes_row, sample_fish, KIND_INTEGER),
	FIELD(sizes_row, mean_weight_g, KIND_REAL, .unit = "g"),
	FIELD(sizes_row, cv_pct, KIND_REAL, .unit = "%"),
	FIELD(sizes_row, cv_from, KIND_TEXT),
	FIELD(sizes_row, error_pct, KIND_REAL, .unit = "%"),
	FIELD(sizes_row, more_fish, KIND_INTEGER),
	FIELD(sizes_row, grade, KIND_TEXT),
};

/* The newest weighing of the lot in the tank up to `at`. */
static enum err_code newest(struct book *b, int64_t tank_id, int64_t lot_id, int64_t at,
			    struct fish_sample *out, int64_t *id, int64_t *day, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_WEIGHING_NEWEST, &q, err);

	*day = NO_INT;
	*id = 0;
	if (rc)
		goto out;
	stmt_bind_int(q, ":tank_id", tank_id);
	stmt_bind_int(q, ":lot_id", lot_id);
	stmt_bind_int(q, ":at", at);
	rc = stmt_row(q, err);
	if (rc)
		goto out;
	*day = stmt_int(q, 0);
	*id = stmt_int(q, 5);
	*out = fish_sample_read(stmt_text(q, 3), stmt_text(q, 4), stmt_real(q, 1), stmt_real(q, 2));
out:
	stmt_done(q);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

static void judge(const struct fish_sample *s, struct sizes_row *row)
{
	const double cv = s->cv, fish = (double)row->fish;
	const double enough = sample_size(100.0 * cv, wanted_pct, Z95, fish);

	row->sample_fish = (int64_t)s->fish;
	row->mean_weight_g = s->mean_g;
	row->cv_from = s->from;
	row->error_pct = 100.0 * sizes_error(cv, s->fish, fish, Z95);
	row->more_fish = enough > s->fish ? (int64_t)(enough - s->fish) : 0;
	row->cv_pct = 100.0 * (isnan(s->own_cv) ? cv : s->own_cv);
	if (!isnan(s->own_cv))
		row->grade = s->own_cv >= SIZES_GRADE_CV ? "grade" : "even";
}

static const struct explanation *explain(struct arena *arena, const struct sizes_row *row,
					 int64_t weighing_id)
{
	struct explanation *e = arena_alloc(arena, sizeof(*e));
	struct explained_input *in = arena_array(arena, 3, sizeof(*in));
	struct explained_lists lists = { .arena = arena };
	struct chosen_entries chosen = { 0 };

	in[0] = (struct explained_input){ "cv_pct", row->cv_pct };
	in[1] = (struct explained_input){ "sample_fish", (double)row->sample_fish };
	in[2] = (struct explained_input){ "fish", (double)row->fish };
	chosen_add(&chosen, &weighings_kind, NULL, weighing_id, arena);
	chosen_list(&chosen, &lists);
	*e = (struct explanation){
		.formula = "error = 1.96 cv / sqrt(sample) x sqrt(1 - sample / fish); grade from a "
			   "cv of 30 % on",
		.source = "Cochran 1977, Sampling Techniques; when to grade: common practice, no "
			  "source",
		.inputs = in,
		.n_inputs = 3,
	};
	explained_give(&lists, e);
	return e;
}

/* *shown false: nothing was weighed there. */
static enum err_code fill_row(struct book *b, const struct report_query *q,
			      const struct fish_view *v, const struct fish_view_cell *c, int64_t at,
			      struct arena *arena, struct sizes_row *row, bool *shown,
			      struct err *err)
{
	const int64_t tank_id = v->tank_ids.ids[c->tank], lot_id = v->lot_ids.ids[c->lot];
	struct fish_sample sample = { .fish = 0.0 };
	struct tank_facts tank;
	int64_t id, day;
	enum err_code rc = newest(b, tank_id, lot_id, at, &sample, &id, &day, err);

	if (!rc)
		rc = tank_facts_load(b, tank_id, book_day(b, at), arena, &tank, err);
	if (rc)
		return rc;
	*row = (struct sizes_row){ .tank = tank.code,
				   .fish_lot = v->lots[c->lot].facts.code,
				   .fish = fish_standing_at(v, c, at, false).fish,
				   .weighed_on = day };
	*shown = row->fish > 0 && sample.fish > 0.0 &&
		 (!q->only || strcasecmp(q->only, row->tank) == 0 ||
		  strcasecmp(q->only, row->fish_lot) == 0);
	if (*shown)
		judge(&sample, row);
	if (*shown && q->explain)
		row->explain = explain(arena, row, id);
	return ERR_NONE;
}

static enum err_code run_sizes(struct book *b, const struct report_query *q,
			       struct report_result *out, struct err *err)
{
	struct fish_view v;
	const int64_t today = book_day(b, q->now), day = q->day == NO_INT ? today : q->day;
	const int64_t at = day >= today ? q->now : book_day_start(b, day + 1) - 1;
	enum err_code rc = fish_view_open(b, at, at, 0, 0, out->arena, &v, err);

	if (rc)
		return rc;
	struct sizes_row *rows = arena_array(out->arena, v.n_cells + 1, sizeof(*rows));
	size_t *order = arena_array(out->arena, v.tank_ids.n + 1, sizeof(*order));
	rc = tank_walk_order(b, &v.tank_ids, out->arena, order, err);
	for (size_t t = 0; !rc && t < v.tank_ids.n; t++)
		for (size_t i = 0; !rc && i < v.n_cells; i++) {
			bool shown = false;
			if (v.cells[i].tank != order[t])
				continue;
			rc = fill_row(b, q, &v, &v.cells[i], at, out->arena, &rows[out->n_rows],
				      &shown, err);
			out->n_rows += shown;
		}
	out->rows = (const char *)rows;
	out->from_day = out->to_day = day;
	out->as_of = at;
	return rc;
}

static const struct report_question sizes_questions[] = {
	{ .name = "day", .help = "the farm day, at its end; today is as of now" },
	{ .name = "only", .help = "code of a tank or lot: only rows of it" },
};

const struct report sizes_report = {
	.name = "sizes",
	.summary = "Spread of sizes at the last weighing, how sure its mean is, and when to grade",
	.columns = sizes_columns,
	.n_columns = sizeof(sizes_columns) / sizeof(sizes_columns[0]),
	.row_size = sizeof(struct sizes_row),
	.explain_offset = offsetof(struct sizes_row, explain),
	.questions = sizes_questions,
	.n_questions = sizeof(sizes_questions) / sizeof(sizes_questions[0]),
	.changes_by_clock = true,
	.run = run_sizes,
};

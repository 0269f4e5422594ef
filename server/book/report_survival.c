/* Report survival: what became of the fish of each lot; what is unexplained stands beside, and in
 * no other figure. */
#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <strings.h>

#include "book/fish_entries.h"
#include "book/report.h"
#include "book/report_list.h"

struct survival_row {
	uint64_t has;
	const struct explanation *explain;
	const char *fish_lot, *species;
	int64_t arrived, joined, left, alive, harvested, sold, dead, culled, escaped,
		unexplained_fish;
	double survival_pct, survival_low_pct;
};

static const struct field survival_columns[] = {
	FIELD(survival_row, fish_lot, KIND_TEXT),
	FIELD(survival_row, species, KIND_TEXT),
	FIELD(survival_row, arrived, KIND_INTEGER),
	FIELD(survival_row, joined, KIND_INTEGER),
	FIELD(survival_row, left, KIND_INTEGER),
	FIELD(survival_row, alive, KIND_INTEGER),
	FIELD(survival_row, harvested, KIND_INTEGER),
	FIELD(survival_row, sold, KIND_INTEGER),
	FIELD(survival_row, dead, KIND_INTEGER),
	FIELD(survival_row, culled, KIND_INTEGER),
	FIELD(survival_row, escaped, KIND_INTEGER),
	FIELD(survival_row, unexplained_fish, KIND_INTEGER),
	FIELD(survival_row, survival_pct, KIND_REAL, .unit = "%"),
	FIELD(survival_row, survival_low_pct, KIND_REAL, .unit = "%"),
};

static void count_effect(const struct fish_row *r, struct survival_row *row)
{
	switch (r->effect) {
	case EFFECT_ARRIVED:
		row->arrived += r->fish;
		break;
	case EFFECT_MOVED_IN:
		row->joined += r->other_lot != r->lot ? r->fish : 0;
		break;
	case EFFECT_MOVED_OUT:
		/* to another lot, or out of the book for another reason */
		row->left -= r->other_lot != r->lot ? r->fish : 0;
		break;
	case EFFECT_SOLD:
		row->sold -= r->fish;
		break;
	case EFFECT_ESCAPED:
		row->escaped -= r->fish;
		break;
	case EFFECT_DIED:
		row->dead -= r->fish;
		break;
	case EFFECT_HARVESTED:
		row->harvested -= r->fish;
		break;
	case EFFECT_CULLED:
		row->culled -= r->fish;
		break;
	case EFFECT_FOUND:
	case EFFECT_MISSING:
		row->unexplained_fish += r->fish;
		break;
	case EFFECT_WEIGHED:
	case EFFECT__MAX:
		break;
	}
}

/* Of all that came, what did not die; and the same if all that are missing died. */
static void divide(struct survival_row *row)
{
	const double came = (double)(row->arrived + row->joined);
	const double lost = (double)(row->dead + row->culled);
	const double missing = row->unexplained_fish < 0 ? (double)-row->unexplained_fish : 0.0;

	row->survival_pct = came > 0.0 ? 100.0 * (1.0 - lost / came) : NAN;
	row->survival_low_pct = came > 0.0 ? 100.0 * (1.0 - (lost + missing) / came) : NAN;
	if (row->survival_pct < 0.0) /* more died than ever came: the book is wrong there */
		row->survival_pct = row->survival_low_pct = NAN;
	if (row->survival_low_pct < 0.0)
		row->survival_low_pct = 0.0;
}

/* Moves of the lot from tank to tank, and what weighs without counting, change nothing here. */
static bool counts(const struct fish_row *r)
{
	const bool moved = r->effect == EFFECT_MOVED_IN || r->effect == EFFECT_MOVED_OUT;

	return r->effect != EFFECT_WEIGHED && !(moved && r->other_lot == r->lot);
}

static void list_entries(const struct fish_view *v, size_t lot, int64_t at,
			 struct explained_lists *lists)
{
	struct chosen_entries chosen = { 0 };

	for (size_t i = 0; i < v->n_cells; i++) {
		const struct fish_view_cell *c = &v->cells[i];

		for (size_t r = 0; c->lot == lot && r < fish_rows_until(c, at); r++)
			if (counts(&c->rows[r]))
				fish_choose(&c->rows[r], &chosen, lists->arena);
	}
	chosen_list(&chosen, lists);
}

static const struct explanation *explain(struct arena *arena, const struct survival_row *row,
					 const struct explained_lists *lists)
{
	struct explanation *e = arena_alloc(arena, sizeof(*e));
	struct explained_input *in = arena_array(arena, 4, sizeof(*in));

	in[0] = (struct explained_input){ "arrived", (double)row->arrived };
	in[1] = (struct explained_input){ "dead", (double)row->dead };
	in[2] = (struct explained_input){ "culled", (double)row->culled };
	in[3] = (struct explained_input){ "unexplained_fish", (double)row->unexplained_fish };
	*e = (struct explanation){
		.formula = "survival = 100 (1 - (dead + culled) / (arrived + joined)); low: the "
			   "missing counted as dead",
		.source = "the ledger of this farm; common practice",
		.inputs = in,
		.n_inputs = 4,
	};
	explained_give(lists, e);
	return e;
}

static bool is_asked(const struct report_query *q, const struct fish_lot_facts *lot)
{
	return !q->only || strcasecmp(q->only, lot->code) == 0 ||
	       strcasecmp(q->only, lot->species) == 0;
}

static enum err_code run_survival(struct book *b, const struct report_query *q,
				  struct report_result *out, struct err *err)
{
	struct fish_view v;
	const int64_t today = book_day(b, q->now), day = q->day == NO_INT ? today : q->day;
	const int64_t at = day >= today ? q->now : book_day_start(b, day + 1) - 1;
	enum err_code rc = fish_view_open(b, INT64_MIN / 4, at, 0, 0, out->arena, &v, err);

	if (rc)
		return rc;
	struct survival_row *all = arena_array(out->arena, v.lot_ids.n + 1, sizeof(*all));
	struct survival_row *rows = arena_array(out->arena, v.lot_ids.n + 1, sizeof(*rows));
	for (size_t i = 0; i < v.n_cells; i++) {
		const struct fish_view_cell *c = &v.cells[i];
		const size_t n = fish_rows_until(c, at);
		for (size_t r = 0; r < n; r++)
			count_effect(&c->rows[r], &all[c->lot]);
		all[c->lot].alive += n ? c->rows[n - 1].fish_after : 0;
	}
	for (size_t l = 0; l < v.lot_ids.n; l++) {
		if (!is_asked(q, &v.lots[l].facts))
			continue;
		all[l].fish_lot = v.lots[l].facts.code;
		all[l].species = v.lots[l].facts.species;
		divide(&all[l]);
		if (q->explain) {
			struct explained_lists lists = { .arena = out->arena };

			list_entries(&v, l, at, &lists);
			all[l].explain = explain(out->arena, &all[l], &lists);
		}
		rows[out->n_rows++] = all[l];
	}
	out->rows = (const char *)rows;
	out->from_day = out->to_day = day;
	out->as_of = at;
	return ERR_NONE;
}

static const struct report_question survival_questions[] = {
	{ .name = "day", .help = "the farm day, at its end; today is as of now" },
	{ .name = "only", .help = "code of a lot, or a species: only rows of it" },
};

const struct report survival_report = {
	.name = "survival",
	.summary = "What became of the fish of each lot, and what is unexplained",
	.columns = survival_columns,
	.n_columns = sizeof(survival_columns) / sizeof(survival_columns[0]),
	.row_size = sizeof(struct survival_row),
	.explain_offset = offsetof(struct survival_row, explain),
	.questions = survival_questions,
	.n_questions = sizeof(survival_questions) / sizeof(survival_questions[0]),
	.changes_by_clock = true,
	.run = run_survival,
};

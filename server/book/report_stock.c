/* Report stock: the fish of each lot in each tank on a day. */
#include <math.h>
#include <stddef.h>

#include "book/fish_entries.h"
#include "book/report.h"
#include "book/tank_facts.h"

struct stock_row {
	uint64_t has;
	const struct explanation *explain;
	const char *tank;
	const char *fish_lot;
	const char *species;
	int64_t fish;
	double mean_weight_g;
	double mean_weight_se_g;
	double biomass_g;
	const char *basis;
	int64_t weighed_on;
	double density_kg_m3;     /* of the whole tank */
	int64_t unexplained_fish; /* net, since the lot came into the tank */
};

static const struct field stock_columns[] = {
	FIELD(stock_row, tank, KIND_TEXT),
	FIELD(stock_row, fish_lot, KIND_TEXT),
	FIELD(stock_row, species, KIND_TEXT),
	FIELD(stock_row, fish, KIND_INTEGER),
	FIELD(stock_row, mean_weight_g, KIND_REAL, .unit = "g"),
	FIELD(stock_row, mean_weight_se_g, KIND_REAL, .unit = "g"),
	FIELD(stock_row, biomass_g, KIND_REAL, .unit = "g"),
	FIELD(stock_row, basis, KIND_TEXT),
	FIELD(stock_row, weighed_on, KIND_DAY),
	FIELD(stock_row, density_kg_m3, KIND_REAL, .unit = "kg/m3"),
	FIELD(stock_row, unexplained_fish, KIND_INTEGER),
};

static int64_t unexplained(const struct fish_view_cell *c, int64_t at)
{
	const size_t n = fish_rows_until(c, at);
	int64_t sum = 0;

	for (size_t i = 0; i < n; i++)
		if (c->rows[i].effect == EFFECT_FOUND || c->rows[i].effect == EFFECT_MISSING)
			sum += c->rows[i].fish;
	return sum;
}

static const struct explanation *explain(struct arena *arena, const struct stock_row *row,
					 const struct fish_view_cell *cell, int64_t at)
{
	struct explanation *e = arena_alloc(arena, sizeof(*e));
	struct explained_input *in = arena_array(arena, 2, sizeof(*in));
	struct explained_lists lists = { .arena = arena };
	struct chosen_entries chosen = { 0 };

	in[0] = (struct explained_input){ "fish", (double)row->fish };
	in[1] = (struct explained_input){ "mean_weight_g", row->mean_weight_g };
	fish_choose_cell(cell, at, &chosen, arena);
	chosen_list(&chosen, &lists);
	*e = (struct explanation){ .formula = "biomass = fish x mean weight",
				   .source = "the ledger of this farm; docs/formulas, mean weight",
				   .inputs = in,
				   .n_inputs = 2 };
	explained_give(&lists, e);
	return e;
}

static enum err_code fill_row(struct book *b, const struct fish_view *v,
			      const struct fish_view_cell *c, int64_t at, struct arena *arena,
			      struct stock_row *row, struct err *err)
{
	const struct fish_standing st = fish_standing_at(v, c, at, true);
	const struct fish_view_lot *lot = &v->lots[c->lot];
	struct tank_facts tank;
	enum err_code rc =
		tank_facts_load(b, v->tank_ids.ids[c->tank], book_day(b, at), arena, &tank, err);

	if (rc)
		return rc;
	double in_tank = 0.0;
	for (size_t i = 0; i < v->n_cells; i++)
		if (v->cells[i].tank == c->tank)
			in_tank += fish_standing_at(v, &v->cells[i], at, false).biomass_g;
	*row = (struct stock_row){
		.tank = tank.code,
		.fish_lot = lot->facts.code,
		.species = lot->facts.species,
		.fish = st.fish,
		.mean_weight_g = st.mean_g,
		.mean_weight_se_g = st.mean_se_g,
		.biomass_g = st.biomass_g,
		.basis = fish_basis_word(st.basis),
		.weighed_on =
			st.row->weighed_at == NO_INSTANT ? NO_INT : book_day(b, st.row->weighed_at),
		.density_kg_m3 = in_tank / tank.volume_l,
		.unexplained_fish = unexplained(c, at),
	};
	return ERR_NONE;
}

static enum err_code run_stock(struct book *b, const struct report_query *q,
			       struct report_result *out, struct err *err)
{
	struct fish_view v;
	const int64_t today = book_day(b, q->now);
	const int64_t day = q->day == NO_INT ? today : q->day;
	const int64_t at = day == today ? q->now : book_day_start(b, day + 1) - 1;
	enum err_code rc = fish_view_open(b, at, at, 0, 0, out->arena, &v, err);

	if (rc)
		return rc;
	struct stock_row *rows = arena_array(out->arena, v.n_cells + 1, sizeof(*rows));
	size_t *order = arena_array(out->arena, v.n_cells + 1, sizeof(*order));
	rc = tank_walk_order(b, &v.tank_ids, out->arena, order, err);
	for (size_t t = 0; !rc && t < v.tank_ids.n; t++)
		for (size_t i = 0; !rc && i < v.n_cells; i++) {
			const struct fish_view_cell *c = &v.cells[i];
			struct stock_row *row = &rows[out->n_rows];
			if (c->tank != order[t] || fish_standing_at(&v, c, at, false).fish == 0)
				continue;
			rc = fill_row(b, &v, c, at, out->arena, row, err);
			if (!rc && q->explain)
				row->explain = explain(out->arena, row, c, at);
			if (!rc)
				out->n_rows++;
		}
	out->rows = (const char *)rows;
	out->from_day = out->to_day = day;
	out->as_of = at;
	return rc;
}

static const struct report_question stock_questions[] = {
	{ .name = "day", .help = "the farm day, at its end; today is as of now" },
};

const struct report stock_report = {
	.name = "stock",
	.summary = "Fish of each lot in each tank on a day",
	.columns = stock_columns,
	.n_columns = sizeof(stock_columns) / sizeof(stock_columns[0]),
	.row_size = sizeof(struct stock_row),
	.explain_offset = offsetof(struct stock_row, explain),
	.questions = stock_questions,
	.n_questions = sizeof(stock_questions) / sizeof(stock_questions[0]),
	.changes_by_clock = true,
	.run = run_stock,
};

/* Report base: the base diary of each loop, as of now. */
#include <math.h>
#include <stddef.h>
#include <strings.h>

#include "book/base_diary.h"
#include "book/inside.h"
#include "book/report.h"
#include "book/report_list.h"
#include "domain/normal.h"

struct base_row {
	const struct explanation *explain;
	const char *loop, *state;
	double used_g_kg, used_low_g_kg, used_high_g_kg, handbook_g_kg;
	int64_t own_intervals;
	double alkalinity_mg_l;
	int64_t tested_on;
	double alkalinity_now_mg_l, level_mg_l, floor_mg_l, ph;
	int64_t ph_on, last_dose_on;
	const char *last_material;
	int64_t due_on;
	const char *due, *material;
	double amount_g, caco3_g;
};

static const struct field columns[] = {
	FIELD(base_row, loop, KIND_CODE),
	FIELD(base_row, state, KIND_TEXT),
	FIELD(base_row, used_g_kg, KIND_REAL, .unit = "g/kg"),
	FIELD(base_row, used_low_g_kg, KIND_REAL, .unit = "g/kg"),
	FIELD(base_row, used_high_g_kg, KIND_REAL, .unit = "g/kg"),
	FIELD(base_row, handbook_g_kg, KIND_REAL, .unit = "g/kg"),
	FIELD(base_row, own_intervals, KIND_INTEGER),
	FIELD(base_row, alkalinity_mg_l, KIND_REAL, .unit = "mg/L"),
	FIELD(base_row, tested_on, KIND_DAY),
	FIELD(base_row, alkalinity_now_mg_l, KIND_REAL, .unit = "mg/L"),
	FIELD(base_row, level_mg_l, KIND_REAL, .unit = "mg/L"),
	FIELD(base_row, floor_mg_l, KIND_REAL, .unit = "mg/L"),
	FIELD(base_row, ph, KIND_REAL),
	FIELD(base_row, ph_on, KIND_DAY),
	FIELD(base_row, last_dose_on, KIND_DAY),
	FIELD(base_row, last_material, KIND_TEXT),
	FIELD(base_row, due_on, KIND_DAY),
	FIELD(base_row, due, KIND_TEXT),
	FIELD(base_row, material, KIND_TEXT),
	FIELD(base_row, amount_g, KIND_REAL, .unit = "g"),
	FIELD(base_row, caco3_g, KIND_REAL, .unit = "g"),
};

static const struct explanation *explain(const struct water_loop *l, const struct base_diary *d,
					 struct explained_lists *lists)
{
	enum { INPUTS = 6 };
	struct arena *arena = lists->arena;
	struct explanation *e = arena_alloc(arena, sizeof(*e));
	struct explained_input *in = arena_array(arena, INPUTS, sizeof(*in));

	in[0] = (struct explained_input){ "water_volume_l", l->volume_l };
	in[1] = (struct explained_input){ "used_g_kg", d->used_g_kg };
	in[2] = (struct explained_input){ "handbook_g_kg", d->handbook_g_kg };
	in[3] = (struct explained_input){ "handbook_share_pct", d->handbook_share * 100.0 };
	in[4] = (struct explained_input){ "level_mg_l", d->level_mg_l };
	in[5] = (struct explained_input){ "floor_mg_l", d->floor_mg_l };
	chosen_list(&d->under, lists);
	*e = (struct explanation){ .formula =
					   "used = (dosed as CaCO3 - rise of alkalinity x volume) "
					   "/ feed, by intervals of 6 days "
					   "or more, with the handbook's protein x 0.092 x 7.05 as "
					   "one more; dose = (level - "
					   "alkalinity when due) x volume + half an interval's use",
				   .source = "docs/formulas/balance.md; own tests, doses and feed; "
					     "Ebeling and others (2006), from "
					     "memory.  The label of the material comes first",
				   .inputs = in,
				   .n_inputs = INPUTS };
	explained_give(lists, e);
	return e;
}

static void add_notes(struct report_result *out, const char *loop, const struct base_diary *d)
{
	report_add_note(
		out, "label_first", loop,
		"It computes and does not prescribe: the label and the safety sheet come first.  A "
		"hydroxide goes in slowly, in parts, where no fish stand.");
	if (d->ph < 6.0)
		report_add_note(
			out, "nitrification_stalls", loop,
			"Below pH 6 nitrification stalls: ammonia is no longer turned to nitrate.");
	if (d->unreadable)
		report_add_note(out, "material_unreadable", loop,
				"A dosed material has no formula that is known: intervals with it "
				"are left out.");
	if (!d->material && d->due_on != NO_INT)
		report_add_note(out, "no_material", loop,
				"No material that brings what is due is set up with its formula.");
	report_add_note(out, "makeup_alkalinity", loop,
			"What alkalinity the makeup water brings is not on record: it makes the "
			"use look smaller.");
}

static struct base_row row_of(const struct water_loop *l, const struct base_diary *d)
{
	const double band = Z95 * d->used_se_g_kg;

	return (struct base_row){
		.loop = l->code,
		.state = d->state,
		.used_g_kg = d->used_g_kg,
		.used_low_g_kg = fmax(0.0, d->used_g_kg - band),
		.used_high_g_kg = d->used_g_kg + band,
		.handbook_g_kg = d->handbook_g_kg,
		.own_intervals = d->intervals,
		.alkalinity_mg_l = d->alkalinity_mg_l,
		.tested_on = d->tested_on,
		.alkalinity_now_mg_l = d->alkalinity_now_mg_l,
		.level_mg_l = d->level_mg_l,
		.floor_mg_l = d->floor_mg_l,
		.ph = d->ph,
		.ph_on = d->ph_on,
		.last_dose_on = d->last_on,
		.last_material = d->last,
		.due_on = d->due_on,
		.due = d->due,
		.material = d->material,
		.amount_g = d->amount_g,
		.caco3_g = d->caco3_g,
	};
}

static enum err_code run(struct book *b, const struct report_query *q, struct report_result *out,
			 struct err *err)
{
	const int64_t today = book_day(b, q->now), from = today - DIARY_DAYS + 1;
	struct water_loop *loops;
	struct loop_days days;
	size_t n = 0;
	enum err_code rc = water_loops(b, today, out->arena, &loops, &n, err);

	if (!rc)
		rc = loop_days_load(b, loops, n, from, today, today + 1, out->arena, &days, err);
	if (rc)
		return rc;
	struct base_row *rows = arena_array(out->arena, n + 1, sizeof(*rows));
	for (size_t i = 0; !rc && i < n; i++) {
		struct base_diary d;

		if (q->only && strcasecmp(q->only, loops[i].code) != 0)
			continue;
		rc = base_diary(b, &loops[i], &days, i, q->now, out->arena, &d, err);
		if (rc)
			break;
		rows[out->n_rows] = row_of(&loops[i], &d);
		if (q->explain) {
			struct explained_lists lists = { .arena = out->arena };

			loop_days_list_feedings(&days, i, from, today, NULL, &lists);
			rows[out->n_rows].explain = explain(&loops[i], &d, &lists);
		}
		out->n_rows++;
		add_notes(out, loops[i].code, &d);
	}
	out->rows = (const char *)rows;
	out->from_day = from;
	out->to_day = today;
	out->as_of = q->now;
	return rc;
}

static const struct report_question questions[] = {
	{ .name = "only", .help = "code of a loop" },
};

const struct report base_report = {
	.name = "base",
	.summary = "Base used for the feed, and the next dose of each loop",
	.columns = columns,
	.n_columns = sizeof(columns) / sizeof(columns[0]),
	.row_size = sizeof(struct base_row),
	.explain_offset = offsetof(struct base_row, explain),
	.questions = questions,
	.n_questions = sizeof(questions) / sizeof(questions[0]),
	.changes_by_clock = true,
	.run = run,
};

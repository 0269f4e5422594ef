/* Report air: minutes of oxygen left in each tank if nothing supplied any, the tank that goes first
 * above. */
#include <math.h>
#include <stddef.h>
#include <stdlib.h>

#include "book/air_left.h"
#include "book/inside.h"
#include "book/report.h"

struct air_row {
	uint64_t has;
	const struct explanation *explain;
	const char *tank;
	double air_left_min;
	int64_t fish;
	double biomass_g, volume_l, do_mg_l;
	int64_t do_at, is_old;
	double stop_mg_l, uptake_mg_kg_h;
	int64_t usual_stop, usual_uptake;
};

static const struct field air_columns[] = {
	FIELD(air_row, tank, KIND_TEXT),
	FIELD(air_row, air_left_min, KIND_REAL, .unit = "min"),
	FIELD(air_row, fish, KIND_INTEGER),
	FIELD(air_row, biomass_g, KIND_REAL, .unit = "g"),
	FIELD(air_row, volume_l, KIND_REAL, .unit = "L"),
	FIELD(air_row, do_mg_l, KIND_REAL, .unit = "mg/L"),
	FIELD(air_row, do_at, KIND_TIME),
	FIELD(air_row, is_old, KIND_BOOL), /* the oxygen is older than its stated age */
	FIELD(air_row, stop_mg_l, KIND_REAL, .unit = "mg/L"),
	FIELD(air_row, uptake_mg_kg_h, KIND_REAL, .unit = "mg/kg/h"),
	FIELD(air_row, usual_stop, KIND_BOOL),   /* nobody set a stop limit */
	FIELD(air_row, usual_uptake, KIND_BOOL), /* nobody set the species' uptake */
};

static const struct explanation *explain(const struct air_left *a, struct arena *arena)
{
	struct explanation *e = arena_alloc(arena, sizeof(*e));
	struct explained_input *inputs = arena_array(arena, 5, sizeof(*inputs));

	inputs[0] = (struct explained_input){ "volume_l", a->volume_l };
	inputs[1] = (struct explained_input){ "do_mg_l", a->do_mg_l };
	inputs[2] = (struct explained_input){ "stop_mg_l", a->stop_mg_l };
	inputs[3] = (struct explained_input){ "biomass_g", a->biomass_g };
	inputs[4] = (struct explained_input){ "uptake_mg_kg_h", a->uptake_mg_kg_h };
	*e = (struct explanation){
		.formula = "minutes = 60 x volume x (DO - stop) / (biomass x uptake)",
		.source = "mass balance; leaves out what the surface gives and bacteria take",
		.inputs = inputs,
		.n_inputs = 5,
	};
	return e;
}

static int by_minutes(const void *pa, const void *pb)
{
	const struct air_row *a = pa, *b = pb;
	/* Not known stands above all: nobody may take it for good. */
	const double x = isnan(a->air_left_min) ? -1.0 : a->air_left_min;
	const double y = isnan(b->air_left_min) ? -1.0 : b->air_left_min;

	return (x > y) - (x < y);
}

static enum err_code add_tank(struct book *b, const struct fish_view *v, int64_t tank_id,
			      int64_t at, bool explains, struct report_result *out,
			      struct air_row *rows, struct err *err)
{
	struct air_left a;
	enum err_code rc = air_left_of_tank(b, v, tank_id, at, out->arena, &a, err);

	if (rc || a.fish == 0)
		return rc;
	rows[out->n_rows++] = (struct air_row){
		.tank = book_label(b, "tanks", tank_id, out->arena),
		.air_left_min = a.minutes,
		.fish = a.fish,
		.biomass_g = a.biomass_g,
		.volume_l = a.volume_l,
		.do_mg_l = a.do_mg_l,
		.do_at = isnan(a.do_mg_l) ? NO_INT : a.do_at,
		.is_old = isnan(a.do_mg_l) || at - a.do_at > quantity_old_after_s(QUANTITY_DO),
		.stop_mg_l = a.stop_mg_l,
		.uptake_mg_kg_h = a.uptake_mg_kg_h,
		.usual_stop = a.usual_stop,
		.usual_uptake = a.usual_uptake,
		.explain = explains ? explain(&a, out->arena) : NULL,
	};
	return ERR_NONE;
}

static enum err_code run_air(struct book *b, const struct report_query *q,
			     struct report_result *out, struct err *err)
{
	struct fish_view v;
	enum err_code rc = fish_view_open(b, q->now, q->now, 0, 0, out->arena, &v, err);

	if (rc)
		return rc;
	struct air_row *rows = arena_array(out->arena, v.tank_ids.n + 1, sizeof(*rows));
	for (size_t i = 0; !rc && i < v.tank_ids.n; i++)
		rc = add_tank(b, &v, v.tank_ids.ids[i], q->now, q->explain, out, rows, err);
	if (out->n_rows)
		qsort(rows, out->n_rows, sizeof(*rows), by_minutes);
	out->rows = (const char *)rows;
	out->from_day = out->to_day = book_day(b, q->now);
	out->as_of = q->now;
	return rc;
}

const struct report air_report = {
	.name = "air",
	.summary = "Minutes of oxygen left in each tank without supply, the shortest first",
	.columns = air_columns,
	.n_columns = sizeof(air_columns) / sizeof(air_columns[0]),
	.row_size = sizeof(struct air_row),
	.explain_offset = offsetof(struct air_row, explain),
	.changes_by_clock = true,
	.uses_readings = true,
	.run = run_air,
};

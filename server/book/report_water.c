/* Report water: the newest reading of each quantity at each place, against the limits of the fish
 * there. */
#include <math.h>
#include <stddef.h>

#include "book/inside.h"
#include "book/place_fish.h"
#include "book/report.h"
#include "book/water.h"
#include "book/water_explain.h"
#include "store/record.h"

struct water_row {
	uint64_t has;
	const struct explanation *explain;
	const char *place, *loop, *quantity;
	double value;
	const char *unit;
	int64_t at;
	int64_t age_min, old_after_min, is_old;
	const char *bound;
	double as_read;
	const char *probe;
	int64_t computed;
	double low_stop, low, high, high_stop;
	const char *limit_source, *state;
};

static const struct field water_columns[] = {
	FIELD(water_row, place, KIND_TEXT),
	FIELD(water_row, loop, KIND_TEXT),
	FIELD(water_row, quantity, KIND_TEXT),
	FIELD(water_row, value, KIND_REAL),
	FIELD(water_row, unit, KIND_TEXT),
	FIELD(water_row, at, KIND_TIME),
	FIELD(water_row, age_min, KIND_INTEGER, .unit = "min"),
	FIELD(water_row, old_after_min, KIND_INTEGER, .unit = "min"), /* null: never too old */
	FIELD(water_row, is_old, KIND_BOOL),
	FIELD(water_row, bound, KIND_TEXT),
	FIELD(water_row, as_read, KIND_REAL), /* by a kit that reads the ion */
	FIELD(water_row, probe, KIND_TEXT),
	FIELD(water_row, computed, KIND_BOOL), /* nobody typed it */
	FIELD(water_row, low_stop, KIND_REAL),
	FIELD(water_row, low, KIND_REAL),
	FIELD(water_row, high, KIND_REAL),
	FIELD(water_row, high_stop, KIND_REAL),
	FIELD(water_row, limit_source, KIND_TEXT),
	FIELD(water_row, state, KIND_TEXT),
};

/* The newest readings as of an instant. */
struct waters {
	struct book *b;
	struct report_result *out;
	int64_t at;
	bool explain;
	struct water_place *places;
	size_t n;
	struct fish_view v;
	struct water_row *rows;
	size_t room;
};

static const char *loop_code(const struct waters *w, const struct water_place *p,
			     struct arena *arena)
{
	for (size_t i = 0; i < w->n; i++)
		if (w->places[i].id == p->loop_id)
			return w->places[i].code;
	const char *code = store_label(book_store(w->b), kind_find("loops"), p->loop_id);
	return p->loop_id && code ? arena_strdup(arena, code) : NULL;
}

static struct water_row row_of(const struct waters *w, const struct water_place *p, enum quantity q,
			       const struct reading *r, const struct limits *l)
{
	const int64_t old_s = quantity_old_after_s(q);

	return (struct water_row){
		.place = p->code,
		.quantity = quantity_name(q),
		.value = r->value,
		.unit = quantity_unit(q),
		.at = r->at,
		.age_min = (w->at - r->at) / 60,
		.old_after_min = old_s ? old_s / 60 : NO_INT,
		.is_old = old_s && w->at - r->at > old_s,
		.bound = bound_word(r->bound),
		.as_read = r->as_read,
		.computed = q >= QUANTITY_MEASURED_MAX,
		.low_stop = l->low_stop,
		.low = l->low,
		.high = l->high,
		.high_stop = l->high_stop,
		.limit_source = l->source,
		.state = water_state(r, l),
		.explain = w->explain ? water_explain(w->b, p->id, q, r, w->out->arena) : NULL,
	};
}

static enum err_code add_place(struct waters *w, const struct water_place *p, struct err *err)
{
	struct arena *arena = w->out->arena;
	struct reading readings[QUANTITY__MAX];
	struct limits limits[QUANTITY__MAX];
	struct id_set tanks, species;
	enum err_code rc = water_newest(w->b, p->id, INT64_MIN, w->at, readings, err);

	if (!rc)
		rc = place_tanks(w->b, p->id, arena, &tanks, err);
	if (!rc)
		species_in_tanks(&w->v, &tanks, w->at, arena, &species);
	if (!rc)
		rc = water_limits(w->b, &species, book_day(w->b, w->at), arena, limits, err);
	const char *loop = rc ? NULL : loop_code(w, p, arena);
	for (int i = 0; !rc && i < QUANTITY__MAX; i++) {
		if (isnan(readings[i].value))
			continue;
		w->rows = arena_grow(arena, w->rows, w->out->n_rows, &w->room, sizeof(*w->rows));
		struct water_row *row = &w->rows[w->out->n_rows++];
		*row = row_of(w, p, (enum quantity)i, &readings[i], &limits[i]);
		row->loop = loop;
		if (readings[i].probe_id)
			row->probe = book_label(w->b, "probes", readings[i].probe_id, arena);
	}
	return rc;
}

static enum err_code run_water(struct book *b, const struct report_query *q,
			       struct report_result *out, struct err *err)
{
	struct waters w = { .b = b, .out = out, .explain = q->explain };
	const int64_t day = q->day == NO_INT ? book_day(b, q->now) : q->day;

	w.at = q->day == NO_INT ? q->now : book_day_start(b, day + 1) - 1;
	enum err_code rc = water_places(b, day, out->arena, &w.places, &w.n, err);
	if (!rc)
		rc = fish_view_open(b, w.at, w.at, 0, 0, out->arena, &w.v, err);
	for (size_t i = 0; !rc && i < w.n; i++)
		rc = add_place(&w, &w.places[i], err);
	out->rows = (const char *)w.rows;
	out->from_day = out->to_day = day;
	out->as_of = w.at;
	return rc;
}

static const struct report_question water_questions[] = {
	{ .name = "day",
	  .help = "newest readings as of the end of a farm day; now when not given" },
};

const struct report water_report = {
	.name = "water",
	.summary = "Newest reading of each quantity at each place, against its limits",
	.columns = water_columns,
	.n_columns = sizeof(water_columns) / sizeof(water_columns[0]),
	.row_size = sizeof(struct water_row),
	.explain_offset = offsetof(struct water_row, explain),
	.questions = water_questions,
	.n_questions = sizeof(water_questions) / sizeof(water_questions[0]),
	.changes_by_clock = true,
	.uses_readings = true,
	.run = run_water,
};

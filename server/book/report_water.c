/* Report water: the newest reading of each quantity at each place, against the limits of the fish there. */
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "book/fish_view.h"
#include "book/report.h"
#include "book/water.h"
#include "store/record.h"

struct water_row {
	uint64_t has;
	const struct explanation *explain;
	const char *place, *loop, *quantity;
	double value;
	const char *unit;
	int64_t at;
	const char *bound;
	double low_stop, low, high, high_stop;
	const char *state;
};

static const struct field water_columns[] = {
	FIELD(water_row, place, KIND_TEXT),     FIELD(water_row, loop, KIND_TEXT),
	FIELD(water_row, quantity, KIND_TEXT),  FIELD(water_row, value, KIND_REAL),
	FIELD(water_row, unit, KIND_TEXT),      FIELD(water_row, at, KIND_TIME),
	FIELD(water_row, bound, KIND_TEXT),     FIELD(water_row, low_stop, KIND_REAL),
	FIELD(water_row, low, KIND_REAL),       FIELD(water_row, high, KIND_REAL),
	FIELD(water_row, high_stop, KIND_REAL), FIELD(water_row, state, KIND_TEXT),
};

struct place {
	int64_t id, loop_id;
	const char *code;
	bool is_tank;
};

static enum err_code list_places(struct book *b, int64_t day, struct arena *arena,
				 struct place **out, size_t *n, struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(book_store(b), Q_PLACES_WITH_WATER, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":day", day);
	while (!(rc = stmt_row(q, err))) {
		*out = arena_grow(arena, *out, *n, &room, sizeof(**out));
		(*out)[(*n)++] = (struct place){
			.id = stmt_int(q, 0),
			.code = arena_strdup(arena, stmt_text(q, 1)),
			.is_tank = strcmp(stmt_text(q, 2), "tanks") == 0,
			.loop_id = stmt_int(q, 3),
		};
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

/* The species that stand in the place itself, or anywhere in its loop's tanks. */
static struct id_set species_at(const struct fish_view *v, const struct place *places, size_t n,
				const struct place *p, int64_t at, struct arena *arena)
{
	struct id_set species = { 0 };

	for (size_t i = 0; i < v->n_cells; i++) {
		const int64_t tank_id = v->tank_ids.ids[v->cells[i].tank];
		bool near = p->is_tank && tank_id == p->id;
		for (size_t j = 0; !p->is_tank && !near && j < n; j++)
			near = places[j].id == tank_id && places[j].loop_id == p->loop_id;
		if (near && fish_standing_at(v, &v->cells[i], at, false).fish > 0)
			id_set_add(&species, v->lots[v->cells[i].lot].facts.species_id, arena);
	}
	return species;
}

/* The newest readings as of an instant. */
struct waters {
	struct book *b;
	struct report_result *out;
	int64_t at;
	struct place *places;
	size_t n;
	struct fish_view v;
	struct water_row *rows;
	size_t room;
};

static const char *loop_code(const struct waters *w, const struct place *p, struct arena *arena)
{
	for (size_t i = 0; i < w->n; i++)
		if (w->places[i].id == p->loop_id)
			return w->places[i].code;
	const char *code = store_label(book_store(w->b), kind_find("loops"), p->loop_id);
	return p->loop_id && code ? arena_strdup(arena, code) : NULL;
}

static enum err_code add_place(struct waters *w, const struct place *p, struct err *err)
{
	static const char *const bounds[] = { NULL, "below", "above" };
	struct arena *arena = w->out->arena;
	struct reading readings[QUANTITY__MAX];
	struct limits limits[QUANTITY__MAX];
	const struct id_set species = species_at(&w->v, w->places, w->n, p, w->at, arena);
	enum err_code rc = water_newest(w->b, p->id, INT64_MIN, w->at, readings, err);

	if (!rc)
		rc = water_limits(w->b, &species, book_day(w->b, w->at), limits, err);
	const char *loop = rc ? NULL : loop_code(w, p, arena);
	for (int i = 0; !rc && i < QUANTITY__MAX; i++) {
		if (isnan(readings[i].value))
			continue;
		w->rows = arena_grow(arena, w->rows, w->out->n_rows, &w->room, sizeof(*w->rows));
		w->rows[w->out->n_rows++] = (struct water_row){
			.place = p->code,
			.loop = loop,
			.quantity = quantity_name((enum quantity)i),
			.value = readings[i].value,
			.unit = quantity_unit((enum quantity)i),
			.at = readings[i].at,
			.bound = bounds[readings[i].bound],
			.low_stop = limits[i].low_stop,
			.low = limits[i].low,
			.high = limits[i].high,
			.high_stop = limits[i].high_stop,
			.state = water_state(&readings[i], &limits[i]),
		};
	}
	return rc;
}

static enum err_code run_water(struct book *b, const struct report_query *q,
			       struct report_result *out, struct err *err)
{
	struct waters w = { .b = b, .out = out };
	const int64_t day = q->day == NO_INT ? book_day(b, q->now) : q->day;

	w.at = q->day == NO_INT ? q->now : book_day_start(b, day + 1) - 1;
	enum err_code rc = list_places(b, day, out->arena, &w.places, &w.n, err);
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
	.n_questions = 1,
	.changes_by_clock = true,
	.run = run_water,
};

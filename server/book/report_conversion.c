/* Report feed-conversion: feed over gain, by tank, lot, species or loop. */
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "book/conversion.h"
#include "book/conversion_why.h"
#include "book/report.h"
#include "book/tank_facts.h"

struct conversion_row {
	uint64_t has;
	const struct explanation *explain;
	const char *tank, *fish_lot, *species, *loop; /* one of them: by */
	int64_t from, to;                             /* farm days, both included */
	double feed_g, uneaten_g;
	double start_biomass_g, added_g, removed_g;
	int64_t dead_fish;
	double dead_g;
	int64_t unexplained_fish;
	double end_biomass_g, gain_g;
	double fcr_economic, fcr_biological, low, high;
	const char *basis, *reason;
};

#define CONVERSION_FIGURES                                                                         \
	FIELD(conversion_row, from, KIND_DAY), FIELD(conversion_row, to, KIND_DAY),                \
		FIELD(conversion_row, feed_g, KIND_REAL, .unit = "g"),                             \
		FIELD(conversion_row, uneaten_g, KIND_REAL, .unit = "g"),                          \
		FIELD(conversion_row, start_biomass_g, KIND_REAL, .unit = "g"),                    \
		FIELD(conversion_row, added_g, KIND_REAL, .unit = "g"),                            \
		FIELD(conversion_row, removed_g, KIND_REAL, .unit = "g"),                          \
		FIELD(conversion_row, dead_fish, KIND_INTEGER),                                    \
		FIELD(conversion_row, dead_g, KIND_REAL, .unit = "g"),                             \
		FIELD(conversion_row, unexplained_fish, KIND_INTEGER),                             \
		FIELD(conversion_row, end_biomass_g, KIND_REAL, .unit = "g"),                      \
		FIELD(conversion_row, gain_g, KIND_REAL, .unit = "g"),                             \
		FIELD(conversion_row, fcr_economic, KIND_REAL),                                    \
		FIELD(conversion_row, fcr_biological, KIND_REAL),                                  \
		FIELD(conversion_row, low, KIND_REAL), FIELD(conversion_row, high, KIND_REAL),     \
		FIELD(conversion_row, basis, KIND_TEXT), FIELD(conversion_row, reason, KIND_TEXT)

static const struct field by_tank[] = { FIELD(conversion_row, tank, KIND_TEXT),
					CONVERSION_FIGURES };
static const struct field by_lot[] = { FIELD(conversion_row, fish_lot, KIND_TEXT),
				       CONVERSION_FIGURES };
static const struct field by_species[] = { FIELD(conversion_row, species, KIND_TEXT),
					   CONVERSION_FIGURES };
static const struct field by_loop[] = { FIELD(conversion_row, loop, KIND_TEXT),
					CONVERSION_FIGURES };
enum { N_COLUMNS = sizeof(by_tank) / sizeof(by_tank[0]) };

static const char *const by_words[] = { [BY_TANK] = "tank",
					[BY_LOT] = "fish_lot",
					[BY_SPECIES] = "species",
					[BY_LOOP] = "loop",
					NULL };
static const struct field *const columns_by[] = {
	[BY_TANK] = by_tank, [BY_LOT] = by_lot, [BY_SPECIES] = by_species, [BY_LOOP] = by_loop
};
static const char *const step_words[] = { "all", "weighing", "week", "month", NULL };
enum step { STEP_ALL, STEP_WEIGHING, STEP_WEEK, STEP_MONTH };

/* A run of the report. */
struct conversions {
	struct book *b;
	const struct report_query *q;
	struct report_result *out;
	struct fish_view v;
	struct conversion_groups groups;
	enum step step;
	const char **names;       /* of the groups */
	struct tank_facts *tanks; /* of the view */
	int64_t today, now_end;   /* end of what has happened: just after now */
	struct conversion_row *rows;
	size_t room;
};

static size_t word_index(const char *word, const char *const *words)
{
	for (size_t i = 0; word && words[i]; i++)
		if (strcmp(word, words[i]) == 0)
			return i;
	return 0;
}

static enum err_code load_tanks(struct conversions *c, struct err *err)
{
	enum err_code rc = ERR_NONE;
	int64_t *loops = arena_array(c->out->arena, c->v.tank_ids.n + 1, sizeof(*loops));

	c->tanks = arena_array(c->out->arena, c->v.tank_ids.n + 1, sizeof(*c->tanks));
	for (size_t i = 0; !rc && i < c->v.tank_ids.n; i++) {
		rc = tank_facts_load(c->b, c->v.tank_ids.ids[i], c->today, c->out->arena,
				     &c->tanks[i], err);
		loops[i] = c->tanks[i].loop_id;
	}
	c->groups.loop_ids = loops;
	return rc;
}

static int64_t id_of_cell(const struct conversions *c, const struct fish_view_cell *cell)
{
	switch (c->groups.by) {
	case BY_LOT:
		return c->v.lot_ids.ids[cell->lot];
	case BY_SPECIES:
		return c->v.lots[cell->lot].facts.species_id;
	case BY_LOOP:
		return c->tanks[cell->tank].loop_id;
	case BY_TANK:
		break;
	}
	return c->v.tank_ids.ids[cell->tank];
}

static const char *name_of_cell(const struct conversions *c, const struct fish_view_cell *cell)
{
	switch (c->groups.by) {
	case BY_LOT:
		return c->v.lots[cell->lot].facts.code;
	case BY_SPECIES:
		return c->v.lots[cell->lot].facts.species;
	case BY_LOOP:
		return c->tanks[cell->tank].loop;
	case BY_TANK:
		break;
	}
	return c->tanks[cell->tank].code;
}

/* Groups in the order of the walk, each with its name; `only` leaves out others. */
static enum err_code make_groups(struct conversions *c, struct err *err)
{
	struct arena *arena = c->out->arena;
	int64_t *ids = arena_array(arena, c->v.n_cells + 1, sizeof(*ids));
	int *of_cell = arena_array(arena, c->v.n_cells + 1, sizeof(*of_cell));
	size_t *order = arena_array(arena, c->v.tank_ids.n + 1, sizeof(*order));
	enum err_code rc = tank_walk_order(c->b, &c->v.tank_ids, arena, order, err);

	c->names = arena_array(arena, c->v.n_cells + 1, sizeof(*c->names));
	for (size_t t = 0; !rc && t < c->v.tank_ids.n; t++)
		for (size_t i = 0; i < c->v.n_cells; i++) {
			const struct fish_view_cell *cell = &c->v.cells[i];
			if (cell->tank != order[t])
				continue;
			const char *name = name_of_cell(c, cell);
			const int64_t id = id_of_cell(c, cell);
			size_t g = 0;
			of_cell[i] = -1;
			if (c->q->only && strcasecmp(c->q->only, name) != 0)
				continue;
			while (g < c->groups.n && ids[g] != id)
				g++;
			ids[g] = id;
			c->names[g] = name;
			of_cell[i] = (int)g;
			c->groups.n = g == c->groups.n ? g + 1 : c->groups.n;
		}
	c->groups.ids = ids;
	c->groups.of_cell = of_cell;
	return rc;
}

/* When the lots that stand in the group now (or all that ever stood) first came to it: the default beginning.
 * A lot that only changed its tank within the group did not come anew. */
static int64_t stocked_at(const struct conversions *c, size_t g)
{
	bool *stands = arena_array(c->out->arena, c->v.lot_ids.n + 1, sizeof(*stands));
	int64_t standing = INT64_MAX, ever = INT64_MAX;

	for (size_t i = 0; i < c->v.n_cells; i++) {
		const struct fish_view_cell *cell = &c->v.cells[i];
		if (c->groups.of_cell[i] == (int)g && cell->rows[cell->n_rows - 1].fish_after > 0)
			stands[cell->lot] = true;
	}
	for (size_t i = 0; i < c->v.n_cells; i++) {
		const struct fish_view_cell *cell = &c->v.cells[i];
		if (c->groups.of_cell[i] != (int)g)
			continue;
		if (cell->rows[0].instant < ever)
			ever = cell->rows[0].instant;
		if (stands[cell->lot] && cell->rows[0].instant < standing)
			standing = cell->rows[0].instant;
	}
	return standing == INT64_MAX ? ever : standing;
}

static const struct explanation *explain(const struct conversions *c, const struct conversion *f,
					 const struct explained_lists *lists)
{
	const struct explained_input figures[] = {
		{ "feed_g", f->feed_g },           { "uneaten_g", f->uneaten_g },
		{ "start_biomass_g", f->start_g }, { "added_g", f->added_g },
		{ "removed_g", f->removed_g },     { "end_biomass_g", f->end_g },
		{ "dead_g", f->dead_g },
	};
	enum { N = sizeof(figures) / sizeof(figures[0]) };
	struct arena *arena = c->out->arena;
	struct explanation *e = arena_alloc(arena, sizeof(*e));
	struct explained_input *in = arena_array(arena, N, sizeof(*in));

	memcpy(in, figures, sizeof(figures));
	*e = (struct explanation){
		.formula =
			"gain = end + removed - start - added; economic = (feed - uneaten) / gain; "
			"biological = (feed - uneaten) / (gain + dead)",
		.source = "docs/formulas, feed conversion; the ledger of this farm",
		.inputs = in,
		.n_inputs = N,
	};
	explained_give(lists, e);
	return e;
}

static void name_row(struct conversions *c, const char *name, struct conversion_row *row)
{
	const char **key[] = { [BY_TANK] = &row->tank,
			       [BY_LOT] = &row->fish_lot,
			       [BY_SPECIES] = &row->species,
			       [BY_LOOP] = &row->loop };
	*key[c->groups.by] = name;
}

static struct conversion_row *write_row(struct conversions *c, const char *name,
					const struct conversion *f)
{
	c->rows = arena_grow(c->out->arena, c->rows, c->out->n_rows, &c->room, sizeof(*c->rows));
	struct conversion_row *row = &c->rows[c->out->n_rows++];
	*row = (struct conversion_row){
		.from = book_day(c->b, f->begin),
		.to = book_day(c->b, f->end - 1),
		.feed_g = f->feed_g,
		.uneaten_g = f->uneaten_g,
		.start_biomass_g = f->start_g,
		.added_g = f->added_g,
		.removed_g = f->removed_g,
		.dead_fish = f->dead_fish,
		.dead_g = f->dead_g,
		.unexplained_fish = f->unexplained_fish,
		.end_biomass_g = f->end_g,
		.gain_g = f->gain_g,
		.fcr_economic = f->economic,
		.fcr_biological = f->biological,
		.low = f->low,
		.high = f->high,
		.basis = fish_basis_word(f->basis),
		.reason = f->reason,
	};
	name_row(c, name, row);
	return row;
}

/* Once for what the row stands for, however many steps it has. */
static void note_loose_feed(struct conversions *c, const char *name, const struct conversion *f)
{
	const struct report_result *out = c->out;

	if (!f->loose_feed)
		return;
	if (out->n_notes && out->notes[out->n_notes - 1].of == name)
		return;
	report_add_note(c->out, "loose_feed", name,
			"Feed was given in a tank on a day on which the book has no fish there.");
}

static enum err_code add_row(struct conversions *c, size_t g, int64_t begin, int64_t end,
			     struct err *err)
{
	struct explained_lists lists = { .arena = c->out->arena };
	struct conversion f;
	enum err_code rc = conversion_of(c->b, &c->v, &c->groups, g, begin, end, &f, err);

	if (!rc && c->q->explain)
		rc = conversion_lists(c->b, &c->v, &c->groups, g, &f, c->tanks, &lists, err);
	if (rc)
		return rc;
	struct conversion_row *row = write_row(c, c->names[g], &f);
	if (c->q->explain)
		row->explain = explain(c, &f, &lists);
	note_loose_feed(c, c->names[g], &f);
	return ERR_NONE;
}

/* The next border of a step after instant at. */
static int64_t next_calendar(const struct conversions *c, int64_t at)
{
	const int64_t day = book_day(c->b, at);

	if (c->step == STEP_WEEK)
		return book_day_start(c->b, day_week_start(day) + 7);
	return book_day_start(c->b, day_month_start(day_month_start(day) + 31));
}

/* Two weighings on one day (before and after a grading) make no step between them. */
static const int64_t shortest_step_s = 43200;

static int64_t next_weighing(const struct conversions *c, size_t g, int64_t at)
{
	int64_t next = INT64_MAX;

	for (size_t i = 0; i < c->v.n_cells; i++) {
		const struct fish_view_cell *cell = &c->v.cells[i];
		if (c->groups.of_cell[i] != (int)g)
			continue;
		for (size_t r = fish_rows_until(cell, at); r < cell->n_rows; r++) {
			const int64_t after = cell->rows[r].instant + 1; /* it ends the step */
			if (cell->rows[r].effect != EFFECT_WEIGHED || after < at + shortest_step_s)
				continue;
			next = after < next ? after : next;
			break;
		}
	}
	return next;
}

static int64_t next_border(const struct conversions *c, size_t g, int64_t at)
{
	switch (c->step) {
	case STEP_WEIGHING:
		return next_weighing(c, g, at);
	case STEP_WEEK:
	case STEP_MONTH:
		return next_calendar(c, at);
	case STEP_ALL:
		break;
	}
	return INT64_MAX;
}

static enum err_code add_group(struct conversions *c, size_t g, struct err *err)
{
	const int64_t last_day = c->q->to_day == NO_INT ? c->today : c->q->to_day;
	int64_t end = book_day_start(c->b, last_day + 1);
	int64_t begin = c->q->from_day == NO_INT
				? book_day_start(c->b, book_day(c->b, stocked_at(c, g)))
				: book_day_start(c->b, c->q->from_day);
	enum err_code rc = ERR_NONE;

	if (end > c->now_end)
		end = c->now_end;
	while (!rc && begin < end) {
		int64_t border = next_border(c, g, begin);
		if (border > end)
			border = end;
		rc = add_row(c, g, begin, border, err);
		begin = border;
	}
	return rc;
}

/* A tank in which the book has no fish in the time: one row that says so, whatever the step. */
static enum err_code add_empty_tank(struct conversions *c, int64_t tank_id, const char *code,
				    struct err *err)
{
	const int64_t last = c->q->to_day == NO_INT ? c->today : c->q->to_day;
	const int64_t first = c->q->from_day == NO_INT ? last : c->q->from_day;
	const int64_t begin = book_day_start(c->b, first);
	int64_t end = book_day_start(c->b, last + 1);
	struct conversion f;

	if (c->q->only && strcasecmp(c->q->only, code) != 0)
		return ERR_NONE;
	end = end > c->now_end ? c->now_end : end;
	if (begin >= end)
		return ERR_NONE;
	const enum err_code rc = conversion_of_empty_tank(c->b, tank_id, begin, end, &f, err);
	if (rc)
		return rc;
	const char *name = arena_strdup(c->out->arena, code);
	struct conversion_row *row = write_row(c, name, &f);
	struct explained_lists lists = { .arena = c->out->arena };
	if (c->q->explain) {
		conversion_lists_of_empty_tank(c->b, tank_id, &f, &lists);
		row->explain = explain(c, &f, &lists);
	}
	note_loose_feed(c, name, &f);
	return ERR_NONE;
}

static bool has_group(const struct conversions *c, int64_t id)
{
	for (size_t g = 0; g < c->groups.n; g++)
		if (c->groups.ids[g] == id)
			return true;
	return false;
}

static enum err_code add_empty_tanks(struct conversions *c, struct err *err)
{
	const int64_t last = c->q->to_day == NO_INT ? c->today : c->q->to_day;
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(c->b), Q_TANKS_IN_USE, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":from", c->q->from_day == NO_INT ? last : c->q->from_day);
	while (!(rc = stmt_row(q, err))) {
		if (has_group(c, stmt_int(q, 0)))
			continue;
		rc = add_empty_tank(c, stmt_int(q, 0), stmt_text(q, 1), err);
		if (rc)
			goto out;
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

/* Lots whose means moved on and on: what rests on them has no weight. */
static void note_unsettled(struct conversions *c)
{
	for (size_t i = 0; i < c->v.lot_ids.n; i++)
		if (!c->v.lots[i].settled)
			report_add_note(c->out, "unsettled", c->v.lots[i].facts.code,
					"Unweighed moves go round in a ring, and the weights do "
					"not come to rest.");
}

/*
 * The cells that the answer needs.  By tank since stocking: those since the oldest fish that stand now came.
 * By anything else since stocking: all there ever were.
 */
static enum err_code open_view(struct conversions *c, int64_t end, struct err *err)
{
	const struct report_query *q = c->q;
	int64_t begin = INT64_MIN / 4;

	if (q->from_day != NO_INT) {
		begin = book_day_start(c->b, q->from_day);
	} else if (c->groups.by == BY_TANK) {
		const enum err_code rc =
			fish_view_open(c->b, q->now, end, 0, 0, c->out->arena, &c->v, err);
		if (rc)
			return rc;
		begin = q->now;
		for (size_t i = 0; i < c->v.n_cells; i++)
			if (c->v.cells[i].rows[0].instant < begin)
				begin = c->v.cells[i].rows[0].instant;
	}
	return fish_view_open(c->b, begin, end, 0, 0, c->out->arena, &c->v, err);
}

static enum err_code run_conversion(struct book *b, const struct report_query *q,
				    struct report_result *out, struct err *err)
{
	struct conversions c = {
		.b = b, .q = q, .out = out, .today = book_day(b, q->now), .now_end = q->now + 1
	};
	const int64_t last = q->to_day == NO_INT ? c.today : q->to_day;
	enum err_code rc;

	c.groups.by = (enum conversion_by)word_index(q->by, by_words);
	c.step = (enum step)word_index(q->step, step_words);
	rc = open_view(&c, book_day_start(b, last + 1), err);
	if (!rc)
		rc = load_tanks(&c, err);
	if (!rc)
		rc = make_groups(&c, err);
	for (size_t g = 0; !rc && g < c.groups.n; g++)
		rc = add_group(&c, g, err);
	if (!rc && c.groups.by == BY_TANK)
		rc = add_empty_tanks(&c, err);
	note_unsettled(&c);
	out->rows = (const char *)c.rows;
	out->from_day = q->from_day;
	out->to_day = last;
	out->as_of = q->now;
	out->columns = columns_by[c.groups.by];
	out->n_columns = N_COLUMNS;
	return rc;
}

static const struct report_question conversion_questions[] = {
	{ .name = "by", .words = by_words, .help = "what a row stands for; tank when not given" },
	{ .name = "step", .words = step_words, .help = "one row for all, or one for each step" },
	{ .name = "from", .help = "first farm day; when not given, since stocking" },
	{ .name = "to", .help = "last farm day; today when not given" },
	{ .name = "only", .help = "code or name: only rows of it" },
};

const struct report feed_conversion_report = {
	.name = "feed-conversion",
	.summary = "Feed over gain, with its range and what it rests on",
	.columns = by_tank,
	.n_columns = N_COLUMNS,
	.row_size = sizeof(struct conversion_row),
	.explain_offset = offsetof(struct conversion_row, explain),
	.questions = conversion_questions,
	.n_questions = sizeof(conversion_questions) / sizeof(conversion_questions[0]),
	.changes_by_clock = true,
	.run = run_conversion,
};

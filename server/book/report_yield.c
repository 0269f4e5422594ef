/*
 * Report yield: what beds gave over a time for the area of rafts that stood planted, what was lost
 * on the way and where, and what became of the lots that ended.  What was harvested is report
 * harvest's; plants and areas are the ledger's (crop_ledger.h).  Losses by cause are report
 * losses'.
 */
#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "book/crop_ledger.h"
#include "book/crop_planted.h"
#include "book/explained.h"
#include "book/harvest_names.h"
#include "book/inside.h"
#include "book/report_list.h"
#include "model/kinds.h"

enum { DAYS_USUAL = 91, DAYS_MAX = 800 };
enum yield_by { BY_VARIETY, BY_CROP, BY_BED };

struct yield_row {
	uint64_t has;
	const struct explanation *explain;
	const char *name; /* of the variety or crop, code of the bed */
	int64_t harvests, pieces;
	double weight_g;
	double planted_m2; /* rafts with a living plant, mean of the days */
	double pieces_m2_week, weight_g_m2_week;
	int64_t lost_germination, lost_nursery, lost_raft, unexplained;
	/* Lots that ended in this time; not told by bed, since a lot passes through several. */
	int64_t lots;
	int64_t sown_cubes, came_up, harvested;
	double harvested_pct; /* of what was sown */
};

static const struct field yield_columns[] = {
	FIELD(yield_row, name, KIND_TEXT),
	FIELD(yield_row, harvests, KIND_INTEGER),
	FIELD(yield_row, pieces, KIND_INTEGER),
	FIELD(yield_row, weight_g, KIND_REAL, .unit = "g"),
	FIELD(yield_row, planted_m2, KIND_REAL, .unit = "m2"),
	FIELD(yield_row, pieces_m2_week, KIND_REAL),
	FIELD(yield_row, weight_g_m2_week, KIND_REAL, .unit = "g"),
	FIELD(yield_row, lost_germination, KIND_INTEGER),
	FIELD(yield_row, lost_nursery, KIND_INTEGER),
	FIELD(yield_row, lost_raft, KIND_INTEGER),
	FIELD(yield_row, unexplained, KIND_INTEGER),
	FIELD(yield_row, lots, KIND_INTEGER),
	FIELD(yield_row, sown_cubes, KIND_INTEGER),
	FIELD(yield_row, came_up, KIND_INTEGER),
	FIELD(yield_row, harvested, KIND_INTEGER),
	FIELD(yield_row, harvested_pct, KIND_REAL, .unit = "%"),
};

struct group {
	int64_t id; /* of the variety, crop or bed */
	double m2_days;
	struct id_set ended; /* lots, where they are to be listed */
	struct yield_row row;
};

struct job {
	struct book *b;
	const struct report_query *q;
	struct report_result *out;
	enum yield_by by;
	struct harvest_names names;
	struct group *groups;
	size_t n, room;
};

static const char *const by_words[] = {
	[BY_VARIETY] = "variety", [BY_CROP] = "crop", [BY_BED] = "bed", NULL
};

static const struct harvest_name_list *list_of(const struct job *j)
{
	if (j->by == BY_BED)
		return &j->names.places;
	return j->by == BY_CROP ? &j->names.crops : &j->names.varieties;
}

static struct group *group_of(struct job *j, int64_t id)
{
	for (size_t i = 0; i < j->n; i++)
		if (j->groups[i].id == id)
			return &j->groups[i];
	j->groups = arena_grow(j->out->arena, j->groups, j->n, &j->room, sizeof(*j->groups));
	j->groups[j->n] = (struct group){ .id = id, .row.weight_g = 0.0 };
	return &j->groups[j->n++];
}

static struct group *group_of_lot(struct job *j, int64_t lot, int64_t bed)
{
	if (j->by == BY_BED)
		return group_of(j, bed);
	const struct harvest_name *name = harvest_name_of(&j->names.crop_lots, lot);
	if (name && j->by == BY_CROP)
		name = harvest_name_of(&j->names.varieties, name->belongs_to);
	return group_of(j, name ? name->belongs_to : 0);
}

static int64_t whole(struct value v)
{
	return v.type == VALUE_INT ? v.i : NO_INT;
}

static double real(struct value v)
{
	return v.type == VALUE_REAL ? v.r : NAN;
}

/* By report harvest, which knows what is estimated of a weight; fish have no crop, variety or
 * bed. */
static enum err_code add_harvests(struct job *j, struct err *err)
{
	struct report_query q = *j->q;
	struct report_result r = { .arena = j->out->arena };

	q.by = by_words[j->by];
	q.step = q.only = NULL;
	q.explain = false;
	q.from_day = j->out->from_day;
	q.to_day = j->out->to_day;
	const enum err_code rc = harvest_report.run(j->b, &q, &r, err);
	for (size_t i = 0; !rc && i < r.n_rows; i++) {
		const char *text = report_named_cell(&r, &harvest_report, i, q.by).text;
		const struct harvest_name *name = text ? harvest_name_find(list_of(j), text) : NULL;
		if (!name)
			continue;
		struct yield_row *row = &group_of(j, name->id)->row;
		row->harvests = whole(report_named_cell(&r, &harvest_report, i, "harvests"));
		row->pieces = whole(report_named_cell(&r, &harvest_report, i, "pieces"));
		row->weight_g = real(report_named_cell(&r, &harvest_report, i, "weight_g"));
	}
	return rc;
}

static enum err_code add_losses(struct job *j, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(j->b), Q_CROP_LOSSES_BETWEEN, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":from", book_day_start(j->b, j->out->from_day));
	stmt_bind_int(q, ":to", book_day_start(j->b, j->out->to_day + 1) - 1);
	while (!(rc = stmt_row(q, err))) {
		struct yield_row *row = &group_of_lot(j, stmt_int(q, 0), stmt_int(q, 1))->row;
		const char *role = stmt_text(q, 2);

		if (strcmp(role, "germination") == 0)
			row->lost_germination += stmt_int(q, 3);
		else if (strcmp(role, "nursery") == 0)
			row->lost_nursery += stmt_int(q, 3);
		else
			row->lost_raft += stmt_int(q, 3);
	}
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	return rc;
}

static void add_area(int64_t lot, int64_t bed, double m2, void *with)
{
	group_of_lot(with, lot, bed)->m2_days += m2;
}

/* Lots that ended in this time, and what was found of any. */
static void add_ends(struct job *j, const struct crop_state *state)
{
	const int64_t begin = book_day_start(j->b, j->out->from_day);

	for (size_t i = 0; i < state->n_found; i++)
		if (state->found[i].day >= j->out->from_day)
			group_of_lot(j, state->found[i].lot, state->found[i].bed)
				->row.unexplained += state->found[i].plants;
	for (size_t i = 0; j->by != BY_BED && i < state->n_lots; i++) {
		const struct crop_sums *lot = &state->lots[i];
		if (lot->ended_at == CROP_NONE || lot->ended_at < begin || lot->plants > 0)
			continue;
		struct yield_row *row = &group_of_lot(j, lot->lot, 0)->row;
		if (j->q->explain)
			id_set_add(&group_of_lot(j, lot->lot, 0)->ended, lot->lot, j->out->arena);
		row->lots++;
		row->sown_cubes += lot->sown_cubes;
		row->came_up += lot->came_up;
		row->harvested += lot->harvested;
	}
}

static void visit(const struct crop_state *state, int64_t day, void *with)
{
	struct job *j = with;

	for (size_t i = 0; i < state->n_beds; i++)
		crop_planted_each(state, &state->beds[i], add_area, j);
	if (day == j->out->to_day)
		add_ends(j, state);
}

/* Harvests and losses of its beds or lots in the time, and the lots of it that ended. */
static void list_entries(const struct job *j, const struct group *g, struct explained_lists *lists)
{
	static const char *const filters[] = { [BY_VARIETY] = "crop_lot_id.variety_id",
					       [BY_CROP] = "crop_lot_id.variety_id.crop_id",
					       [BY_BED] = "bed_id" };
	const struct yield_row *row = &g->row;
	const int64_t lost = row->lost_germination + row->lost_nursery + row->lost_raft;
	struct chosen_entries ended = { 0 };
	const char *asked = arena_printf(lists->arena, "?from=%s&to=%s&%s=%lld",
					 book_day_text(lists->arena, j->out->from_day),
					 book_day_text(lists->arena, j->out->to_day),
					 filters[j->by], (long long)g->id);

	if (row->harvests)
		explained_add(lists, "harvests",
			      arena_printf(lists->arena, "/api/harvests%s", asked))
			->count = row->harvests;
	if (lost) {
		struct explained_entries *e =
			explained_add(lists, "crop-losses",
				      arena_printf(lists->arena, "/api/crop-losses%s", asked));

		e->sum = (double)lost;
		e->sum_of = "plants";
	}
	for (size_t i = 0; i < g->ended.n; i++)
		chosen_add(&ended, &crop_lots_kind, "past", g->ended.ids[i], lists->arena);
	chosen_list(&ended, lists);
}

static const struct explanation *explain(const struct job *j, const struct group *g,
					 const struct yield_row *row)
{
	struct arena *arena = j->out->arena;
	struct explanation *e = arena_alloc(arena, sizeof(*e));
	struct explained_input *in = arena_array(arena, 2, sizeof(*in));
	struct explained_lists lists = { .arena = arena };

	in[0] = (struct explained_input){ "days", (double)(j->out->to_day - j->out->from_day + 1) };
	in[1] = (struct explained_input){ "planted_m2", row->planted_m2 };
	list_entries(j, g, &lists);
	*e = (struct explanation){
		.formula = "per m2 and week = harvested / (sum over days of rafts with a living "
			   "plant) x 7; "
			   "harvested of sown = plants harvested / cubes sown, of lots that ended",
		.source = "docs/formulas/plants.md",
		.inputs = in,
		.n_inputs = 2,
	};
	explained_give(&lists, e);
	return e;
}

static struct yield_row row_of(const struct job *j, const struct group *g)
{
	const double days = (double)(j->out->to_day - j->out->from_day + 1);
	const bool planted = g->m2_days > 0.0;
	struct yield_row row = g->row;

	row.planted_m2 = isnan(g->m2_days) ? NAN : g->m2_days / days;
	row.pieces_m2_week =
		planted && row.pieces != NO_INT ? (double)row.pieces / g->m2_days * 7.0 : NAN;
	row.weight_g_m2_week = planted ? row.weight_g / g->m2_days * 7.0 : NAN;
	row.harvested_pct =
		row.sown_cubes > 0 ? 100.0 * (double)row.harvested / (double)row.sown_cubes : NAN;
	if (!row.lots)
		row.sown_cubes = row.came_up = row.harvested = NO_INT;
	if (j->by == BY_BED)
		row.lots = NO_INT;
	row.explain = j->q->explain ? explain(j, g, &row) : NULL;
	return row;
}

static int by_name(const void *a, const void *b)
{
	const struct yield_row *x = a, *y = b;
	const int order = strcasecmp(x->name, y->name);

	return order ? order : strcmp(x->name, y->name);
}

static void write_rows(struct job *j)
{
	struct yield_row *rows = arena_array(j->out->arena, j->n + 1, sizeof(*rows));

	for (size_t i = 0; i < j->n; i++) {
		const struct harvest_name *name = harvest_name_of(list_of(j), j->groups[i].id);
		if (!name || (j->q->only && strcasecmp(j->q->only, name->text) != 0))
			continue;
		rows[j->out->n_rows] = row_of(j, &j->groups[i]);
		rows[j->out->n_rows++].name = name->text;
	}
	if (j->out->n_rows)
		qsort(rows, j->out->n_rows, sizeof(*rows), by_name);
	j->out->rows = (const char *)rows;
}

static enum yield_by by_of(const char *word)
{
	for (int by = BY_VARIETY; word && by_words[by]; by++)
		if (strcmp(by_words[by], word) == 0)
			return (enum yield_by)by;
	return BY_VARIETY;
}

static enum err_code run_yield(struct book *b, const struct report_query *q,
			       struct report_result *out, struct err *err)
{
	struct job j = { .b = b, .q = q, .out = out };
	struct crop_bed_facts *beds;
	size_t n;
	enum err_code rc;

	j.by = by_of(q->by);
	out->to_day = q->to_day == NO_INT ? book_day(b, q->now) : q->to_day;
	out->from_day = q->from_day == NO_INT ? out->to_day - DAYS_USUAL + 1 : q->from_day;
	out->as_of = q->now;
	if (out->to_day - out->from_day >= DAYS_MAX)
		return err_set(err, ERR_INPUT, "to", "too_long", "Ask for %d days at most.",
			       DAYS_MAX);
	rc = harvest_names_read(b, out->arena, &j.names, err);
	if (!rc)
		rc = add_harvests(&j, err);
	if (!rc)
		rc = add_losses(&j, err);
	if (!rc)
		rc = crop_ledger_beds(b, out->arena, &beds, &n, err);
	if (!rc)
		rc = crop_ledger_days(b, out->from_day, out->to_day, beds, n, visit, &j, err);
	if (!rc)
		write_rows(&j);
	return rc;
}

static const struct report_question yield_questions[] = {
	{ .name = "by",
	  .words = by_words,
	  .help = "what a row stands for; variety when not given" },
	{ .name = "from", .help = "first farm day; 91 days back when not given" },
	{ .name = "to", .help = "last farm day; today when not given" },
	{ .name = "only", .help = "name of a variety or crop, code of a bed" },
};

const struct report yield_report = {
	.name = "yield",
	.summary =
		"Heads and weight per planted m2 and week, losses by stage, and harvested of sown",
	.columns = yield_columns,
	.n_columns = sizeof(yield_columns) / sizeof(yield_columns[0]),
	.row_size = sizeof(struct yield_row),
	.explain_offset = offsetof(struct yield_row, explain),
	.questions = yield_questions,
	.n_questions = sizeof(yield_questions) / sizeof(yield_questions[0]),
	.run = run_yield,
};

/* Report bed-flow: what stood and will stand where in a bed, day by day: report beds at the end of
 * each. */
#include <stddef.h>

#include "book/report.h"
#include "book/report_list.h"

enum {
	DAYS_BACK = 42, /* without from */
	DAYS_ON = 21,   /* without to */
	DAYS_MAX = 400,
};

struct flow_row {
	uint64_t has;
	const struct explanation *explain; /* none: ask report beds of that day */
	int64_t day;
	const char *bed, *crop_lot, *variety;
	double from_m, to_m;
	int64_t plants;
	int64_t ready_on; /* farm day; NO_INT: not known */
};

static const struct field flow_columns[] = {
	FIELD(flow_row, day, KIND_DAY),
	FIELD(flow_row, bed, KIND_TEXT),
	FIELD(flow_row, crop_lot, KIND_TEXT),
	FIELD(flow_row, variety, KIND_TEXT),
	FIELD(flow_row, from_m, KIND_REAL, .unit = "m"),
	FIELD(flow_row, to_m, KIND_REAL, .unit = "m"),
	FIELD(flow_row, plants, KIND_INTEGER),
	FIELD(flow_row, ready_on, KIND_DAY),
};

struct flow {
	struct book *b;
	const struct report_query *q;
	struct report_result *out;
	struct flow_row *rows;
	size_t room;
};

static struct value cell(const struct report_result *r, size_t row, const char *column)
{
	return report_named_cell(r, &beds_report, row, column);
}

/* Only rafts lie along a bed: what stands in it loose has no place. */
static void add_row(struct flow *f, int64_t day, const struct report_result *r, size_t row)
{
	struct arena *arena = f->out->arena;
	const struct value from = cell(r, row, "from_m"), ready = cell(r, row, "ready_on");

	if (from.type != VALUE_REAL)
		return;
	f->rows = arena_grow(arena, f->rows, f->out->n_rows, &f->room, sizeof(*f->rows));
	f->rows[f->out->n_rows++] = (struct flow_row){
		.day = day,
		.bed = arena_strdup(arena, cell(r, row, "bed").text),
		.crop_lot = arena_strdup(arena, cell(r, row, "crop_lot").text),
		.variety = arena_strdup(arena, cell(r, row, "variety").text),
		.from_m = from.r,
		.to_m = cell(r, row, "to_m").r,
		.plants = cell(r, row, "plants").i,
		.ready_on = ready.type == VALUE_INT ? ready.i : NO_INT,
	};
}

static enum err_code add_day(struct flow *f, int64_t day, struct arena *scratch, struct err *err)
{
	const struct report_query q = { .from_day = NO_INT,
					.to_day = NO_INT,
					.day = day,
					.at = NO_INT,
					.only = f->q->only,
					.now = f->q->now };
	struct report_result r = { .arena = scratch };
	enum err_code rc = beds_report.run(f->b, &q, &r, err);

	for (size_t i = 0; !rc && i < r.n_rows; i++)
		add_row(f, day, &r, i);
	arena_reset(scratch);
	return rc;
}

static enum err_code run_flow(struct book *b, const struct report_query *q,
			      struct report_result *out, struct err *err)
{
	struct flow f = { .b = b, .q = q, .out = out };
	const int64_t today = book_day(b, q->now);
	const int64_t from = q->from_day == NO_INT ? today - DAYS_BACK : q->from_day;
	const int64_t to = q->to_day == NO_INT ? today + DAYS_ON : q->to_day;
	struct arena scratch;
	enum err_code rc = ERR_NONE;

	if (to - from >= DAYS_MAX)
		return err_set(err, ERR_INPUT, "to", "too_long", "Ask for %d days at most.",
			       DAYS_MAX);

	arena_init(&scratch);
	for (int64_t day = from; !rc && day <= to; day++)
		rc = add_day(&f, day, &scratch, err);
	arena_release(&scratch);
	out->rows = (const char *)f.rows;
	out->from_day = from;
	out->to_day = to;
	out->as_of = q->now;
	return rc;
}

static const struct report_question flow_questions[] = {
	{ .name = "only", .help = "code of a bed; all beds when not given" },
	{ .name = "from", .help = "first farm day; six weeks back when not given" },
	{ .name = "to", .help = "last farm day; three weeks on when not given" },
};

const struct report bed_flow_report = {
	.name = "bed-flow",
	.summary = "What stood and will stand where in a bed, day by day",
	.columns = flow_columns,
	.n_columns = sizeof(flow_columns) / sizeof(flow_columns[0]),
	.row_size = sizeof(struct flow_row),
	.explain_offset = offsetof(struct flow_row, explain),
	.questions = flow_questions,
	.n_questions = sizeof(flow_questions) / sizeof(flow_questions[0]),
	.changes_by_clock = true,
	.run = run_flow,
};

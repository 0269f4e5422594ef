/* Report losses: plants that were lost over a time, by what the bed was for and by cause.  Report
 * yield has them by variety. */
#include <math.h>
#include <stddef.h>

#include "book/explained.h"
#include "book/inside.h"
#include "book/report_list.h"

enum { DAYS_USUAL = 91 };

struct losses_row {
	uint64_t has;
	const struct explanation *explain;
	const char *stage, *cause; /* cause NULL: none was given */
	int64_t entries, plants;
	double share_pct; /* of all that were lost */
};

static const struct field losses_columns[] = {
	FIELD(losses_row, stage, KIND_TEXT),
	FIELD(losses_row, cause, KIND_TEXT),
	FIELD(losses_row, entries, KIND_INTEGER),
	FIELD(losses_row, plants, KIND_INTEGER),
	FIELD(losses_row, share_pct, KIND_REAL, .unit = "%"),
};

/* Of this stage and cause, and of the variety that was asked for. */
static const char *address_of(const struct report_result *out, const struct losses_row *row,
			      const char *only)
{
	struct arena *arena = out->arena;
	const char *cause =
		row->cause ? arena_printf(arena, "&cause=%s", row->cause) : "&without=cause";
	const char *variety = only ? arena_printf(arena, "&crop_lot_id.variety_id.name=%s",
						  explained_text(only, arena))
				   : "";

	return arena_printf(arena, "/api/crop-losses?from=%s&to=%s&bed_id.role=%s%s%s",
			    book_day_text(arena, out->from_day), book_day_text(arena, out->to_day),
			    row->stage, cause, variety);
}

static const struct explanation *explain(const struct report_result *out,
					 const struct losses_row *row, const char *only)
{
	struct explanation *e = arena_alloc(out->arena, sizeof(*e));
	struct explained_input *in = arena_alloc(out->arena, sizeof(*in));
	struct explained_lists lists = { .arena = out->arena };
	struct explained_entries *of =
		explained_add(&lists, "crop-losses", address_of(out, row, only));

	*in = (struct explained_input){ "plants", (double)row->plants };
	of->count = row->entries;
	of->sum = (double)row->plants;
	of->sum_of = "plants";
	*e = (struct explanation){ .formula =
					   "plants lost, as entered; share = of all that were lost",
				   .source = "docs/formulas/plants.md",
				   .inputs = in,
				   .n_inputs = 1 };
	explained_give(&lists, e);
	return e;
}

static enum err_code read_losses(struct book *b, const struct report_query *q,
				 struct report_result *out, struct err *err)
{
	struct losses_row *rows = NULL;
	struct stmt *s = NULL;
	size_t n = 0, room = 0;
	int64_t all = 0;
	enum err_code rc = store_query(book_store(b), Q_CROP_LOSSES_BY_CAUSE, &s, err);

	if (rc)
		goto out;
	stmt_bind_int(s, ":from", book_day_start(b, out->from_day));
	stmt_bind_int(s, ":to", book_day_start(b, out->to_day + 1) - 1);
	stmt_bind_text(s, ":variety", q->only);
	while (!(rc = stmt_row(s, err))) {
		rows = arena_grow(out->arena, rows, n, &room, sizeof(*rows));
		rows[n++] = (struct losses_row){
			.stage = arena_strdup(out->arena, stmt_text(s, 0)),
			.cause = stmt_text_kept(s, 1, out->arena),
			.entries = stmt_int(s, 2),
			.plants = stmt_int(s, 3),
		};
		all += stmt_int(s, 3);
	}
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
	for (size_t i = 0; i < n; i++) {
		rows[i].share_pct = all > 0 ? 100.0 * (double)rows[i].plants / (double)all : NAN;
		rows[i].explain = q->explain ? explain(out, &rows[i], q->only) : NULL;
	}
	out->rows = (const char *)rows;
	out->n_rows = n;
out:
	stmt_done(s);
	return rc;
}

static enum err_code run_losses(struct book *b, const struct report_query *q,
				struct report_result *out, struct err *err)
{
	out->to_day = q->to_day == NO_INT ? book_day(b, q->now) : q->to_day;
	out->from_day = q->from_day == NO_INT ? out->to_day - DAYS_USUAL + 1 : q->from_day;
	out->as_of = q->now;
	return read_losses(b, q, out, err);
}

static const struct report_question losses_questions[] = {
	{ .name = "from", .help = "first farm day; 91 days back when not given" },
	{ .name = "to", .help = "last farm day; today when not given" },
	{ .name = "only", .help = "name of a variety" },
};

const struct report losses_report = {
	.name = "losses",
	.summary = "Plants lost, by stage and cause",
	.columns = losses_columns,
	.n_columns = sizeof(losses_columns) / sizeof(losses_columns[0]),
	.row_size = sizeof(struct losses_row),
	.explain_offset = offsetof(struct losses_row, explain),
	.questions = losses_questions,
	.n_questions = sizeof(losses_questions) / sizeof(losses_questions[0]),
	.run = run_losses,
};

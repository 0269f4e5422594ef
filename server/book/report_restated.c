/* Report restated: months that were closed, what the book said of each tank then, and what it says
 * now. */
#include <math.h>
#include <stddef.h>

#include "book/closing.h"
#include "book/inside.h"
#include "book/report.h"
#include "book/report_list.h"

struct restated_row {
	uint64_t has;
	const struct explanation *explain;
	int64_t month;     /* its first day */
	int64_t closed_at; /* instant */
	const char *tank;
	double feed_g_then, feed_g_now;
	double gain_g_then, gain_g_now;
	double fcr_then, fcr_now; /* economic */
	int64_t moved;            /* bool: a figure is no longer what it was */
	int64_t touched;          /* entries of the tank in that month that came or changed since */
	int64_t touched_at;       /* the newest of them */
};

static const struct field restated_columns[] = {
	FIELD(restated_row, month, KIND_DAY),
	FIELD(restated_row, closed_at, KIND_TIME),
	FIELD(restated_row, tank, KIND_TEXT),
	FIELD(restated_row, feed_g_then, KIND_REAL, .unit = "g"),
	FIELD(restated_row, feed_g_now, KIND_REAL, .unit = "g"),
	FIELD(restated_row, gain_g_then, KIND_REAL, .unit = "g"),
	FIELD(restated_row, gain_g_now, KIND_REAL, .unit = "g"),
	FIELD(restated_row, fcr_then, KIND_REAL),
	FIELD(restated_row, fcr_now, KIND_REAL),
	FIELD(restated_row, moved, KIND_BOOL),
	FIELD(restated_row, touched, KIND_INTEGER),
	FIELD(restated_row, touched_at, KIND_TIME),
};

/* A figure has moved when a person would read another one: the feed by a gram, the conversion by
 * its second decimal. */
static const double same_g = 0.5, same_fcr = 0.005;

struct closed {
	int64_t id, month, closed_at;
};

struct restating {
	struct book *b;
	const struct report_query *q;
	struct report_result *out;
	struct closed *closed;
	size_t n_closed, room_closed;
	struct restated_row *rows;
	size_t room;
};

static bool is_moved(double then, double now, double same)
{
	return isnan(then) != isnan(now) || fabs(then - now) > same;
}

static enum err_code list_closed(struct restating *r, int64_t from, int64_t to, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(r->b), Q_CLOSINGS_BETWEEN, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":from", from);
	stmt_bind_int(q, ":to", to);
	while (!(rc = stmt_row(q, err))) {
		r->closed = arena_grow(r->out->arena, r->closed, r->n_closed, &r->room_closed,
				       sizeof(*r->closed));
		r->closed[r->n_closed++] =
			(struct closed){ stmt_int(q, 0), stmt_int(q, 1), stmt_int(q, 2) };
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

static enum err_code count_touched(struct restating *r, const struct closed *c, int64_t tank_id,
				   struct restated_row *row, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(r->b), Q_ENTRIES_TOUCHED_SINCE, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":tank", tank_id);
	stmt_bind_int(q, ":begin", book_day_start(r->b, c->month));
	stmt_bind_int(q, ":end", book_day_start(r->b, closing_next_month(c->month)));
	stmt_bind_int(q, ":closed_at", c->closed_at);
	rc = stmt_row(q, err);
	if (rc)
		goto out;
	row->touched = stmt_int(q, 0);
	if (row->touched > 0)
		row->touched_at = stmt_int(q, 1);
out:
	stmt_done(q);
	return rc;
}

static const struct explanation *explain(struct restating *r, int64_t tank_id,
					 const struct restated_row *row)
{
	struct arena *arena = r->out->arena;
	struct explanation *e = arena_alloc(arena, sizeof(*e));
	struct explained_entries *of = arena_alloc(arena, sizeof(*of));
	char from[TIME_TEXT_MAX], to[TIME_TEXT_MAX];

	day_write(from, row->month);
	day_write(to, closing_next_month(row->month) - 1);
	*of = (struct explained_entries){
		.kind = "feedings",
		.count = NO_INT,
		.sum = row->feed_g_now,
		.sum_of = "amount_g",
		.address = arena_printf(arena, "/api/feedings?tank_id=%lld&from=%s&to=%s",
					(long long)tank_id, from, to),
	};
	*e = (struct explanation){ .formula = "then: as kept when the month was closed; now: "
					      "feed-conversion by tank over the same days",
				   .source = "the ledger of this farm",
				   .entries = of,
				   .n_entries = 1 };
	return e;
}

/* What a tank's line of a closing says beside what the book says now; a tank that has neither is
 * left out. */
static enum err_code add_row(struct restating *r, const struct closed *c,
			     const struct tank_month *then, const struct tank_month *now,
			     struct err *err)
{
	r->rows = arena_grow(r->out->arena, r->rows, r->out->n_rows, &r->room, sizeof(*r->rows));

	struct restated_row *row = &r->rows[r->out->n_rows++];

	*row = (struct restated_row){
		.month = c->month,
		.closed_at = c->closed_at,
		.tank = now->tank,
		.feed_g_then = then->feed_g,
		.feed_g_now = now->feed_g,
		.gain_g_then = then->gain_g,
		.gain_g_now = now->gain_g,
		.fcr_then = then->fcr_economic,
		.fcr_now = now->fcr_economic,
		.moved = is_moved(then->feed_g, now->feed_g, same_g) ||
			 is_moved(then->fcr_economic, now->fcr_economic, same_fcr),
		.touched_at = NO_INT,
	};

	enum err_code rc = count_touched(r, c, now->tank_id, row, err);

	if (!rc && r->q->explain)
		row->explain = explain(r, now->tank_id, row);
	return rc;
}

static enum err_code read_lines(struct restating *r, const struct closed *c,
				struct tank_month **lines, size_t *n, struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(book_store(r->b), Q_CLOSING_LINES_OF, &q, err);

	*lines = NULL;
	*n = 0;
	if (rc)
		goto out;
	stmt_bind_int(q, ":closing", c->id);
	while (!(rc = stmt_row(q, err))) {
		*lines = arena_grow(r->out->arena, *lines, *n, &room, sizeof(**lines));
		(*lines)[(*n)++] = (struct tank_month){ .tank_id = stmt_int(q, 0),
							.feed_g = stmt_real(q, 1),
							.gain_g = stmt_real(q, 2),
							.fcr_economic = stmt_real(q, 3) };
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

static const struct tank_month *find_tank(const struct tank_month *months, size_t n,
					  int64_t tank_id)
{
	for (size_t i = 0; i < n; i++)
		if (months[i].tank_id == tank_id)
			return &months[i];
	return NULL;
}

static enum err_code add_month(struct restating *r, const struct closed *c, struct err *err)
{
	struct tank_month *then = NULL, *now = NULL;
	size_t n_then = 0, n_now = 0;
	const struct tank_month nothing = {
		.feed_g = NAN, .gain_g = NAN, .fcr_economic = NAN, .fcr_biological = NAN
	};
	enum err_code rc = read_lines(r, c, &then, &n_then, err);

	if (!rc)
		rc = closing_figures(r->b, c->month, r->q->now, r->out->arena, &now, &n_now, err);
	for (size_t i = 0; !rc && i < n_now; i++) {
		const struct tank_month *line = find_tank(then, n_then, now[i].tank_id);

		rc = add_row(r, c, line ? line : &nothing, &now[i], err);
	}
	/* A tank whose fish were all corrected away has no figures now. */
	for (size_t i = 0; !rc && i < n_then; i++) {
		struct tank_month gone = nothing;

		if (find_tank(now, n_now, then[i].tank_id))
			continue;
		gone.tank_id = then[i].tank_id;
		gone.tank = book_label(r->b, "tanks", then[i].tank_id, r->out->arena);
		rc = add_row(r, c, &then[i], &gone, err);
	}
	return rc;
}

/* A year of months when not asked for others. */
static enum err_code run_restated(struct book *b, const struct report_query *q,
				  struct report_result *out, struct err *err)
{
	struct restating r = { .b = b, .q = q, .out = out };
	const int64_t to = q->to_day == NO_INT ? book_day(b, q->now) : q->to_day;
	const int64_t from = q->from_day == NO_INT ? day_month_start(to - 365) : q->from_day;
	enum err_code rc = list_closed(&r, from, to, err);

	for (size_t i = 0; !rc && i < r.n_closed; i++)
		rc = add_month(&r, &r.closed[i], err);
	out->rows = (const char *)r.rows;
	out->from_day = from;
	out->to_day = to;
	out->as_of = q->now;
	return rc;
}

static const struct report_question restated_questions[] = {
	{ .name = "from",
	  .help = "months that begin on or after this day; a year back when not given" },
	{ .name = "to", .help = "months that begin on or before this day; today when not given" },
};

const struct report restated_report = {
	.name = "restated",
	.summary = "Closed months: what the book said of each tank then, and what it says now",
	.columns = restated_columns,
	.n_columns = sizeof(restated_columns) / sizeof(restated_columns[0]),
	.row_size = sizeof(struct restated_row),
	.explain_offset = offsetof(struct restated_row, explain),
	.questions = restated_questions,
	.n_questions = sizeof(restated_questions) / sizeof(restated_questions[0]),
	.changes_by_clock = true,
	.run = run_restated,
};

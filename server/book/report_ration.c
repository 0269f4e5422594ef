/* Report ration: each tank's planned feedings of a day, how much, and what was fed. */
#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include "book/ration.h"
#include "book/report.h"
#include "book/tank_facts.h"

struct ration_row {
	uint64_t has;
	const struct explanation *explain;
	const char *tank, *feed;
	int64_t slot;
	const char *due; /* HH:MM, local */
	double amount_g, pct, factor;
	const char *reason;
	int64_t fed_at;
	double fed_g;
	const char *feeding_key;
};

static const struct field ration_columns[] = {
	FIELD(ration_row, tank, KIND_TEXT),
	FIELD(ration_row, feed, KIND_TEXT),
	FIELD(ration_row, slot, KIND_INTEGER),
	FIELD(ration_row, due, KIND_CLOCK),
	FIELD(ration_row, amount_g, KIND_REAL, .unit = "g"),
	FIELD(ration_row, pct, KIND_REAL, .unit = "%/day"),
	FIELD(ration_row, factor, KIND_REAL),
	FIELD(ration_row, reason, KIND_TEXT),
	FIELD(ration_row, fed_at, KIND_TIME),
	FIELD(ration_row, fed_g, KIND_REAL, .unit = "g"),
	FIELD(ration_row, feeding_key, KIND_UUID),
};

/* What was fed in each slot of the day. */
static enum err_code read_fed(struct book *b, int64_t tank_id, int64_t day, const struct ration *r,
			      struct arena *arena, struct ration_row *rows, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_SLOTS_FED, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":tank_id", tank_id);
	stmt_bind_int(q, ":day", day);
	while (!(rc = stmt_row(q, err))) {
		const int64_t slot = stmt_int(q, 0);
		size_t n = 0;
		const void *key = stmt_blob(q, 3, &n);
		struct uuid u;
		if (slot < 1 || slot > (int64_t)r->n_slots || n != sizeof(u.byte))
			continue;
		struct ration_row *row = &rows[slot - 1];
		char *text = arena_alloc(arena, UUID_TEXT_MAX);
		memcpy(u.byte, key, n);
		uuid_write(text, &u);
		row->fed_at = stmt_int(q, 1);
		row->fed_g = (isnan(row->fed_g) ? 0.0 : row->fed_g) + stmt_real(q, 2);
		row->feeding_key = text;
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

static const struct explanation *explain(struct arena *arena, const struct ration *r)
{
	struct explanation *e = arena_alloc(arena, sizeof(*e));
	struct explained_input *in = arena_array(arena, 3, sizeof(*in));

	in[0] = (struct explained_input){ "day_g", r->day_g };
	in[1] = (struct explained_input){ "pct", r->pct };
	in[2] = (struct explained_input){ "factor", r->factor };
	*e = (struct explanation){
		.formula = "amount = biomass x pct / 100 x factor x share of the feeding",
		.source = "the species' ration steps and limits, each with its own source",
		.inputs = in,
		.n_inputs = 3
	};
	return e;
}

static const char *clock_text(struct arena *arena, int minutes)
{
	return arena_printf(arena, "%02d:%02d", minutes / 60, minutes % 60);
}

/* A day's rations, tank by tank. */
struct rations {
	struct book *b;
	const struct report_query *q;
	struct report_result *out;
	int64_t day, at;
	struct ration_row *rows;
	size_t room;
};

static enum err_code add_tank(struct rations *c, const struct fish_view *v, int64_t tank_id,
			      struct err *err)
{
	struct arena *arena = c->out->arena;
	struct ration r;
	struct tank_facts facts;
	enum err_code rc = ration_of_tank(c->b, v, tank_id, c->day, c->at, arena, &r, err);

	if (!rc && (!r.planned || r.n_slots == 0))
		return ERR_NONE;
	if (!rc)
		rc = tank_facts_load(c->b, tank_id, c->day, arena, &facts, err);
	if (rc)
		return rc;
	const size_t first = c->out->n_rows;
	for (size_t i = 0; i < r.n_slots; i++) {
		c->rows = arena_grow(arena, c->rows, c->out->n_rows, &c->room, sizeof(*c->rows));
		c->rows[c->out->n_rows++] = (struct ration_row){
			.tank = facts.code,
			.feed = r.feed,
			.slot = (int64_t)i + 1,
			.due = clock_text(arena, r.due_min[i]),
			.amount_g = r.day_g * r.share[i],
			.pct = r.pct,
			.factor = r.factor,
			.reason = r.reason,
			.fed_at = NO_INT,
			.fed_g = NAN,
			.explain = c->q->explain ? explain(arena, &r) : NULL,
		};
	}
	return read_fed(c->b, tank_id, c->day, &r, arena, &c->rows[first], err);
}

static enum err_code list_tanks(struct book *b, struct arena *arena, int64_t **ids, size_t *n,
				struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(book_store(b), Q_TANKS_ALL, &q, err);

	if (rc)
		goto out;
	while (!(rc = stmt_row(q, err))) {
		*ids = arena_grow(arena, *ids, *n, &room, sizeof(**ids));
		(*ids)[(*n)++] = stmt_int(q, 0);
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

static enum err_code run_ration(struct book *b, const struct report_query *q,
				struct report_result *out, struct err *err)
{
	struct rations c = { .b = b, .q = q, .out = out };
	struct fish_view v;
	int64_t *tanks = NULL;
	size_t n = 0;
	const int64_t today = book_day(b, q->now);

	c.day = q->day == NO_INT ? today : q->day;
	c.at = c.day == today ? q->now : book_day_start(b, c.day) + RATION_STANDS_S;
	enum err_code rc = fish_view_open(b, c.at, c.at, 0, 0, out->arena, &v, err);
	if (!rc)
		rc = list_tanks(b, out->arena, &tanks, &n, err);
	for (size_t i = 0; !rc && i < n; i++)
		rc = add_tank(&c, &v, tanks[i], err);
	out->rows = (const char *)c.rows;
	out->from_day = out->to_day = c.day;
	out->as_of = c.at;
	return rc;
}

static const struct report_question ration_questions[] = {
	{ .name = "day", .help = "the farm day; today is as of now" },
};

const struct report ration_report = {
	.name = "ration",
	.summary = "Planned feedings of a day, with their amounts and what was fed",
	.columns = ration_columns,
	.n_columns = sizeof(ration_columns) / sizeof(ration_columns[0]),
	.row_size = sizeof(struct ration_row),
	.explain_offset = offsetof(struct ration_row, explain),
	.questions = ration_questions,
	.n_questions = sizeof(ration_questions) / sizeof(ration_questions[0]),
	.changes_by_clock = true,
	.uses_readings = true,
	.run = run_ration,
};

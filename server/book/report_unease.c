/* Report unease: tanks in which more die, or less is eaten, or oxygen sags deeper after meals, than
 * in their own past; each names the day on which it began. */
#include <math.h>
#include <stddef.h>
#include <strings.h>

#include "book/fish_view.h"
#include "book/report.h"
#include "book/report_list.h"
#include "book/tank_facts.h"
#include "domain/unease.h"

enum {
	WATCHED_DAYS = 28, /* for unease */
	PAST_DAYS = 56,    /* before them: what is usual */
	PAST_LEAST = 14,   /* of them with fish, else the past is not known */
	ALL_DAYS = PAST_DAYS + WATCHED_DAYS,
	RECENT_DAYS = 7
};
static const double usual_least =
	0.02; /* a day: where none ever died, one death is not yet unease */

enum sign { SIGN_DEATHS, SIGN_APPETITE, SIGN_OXYGEN_SAG, SIGN__MAX };
static const char *const sign_words[] = {
	[SIGN_DEATHS] = "deaths", [SIGN_APPETITE] = "appetite", [SIGN_OXYGEN_SAG] = "oxygen_sag"
};

struct unease_row {
	uint64_t has;
	const struct explanation *explain;
	const char *tank, *sign, *state;
	int64_t began_on;
	double recent, usual; /* a day, over the last week */
	double level;         /* 1: raised */
};

static const struct field unease_columns[] = {
	FIELD(unease_row, tank, KIND_TEXT),   FIELD(unease_row, sign, KIND_TEXT),
	FIELD(unease_row, state, KIND_TEXT),  FIELD(unease_row, began_on, KIND_DAY),
	FIELD(unease_row, recent, KIND_REAL), FIELD(unease_row, usual, KIND_REAL),
	FIELD(unease_row, level, KIND_REAL),
};

/* A tank's days, oldest first; day 0 is first_day. */
struct tank_days {
	double fish[ALL_DAYS], dead[ALL_DAYS];
	double meals[ALL_DAYS], poor[ALL_DAYS];
	double sag[ALL_DAYS]; /* mg/L, mean over the day's meals; NAN: not read */
};

struct job {
	struct book *b;
	const struct report_query *q;
	struct report_result *out;
	struct fish_view v;
	int64_t first_day;
	struct unease_row *rows;
	size_t room;
};

static void add_cell(struct job *j, const struct fish_view_cell *c, struct tank_days *d)
{
	for (int64_t i = 0; i < ALL_DAYS; i++) {
		const int64_t begins = book_day_start(j->b, j->first_day + i);
		const size_t n = fish_rows_until(c, begins - 1);
		d->fish[i] += n ? (double)c->rows[n - 1].fish_after : 0.0;
	}
	for (size_t r = 0; r < c->n_rows; r++) {
		const int64_t i = c->rows[r].day - j->first_day;
		if (c->rows[r].effect == EFFECT_DIED && i >= 0 && i < ALL_DAYS)
			d->dead[i] -= (double)c->rows[r].fish;
	}
}

static enum err_code read_meals(struct job *j, int64_t tank_id, struct tank_days *d,
				struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(j->b), Q_TANK_APPETITE, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":tank_id", tank_id);
	stmt_bind_int(q, ":begin", j->first_day);
	stmt_bind_int(q, ":end", j->first_day + ALL_DAYS - 1);
	while (!(rc = stmt_row(q, err))) {
		const int64_t i = stmt_int(q, 0) - j->first_day;
		d->meals[i] = (double)stmt_int(q, 1);
		d->poor[i] = (double)stmt_int(q, 2);
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

static enum err_code read_sags(struct job *j, int64_t tank_id, struct tank_days *d, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(j->b), Q_TANK_OXYGEN_SAGS, &q, err);

	for (size_t i = 0; i < ALL_DAYS; i++)
		d->sag[i] = NAN;
	if (rc)
		goto out;
	stmt_bind_int(q, ":tank_id", tank_id);
	stmt_bind_int(q, ":begin", j->first_day);
	stmt_bind_int(q, ":end", j->first_day + ALL_DAYS - 1);
	while (!(rc = stmt_row(q, err)))
		d->sag[stmt_int(q, 0) - j->first_day] = stmt_real(q, 1);
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

/* How many a day are usual for so much that could happen (fish, or meals), from the past; NAN: not
 * known. */
static double usual_rate(const double *seen, const double *of)
{
	double sum = 0.0, all = 0.0;
	int days = 0;

	for (size_t i = 0; i < PAST_DAYS; i++)
		if (of[i] > 0.0) {
			sum += seen[i];
			all += of[i];
			days++;
		}
	return days >= PAST_LEAST ? (sum + 0.5) / all : NAN;
}

static void watch_counts(const double *seen, const double *of, struct unease *u,
			 struct unease_row *row)
{
	const double rate = usual_rate(seen, of);
	double recent = 0.0, usual = 0.0;

	for (size_t i = PAST_DAYS; i < ALL_DAYS; i++) {
		const double expected = of[i] > 0.0 ? fmax(rate * of[i], usual_least) : NAN;
		unease_count(u, i, seen[i], isnan(rate) ? NAN : expected);
		if (i < ALL_DAYS - RECENT_DAYS || isnan(expected))
			continue;
		recent += seen[i] / RECENT_DAYS;
		usual += expected / RECENT_DAYS;
	}
	row->recent = recent;
	row->usual = isnan(rate) ? NAN : usual;
}

static void watch_sags(const double *sag, struct unease *u, struct unease_row *row)
{
	double sum = 0.0, squares = 0.0, recent = 0.0;
	int n = 0, m = 0;

	for (size_t i = 0; i < PAST_DAYS; i++)
		if (!isnan(sag[i])) {
			sum += sag[i];
			squares += sag[i] * sag[i];
			n++;
		}
	const double mean = n ? sum / n : NAN;
	const double sd = n >= PAST_LEAST ? sqrt(fmax(squares / n - mean * mean, 1e-4)) : NAN;
	for (size_t i = PAST_DAYS; i < ALL_DAYS; i++) {
		unease_value(u, i, sag[i], mean, sd);
		if (i >= ALL_DAYS - RECENT_DAYS && !isnan(sag[i])) {
			recent += sag[i];
			m++;
		}
	}
	row->recent = m ? recent / m : NAN;
	row->usual = isnan(sd) ? NAN : mean;
}

static const struct explanation *explain(struct job *j, const struct unease_row *row)
{
	struct explanation *e = arena_alloc(j->out->arena, sizeof(*e));
	struct explained_input *in = arena_array(j->out->arena, 3, sizeof(*in));

	in[0] = (struct explained_input){ "recent", row->recent };
	in[1] = (struct explained_input){ "usual", row->usual };
	in[2] = (struct explained_input){ "level", row->level };
	*e = (struct explanation){
		.formula = "a sum that rises with each day worse than the 56 days before the last "
			   "28; unease from 1 on: less than once a year by chance",
		.source = "Page 1954, Lucas 1985, Lorden 1971 (from memory); docs/formulas, early "
			  "unease",
		.inputs = in,
		.n_inputs = 3
	};
	return e;
}

static void add_sign(struct job *j, const char *tank, enum sign sign, const struct tank_days *d)
{
	struct unease u = { 0 };
	struct unease_row row = { .tank = tank, .sign = sign_words[sign], .began_on = NO_INT };

	if (sign == SIGN_DEATHS)
		watch_counts(d->dead, d->fish, &u, &row);
	else if (sign == SIGN_APPETITE)
		watch_counts(d->poor, d->meals, &u, &row);
	else
		watch_sags(d->sag, &u, &row);
	row.state = isnan(row.usual) ? "unknown" : u.raised ? "unease" : "quiet";
	row.level = isnan(row.usual) ? NAN : unease_level(&u);
	if (u.raised)
		row.began_on = j->first_day + (int64_t)u.began;
	if (j->q->explain)
		row.explain = explain(j, &row);
	j->rows = arena_grow(j->out->arena, j->rows, j->out->n_rows, &j->room, sizeof(*j->rows));
	j->rows[j->out->n_rows++] = row;
}

static enum err_code add_tank(struct job *j, size_t tank, struct err *err)
{
	struct tank_days *d = arena_alloc(j->out->arena, sizeof(*d));
	const int64_t tank_id = j->v.tank_ids.ids[tank];
	struct tank_facts facts;
	enum err_code rc = tank_facts_load(j->b, tank_id, j->first_day + ALL_DAYS - 1,
					   j->out->arena, &facts, err);

	*d = (struct tank_days){ 0 };
	for (size_t i = 0; i < j->v.n_cells; i++)
		if (j->v.cells[i].tank == tank)
			add_cell(j, &j->v.cells[i], d);
	if (rc || !(d->fish[ALL_DAYS - 1] > 0.0) ||
	    (j->q->only && strcasecmp(j->q->only, facts.code) != 0))
		return rc;
	rc = read_meals(j, tank_id, d, err);
	if (!rc)
		rc = read_sags(j, tank_id, d, err);
	for (int s = 0; !rc && s < SIGN__MAX; s++)
		add_sign(j, facts.code, (enum sign)s, d);
	return rc;
}

static enum err_code run_unease(struct book *b, const struct report_query *q,
				struct report_result *out, struct err *err)
{
	struct job j = { .b = b, .q = q, .out = out };
	const int64_t today = book_day(b, q->now), day = q->day == NO_INT ? today : q->day;
	const int64_t at = day >= today ? q->now : book_day_start(b, day + 1) - 1;

	j.first_day = book_day(b, at) - ALL_DAYS + 1;
	enum err_code rc =
		fish_view_open(b, book_day_start(b, j.first_day), at, 0, 0, out->arena, &j.v, err);
	if (rc)
		return rc;
	size_t *order = arena_array(out->arena, j.v.tank_ids.n + 1, sizeof(*order));
	rc = tank_walk_order(b, &j.v.tank_ids, out->arena, order, err);
	for (size_t t = 0; !rc && t < j.v.tank_ids.n; t++)
		rc = add_tank(&j, order[t], err);
	out->rows = (const char *)j.rows;
	out->from_day = j.first_day;
	out->to_day = j.first_day + ALL_DAYS - 1;
	out->as_of = at;
	return rc;
}

static const struct report_question unease_questions[] = {
	{ .name = "day", .help = "the farm day, at its end; today is as of now" },
	{ .name = "only", .help = "code of a tank: only rows of it" },
};

const struct report unease_report = {
	.name = "unease",
	.summary = "Deaths, appetite and oxygen after meals against each tank's own past",
	.columns = unease_columns,
	.n_columns = sizeof(unease_columns) / sizeof(unease_columns[0]),
	.row_size = sizeof(struct unease_row),
	.explain_offset = offsetof(struct unease_row, explain),
	.questions = unease_questions,
	.n_questions = sizeof(unease_questions) / sizeof(unease_questions[0]),
	.changes_by_clock = true,
	.uses_readings = true,
	.run = run_unease,
};

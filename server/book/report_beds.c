/*
 * Report beds: what stands where in every bed, on a day or at an instant, past or to come.
 *
 * Positions come from the ledger of plants (crop_ledger.h); ready dates from the days that lots of the variety took
 * (crop_days.h), counted from when the plants came to their present stage.  On a day to come a lot whose ready days
 * are over counts as harvested, and a note says so; nothing else is guessed.
 */
#include "book/report.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "book/crop_days.h"
#include "book/crop_ledger.h"
#include "book/explained.h"
#include "book/report_list.h"

struct beds_row {
	const char *bed, *crop_lot, *variety;
	double from_m, to_m; /* from the planting end; NAN: no rafts there */
	int64_t rafts, plants;
	int64_t sown_on, moved_on, age_days;
	int64_t ready_low, ready_on, ready_high, ready_until;
	const char *basis; /* own_month: lots sown in the same month; own: in others; planned */
	int64_t lots, month_lots;
	const struct explanation *explain;
};

static const struct field columns[] = {
	FIELD(beds_row, bed, KIND_CODE),
	FIELD(beds_row, crop_lot, KIND_CODE),
	FIELD(beds_row, variety, KIND_TEXT),
	FIELD(beds_row, from_m, KIND_REAL, .unit = "m"),
	FIELD(beds_row, to_m, KIND_REAL, .unit = "m"),
	FIELD(beds_row, rafts, KIND_INTEGER),
	FIELD(beds_row, plants, KIND_INTEGER),
	FIELD(beds_row, sown_on, KIND_DAY),
	FIELD(beds_row, moved_on, KIND_DAY),
	FIELD(beds_row, age_days, KIND_INTEGER, .unit = "days"),
	FIELD(beds_row, ready_low, KIND_DAY),
	FIELD(beds_row, ready_on, KIND_DAY),
	FIELD(beds_row, ready_high, KIND_DAY),
	FIELD(beds_row, ready_until, KIND_DAY),
	FIELD(beds_row, basis, KIND_TEXT),
	FIELD(beds_row, lots, KIND_INTEGER),
	FIELD(beds_row, month_lots, KIND_INTEGER),
};

static const struct report_question questions[] = {
	{ .name = "day",
	  .help = "The farm day at whose end the beds are shown; today by default." },
	{ .name = "at", .help = "An instant instead of a day." },
	{ .name = "only", .help = "Code of a bed or crop lot, or name of a variety." },
};

struct lot_facts {
	const char *code, *variety;
	int64_t variety_id;
	struct crop_plan plan;
	int64_t days_hold; /* CROP_NONE: not given */
	bool cut_again;
};

/* When a holding is ready, and what says so. */
struct ready {
	int64_t low, on, high, until; /* CROP_NONE: not known */
	enum crop_from from;
	const struct days_learned *learned; /* NULL: nothing to go by */
};

/* What one run of the report works on. */
struct beds_job {
	struct book *book;
	const struct report_query *query;
	struct report_result *result;
	struct arena *arena;
	int64_t day;
	const struct crop_bed_facts *facts;
	size_t n_beds;
	struct crop_state state;
	struct lot_facts *lots; /* as state.lots */
	struct crop_days *days;
	struct ready *ready; /* as state.holdings */
	struct beds_row *rows;
};

static int64_t days_or_none(struct stmt *q, int column)
{
	return stmt_is_null(q, column) ? CROP_NONE : stmt_int(q, column);
}

static enum err_code read_lot(struct beds_job *job, int64_t lot, struct lot_facts *out,
			      struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(job->book), Q_CROP_LOT_FACTS, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":lot", lot);
	rc = stmt_row(q, err);
	if (rc)
		goto out;
	*out = (struct lot_facts){ .code = arena_strdup(job->arena, stmt_text(q, 0)),
				   .variety = arena_strdup(job->arena, stmt_text(q, 1)),
				   .variety_id = stmt_int(q, 7),
				   .plan = { .germination = days_or_none(q, 2),
					     .nursery = days_or_none(q, 3),
					     .raft = days_or_none(q, 4) },
				   .days_hold = days_or_none(q, 5),
				   .cut_again = stmt_int(q, 6) != 0 };
out:
	stmt_done(q);
	return rc;
}

static enum err_code read_lots(struct beds_job *job, struct err *err)
{
	enum err_code rc = ERR_NONE;

	job->lots = arena_array(job->arena, job->state.n_lots + 1, sizeof(*job->lots));
	for (size_t i = 0; i < job->state.n_lots && !rc; i++)
		if (job->state.lots[i].plants > 0)
			rc = read_lot(job, job->state.lots[i].lot, &job->lots[i], err);
	return rc;
}

static const struct lot_facts *facts_of(const struct beds_job *job, int64_t lot)
{
	return &job->lots[crop_sums_of(&job->state, lot) - job->state.lots];
}

static int64_t add_days(int64_t day, int64_t days)
{
	return day == CROP_NONE || days == CROP_NONE ? CROP_NONE : day + days;
}

/* The stage that a holding's days are counted from, and the day on which it came to it. */
static enum crop_from counted_from(const struct beds_job *job, const struct crop_holding *h,
				   int64_t *day)
{
	const struct crop_bed *bed = crop_bed_of(&job->state, h->bed);
	const bool moved = h->moved_day != CROP_NONE && bed;

	*day = h->stage_day;
	if (moved && bed->stage == CROP_RAFTS)
		return CROP_FROM_RAFT;
	if (moved && bed->stage == CROP_NURSERY)
		return CROP_FROM_NURSERY;
	*day = crop_sums_of(&job->state, h->lot)->sown_day;
	return CROP_FROM_SOWN;
}

static int64_t after(int64_t day, double days)
{
	return isnan(days) ? CROP_NONE : day + llround(days);
}

/* When a holding is ready by what has been learned of its variety. */
static enum err_code find_ready(struct beds_job *job, const struct crop_holding *h,
				struct ready *out, struct err *err)
{
	const struct crop_sums *sums = crop_sums_of(&job->state, h->lot);
	const struct lot_facts *lot = facts_of(job, h->lot);
	int64_t day;
	enum err_code rc;

	*out = (struct ready){
		CROP_NONE, CROP_NONE, CROP_NONE, CROP_NONE, counted_from(job, h, &day), NULL
	};
	if (lot->cut_again && sums->last_cut_day != CROP_NONE)
		return ERR_NONE; /* nothing says how fast it grows again */
	if (day == CROP_NONE || sums->sown_day == CROP_NONE)
		return ERR_NONE;
	rc = crop_days_of(job->days, lot->variety_id, &lot->plan, out->from,
			  crop_month(sums->sown_day), &out->learned, err);
	if (rc)
		return rc;
	out->low = after(day, out->learned->low);
	out->on = after(day, out->learned->days);
	out->high = after(day, out->learned->high);
	out->until = add_days(out->on, lot->days_hold);
	return ERR_NONE;
}

/* The bed that only= names; 0: it names something else, or nothing. */
static int64_t only_bed(const struct beds_job *job)
{
	for (size_t i = 0; job->query->only && i < job->n_beds; i++)
		if (strcasecmp(job->facts[i].code, job->query->only) == 0)
			return job->facts[i].bed;
	return 0;
}

static enum err_code find_all_ready(struct beds_job *job, struct err *err)
{
	const int64_t bed = only_bed(job);
	enum err_code rc = ERR_NONE;

	job->days = crop_days_open(job->book, &job->state, job->arena);
	job->ready = arena_array(job->arena, job->state.n_holdings + 1, sizeof(*job->ready));
	for (size_t i = 0; !rc && i < job->state.n_holdings; i++)
		if (job->state.holdings[i].plants > 0 &&
		    (!bed || job->state.holdings[i].bed == bed))
			rc = find_ready(job, &job->state.holdings[i], &job->ready[i], err);
	return rc;
}

static const struct ready *ready_of(const struct beds_job *job, const struct crop_holding *h)
{
	return &job->ready[h - job->state.holdings];
}

/* On a day to come: what is over its ready days by then has gone. */
static void harvest_what_is_due(struct beds_job *job)
{
	for (size_t i = 0; i < job->state.n_holdings; i++) {
		struct crop_holding *h = &job->state.holdings[i];
		struct crop_bed *bed = crop_bed_of(&job->state, h->bed);
		const struct lot_facts *lot = facts_of(job, h->lot);
		const int64_t last = h->plants > 0 ? job->ready[i].until : CROP_NONE;

		if (!job->ready[i].learned || last == CROP_NONE || last >= job->day)
			continue;
		h->plants = 0;
		if (bed)
			bed->n = bed_take(bed->queue, bed->n, h->lot, INT64_MAX);
		report_add_note(job->result, "due_out", lot->code,
				"Its ready days are over by then: it counts as harvested.");
	}
}

/* The entries about a lot, by what they do to it; the number that they are summed by, where it is always given. */
static const struct {
	const char *kind, *field, *sum_of;
} entries_by_sort[] = {
	[CROP_SOWN] = { "crop-lots", "id", "cubes" },
	[CROP_COUNTED] = { "crop-counts", "crop_lot_id", NULL },
	[CROP_MOVED] = { "crop-moves", "crop_lot_id", "plants" },
	[CROP_LOST] = { "crop-losses", "crop_lot_id", "plants" },
	[CROP_HARVESTED] = { "harvests", "crop_lot_id", NULL },
};
enum { SORTS = sizeof(entries_by_sort) / sizeof(entries_by_sort[0]) };

/* "&to=...": up to the report's instant. */
static const char *until_text(const struct beds_job *job)
{
	const int64_t until = job->state.until;
	char text[TIME_TEXT_MAX];

	if (until + 1 == book_day_start(job->book, job->day + 1))
		day_write(text, job->day);
	else
		time_write(text, until);
	return arena_printf(job->arena, "&to=%s", text);
}

/* The entries about a lot up to the report's instant, by kind. */
static void list_entries(struct beds_job *job, int64_t lot, struct explained_lists *lists)
{
	for (size_t sort = 0; sort < SORTS; sort++) {
		int64_t count = 0;
		double sum = 0.0;

		for (size_t i = 0; i < job->state.n_events; i++) {
			const struct crop_event *v = &job->state.events[i];

			if (v->lot != lot || v->sort != sort || v->instant > job->state.until)
				continue;
			count++;
			if (v->plants != CROP_NONE)
				sum += (double)(sort == CROP_SOWN ? v->cubes : v->plants);
		}
		if (!count)
			continue;
		struct explained_entries *e = explained_add(
			lists, entries_by_sort[sort].kind,
			arena_printf(job->arena, "/api/%s?%s=%lld%s", entries_by_sort[sort].kind,
				     entries_by_sort[sort].field, (long long)lot, until_text(job)));
		e->count = count;
		e->sum = entries_by_sort[sort].sum_of ? sum : NAN;
		e->sum_of = entries_by_sort[sort].sum_of;
	}
}

static void add_input(struct explanation *x, const char *name, double value)
{
	struct explained_input *inputs = (struct explained_input *)x->inputs;

	if (!isnan(value))
		inputs[x->n_inputs++] = (struct explained_input){ .name = name, .value = value };
}

static double days_real(int64_t days)
{
	return days == CROP_NONE ? NAN : (double)days;
}

static const char *source_of(const struct crop_holding *h, const struct ready *ready)
{
	if (h->estimated)
		return "own entries; germination estimated, not counted";
	if (!ready->learned || isnan(ready->learned->days))
		return "own entries; neither lots nor a plan say when it is ready";
	return ready->learned->lots ? "own entries; ready days from own lots"
				    : "own entries; ready days as the variety plans them";
}

/* What the ready days were learned from; names that the days' own report has too. */
static void add_learned(struct explanation *x, const struct beds_job *job,
			const struct crop_holding *h)
{
	const struct lot_facts *lot = facts_of(job, h->lot);
	const struct ready *ready = ready_of(job, h);
	const struct days_learned *l = ready->learned;

	add_input(x, "planned_days", crop_planned_days(&lot->plan, ready->from));
	add_input(x, "days_hold", days_real(lot->days_hold));
	if (!l)
		return;
	add_input(x, "lots", (double)l->lots);
	add_input(x, "month_lots", (double)l->of_month);
	add_input(x, "median_days", l->median);
	add_input(x, "spread_days", l->spread);
	add_input(x, "expected_days", l->days);
}

static const struct explanation *explain(struct beds_job *job, const struct crop_holding *h)
{
	enum { INPUTS = 11 };
	struct explanation *x = arena_alloc(job->arena, sizeof(*x));
	struct explained_lists lists = { .arena = job->arena };
	const struct crop_bed *bed = crop_bed_of(&job->state, h->bed);

	*x = (struct explanation){
		.formula = "plants = counted at germination (until then cubes x germination) + "
			   "moved in - moved out - lost - sites emptied by harvests; length = "
			   "rafts / rafts abreast x raft length, packed against the foot; ready = "
			   "day of coming to the present stage + days to the first harvest, where "
			   "days = (n x median of the month's lots + what other months' lots and "
			   "the plan say) / (n + 1)",
		.source = source_of(h, ready_of(job, h)),
	};
	x->inputs = arena_array(job->arena, INPUTS, sizeof(*x->inputs));
	add_input(x, "bed_length_m", bed->size.length_m);
	add_input(x, "raft_length_m", bed->size.raft_length_m);
	add_input(x, "rafts_abreast", (double)bed_rafts_abreast(&bed->size));
	add_input(x, "unexplained_plants", (double)h->unexplained);
	add_learned(x, job, h);
	list_entries(job, h->lot, &lists);
	explained_give(&lists, x);
	return x;
}

/* NULL: nothing is known. */
static const char *basis_of(const struct days_learned *l)
{
	if (!l || isnan(l->days))
		return NULL;
	return l->of_month ? "own_month" : l->lots ? "own" : "planned";
}

static bool asked_for(const struct beds_job *job, const char *bed, const struct lot_facts *lot)
{
	const char *only = job->query->only;

	return !only || strcasecmp(only, bed) == 0 || strcasecmp(only, lot->code) == 0 ||
	       strcasecmp(only, lot->variety) == 0;
}

static void add_row(struct beds_job *job, const char *bed, const struct crop_holding *h,
		    struct bed_span span, int64_t rafts, int64_t plants)
{
	const struct lot_facts *lot = facts_of(job, h->lot);
	const struct crop_sums *sums = crop_sums_of(&job->state, h->lot);
	const struct ready *ready = ready_of(job, h);
	const struct days_learned *learned = ready->learned;

	if (!asked_for(job, bed, lot))
		return;
	job->rows[job->result->n_rows++] = (struct beds_row){
		.bed = bed,
		.crop_lot = lot->code,
		.variety = lot->variety,
		.from_m = span.from_m,
		.to_m = span.to_m,
		.rafts = rafts,
		.plants = plants,
		.sown_on = sums->sown_day,
		.moved_on = h->moved_day,
		.age_days = sums->sown_day == CROP_NONE ? NO_INT : job->day - sums->sown_day,
		.ready_low = ready->low,
		.ready_on = ready->on,
		.ready_high = ready->high,
		.ready_until = ready->until,
		.basis = basis_of(learned),
		.lots = learned ? (int64_t)learned->lots : NO_INT,
		.month_lots = learned ? (int64_t)learned->of_month : NO_INT,
		.explain = job->query->explain ? explain(job, h) : NULL,
	};
}

/* The rafts of a bed, from the planting end to the foot. */
static void add_stretches(struct beds_job *job, const char *code, const struct crop_bed *bed)
{
	struct bed_span *spans = arena_array(job->arena, bed->n + 1, sizeof(*spans));
	int64_t *shares = arena_array(job->arena, bed->n + 1, sizeof(*shares));

	bed_spans(&bed->size, bed->queue, bed->n, spans);
	for (size_t i = bed->n; i-- > 0;) {
		const struct bed_stretch *s = &bed->queue[i];
		const struct crop_holding *h = crop_holding_of(&job->state, s->lot, bed->bed);

		bed_share_plants(bed->queue, bed->n, s->lot, h->plants, shares);
		add_row(job, code, h, spans[i], s->rafts, shares[i]);
	}
	if (bed->n && spans[bed->n - 1].from_m < -1e-9)
		report_add_note(job->result, "beyond_bed", code,
				"By the book more rafts stand in this bed than it has room for.");
}

static int by_age(const void *a, const void *b)
{
	const struct beds_row *x = a, *y = b;

	if (x->sown_on != y->sown_on)
		return x->sown_on < y->sown_on ? -1 : 1;
	return strcasecmp(x->crop_lot, y->crop_lot);
}

/* What stands in a bed without rafts: trays and plugs, oldest first. */
static void add_loose(struct beds_job *job, const char *code, const struct crop_bed *bed)
{
	size_t first = job->result->n_rows;

	for (size_t i = 0; i < job->state.n_holdings; i++) {
		const struct crop_holding *h = &job->state.holdings[i];

		if (h->bed == bed->bed && h->plants > 0 &&
		    bed_rafts_of(bed->queue, bed->n, h->lot) == 0)
			add_row(job, code, h, (struct bed_span){ NAN, NAN }, NO_INT, h->plants);
	}
	if (job->result->n_rows > first)
		qsort(job->rows + first, job->result->n_rows - first, sizeof(*job->rows), by_age);
}

static int by_walk(const void *a, const void *b)
{
	const struct crop_bed_facts *x = a, *y = b;

	if (x->walk_order != y->walk_order)
		return x->walk_order < y->walk_order ? -1 : 1;
	return strcasecmp(x->code, y->code);
}

static void add_rows(struct beds_job *job)
{
	struct crop_bed_facts *walk = arena_array(job->arena, job->n_beds + 1, sizeof(*walk));
	size_t room = job->state.n_holdings + 1;

	for (size_t i = 0; i < job->n_beds; i++) {
		walk[i] = job->facts[i];
		room += job->state.beds[i].n;
	}
	if (job->n_beds)
		qsort(walk, job->n_beds, sizeof(*walk), by_walk);
	job->rows = arena_array(job->arena, room, sizeof(*job->rows));
	for (size_t i = 0; i < job->n_beds; i++) {
		const struct crop_bed *bed = crop_bed_of(&job->state, walk[i].bed);

		add_stretches(job, walk[i].code, bed);
		add_loose(job, walk[i].code, bed);
	}
	job->result->rows = (const char *)job->rows;
}

/* Sets the report's day and returns the instant up to which entries count. */
static int64_t when(struct beds_job *job)
{
	const struct report_query *q = job->query;

	if (q->at != NO_INT) {
		job->day = book_day(job->book, q->at);
		return q->at;
	}
	job->day = q->day != NO_INT ? q->day : book_day(job->book, q->now);
	return book_day_start(job->book, job->day + 1) - 1;
}

static enum err_code run(struct book *book, const struct report_query *q,
			 struct report_result *result, struct err *err)
{
	struct beds_job job = {
		.book = book, .query = q, .result = result, .arena = result->arena
	};
	struct crop_bed_facts *facts;
	int64_t until = when(&job);
	enum err_code rc = crop_ledger_beds(book, job.arena, &facts, &job.n_beds, err);

	job.facts = facts;
	if (!rc)
		rc = crop_ledger_at(book, until, facts, job.n_beds, job.arena, &job.state, err);
	if (!rc)
		rc = read_lots(&job, err);
	if (!rc)
		rc = find_all_ready(&job, err);
	if (rc)
		return rc;
	result->from_day = result->to_day = job.day;
	result->as_of = q->now;
	if (job.day > book_day(book, q->now))
		harvest_what_is_due(&job);
	add_rows(&job);
	return ERR_NONE;
}

const struct report beds_report = {
	.name = "beds",
	.summary = "What stands where in every bed, and when it is ready",
	.columns = columns,
	.n_columns = sizeof(columns) / sizeof(columns[0]),
	.row_size = sizeof(struct beds_row),
	.explain_offset = offsetof(struct beds_row, explain),
	.questions = questions,
	.n_questions = sizeof(questions) / sizeof(questions[0]),
	.changes_by_clock = true,
	.run = run,
};

/*
 * Report harvest: what was harvested, by day, week or month and by crop, variety, species, bed, tank, grade
 * or lot.  One scan of a covering index; keys are harvest_by.h's, grouping is harvest_sums.h's.
 *
 * weight_g is what was weighed; estimated_g stands beside it for harvests that were not: pieces x planned head
 * weight for plants, pieces x the book's mean weight for fish.  Totals are exact to the milligram.
 */
#include "book/report.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "base/order.h"
#include "book/harvest_by.h"
#include "book/harvest_sums.h"
#include "book/inside.h"
#include "book/ledger.h"
#include "book/periods.h"
#include "book/report_list.h"

struct harvest_row {
	int64_t period; /* its first day: the day, the Monday, the first of the month; else of the range */
	const char *crop, *variety, *species, *bed, *tank, *grade, *lot;
	int64_t harvests, pieces;
	double weight_g, estimated_g;
	int64_t culled_pieces;
	double culled_g;
	const struct explanation *explain;
};

/* By what is told apart, as in the words of `by`. */
static const struct field key_columns[BY__MAX] = {
	[BY_CROP] = FIELD(harvest_row, crop, KIND_TEXT),
	[BY_VARIETY] = FIELD(harvest_row, variety, KIND_TEXT),
	[BY_SPECIES] = FIELD(harvest_row, species, KIND_TEXT),
	[BY_BED] = FIELD(harvest_row, bed, KIND_CODE),
	[BY_TANK] = FIELD(harvest_row, tank, KIND_CODE),
	[BY_GRADE] = FIELD(harvest_row, grade, KIND_TEXT),
	[BY_LOT] = FIELD(harvest_row, lot, KIND_CODE),
};

/* All columns; by= leaves out the keys that it does not name. */
static const struct field columns[] = {
	FIELD(harvest_row, period, KIND_DAY),
	FIELD(harvest_row, crop, KIND_TEXT),
	FIELD(harvest_row, variety, KIND_TEXT),
	FIELD(harvest_row, species, KIND_TEXT),
	FIELD(harvest_row, bed, KIND_CODE),
	FIELD(harvest_row, tank, KIND_CODE),
	FIELD(harvest_row, grade, KIND_TEXT),
	FIELD(harvest_row, lot, KIND_CODE),
	FIELD(harvest_row, harvests, KIND_INTEGER),
	FIELD(harvest_row, pieces, KIND_INTEGER),
	FIELD(harvest_row, weight_g, KIND_REAL, .unit = "g"),
	FIELD(harvest_row, estimated_g, KIND_REAL, .unit = "g"),
	FIELD(harvest_row, culled_pieces, KIND_INTEGER),
	FIELD(harvest_row, culled_g, KIND_REAL, .unit = "g"),
};
enum { N_COLUMNS = sizeof(columns) / sizeof(columns[0]), FIRST_SUM = 1 + BY__MAX };

static const char *const by_words[] = { "day", "week", "month", "crop", "variety", "species",
					"bed", "tank", "grade", "lot",  NULL };
static const char default_by[] = "week";

static const struct report_question questions[] = {
	{ .name = "by",
	  .words = by_words,
	  .list = true,
	  .help = "What to total by; week by default." },
	{ .name = "from", .help = "First farm day; that of the first harvest by default." },
	{ .name = "to", .help = "Last farm day; today by default." },
	{ .name = "only",
	  .help = "Code of a bed, tank or lot, or name of a crop, variety or species: the first so "
		  "called." },
};

struct harvest_job {
	struct book *book;
	const struct report_query *query;
	struct report_result *result;
	struct arena *arena;
	enum period period;
	enum harvest_by by[BY__MAX];
	size_t n_by;
	struct harvest_names names;
	struct harvest_sums sums;
	struct harvest_grades grades;
	struct harvest_only only;
};

static enum err_code refuse_by(const char *code, const char *message, struct err *err)
{
	return err_set(err, ERR_INPUT, "by", code, "%s", message);
}

static enum err_code take_word(struct harvest_job *job, const char *word, size_t length,
			       struct err *err)
{
	enum period period = period_named(word, length);

	if (period != PERIOD_ALL && job->period != PERIOD_ALL)
		return refuse_by("one_period", "Name one of day, week and month only.", err);
	if (period != PERIOD_ALL) {
		job->period = period;
		return ERR_NONE;
	}
	for (size_t k = 0; k < BY__MAX; k++)
		if (strlen(key_columns[k].name) == length &&
		    strncmp(key_columns[k].name, word, length) == 0 && job->n_by < BY__MAX) {
			job->by[job->n_by++] = (enum harvest_by)k;
			return ERR_NONE;
		}
	return refuse_by("not_a_choice",
			 "Harvests are totalled by day, week, month, crop, variety, species, bed, "
			 "tank, grade, lot.",
			 err);
}

static enum err_code read_by(struct harvest_job *job, struct err *err)
{
	const char *at = job->query->by ? job->query->by : default_by;
	enum err_code rc = ERR_NONE;

	for (; !rc; at++) {
		size_t length = strcspn(at, ",");

		rc = take_word(job, at, length, err);
		at += length;
		if (!*at)
			break;
	}
	return rc;
}

/* The period's column, the keys in their order, the sums. */
static void choose_columns(struct harvest_job *job)
{
	struct field *chosen = arena_array(job->arena, N_COLUMNS, sizeof(*chosen));
	size_t n = 0;

	chosen[n++] = columns[0];
	for (size_t i = 0; i < job->n_by; i++)
		chosen[n++] = key_columns[job->by[i]];
	for (size_t i = FIRST_SUM; i < N_COLUMNS; i++)
		chosen[n++] = columns[i];
	job->result->columns = chosen;
	job->result->n_columns = n;
}

/* What a harvest that was not weighed would weigh, g; NAN when nobody can tell. */
static enum err_code estimate_g(struct harvest_job *job, const struct harvest_seen *h, double *g,
				struct err *err)
{
	double piece_g = NAN;
	enum err_code rc = ERR_NONE;

	if (h->variety)
		piece_g = harvest_name_of(&job->names.varieties, h->variety)->piece_g;
	else if (h->fish_lot && h->tank)
		rc = ledger_expected_weight(job->book, h->tank, h->fish_lot, h->instant, &piece_g,
					    err);
	*g = h->pieces == NO_INT ? NAN : (double)h->pieces * piece_g;
	return rc;
}

static enum err_code add_up(struct harvest_job *job, const struct harvest_seen *h, struct err *err)
{
	struct harvest_key key = { .period = period_first(job->period, h->day,
							  job->result->from_day) };
	struct harvest_sum *sum;
	double g = NAN;
	enum err_code rc = ERR_NONE;

	for (size_t i = 0; i < job->n_by; i++)
		key.parts[i] = harvest_part(&job->grades, job->by[i], h);
	if (isnan(h->weight_g))
		rc = estimate_g(job, h, &g, err);
	sum = harvest_sums_row(&job->sums, &key);
	sum->harvests++;
	if (h->pieces != NO_INT) {
		sum->counted++;
		sum->pieces += h->pieces;
	}
	if (!isnan(h->weight_g))
		sum->weighed++;
	else if (isnan(g))
		sum->not_estimated++;
	sum->weight_mg += harvest_mg(h->weight_g);
	sum->estimated_mg += harvest_mg(g);
	if (h->culled_pieces != NO_INT)
		sum->culled_pieces += h->culled_pieces;
	sum->culled_mg += harvest_mg(h->culled_g);
	return rc;
}

static int64_t int_or_none(struct stmt *q, int column)
{
	return stmt_is_null(q, column) ? NO_INT : stmt_int(q, column);
}

static struct harvest_seen read_harvest(const struct harvest_job *job, struct stmt *q)
{
	struct harvest_seen h = { .day = stmt_int(q, 0),
				  .crop_lot = stmt_int(q, 1),
				  .fish_lot = stmt_int(q, 2),
				  .bed = stmt_int(q, 3),
				  .tank = stmt_int(q, 4),
				  .grade = stmt_text(q, 5),
				  .pieces = int_or_none(q, 6),
				  .weight_g = stmt_real(q, 7),
				  .culled_pieces = int_or_none(q, 8),
				  .culled_g = stmt_real(q, 9),
				  .instant = stmt_int(q, 10) };
	harvest_look_up(&job->names, &h);
	return h;
}

static enum err_code scan(struct harvest_job *job, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(job->book), Q_HARVEST_ROWS, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":from_day", job->result->from_day);
	stmt_bind_int(q, ":to_day", job->result->to_day);
	while (!rc && !(rc = stmt_row(q, err))) {
		struct harvest_seen h = read_harvest(job, q);

		if (harvest_only_has(&job->only, &h))
			rc = add_up(job, &h, err);
	}
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	return rc;
}

/* The list of the harvests under a row. */
static const char *address_of(struct harvest_job *job, const struct harvest_sum *sum)
{
	struct harvest_address a = { .arena = job->arena, .filters = "", .without = "" };
	const int64_t first = later_of(sum->key.period, job->result->from_day);
	const int64_t last = period_last(job->period, sum->key.period, job->result->to_day);

	for (size_t i = 0; i < job->n_by; i++)
		harvest_address_add(&a, &job->grades, job->by[i], sum->key.parts[i]);
	if (job->only.asked)
		harvest_address_add(&a, &job->grades, job->only.by, job->only.part);
	return harvest_address_text(&a, arena_printf(job->arena, "from=%s&to=%s",
						     book_day_text(job->arena, first),
						     book_day_text(job->arena, last)));
}

static const struct explanation *explain(struct harvest_job *job, const struct harvest_sum *sum)
{
	struct explanation *x = arena_alloc(job->arena, sizeof(*x));
	struct explained_entries *entries = arena_alloc(job->arena, sizeof(*entries));
	struct explained_input *inputs = arena_array(job->arena, 3, sizeof(*inputs));

	*entries = (struct explained_entries){ .kind = "harvests",
					       .count = sum->harvests,
					       .sum = (double)sum->weight_mg / 1000.0,
					       .sum_of = "weight_g",
					       .address = address_of(job, sum) };
	inputs[0] = (struct explained_input){ "weighed", (double)sum->weighed };
	inputs[1] = (struct explained_input){ "counted", (double)sum->counted };
	inputs[2] = (struct explained_input){ "not_estimated", (double)sum->not_estimated };
	*x = (struct explanation){
		.formula = "weight = sum of what was weighed; estimated = pieces of the others x "
			   "planned head weight, or x the book's mean weight of the fish",
		.source = "own entries",
		.inputs = inputs,
		.n_inputs = 3,
		.entries = entries,
		.n_entries = 1
	};
	return x;
}

static void fill_row(struct harvest_job *job, const struct harvest_sum *sum,
		     struct harvest_row *row)
{
	*row = (struct harvest_row){
		.period = sum->key.period,
		.harvests = sum->harvests,
		.pieces = sum->counted ? sum->pieces : NO_INT,
		.weight_g = sum->weighed ? (double)sum->weight_mg / 1000.0 : NAN,
		.estimated_g = sum->not_estimated ? NAN : (double)sum->estimated_mg / 1000.0,
		.culled_pieces = sum->culled_pieces,
		.culled_g = (double)sum->culled_mg / 1000.0,
		.explain = job->query->explain ? explain(job, sum) : NULL,
	};
	for (size_t i = 0; i < job->n_by; i++) {
		const size_t at = key_columns[job->by[i]].offset;

		*(const char **)(void *)((char *)row + at) =
			harvest_part_text(&job->names, &job->grades, job->by[i], sum->key.parts[i]);
	}
}

static int compare_texts(const char *a, const char *b)
{
	int order;

	if (!a || !b)
		return (a == NULL) - (b == NULL); /* what has none comes last */
	order = strcasecmp(a, b);
	return order ? order : strcmp(a, b);
}

/* By period, then by each key in the order of by=.  The context is the job: qsort_r of glibc. */
static int compare_rows(const void *a, const void *b, void *with)
{
	const struct harvest_row *x = a, *y = b;
	const struct harvest_job *job = with;
	int order = (x->period > y->period) - (x->period < y->period);

	for (size_t i = 0; i < job->n_by && !order; i++) {
		size_t at = key_columns[job->by[i]].offset;

		order = compare_texts(*(const char *const *)(const void *)((const char *)a + at),
				      *(const char *const *)(const void *)((const char *)b + at));
	}
	return order;
}

static void note_unknown(struct harvest_job *job)
{
	int64_t harvests = 0;

	for (size_t i = 0; i < job->sums.n; i++)
		harvests += job->sums.rows[i].not_estimated;
	if (!harvests)
		return;
	report_add_note(job->result, "weight_unknown", NULL,
			arena_printf(job->arena,
				     "%lld harvests were not weighed and their weight cannot be "
				     "estimated.",
				     (long long)harvests));
}

static void write_rows(struct harvest_job *job)
{
	struct harvest_row *rows = arena_array(job->arena, job->sums.n + 1, sizeof(*rows));

	for (size_t i = 0; i < job->sums.n; i++)
		fill_row(job, &job->sums.rows[i], &rows[i]);
	if (job->sums.n)
		qsort_r(rows, job->sums.n, sizeof(*rows), compare_rows, job);
	job->result->rows = (const char *)rows;
	job->result->n_rows = job->sums.n;
	note_unknown(job);
}

static enum err_code set_days(struct harvest_job *job, struct err *err)
{
	const struct report_query *q = job->query;
	struct report_result *r = job->result;
	struct stmt *s = NULL;
	enum err_code rc = ERR_NONE;

	r->as_of = q->now;
	r->to_day = q->to_day != NO_INT ? q->to_day : book_day(job->book, q->now);
	r->from_day = q->from_day;
	if (r->from_day != NO_INT)
		return ERR_NONE;
	rc = store_query(book_store(job->book), Q_HARVEST_FIRST_DAY, &s, err);
	if (!rc)
		rc = stmt_row(s, err);
	if (!rc)
		r->from_day = stmt_is_null(s, 0) || stmt_int(s, 0) > r->to_day ? r->to_day
									       : stmt_int(s, 0);
	stmt_done(s);
	return rc;
}

static enum err_code run(struct book *book, const struct report_query *q,
			 struct report_result *result, struct err *err)
{
	struct harvest_job job = {
		.book = book,
		.query = q,
		.result = result,
		.arena = result->arena,
		.grades = { .arena = result->arena },
	};
	enum err_code rc = read_by(&job, err);

	if (!rc)
		rc = set_days(&job, err);
	if (!rc)
		rc = harvest_names_read(book, job.arena, &job.names, err);
	if (rc)
		return rc;
	job.only = harvest_only_read(&job.names, q->only);
	choose_columns(&job);
	harvest_sums_init(&job.sums, job.arena);
	rc = scan(&job, err);
	if (!rc)
		write_rows(&job);
	return rc;
}

const struct report harvest_report = {
	.name = "harvest",
	.summary = "What was harvested, by period, crop, place, grade or lot",
	.columns = columns,
	.n_columns = N_COLUMNS,
	.row_size = sizeof(struct harvest_row),
	.explain_offset = offsetof(struct harvest_row, explain),
	.questions = questions,
	.n_questions = sizeof(questions) / sizeof(questions[0]),
	.run = run,
};

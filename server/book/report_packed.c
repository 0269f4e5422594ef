/*
 * Report packed: what was packed, by product and by day, week or month.  Packs are the packings'
 * own; pieces and weight are what their lines took from harvests.  Shipments and what is left are
 * other reports'.
 */
#include "book/report.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "book/harvest_names.h"
#include "book/harvest_sums.h"
#include "book/periods.h"
#include "book/report_list.h"

struct packed_row {
	int64_t period; /* its first day; that of the range when no period is asked */
	const char *product;
	int64_t packings, packs, pieces;
	double weight_g;
	const struct explanation *explain;
};

static const struct field columns[] = {
	FIELD(packed_row, period, KIND_DAY),
	FIELD(packed_row, product, KIND_CODE),
	FIELD(packed_row, packings, KIND_INTEGER),
	FIELD(packed_row, packs, KIND_INTEGER),
	FIELD(packed_row, pieces, KIND_INTEGER),
	FIELD(packed_row, weight_g, KIND_REAL, .unit = "g"),
};

static const char *const by_words[] = { "day", "week", "month", "product", NULL };
static const struct report_question questions[] = {
	{ .name = "by",
	  .words = by_words,
	  .list = true,
	  .help = "A period beside the product, which is always told apart." },
	{ .name = "from", .help = "First farm day; that of the first packing by default." },
	{ .name = "to", .help = "Last farm day; today by default." },
	{ .name = "only", .help = "Code of a product." },
};

struct packed_job {
	struct book *book;
	const struct report_query *query;
	struct report_result *result;
	struct arena *arena;
	enum period period;
	struct harvest_name_list products;
	struct harvest_sums sums;
};

static enum err_code read_by(struct packed_job *job, struct err *err)
{
	const char *at = job->query->by ? job->query->by : "product";

	for (;; at++) {
		size_t length = strcspn(at, ",");
		enum period p = period_named(at, length);

		if (p == PERIOD_ALL && (length != 7 || strncmp(at, "product", 7) != 0))
			return err_set(err, ERR_INPUT, "by", "not_a_choice",
				       "Packings are totalled by day, week, month, product.");
		if (p != PERIOD_ALL && job->period != PERIOD_ALL)
			return err_set(err, ERR_INPUT, "by", "one_period",
				       "Name one of day, week and month only.");
		if (p != PERIOD_ALL)
			job->period = p;
		at += length;
		if (!*at)
			return ERR_NONE;
	}
}

static enum err_code set_days(struct packed_job *job, struct err *err)
{
	struct report_result *r = job->result;
	struct stmt *q = NULL;
	enum err_code rc;

	r->as_of = job->query->now;
	r->to_day = job->query->to_day != NO_INT ? job->query->to_day
						 : book_day(job->book, job->query->now);
	r->from_day = job->query->from_day;
	if (r->from_day != NO_INT)
		return ERR_NONE;
	r->from_day = r->to_day;
	rc = store_query(book_store(job->book), Q_PACKED_FIRST_DAY, &q, err);
	if (!rc)
		rc = stmt_row(q, err);
	if (!rc && stmt_int(q, 0) < r->from_day)
		r->from_day = stmt_int(q, 0);
	stmt_done(q);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

/* A row of packed_rows. */
static void add_up(struct packed_job *job, struct stmt *q)
{
	struct harvest_key key = { .period = period_first(job->period, stmt_int(q, 0),
							  job->result->from_day),
				   .parts = { stmt_int(q, 1) } };
	struct harvest_sum *sum = harvest_sums_row(&job->sums, &key);

	sum->harvests++;
	sum->packs += stmt_int(q, 2);
	if (!stmt_is_null(q, 3)) {
		sum->counted++;
		sum->pieces += stmt_int(q, 3);
	}
	if (!stmt_is_null(q, 4)) {
		sum->weighed++;
		sum->weight_mg += stmt_int(q, 4);
	}
}

static bool asked_for(const struct packed_job *job, int64_t product)
{
	return !job->query->only ||
	       strcasecmp(harvest_name_of(&job->products, product)->text, job->query->only) == 0;
}

static enum err_code scan(struct packed_job *job, struct err *err)
{
	const struct report_result *r = job->result;
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(job->book), Q_PACKED_ROWS, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":from", book_day_start(job->book, r->from_day));
	stmt_bind_int(q, ":to", book_day_start(job->book, r->to_day + 1) - 1);
	while (!(rc = stmt_row(q, err)))
		if (asked_for(job, stmt_int(q, 1)))
			add_up(job, q);
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	return rc;
}

static const struct explanation *explain(struct packed_job *job, const struct harvest_sum *sum)
{
	struct explanation *x = arena_alloc(job->arena, sizeof(*x));
	struct explained_entries *entries = arena_alloc(job->arena, sizeof(*entries));
	char from[TIME_TEXT_MAX], to[TIME_TEXT_MAX];
	int64_t first =
		sum->key.period < job->result->from_day ? job->result->from_day : sum->key.period;

	day_write(from, first);
	day_write(to, period_last(job->period, sum->key.period, job->result->to_day));
	*entries = (struct explained_entries){
		.kind = "packings",
		.count = sum->harvests,
		.sum = (double)sum->packs,
		.sum_of = "packs",
		.address = arena_printf(job->arena, "/api/packings?from=%s&to=%s&product_id=%lld",
					from, to, (long long)sum->key.parts[0])
	};
	*x = (struct explanation){
		.formula = "packs = sum over the packings; pieces, weight = sum over their lines",
		.source = "own entries",
		.entries = entries,
		.n_entries = 1
	};
	return x;
}

static int by_period(const void *a, const void *b)
{
	const struct packed_row *x = a, *y = b;

	if (x->period != y->period)
		return x->period < y->period ? -1 : 1;
	return strcasecmp(x->product, y->product);
}

static void write_rows(struct packed_job *job)
{
	struct packed_row *rows = arena_array(job->arena, job->sums.n + 1, sizeof(*rows));

	for (size_t i = 0; i < job->sums.n; i++) {
		const struct harvest_sum *sum = &job->sums.rows[i];

		rows[i] = (struct packed_row){
			.period = sum->key.period,
			.product = harvest_name_of(&job->products, sum->key.parts[0])->text,
			.packings = sum->harvests,
			.packs = sum->packs,
			.pieces = sum->counted ? sum->pieces : NO_INT,
			.weight_g = sum->weighed ? (double)sum->weight_mg / 1000.0 : NAN,
			.explain = job->query->explain ? explain(job, sum) : NULL,
		};
	}
	if (job->sums.n)
		qsort(rows, job->sums.n, sizeof(*rows), by_period);
	job->result->rows = (const char *)rows;
	job->result->n_rows = job->sums.n;
}

static enum err_code run(struct book *book, const struct report_query *q,
			 struct report_result *result, struct err *err)
{
	struct packed_job job = {
		.book = book, .query = q, .result = result, .arena = result->arena
	};
	enum err_code rc = read_by(&job, err);

	if (!rc)
		rc = set_days(&job, err);
	if (!rc)
		rc = harvest_name_list_read(book, Q_PACKED_PRODUCTS, job.arena, &job.products, err);
	if (rc)
		return rc;
	harvest_sums_init(&job.sums, job.arena);
	rc = scan(&job, err);
	if (!rc)
		write_rows(&job);
	return rc;
}

const struct report packed_report = {
	.name = "packed",
	.summary = "What was packed, by product and period",
	.columns = columns,
	.n_columns = sizeof(columns) / sizeof(columns[0]),
	.row_size = sizeof(struct packed_row),
	.explain_offset = offsetof(struct packed_row, explain),
	.questions = questions,
	.n_questions = sizeof(questions) / sizeof(questions[0]),
	.run = run,
};

/*
 * Report in-store: what lies in the cold room or on the bench: packs that are neither shipped nor
 * thrown away, and harvests that are not packed whole, by age.  What was packed is report packed's,
 * what was sold the shipments'.
 */
#include "book/report.h"

#include <math.h>
#include <stddef.h>

#include "book/report_list.h"
#include "book/withdrawal.h"

enum { LOOKS_BACK_DAYS = 90 }; /* what is older was sold or eaten, and nobody wrote it */

struct store_row {
	const struct explanation *explain; /* none: the row is its own entry */
	const char *place;
	const char *code;    /* of the packing or harvest; NULL: a harvest without one */
	const char *product; /* NULL: a harvest that is not packed */
	const char *what;
	const char *lot; /* of a harvest */
	int64_t since, age_days, packs, pieces;
	double weight_g;
	const char *held_code, *why; /* of the hold behind it */
};

static const struct field columns[] = {
	FIELD(store_row, place, KIND_CODE),
	FIELD(store_row, code, KIND_CODE),
	FIELD(store_row, product, KIND_CODE),
	FIELD(store_row, what, KIND_TEXT),
	FIELD(store_row, lot, KIND_CODE),
	FIELD(store_row, since, KIND_DAY),
	FIELD(store_row, age_days, KIND_INTEGER, .unit = "days"),
	FIELD(store_row, packs, KIND_INTEGER),
	FIELD(store_row, pieces, KIND_INTEGER),
	FIELD(store_row, weight_g, KIND_REAL, .unit = "g"),
	FIELD(store_row, held_code, KIND_CODE),
	FIELD(store_row, why, KIND_TEXT),
};

static const struct report_question questions[] = {
	{ .name = "day", .help = "Farm day, at its end; today by default." },
	{ .name = "from",
	  .help = "First farm day of packing or harvest; 90 days back by default." },
};

struct store_job {
	struct book *book;
	struct report_result *result;
	struct arena *arena;
	struct store_row *rows;
	size_t n, room;
};

/* A new row that holds nothing yet, with what holds it back.  harvest, packing: 0 for none. */
static enum err_code add_row(struct store_job *job, int64_t harvest, int64_t packing,
			     const struct store_row *row, struct err *err)
{
	struct block block;
	bool blocked;
	enum err_code rc =
		hold_behind(job->book, harvest, packing, job->arena, &block, &blocked, err);

	if (rc)
		return rc;
	job->rows = arena_grow(job->arena, job->rows, job->n, &job->room, sizeof(*job->rows));
	job->rows[job->n] = *row;
	job->rows[job->n].age_days = job->result->to_day - row->since;
	job->rows[job->n].held_code = blocked ? block.code : NULL;
	job->rows[job->n].why = blocked ? block.why : NULL;
	job->n++;
	return ERR_NONE;
}

static void bind_days(const struct store_job *job, struct stmt *q)
{
	stmt_bind_int(q, ":from", book_day_start(job->book, job->result->from_day));
	stmt_bind_int(q, ":to", book_day_start(job->book, job->result->to_day + 1) - 1);
}

/* A row of packings_left, of which something always is: of pieces and weight as much as of the
 * packs. */
static bool packing_row(struct store_job *job, struct stmt *q, struct store_row *row)
{
	const int64_t packs = stmt_int(q, 3);
	const double left = (double)packs - stmt_real(q, 7);
	const double share = left / (double)packs;

	*row = (struct store_row){
		.place = stmt_text_kept(q, 6, job->arena),
		.code = stmt_text_kept(q, 1, job->arena),
		.product = stmt_text_kept(q, 4, job->arena),
		.what = stmt_text_kept(q, 5, job->arena),
		.since = stmt_int(q, 2),
		.packs = (int64_t)floor(left),
		.pieces = stmt_is_null(q, 8) ? NO_INT : llround(share * stmt_real(q, 8)),
		.weight_g = share * stmt_real(q, 9),
	};
	return true;
}

/*
 * A row of harvests_left; false when nothing is left.  A harvest that was counted and weighed is
 * packed by the one or the other: what its lines took of the one has taken the same share of the
 * other.
 */
static bool harvest_row(struct store_job *job, struct stmt *q, struct store_row *row)
{
	const double pieces = stmt_real(q, 6);
	const double weight_g = stmt_real(q, 7);
	const double took_pieces = stmt_is_null(q, 8) ? 0 : stmt_real(q, 8);
	const double took_g = stmt_is_null(q, 9) ? 0 : stmt_real(q, 9);
	const double thrown = stmt_real(q, 10);
	double gone = 0; /* share of the whole */

	if (pieces > 0)
		gone += (took_pieces + thrown) / pieces;
	if (weight_g > 0 && !(took_pieces > 0))
		gone += (took_g + (pieces > 0 ? 0 : thrown)) / weight_g;
	*row = (struct store_row){
		.place = stmt_text_kept(q, 5, job->arena),
		.code = stmt_text_kept(q, 1, job->arena),
		.what = stmt_text_kept(q, 3, job->arena),
		.lot = stmt_text_kept(q, 4, job->arena),
		.since = stmt_int(q, 2),
		.packs = NO_INT,
		.pieces = isnan(pieces) ? NO_INT : llround((1 - gone) * pieces),
		.weight_g = (1 - gone) * weight_g,
	};
	return 1 - gone > 1e-9 && (row->pieces > 0 || row->weight_g >= 0.5);
}

/* What is left of one sort: read tells it of a row, and whether there is any. */
static enum err_code add_left(struct store_job *job, enum query query, bool packed,
			      bool (*read)(struct store_job *job, struct stmt *q,
					   struct store_row *row),
			      struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(job->book), query, &q, err);

	if (rc)
		goto out;
	bind_days(job, q);
	while (!rc && !(rc = stmt_row(q, err))) {
		struct store_row row;
		const int64_t id = stmt_int(q, 0);

		if (read(job, q, &row))
			rc = add_row(job, packed ? 0 : id, packed ? id : 0, &row, err);
	}
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	return rc;
}

static enum err_code run(struct book *book, const struct report_query *q,
			 struct report_result *result, struct err *err)
{
	struct store_job job = { .book = book, .result = result, .arena = result->arena };
	enum err_code rc;

	result->as_of = q->now;
	result->to_day = q->day != NO_INT ? q->day : book_day(book, q->now);
	result->from_day = q->from_day != NO_INT ? q->from_day : result->to_day - LOOKS_BACK_DAYS;
	rc = add_left(&job, Q_PACKINGS_LEFT, true, packing_row, err);
	if (!rc)
		rc = add_left(&job, Q_HARVESTS_LEFT, false, harvest_row, err);
	result->rows = (const char *)job.rows;
	result->n_rows = job.n;
	return rc;
}

const struct report in_store_report = {
	.name = "in-store",
	.summary = "What is packed or harvested and not yet gone, by age",
	.columns = columns,
	.n_columns = sizeof(columns) / sizeof(columns[0]),
	.row_size = sizeof(struct store_row),
	.explain_offset = offsetof(struct store_row, explain),
	.questions = questions,
	.n_questions = sizeof(questions) / sizeof(questions[0]),
	.run = run,
};

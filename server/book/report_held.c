/*
 * Report held: what a withdrawal or a hold keeps from harvest and packing: places and lots, so that
 * a screen can say so before the act.  The book's own judgment of an entry is withdrawal.h's.
 */
#include "book/report.h"

#include <stddef.h>

#include "book/inside.h"
#include "book/report_list.h"
#include "book/withdrawal.h"

struct held_row {
	const struct explanation *explain; /* none */
	const char *place, *lot; /* fish of a lot in a tank, a bed, or a code wherever it is */
	const char *medicine;    /* of a withdrawal; NULL: a hold */
	int64_t free_on;         /* first day without it; NO_INT: not known */
	const char *held_code, *why;
};

static const struct field columns[] = {
	FIELD(held_row, place, KIND_CODE),     FIELD(held_row, lot, KIND_CODE),
	FIELD(held_row, medicine, KIND_TEXT),  FIELD(held_row, free_on, KIND_DAY),
	FIELD(held_row, held_code, KIND_CODE), FIELD(held_row, why, KIND_TEXT),
};

static const struct report_question questions[] = {
	{ .name = "day", .help = "Farm day; today by default." },
};

struct held_job {
	struct book *book;
	struct arena *arena;
	struct held_row *rows;
	size_t n, room;
};

static void add(struct held_job *job, const struct held_row *row)
{
	job->rows = arena_grow(job->arena, job->rows, job->n, &job->room, sizeof(*job->rows));
	job->rows[job->n++] = *row;
}

static void add_blocked(struct held_job *job, const char *place, const char *lot,
			const struct block *block)
{
	add(job, &(struct held_row){
			 .place = place,
			 .lot = lot,
			 .medicine = block->medicine,
			 .free_on = block->free_day == NO_DAY ? NO_INT : block->free_day,
		 });
}

static enum err_code add_fish(struct held_job *job, const struct treated *all, int64_t day,
			      struct err *err)
{
	const int64_t at = book_day_start(job->book, day + 1) - 1;
	const struct fish_view *v = &all->view;
	enum err_code rc = ERR_NONE;

	for (size_t i = 0; !rc && i < v->n_cells; i++) {
		const struct fish_view_cell *c = &v->cells[i];
		const struct standing_stock stock = { .fish_lot_id = v->lot_ids.ids[c->lot],
						      .tank_id = v->tank_ids.ids[c->tank],
						      .instant = at,
						      .day = day };
		struct block block;
		bool blocked;

		if (fish_standing_at(v, c, at, false).fish <= 0)
			continue;
		rc = withdrawal_of_stock(all, &stock, &block, &blocked, err);
		if (!rc && blocked)
			add_blocked(
				job, book_label(job->book, "places", stock.tank_id, job->arena),
				book_label(job->book, "fish-lots", stock.fish_lot_id, job->arena),
				&block);
	}
	return rc;
}

static enum err_code read_beds(struct held_job *job, int64_t day, int64_t **ids, size_t *n,
			       struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(book_store(job->book), Q_BEDS_IN_USE, &q, err);

	*ids = NULL;
	*n = 0;
	if (rc)
		goto out;
	stmt_bind_int(q, ":day", day);
	while (!(rc = stmt_row(q, err))) {
		*ids = arena_grow(job->arena, *ids, *n, &room, sizeof(**ids));
		(*ids)[(*n)++] = stmt_int(q, 0);
	}
out:
	stmt_done(q);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

static enum err_code add_beds(struct held_job *job, const struct treated *all, int64_t day,
			      struct err *err)
{
	int64_t *beds;
	size_t n;
	enum err_code rc = read_beds(job, day, &beds, &n, err);

	for (size_t i = 0; !rc && i < n; i++) {
		const struct standing_stock stock = { .bed_id = beds[i], .day = day };
		struct block block;
		bool blocked;

		rc = withdrawal_of_stock(all, &stock, &block, &blocked, err);
		if (!rc && blocked)
			add_blocked(job, book_label(job->book, "places", beds[i], job->arena), NULL,
				    &block);
	}
	return rc;
}

static enum err_code add_holds(struct held_job *job, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(job->book), Q_CODES_ON_HOLD, &q, err);

	if (rc)
		goto out;
	while (!(rc = stmt_row(q, err)))
		add(job, &(struct held_row){ .lot = stmt_text_kept(q, 0, job->arena),
					     .free_on = NO_INT,
					     .held_code = stmt_text_kept(q, 2, job->arena),
					     .why = stmt_text_kept(q, 1, job->arena) });
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	return rc;
}

static enum err_code run(struct book *book, const struct report_query *q,
			 struct report_result *result, struct err *err)
{
	struct held_job job = { .book = book, .arena = result->arena };
	struct treated all;
	enum err_code rc;

	result->as_of = q->now;
	result->to_day = q->day != NO_INT ? q->day : book_day(book, q->now);
	result->from_day = result->to_day;
	rc = treated_open(book, result->to_day, result->to_day, result->arena, &all, err);
	if (!rc)
		rc = add_fish(&job, &all, result->to_day, err);
	if (!rc)
		rc = add_beds(&job, &all, result->to_day, err);
	if (!rc)
		rc = add_holds(&job, err);
	result->rows = (const char *)job.rows;
	result->n_rows = job.n;
	return rc;
}

const struct report held_report = {
	.name = "held",
	.summary = "Places and lots under a withdrawal or a hold",
	.columns = columns,
	.n_columns = sizeof(columns) / sizeof(columns[0]),
	.row_size = sizeof(struct held_row),
	.explain_offset = offsetof(struct held_row, explain),
	.questions = questions,
	.n_questions = sizeof(questions) / sizeof(questions[0]),
	.run = run,
};

/* GET /api/reports/{name}.csv: the same rows as the JSON, one column each, what is not known left empty. */
#include "api/handlers.h"
#include "api/report_questions.h"
#include "api/spool.h"
#include "base/csv.h"
#include "base/zone.h"

/* A report's cell as text; only what people may have typed is guarded against being read as a formula. */
static const char *cell_text(const struct field *column, const struct value *v, struct arena *arena)
{
	const char *text = field_write(column, v, arena);

	return column->kind == KIND_TEXT || column->kind == KIND_NAME ? csv_guard(arena, text)
								      : text;
}

static enum err_code write_csv(struct spool *s, const struct report *report,
			       const struct report_result *result, struct err *err)
{
	struct arena arena; /* of one row */
	enum err_code rc = ERR_NONE;

	arena_init(&arena);
	for (size_t c = 0; c < result->n_columns; c++)
		csv_write_cell(&s->text, result->columns[c].name, ',', c == 0);
	csv_write_end(&s->text);
	for (size_t i = 0; !rc && i < result->n_rows; i++) {
		arena_reset(&arena);
		for (size_t c = 0; c < result->n_columns; c++) {
			const struct field *column = &result->columns[c];
			const struct value v = report_cell(result, report, i, column);

			csv_write_cell(&s->text, cell_text(column, &v, &arena), ',', c == 0);
		}
		csv_write_end(&s->text);
		rc = spool_flush(s, err);
	}
	arena_release(&arena);
	return rc;
}

/* "harvest_2026-10-01_2026-10-31.csv" */
static const char *file_name(const struct report *report, const struct report_result *result,
			     struct arena *arena)
{
	char from[TIME_TEXT_MAX], to[TIME_TEXT_MAX];

	if (result->from_day == NO_INT || result->to_day == NO_INT)
		return arena_printf(arena, "%s.csv", report->name);
	day_write(from, result->from_day);
	day_write(to, result->to_day);
	if (result->from_day == result->to_day)
		return arena_printf(arena, "%s_%s.csv", report->name, to);
	return arena_printf(arena, "%s_%s_%s.csv", report->name, from, to);
}

enum err_code get_report_csv(struct request *req, struct response *res, struct err *err)
{
	struct asked_report asked;
	struct report_result result;
	struct spool spool;
	enum err_code rc = asked_report_read(req, res, &asked, err);

	if (rc || asked.unchanged)
		return rc;
	spool_init(&spool);
	rc = asked_report_run(req, &asked, &result, err);
	if (!rc)
		rc = write_csv(&spool, asked.report, &result, err);
	if (!rc)
		rc = spool_finish(&spool, res, err);
	spool_release(&spool);
	if (rc)
		return rc;
	res->content_type = "text/csv; charset=utf-8; header=present";
	res->file_name = file_name(asked.report, &result, req->arena);
	res->etag = asked.etag;
	return ERR_NONE;
}

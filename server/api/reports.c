/*
 * GET /api/reports/{name}: a report's rows as JSON, by its columns.  No report is known here by name.  CSV is
 * report_csv.c's.
 */
#include <math.h>

#include "api/handlers.h"
#include "api/json_record.h"
#include "api/report_questions.h"
#include "api/response.h"

static void write_entries(struct json_out *j, const struct explained_entries *e)
{
	json_out_open(j, '{');
	json_out_name(j, "kind");
	json_out_text(j, e->kind);
	if (e->count != NO_INT) {
		json_out_name(j, "count");
		json_out_int(j, e->count);
	}
	if (isfinite(e->sum)) {
		json_out_name(j, "sum");
		json_out_real(j, e->sum);
		json_out_name(j, "sum_of");
		json_out_text(j, e->sum_of);
	}
	if (e->part) {
		json_out_name(j, "part");
		json_out_text(j, e->part);
	}
	if (e->of) {
		json_out_name(j, "of");
		json_out_text(j, e->of);
	}
	json_out_name(j, "address");
	json_out_text(j, e->address);
	json_out_close(j, '}');
}

static void write_explanation(struct json_out *j, const struct explanation *e)
{
	json_out_name(j, "explain");
	if (!e) {
		json_out_null(j);
		return;
	}
	json_out_open(j, '{');
	json_out_name(j, "formula");
	json_out_text(j, e->formula);
	json_out_name(j, "source");
	json_out_text(j, e->source);
	json_out_name(j, "inputs");
	json_out_open(j, '{');
	for (size_t i = 0; i < e->n_inputs; i++) {
		json_out_name(j, e->inputs[i].name);
		json_out_real(j, e->inputs[i].value);
	}
	json_out_close(j, '}');
	json_out_name(j, "entries");
	json_out_open(j, '[');
	for (size_t i = 0; i < e->n_entries; i++)
		write_entries(j, &e->entries[i]);
	json_out_close(j, ']');
	json_out_close(j, '}');
}

static const struct explanation *explanation_of(const struct report *report,
						const struct report_result *result, size_t i)
{
	const char *row = result->rows + i * report->row_size;

	return *(const struct explanation *const *)(const void *)(row + report->explain_offset);
}

static void write_row(struct json_out *j, const struct report *report,
		      const struct report_result *result, size_t i, bool explain)
{
	json_out_open(j, '{');
	for (size_t c = 0; c < result->n_columns; c++) {
		const struct value v = report_cell(result, report, i, &result->columns[c]);

		json_out_name(j, result->columns[c].name);
		json_value_write(j, &result->columns[c], &v);
	}
	if (explain)
		write_explanation(j, explanation_of(report, result, i));
	json_out_close(j, '}');
}

static void write_head_value(struct json_out *j, const char *name, enum field_kind kind,
			     int64_t number)
{
	const struct field f = { .name = name, .kind = kind };
	const struct value v = { .type = VALUE_INT, .i = number };

	if (number == NO_INT)
		return;
	json_out_name(j, name);
	json_value_write(j, &f, &v);
}

static void write_notes(struct json_out *j, const struct report_result *result)
{
	json_out_name(j, "notes");
	json_out_open(j, '[');
	for (size_t i = 0; i < result->n_notes; i++) {
		const struct report_note *note = &result->notes[i];

		json_out_open(j, '{');
		json_out_name(j, "code");
		json_out_text(j, note->code);
		json_out_name(j, "message");
		json_out_text(j, note->message);
		if (note->of) {
			json_out_name(j, "of");
			json_out_text(j, note->of);
		}
		json_out_close(j, '}');
	}
	json_out_close(j, ']');
}

static void write_report(struct response *res, const struct report *report,
			 const struct report_result *result, bool explain)
{
	struct json_out j = response_json(res, 200);

	json_out_open(&j, '{');
	write_head_value(&j, "from", KIND_DAY, result->from_day);
	write_head_value(&j, "to", KIND_DAY, result->to_day);
	write_head_value(&j, "as_of", KIND_TIME, result->as_of);
	json_out_name(&j, "rows");
	json_out_open(&j, '[');
	for (size_t i = 0; i < result->n_rows; i++)
		write_row(&j, report, result, i, explain);
	json_out_close(&j, ']');
	write_notes(&j, result);
	json_out_close(&j, '}');
}

enum err_code get_report(struct request *req, struct response *res, struct err *err)
{
	struct asked_report asked;
	struct report_result result;
	enum err_code rc = asked_report_read(req, res, &asked, err);

	if (rc || asked.unchanged)
		return rc;
	rc = asked_report_run(req, &asked, &result, err);
	if (rc)
		return rc;
	write_report(res, asked.report, &result, asked.query.explain);
	res->etag = asked.etag;
	return ERR_NONE;
}

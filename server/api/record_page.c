/* GET /api/record: the dictionary and the reports as data; forms, import and chart menus read it. */
#include "api/app.h"
#include "api/cache.h"
#include "api/handlers.h"
#include "api/names.h"
#include "api/query.h"
#include "api/response.h"
#include "api/static_files.h"
#include "book/report.h"

static void write_name(struct json_out *j, const char *name, const char *text)
{
	if (!text)
		return;
	json_out_name(j, name);
	json_out_text(j, text);
}

static void write_flag(struct json_out *j, const char *name, bool set)
{
	if (!set)
		return;
	json_out_name(j, name);
	json_out_bool(j, true);
}

static void write_words(struct json_out *j, const char *name, const char *const *words)
{
	if (!words)
		return;
	json_out_name(j, name);
	json_out_open(j, '[');
	for (; *words; words++)
		json_out_text(j, *words);
	json_out_close(j, ']');
}

static void write_field(struct json_out *j, const struct field *f)
{
	char column[64];

	json_out_open(j, '{');
	write_name(j, "name", f->name);
	write_name(j, "column", field_column(f, column));
	write_name(j, "kind", field_kind_name(f->kind));
	write_name(j, "refers_to", f->refers_to);
	write_flag(j, "required", f->required);
	write_name(j, "unit", f->unit);
	if (f->has_range) {
		json_out_name(j, "low");
		json_out_real(j, f->lo);
		json_out_name(j, "high");
		json_out_real(j, f->hi);
	}
	write_words(j, "words", f->words);
	write_flag(j, "dated", f->dated);
	write_flag(j, "server_set", f->server_set);
	json_out_close(j, '}');
}

static void write_choices(struct json_out *j, const struct choice_of *choice)
{
	json_out_name(j, "choices");
	json_out_open(j, '[');
	for (; choice->fields[0]; choice++) {
		json_out_open(j, '{');
		write_words(j, "fields", choice->fields);
		json_out_name(j, "min");
		json_out_int(j, choice->min);
		json_out_name(j, "max");
		json_out_int(j, choice->max);
		json_out_close(j, '}');
	}
	json_out_close(j, ']');
}

static void write_kind(struct json_out *j, const struct kind *k)
{
	json_out_open(j, '{');
	write_name(j, "name", k->name);
	write_name(j, "class", kind_class_name(k->class));
	write_flag(j, "place", k->is_place);
	write_flag(j, "line", k->is_line);
	write_name(j, "line_of", k->line_of);
	if (k->choices)
		write_choices(j, k->choices);
	json_out_name(j, "fields");
	json_out_open(j, '[');
	for (size_t i = 0; i < kind_field_count(k); i++)
		write_field(j, kind_field(k, i));
	json_out_close(j, ']');
	json_out_close(j, '}');
}

static void write_question(struct json_out *j, const struct report_question *q)
{
	json_out_open(j, '{');
	write_name(j, "name", q->name);
	write_words(j, "words", q->words);
	write_flag(j, "list", q->list);
	write_name(j, "help", q->help);
	json_out_close(j, '}');
}

static void write_report(struct json_out *j, const struct report *report)
{
	json_out_open(j, '{');
	write_name(j, "name", report->name);
	write_name(j, "summary", report->summary);
	json_out_name(j, "columns");
	json_out_open(j, '[');
	for (size_t i = 0; i < report->n_columns; i++)
		write_field(j, &report->columns[i]);
	json_out_close(j, ']');
	json_out_name(j, "questions");
	json_out_open(j, '[');
	for (size_t i = 0; i < report->n_questions; i++)
		write_question(j, &report->questions[i]);
	json_out_close(j, ']');
	json_out_close(j, '}');
}

static void write_reports(struct json_out *j)
{
	json_out_name(j, "reports");
	json_out_open(j, '[');
	for (size_t i = 0; reports[i]; i++)
		write_report(j, reports[i]);
	json_out_close(j, ']');
}

enum err_code get_record_page(struct request *req, struct response *res, struct err *err)
{
	static const char *const known[] = { "kinds_only", NULL };
	const char *etag = etag_of_build(req);
	struct json_out j;
	bool kinds_only;
	enum err_code rc = query_check(req, known, NULL, err);

	if (!rc)
		rc = query_flag(req, "kinds_only", &kinds_only, err);
	if (rc || answered_unchanged(req, res, etag))
		return rc;
	j = response_json(res, 200);
	json_out_open(&j, '{');
	write_name(&j, "build", req->app->build);
	write_name(&j, "web", static_files_build);
	json_out_name(&j, "kinds");
	json_out_open(&j, '[');
	for (size_t i = 0; kinds[i]; i++)
		write_kind(&j, kinds[i]);
	json_out_close(&j, ']');
	if (!kinds_only)
		write_reports(&j);
	json_out_close(&j, '}');
	res->etag = etag;
	return ERR_NONE;
}

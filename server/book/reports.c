/* The one list of reports.  Each report's own file describes and answers it; see report.h. */
#include "book/report_list.h"

#include <math.h>
#include <string.h>

const struct report *const reports[] = {
	&stock_report,    &growth_report,        &sizes_report,
	&survival_report, &unease_report,        &feed_conversion_report,
	&harvest_report,  &packed_report,        &beds_report,
	&bed_flow_report, &climate_report,       &ration_report,
	&water_report,    &water_history_report, &alarms_report,
	&air_report,      &restated_report,      &loading_report,
	&nitrogen_report, &base_report,          &nitrate_report,
	&waters_report,   &in_store_report,      &held_report,
	&yield_report,    &losses_report,        NULL,
};

const struct report *report_find(const char *name)
{
	for (size_t i = 0; reports[i]; i++)
		if (strcmp(reports[i]->name, name) == 0)
			return reports[i];
	return NULL;
}

void report_add_note(struct report_result *r, const char *code, const char *of, const char *message)
{
	r->notes = arena_grow(r->arena, r->notes, r->n_notes, &r->notes_room, sizeof(*r->notes));
	r->notes[r->n_notes++] = (struct report_note){ .code = code, .message = message, .of = of };
}

struct value report_cell(const struct report_result *result, const struct report *report,
			 size_t row, const struct field *column)
{
	const void *member = result->rows + row * report->row_size + column->offset;
	struct value v = { .type = VALUE_NONE };

	switch (column->type) {
	case FIELD_INT:
		v.i = *(const int64_t *)member;
		v.type = v.i == NO_INT ? VALUE_NONE : VALUE_INT;
		break;
	case FIELD_DOUBLE:
		v.r = *(const double *)member;
		v.type = isfinite(v.r) ? VALUE_REAL : VALUE_NONE;
		break;
	case FIELD_STRING:
		v.text = *(const char *const *)member;
		v.type = v.text ? VALUE_TEXT : VALUE_NONE;
		break;
	}
	return v;
}

struct value report_named_cell(const struct report_result *result, const struct report *report,
			       size_t row, const char *column)
{
	const struct field *columns = result->columns ? result->columns : report->columns;
	const size_t n = result->columns ? result->n_columns : report->n_columns;

	for (size_t i = 0; i < n; i++)
		if (strcmp(columns[i].name, column) == 0)
			return report_cell(result, report, row, &columns[i]);
	return (struct value){ .type = VALUE_NONE };
}

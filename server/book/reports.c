/* The one list of reports.  Each report's own file describes and answers it; see report.h. */
#include "book/report_list.h"

#include <string.h>

const struct report *const reports[] = {
	&stock_report, &feed_conversion_report, &harvest_report, &packed_report,
	&beds_report,  &ration_report,          &water_report,   NULL,
};

const struct report *report_find(const char *name)
{
	for (size_t i = 0; reports[i]; i++)
		if (strcmp(reports[i]->name, name) == 0)
			return reports[i];
	return NULL;
}

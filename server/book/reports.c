/* The one list of reports.  Each report's own file describes and answers it; see report.h. */
#include "book/report_list.h"

#include <string.h>

extern const struct report stock_report, feed_conversion_report, ration_report, water_report;

const struct report *const reports[] = {
<<<<<<< HEAD
	&beds_report,
	&harvest_report,
	NULL,
=======
	&stock_report, &feed_conversion_report, &ration_report, &water_report, NULL,
>>>>>>> 5c80897 (book: sums, settling, rations and water; report them)
};

const struct report *report_find(const char *name)
{
	for (size_t i = 0; reports[i]; i++)
		if (strcmp(reports[i]->name, name) == 0)
			return reports[i];
	return NULL;
}

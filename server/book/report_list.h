/* The reports that reports.c lists, one a file. */
#ifndef WEIRBOOK_BOOK_REPORT_LIST_H
#define WEIRBOOK_BOOK_REPORT_LIST_H

#include "book/report.h"

extern const struct report beds_report;
extern const struct report feed_conversion_report, ration_report, stock_report,
	water_report;                      /* report_beds.c */
extern const struct report harvest_report; /* report_harvest.c */

#endif

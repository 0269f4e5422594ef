/* The reports that reports.c lists, each in the file report_NAME.c but for the one that says
 * otherwise. */
#ifndef WEIRBOOK_BOOK_REPORT_LIST_H
#define WEIRBOOK_BOOK_REPORT_LIST_H

#include "book/report.h"

extern const struct report air_report;
extern const struct report alarms_report;
extern const struct report base_report;
extern const struct report bed_flow_report;
extern const struct report beds_report;
extern const struct report climate_report;
extern const struct report feed_conversion_report; /* report_conversion.c */
extern const struct report growth_report;
extern const struct report harvest_report;
extern const struct report held_report;
extern const struct report in_store_report;
extern const struct report loading_report;
extern const struct report losses_report;
extern const struct report nitrate_report;
extern const struct report nitrogen_report;
extern const struct report packed_report;
extern const struct report ration_report;
extern const struct report restated_report;
extern const struct report sizes_report;
extern const struct report stock_report;
extern const struct report survival_report;
extern const struct report unease_report;
extern const struct report water_history_report;
extern const struct report water_report;
extern const struct report waters_report;
extern const struct report yield_report;

#endif

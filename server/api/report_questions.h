/* What the address of a report asks, and running it: shared by JSON and CSV. */
#ifndef WEIRBOOK_API_REPORT_QUESTIONS_H
#define WEIRBOOK_API_REPORT_QUESTIONS_H

#include "api/request.h"
#include "book/report.h"

/* ERR_NOT_FOUND: no_such_report, arg nearest. */
enum err_code find_report(const char *name, const struct report **out, struct err *err);

/* Reads the query part by the report's own table of questions, and explain.  Texts are borrowed from req. */
enum err_code read_questions(struct request *req, const struct report *report,
			     struct report_query *out, struct err *err);

/* Runs the report in one snapshot; what it answers belongs to the request's arena. */
enum err_code run_report(struct request *req, const struct report *report,
			 const struct report_query *q, struct report_result *out, struct err *err);

#endif

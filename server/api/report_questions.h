/* What the address of a report asks, and running it: shared by JSON and CSV. */
#ifndef WEIRBOOK_API_REPORT_QUESTIONS_H
#define WEIRBOOK_API_REPORT_QUESTIONS_H

#include "api/request.h"
#include "book/report.h"

struct asked_report {
	const struct report *report;
	struct report_query query; /* texts are borrowed from the request */
	const char *etag;          /* of the answer; in the request's arena */
	bool unchanged;            /* res is a 304 already: nothing is left to do */
};

/*
 * Reads which report a request asks for, by its path ({name}; ERR_NOT_FOUND no_such_report, arg nearest), and what
 * it asks, by the report's own table of questions and explain.
 */
enum err_code asked_report_read(struct request *req, struct response *res, struct asked_report *out,
				struct err *err);

/* Runs the report in one snapshot; what it answers belongs to the request's arena. */
enum err_code asked_report_run(struct request *req, const struct asked_report *asked,
			       struct report_result *out, struct err *err);

#endif

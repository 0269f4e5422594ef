/* Inside the OpenAPI description: the schemas of kinds, of reports' rows and of problem details. */
#ifndef WEIRBOOK_API_OPENAPI_SCHEMA_H
#define WEIRBOOK_API_OPENAPI_SCHEMA_H

#include "base/json_out.h"
#include "book/report.h"

/* Writes the member "components" with all schemas: kinds by their names, reports by theirs after
 * "report-", problem. */
void openapi_components(struct json_out *j);

/* Writes a reference to one of them, by the two halves of its name. */
void openapi_ref(struct json_out *j, const char *prefix, const char *name);

#endif

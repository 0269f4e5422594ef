/* The one table of routes, for the dispatcher, the descriptions and the tests. */
#ifndef WEIRBOOK_API_ROUTES_H
#define WEIRBOOK_API_ROUTES_H

#include "api/request.h"

extern const struct route routes[];
extern const size_t n_routes;

#endif

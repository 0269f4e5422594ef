/* A small invented farm of fish in memory: tanks X and Y in loop L1, lots FA and FB of one species, and short
 * words for what happens to them.  Times are RFC 3339, numbers text as CSV writes them. */
#ifndef WEIRBOOK_TESTS_FISH_FARM_H
#define WEIRBOOK_TESTS_FISH_FARM_H

#include "support/mini_farm.h"
#include "support/report_cells.h"

extern struct report_result got; /* the last report */

void fish_farm_open(void);
void fish_farm_close(void);

struct record *stock(const char *lot, const char *tank, const char *fish, const char *weight_g,
		     const char *at);
struct record *weigh(const char *lot, const char *tank, const char *fish, const char *weight_g,
		     const char *at);
struct record *move(const char *lot, const char *from, const char *to, const char *fish,
		    const char *weight_g, const char *at);
struct record *dead(const char *lot, const char *tank, const char *fish, const char *weight_g,
		    const char *at);
struct record *feed(const char *tank, const char *amount_g, const char *at);
struct record *warm(const char *place, const char *temperature_c, const char *at);

/* Report stock as of then, and its cells. */
void stock_at(const char *at);
size_t row_of(const char *tank, const char *lot);
int64_t fish_in(const char *tank, const char *lot);
double mean_in(const char *tank, const char *lot);
double se_in(const char *tank, const char *lot);

/* Report feed-conversion between two days. */
void conversion(const char *by, const char *from, const char *to);

#endif

/* Water tests of a loop, at whichever of its places they were made. */
#ifndef WEIRBOOK_BOOK_LOOP_TESTS_H
#define WEIRBOOK_BOOK_LOOP_TESTS_H

#include "book/book.h"

/* NAN: not tested, or only a kit's bound is known. */
struct loop_test {
	int64_t id, at, day; /* instant, and its farm day */
	double ph, alkalinity_mg_l, nitrate_n_mg_l;
};

/* Tests with pH, alkalinity or nitrate of instants [from, to], in order.  Owned by the arena. */
enum err_code loop_tests_load(struct book *b, int64_t loop_id, int64_t from, int64_t to,
			      struct arena *arena, struct loop_test **out, size_t *n,
			      struct err *err);

/* The newest nitrate at or before an instant, and not older than OLD_NITRATE_DAYS; NAN: none. */
enum { OLD_NITRATE_DAYS = 15 };
/* Index of that test; n: there is none. */
size_t loop_nitrate_test(const struct loop_test *tests, size_t n, int64_t at);
double loop_nitrate_at(const struct loop_test *tests, size_t n, int64_t at);

#endif

/* See loop_tests.h. */
#include "book/loop_tests.h"

#include <math.h>

#include "book/water.h"
#include "book/water_row.h"

static double exact(struct stmt *q, enum quantity quantity)
{
	const struct reading r = water_row_reading(q, quantity);

	return r.bound == BOUND_NONE ? r.value : NAN;
}

enum err_code loop_tests_load(struct book *b, int64_t loop_id, int64_t from, int64_t to,
			      struct arena *arena, struct loop_test **out, size_t *n,
			      struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(book_store(b), Q_LOOP_TESTS_BETWEEN, &q, err);

	*out = NULL;
	*n = 0;
	if (rc)
		goto out;
	stmt_bind_int(q, ":loop_id", loop_id);
	stmt_bind_int(q, ":from", from);
	stmt_bind_int(q, ":to", to);
	while (!(rc = stmt_row(q, err))) {
		const int64_t at = stmt_int(q, 0);

		*out = arena_grow(arena, *out, *n, &room, sizeof(**out));
		(*out)[(*n)++] =
			(struct loop_test){ .id = stmt_int(q, 4),
					    .at = at,
					    .day = book_day(b, at),
					    .ph = exact(q, QUANTITY_PH),
					    .alkalinity_mg_l = exact(q, QUANTITY_ALKALINITY),
					    .nitrate_n_mg_l = exact(q, QUANTITY_NITRATE) };
	}
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	return rc;
}

size_t loop_nitrate_test(const struct loop_test *tests, size_t n, int64_t at)
{
	size_t found = n;

	for (size_t i = 0; i < n; i++)
		if (tests[i].at <= at && tests[i].at >= at - (int64_t)OLD_NITRATE_DAYS * 86400 &&
		    !isnan(tests[i].nitrate_n_mg_l))
			found = i;
	return found;
}

double loop_nitrate_at(const struct loop_test *tests, size_t n, int64_t at)
{
	const size_t i = loop_nitrate_test(tests, n, at);

	return i < n ? tests[i].nitrate_n_mg_l : NAN;
}

/* What reports say of a tank, as it was on a day. */
#ifndef WEIRBOOK_BOOK_TANK_FACTS_H
#define WEIRBOOK_BOOK_TANK_FACTS_H

#include "base/id_set.h"
#include "book/book.h"

struct tank_facts {
	const char *code; /* owned by the arena */
	double volume_l;
	double density_limit_kg_m3; /* NAN: none */
	int64_t loop_id;
	const char *loop;
};

/* Dated set-up (volume, limit, loop) is taken as of that farm day. */
enum err_code tank_facts_load(struct book *b, int64_t tank_id, int64_t day, struct arena *arena,
			      struct tank_facts *out, struct err *err);

/* order[i] is the index in tanks of the i-th tank on the walk (walk_order, then code). */
enum err_code tank_walk_order(struct book *b, const struct id_set *tanks, struct arena *arena,
			      size_t *order, struct err *err);

#endif

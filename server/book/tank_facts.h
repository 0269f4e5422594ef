/* What reports say of a tank, as it was on a day, and the loops that tanks have been in. */
#ifndef WEIRBOOK_BOOK_TANK_FACTS_H
#define WEIRBOOK_BOOK_TANK_FACTS_H

#include "base/id_set.h"
#include "book/book.h"

struct tank_facts {
	const char *code; /* owned by the arena */
	double volume_l;
	double density_limit_kg_m3; /* NAN: none */
	int64_t loop_id;
	const char *loop; /* its code; owned by the arena */
};

/* Dated set-up (volume, limit, loop) is taken as of that farm day.  ERR_NOT_FOUND adds no item. */
enum err_code tank_facts_load(struct book *b, int64_t tank_id, int64_t day, struct arena *arena,
			      struct tank_facts *out, struct err *err);

/* A tank that changed its loop. */
struct loop_change {
	int64_t tank_id;
	int64_t base_loop_id; /* before the first of its changes */
	int64_t from_day;     /* farm day */
	int64_t loop_id;      /* from then on */
};

/* Those of all tanks, in order of their days; of one tank and day the last one holds.  Owned by the
 * arena. */
enum err_code loop_changes_load(struct book *b, struct arena *arena, struct loop_change **out,
				size_t *n, struct err *err);

/* order[i] is the index in tanks of the i-th tank on the walk (walk_order, then code); it has room
 * for all of them. */
enum err_code tank_walk_order(struct book *b, const struct id_set *tanks, struct arena *arena,
			      size_t *order, struct err *err);

#endif

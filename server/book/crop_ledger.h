/*
 * The ledger of plants on the record: reads the entries that stand and plays them (crop_replay.h).
 *
 * Questions about a bed read only the lots that can still stand by table crop_ends (crop_ends.h); a
 * lot whose end is unknown is always read.  So no answer rests on that table.
 */
#ifndef WEIRBOOK_BOOK_CROP_LEDGER_H
#define WEIRBOOK_BOOK_CROP_LEDGER_H

#include "book/book.h"
#include "book/crop_replay.h"
#include "book/ledger.h"

struct crop_bed_facts {
	int64_t bed;
	const char *code;
	const char *role;   /* germination, nursery, raft */
	int64_t walk_order; /* INT64_MAX: not given */
	struct bed_size size;
};

/* Every bed, by ascending id; owned by the arena. */
enum err_code crop_ledger_beds(struct book *b, struct arena *arena, struct crop_bed_facts **out,
			       size_t *n, struct err *err);

/* What stands where at an instant (entries of that very instant included) in these beds, which
 * crop_ledger_beds gave. */
enum err_code crop_ledger_at(struct book *b, int64_t until, const struct crop_bed_facts *beds,
			     size_t n_beds, struct arena *arena, struct crop_state *out,
			     struct err *err);

/*
 * Calls visit with what stands at the end of each of these farm days, in order; state lives for the
 * call. It tells of every lot that stood or ended in this time: its sums, and what was found of it,
 * all told up to that day.
 */
enum err_code crop_ledger_days(struct book *b, int64_t from_day, int64_t to_day,
			       const struct crop_bed_facts *beds, size_t n_beds,
			       void (*visit)(const struct crop_state *state, int64_t day,
					     void *with),
			       void *with, struct err *err);

/*
 * One lot alone, played to the end.  What counts, gaps and unexplained are needs no beds (NULL, 0);
 * what a bed was for does.  Its place in a queue means nothing, since the others are not there.
 */
enum err_code crop_ledger_lot(struct book *b, int64_t lot, const struct crop_bed_facts *beds,
			      size_t n_beds, struct arena *arena, struct crop_state *out,
			      struct err *err);

/*
 * Where more plants of a lot leave a bed than stand there, as the tables now stand: every break, in
 * the order of the ledger.  Array and texts are the arena's.
 */
enum err_code crop_shortfalls(struct book *b, int64_t crop_lot_id, struct arena *arena,
			      struct shortfall **out, size_t *n, struct err *err);

#endif

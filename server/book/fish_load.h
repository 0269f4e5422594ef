/* Reads what the fish replay needs from the store: lots, tanks, temperatures, entries. */
#ifndef WEIRBOOK_BOOK_FISH_LOAD_H
#define WEIRBOOK_BOOK_FISH_LOAD_H

#include "base/id_set.h"
#include "book/book.h"
#include "book/fish_replay.h"

/* A lot with what reports say of it.  Texts belong to the arena. */
struct fish_lot_facts {
	const char *code;
	int64_t species_id;
	const char *species;
	double market_weight_g;  /* NAN */
	double conversion_floor; /* least feed for a gram of growth; NAN */
	struct fish_lot_info info;
};

/* ERR_NOT_FOUND (no item): there is no such lot. */
enum err_code fish_lot_load(struct book *b, int64_t lot_id, struct arena *arena,
			    struct fish_lot_facts *out, struct err *err);

/*
 * All that the replay of these lots needs: the lots by age, their entries, the deaths of no lot in
 * their tanks, and the temperatures there.  The lots must be closed under sharing (fish_group.h).
 * All of it is the arena's.
 */
enum err_code fish_world_load(struct book *b, const struct id_set *lots, struct arena *arena,
			      struct fish_world *out, struct err *err);

#endif

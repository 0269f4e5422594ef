/* Rule 8 of docs/rules.md: a harvest or sale of live fish under a withdrawal or a hold asks; a
 * harvest is held. */
#ifndef WEIRBOOK_BOOK_WITHDRAWAL_H
#define WEIRBOOK_BOOK_WITHDRAWAL_H

#include "book/book.h"
#include "book/treated.h"

/* What blocks a harvest or sale. */
struct block {
	const char *medicine; /* of the treatment, or NULL: a hold stands */
	int64_t free_day;     /* the first day without withdrawal; NO_DAY: not known */
	const char *why;      /* of the hold */
	const char *code;     /* of the lot that is held */
};

/*
 * What blocks a harvest, or a fish move by which fish are sold: of fish, a treatment that they may
 * have had, wherever they stood then (treated.h); of plants, one of the water that they stand in;
 * on the day of r (first free day = last_day + withdrawal).  Else a hold on the lot or its seed.  A
 * withdrawal in degree-days counts as running for a year: they are not summed here.  Texts belong
 * to the arena.
 */
enum err_code withdrawal_find(struct book *b, const struct record *r, struct arena *arena,
			      struct block *out, bool *blocked, struct err *err);

/*
 * After a row was kept, corrected or restored: raises what holds follow from it.  A harvest that
 * was kept though blocked is held, on its code, or its lot's where it has none.  A treatment or
 * fish move that comes late holds the harvests since then as if it had been there before them.
 * Rows of other kinds change nothing.  No hold is raised while one stands, nor a second time for
 * the same reason; none is lifted: that is a person's to do.
 */
enum err_code withdrawal_follow(struct book *b, const struct record *r, const struct hand *hand,
				struct arena *arena, struct err *err);

/* Fish of a lot in a tank, or all that stands in a bed, at an instant of a farm day; what it is not
 * of is 0. */
struct standing_stock {
	int64_t fish_lot_id, tank_id, bed_id;
	int64_t instant, day;
};

/* The treatment that blocks a harvest of it (no hold is looked for); *all is open over that day. */
enum err_code withdrawal_of_stock(const struct treated *all, const struct standing_stock *stock,
				  struct block *out, bool *blocked, struct err *err);

/* The oldest open hold behind a harvest or a packing (0 for none): on its code, on a harvest in it,
 * on their lots or the seed of these. */
enum err_code hold_behind(struct book *b, int64_t harvest, int64_t packing, struct arena *arena,
			  struct block *out, bool *blocked, struct err *err);

#endif

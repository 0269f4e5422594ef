/* Rule 8 of docs/rules.md: a harvest or sale of live fish under a withdrawal or a hold asks; a harvest is held. */
#ifndef WEIRBOOK_BOOK_WITHDRAWAL_H
#define WEIRBOOK_BOOK_WITHDRAWAL_H

#include "book/book.h"

/* What blocks a harvest or sale. */
struct block {
	const char *medicine; /* of the treatment, or NULL: a hold stands */
	int64_t free_day;     /* the first day without withdrawal; NO_DAY: not known */
	const char *why;      /* of the hold */
	const char *code;     /* of the lot that is held */
};

/*
 * What blocks a harvest, or a fish move by which fish are sold: of fish, a treatment that they may have had, wherever they
 * stood then (treated.h); of plants, one of the water that they stand in; on the day of r (first free day = last_day +
 * withdrawal).  Else a hold on the lot or its seed.  A withdrawal in degree-days counts as running for a
 * year: they are not summed here.  Texts belong to the arena.
 */
enum err_code withdrawal_find(struct book *b, const struct record *r, struct arena *arena,
			      struct block *out, bool *blocked, struct err *err);

/*
 * After a row was kept, corrected or restored: raises what holds follow from it.  A harvest that was kept though blocked is
 * held, on its code, or its lot's where it has none.  A treatment or fish move that comes late holds the
 * harvests since then as if it had been there before them.  Rows of other kinds change nothing.  No hold is raised
 * while one stands, nor a second time for the same reason; none is lifted: that is a person's to do.
 */
enum err_code withdrawal_follow(struct book *b, const struct record *r, const struct hand *hand,
				struct arena *arena, struct err *err);

#endif

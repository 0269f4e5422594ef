/* Rule 1 of docs/rules.md: what was seen is never refused for want of stock; it is asked. */
#ifndef WEIRBOOK_BOOK_SHORTAGE_H
#define WEIRBOOK_BOOK_SHORTAGE_H

#include "book/book.h"
#include "book/ledger.h"

/* Shortfalls of the cells that one or two versions of a row touch. */
struct shortage {
	struct shortfall *found;
	size_t n;
};

/*
 * Adds what is short now in the cells of a row to *all (begin with an empty one).  r may be NULL.
 * Nothing is looked up when no one would be told: an import, an answered question, or a kind that
 * moves no stock.  Owned by the arena.
 */
enum err_code shortage_add(struct book *b, const struct record *r, const struct hand *hand,
			   struct arena *arena, struct shortage *all, struct err *err);

/* Takes what is short now of both versions of a row; either may be NULL. */
enum err_code shortage_take(struct book *b, const struct record *before, const struct record *after,
			    const struct hand *hand, struct arena *arena, struct shortage *out,
			    struct err *err);

/*
 * Compares with what was short before the write.  A new or larger shortfall: on screen ERR_CONFLICT
 * more_than_there (one item each; args lot, place, day, there, asked); queued *gap is set and it is
 * kept.
 */
enum err_code shortage_judge(const struct shortage *before, const struct shortage *after,
			     const struct hand *hand, struct arena *arena, bool *gap,
			     struct err *err);

#endif

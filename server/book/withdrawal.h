/* Rule 8 of docs/rules.md, in its first form: a harvest under a withdrawal or a hold asks, and is held. */
#ifndef WEIRBOOK_BOOK_WITHDRAWAL_H
#define WEIRBOOK_BOOK_WITHDRAWAL_H

#include "book/book.h"

/* What blocks a harvest. */
struct block {
	const char *medicine; /* of the treatment, or NULL: a hold stands */
	int64_t free_day;     /* the first day without withdrawal; NO_DAY: not known */
	const char *why;      /* of the hold */
	const char *code;     /* of the lot that is held */
};

/*
 * Looks for a treatment of the lot, its tank or bed, or their water, whose withdrawal runs on the harvest's
 * day (first free day = last_day + withdrawal), else for a hold on the lot or its seed.  A withdrawal in
 * degree-days counts as running for a year: they are not summed here.  Texts belong to the arena.
 */
enum err_code withdrawal_find(struct book *b, const struct record *harvest, struct arena *arena,
			      struct block *out, bool *blocked, struct err *err);

/* Raises a hold on a harvest that was kept though blocked: on its code, or its lot's where it has none and no
 * hold stands yet. */
enum err_code withdrawal_hold(struct book *b, const struct record *harvest, const struct hand *hand,
			      struct arena *arena, struct err *err);

#endif

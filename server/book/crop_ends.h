/*
 * Table crop_ends: for each crop lot from when to when it stood and how many days it took to its
 * first harvest, or that this is not worked out.  Triggers make it unknown whenever an entry about
 * the lot changes (docs/decisions/0006).
 */
#ifndef WEIRBOOK_BOOK_CROP_ENDS_H
#define WEIRBOOK_BOOK_CROP_ENDS_H

#include "book/book.h"

/*
 * Works out the end of up to limit lots that lack it.  *more: others may be left.  Call again and
 * again while the writer is idle, in a transaction of the writer.
 */
enum err_code crop_ends_settle(struct book *b, int64_t limit, bool *more, struct err *err);

/* Whether a lot lacks its end. */
enum err_code crop_ends_waits(struct book *b, bool *waits, struct err *err);

/* Forgets all ends; crop_ends_settle works them out again.  In a transaction. */
enum err_code crop_ends_rebuild(struct book *b, struct err *err);

/* Works every end out again and compares: calls found for each that differs. */
enum err_code crop_ends_check(struct book *b, void (*found)(const char *text, void *with),
			      void *with, struct err *err);
#endif

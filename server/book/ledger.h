/* What the ledger tells the rules, and what the rules tell the ledger. */
#ifndef WEIRBOOK_BOOK_LEDGER_H
#define WEIRBOOK_BOOK_LEDGER_H

#include <stddef.h>
#include <stdint.h>

#include "book/book.h"

/* Where more leaves than there is. */
struct shortfall {
	const char *lot;   /* code; "": of all lots in the tank */
	const char *place; /* code of the tank or bed */
	int64_t day;       /* on which it breaks */
	int64_t there;     /* fish or plants that stand there just before */
	int64_t asked;     /* that leave */
};

/*
 * Where the stock that this record touches goes below zero, as the tables now stand.  r's own row
 * counts when it is in its table.  Texts and array belong to the arena.  Kinds that touch no stock:
 * none.
 */
enum err_code ledger_shortfalls(struct book *b, const struct kind *k, const struct record *r,
				struct arena *arena, struct shortfall **out, size_t *n,
				struct err *err);

/* Mean weight that the book expects of a lot in a tank at an instant, g; *mean_g NAN when not
 * known. */
enum err_code ledger_expected_weight(struct book *b, int64_t tank_id, int64_t lot_id, int64_t at,
				     double *mean_g, struct err *err);

/* The ration of a tank for a whole farm day, g; NAN when not known. */
enum err_code ledger_day_ration_g(struct book *b, int64_t tank_id, int64_t day, double *g,
				  struct err *err);

/*
 * Called in the same transaction after every insert, update, strike and restore, of every kind:
 * keeps day sums and marks dirty what rests on the row.  before NULL: made (or restored); after
 * NULL: struck; both: changed.
 */
enum err_code ledger_note_change(struct book *b, const struct kind *k, const struct record *before,
				 const struct record *after, struct err *err);

/* Computes and keeps the rows of one group of dirty fish lots; *more says that others wait.  In a
 * write transaction. */
enum err_code ledger_settle_some(struct book *b, bool *more, struct err *err);

/* Calls found for each kept figure that the entries do not give.  Changes nothing. */
enum err_code ledger_check(struct book *b, void (*found)(const char *text, void *with), void *with,
			   struct err *err);

/* Computes all derived tables again from the entries.  In a transaction. */
enum err_code ledger_rebuild(struct book *b, struct err *err);

#endif

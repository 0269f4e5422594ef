/* A small invented farm in memory, for tests of the book: two tanks, a nursery and a raft bed, one lot of
 * fish and one of plants.  Days are days of March 2026 and around it. */
#ifndef WEIRBOOK_TESTS_MINI_FARM_H
#define WEIRBOOK_TESTS_MINI_FARM_H

#include "book/book.h"
#include "store/record.h"

struct mini_farm {
	struct store *store;
	struct book *book;
	struct arena arena;
	struct err err; /* of the last call */
	struct hand hand;
	bool repeat; /* the last keep was one */
};

extern struct mini_farm own_farm; /* for tests that need one only */

/* Opens the farm, stocked.  The clock stands at MINI_FARM_NOW.  A transaction is open. */
void mini_farm_open(struct mini_farm *f);
void mini_farm_close(struct mini_farm *f);

#define MINI_FARM_NOW "2026-03-20T12:00:00Z"
int64_t instant_of(const char *rfc3339);
int64_t day_of(const char *text);

/*
 * A record from pairs "field", "text as CSV writes it", NULL-ended; references by key, code or name; field
 * "key" sets the key.  Fails the test when a text cannot be read.
 */
struct record *mini_row(struct mini_farm *f, const char *kind, ...);

/* book_create in a savepoint that is undone on error; f->err holds the findings. */
enum err_code mini_create(struct mini_farm *f, const struct record *r, struct record **kept);
/* The same; fails the test when it is not kept. */
struct record *mini_keep(struct mini_farm *f, const struct record *r);
/* book_patch of one field; text "" clears. */
enum err_code mini_patch(struct mini_farm *f, const struct record *row, const char *field,
			 const char *text, struct record **kept);
enum err_code mini_strike(struct mini_farm *f, const struct record *row, struct record **kept);
enum err_code mini_restore(struct mini_farm *f, const struct record *row, struct record **kept);
/* The row as it stands now. */
struct record *mini_get(struct mini_farm *f, const struct record *row);

#endif

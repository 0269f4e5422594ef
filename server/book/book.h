/*
 * The book: the farm's record with the rules of the trade.  One struct book stands on one store
 * connection and is used by one thread at a time.  Entries come in through book_create and its kin,
 * in a transaction that the caller holds; what is computed comes out through book/report.h.
 */
#ifndef WEIRBOOK_BOOK_BOOK_H
#define WEIRBOOK_BOOK_BOOK_H

#include <stdbool.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/zone.h"
#include "model/record.h"
#include "store/store.h"

struct book;

/* Opens the book on a store, which is borrowed until book_close; for a farm that is not set up yet
 * too.  Fails as reading the store fails, or when the farm's time zone is not known here. */
enum err_code book_open(struct store *store, struct book **out, struct err *err);
void book_close(struct book *b); /* NULL is fine */
struct store *book_store(struct book *b);

/* The farm as it is set up now; reloaded when the record's version changed.  The zone is the book's
 * and stays readable until book_close. */
const struct zone *book_zone(struct book *b);
int64_t book_day(struct book *b, int64_t at);        /* the farm's day of an instant */
int64_t book_day_start(struct book *b, int64_t day); /* its first instant */

/* How an entry arrives. */
enum arrival { ARRIVES_ON_SCREEN, ARRIVES_QUEUED, ARRIVES_IMPORTED };

struct hand { /* who writes, when, and how */
	enum arrival arrival;
	bool confirm;       /* the question was asked and answered yes */
	int64_t now;        /* the service's clock, Unix seconds */
	int64_t staff_id;   /* 0: not known */
	const char *tablet; /* letter of the browser, or NULL */
	bool has_clock_offset;
	int64_t clock_offset_s; /* service minus tablet, when the entry carried at */
	const char *why;        /* of a correction or strike */
};

/*
 * Keeps a new row of any kind.  r has its values as given (references resolved by book_resolve),
 * r->key as given or zero.  In: model check, times (docs/rules.md, "Order and time"), rules of the
 * kind, then the row, its sums, and what it makes dirty.  Out: *kept is the row as it stands
 * (arena), *repeat says that the same entry was there already (nothing changed; 201 all the same).
 * ERR_CONFLICT asks: repeat with hand->confirm.  Codes of rules: see book/rules.h.  The caller
 * holds a savepoint and undoes it on error. The farm is made so too, once.
 */
enum err_code book_create(struct book *b, const struct record *r, const struct hand *hand,
			  struct arena *arena, struct record **kept, bool *repeat, struct err *err);

/*
 * Corrects or completes row id.  given[i] says that field i is in the patch; values.values[i] its
 * new value (VALUE_NONE clears).  if_version 0: no If-Match came: ERR_NEEDS_MATCH unless only empty
 * fields are filled.  Another version: ERR_STALE with *kept the row as it stands.  from_day NO day
 * (INT64_MIN) mends from the start; else every field given must be dated and a set-up-changes entry
 * is written.
 */
enum err_code book_patch(struct book *b, const struct kind *k, int64_t id,
			 const struct record *values, const bool *given, int64_t if_version,
			 int64_t from_day, const struct hand *hand, struct arena *arena,
			 struct record **kept, struct err *err);

/* Strikes a row out with all that refers to it (one act), or restores the act.  Again: no
 * change. */
enum err_code book_strike(struct book *b, const struct kind *k, int64_t id, const struct hand *hand,
			  struct arena *arena, struct record **kept, struct err *err);
enum err_code book_restore(struct book *b, const struct kind *k, int64_t id,
			   const struct hand *hand, struct arena *arena, struct record **kept,
			   struct err *err);

/*
 * Turns references that are text into ids: a key, then a code, then a name within the kind (API
 * callers pass keys_only: ids come as VALUE_INT and are checked to exist).  Adds unknown_reference
 * (arg nearest), wrong_kind for each that fails.
 */
enum err_code book_resolve(struct book *b, struct record *r, bool keys_only, struct err *err);

/*
 * Called by an import for each row it made: adds the codes of slips (a wrong tank for the lot, a
 * departure before the arrival ...) to the row's look and writes it.  When all rows are there, if
 * rules_need_all_rows says so, else at once.  Not for rows that came with received_at: those are a
 * record's own, judged when they were made, and stay as they are.  *looks: there is something to
 * see.
 */
enum err_code book_look_over(struct book *b, struct record *row, const struct hand *hand,
			     struct arena *arena, bool *looks, struct err *err);

/* Two entries of one kind that may tell of the same event: alike in place and amount, at most 15
 * minutes apart, by two people. */
struct alike {
	int64_t id, later_id;
};

/* All such pairs of the days (both included), in order.  Computed when read; owned by the arena. */
enum err_code book_alike(struct book *b, const struct kind *k, int64_t from_day, int64_t to_day,
			 struct arena *arena, struct alike **out, size_t *n, struct err *err);

/* Work that waits until the writer is idle: solved growth of dirty lots.  Returns true while more
 * waits. */
bool book_settle(struct book *b);
/* Recomputes days, instants and all derived tables from the entries. */
enum err_code book_rebuild(struct book *b, struct err *err);
/* Ledger rules and agreement of derived tables with the entries: calls found for each finding. */
enum err_code book_check(struct book *b, void (*found)(const char *text, void *with), void *with,
			 struct err *err);

#endif

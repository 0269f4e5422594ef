/* What the files of book/ share and no other folder sees: the book itself. */
#ifndef WEIRBOOK_BOOK_INSIDE_H
#define WEIRBOOK_BOOK_INSIDE_H

#include "book/book.h"

struct old_zone; /* a zone that was in use before; callers may still hold it */

struct book {
	struct store *store; /* borrowed */

	/* The farm's settings as they were when seen_version was read. */
	struct zone *zone; /* owned */
	int day_begins_hour;
	int64_t seen_version;
	int64_t loose_version; /* while the record has this version they are read each time */
	struct old_zone *old_zones;

	int64_t last_received; /* newest time of receipt; INT64_MIN: not read yet */
};

/* The farm's settings were changed in a transaction that may still be undone: read them afresh
 * until the record's version moves on. */
void book_forget(struct book *b);

/* The farm is one row. */
enum { FARM_ID = 1 };

/* No day: a from_day that was not given. */
#define NO_DAY INT64_MIN

/* True for an entry that stands at a time of its own (lines stand at their head's). */
bool kind_has_time(const struct kind *k);

/* True when a field that refers to `target` can point to a row of kind k: every place is in
 * "places". */
bool kind_answers_to(const struct kind *k, const char *target);

/* Places lists every place, but a tank is changed as a tank: ERR_INPUT wrong_kind (arg kind). */
enum err_code check_sort(const struct record *row, struct err *err);

/* The row that field f, a reference, names by its id.  Owned by the arena.  ERR_NOT_FOUND (with an
 * item): there is none. */
enum err_code book_referred(struct book *b, const struct field *f, int64_t id, struct arena *arena,
			    struct record **out, struct err *err);

/* Its key, as book_key_text writes it. */
enum err_code book_referred_key(struct book *b, const struct field *f, int64_t id,
				struct arena *arena, const char **out, struct err *err);

/* A key as text, "2026-11-25", and "T1" for messages ("?" when it cannot be said).  Owned by the
 * arena. */
const char *book_key_text(struct arena *arena, const struct uuid *key);
const char *book_day_text(struct arena *arena, int64_t day);
const char *book_label(struct book *b, const char *kind_name, int64_t id, struct arena *arena);

#endif

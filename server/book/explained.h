/*
 * The lists of entries behind a figure: their addresses, which hold exactly what the figure was
 * computed from. report.h has what an explanation is.
 */
#ifndef WEIRBOOK_BOOK_EXPLAINED_H
#define WEIRBOOK_BOOK_EXPLAINED_H

#include "base/id_set.h"
#include "book/report.h"

/* Lists as they gather; they become those of an explanation.  Begins with all but arena zero. */
struct explained_lists {
	struct arena *arena;
	struct explained_entries *entries;
	size_t n, room;
};

/* Adds one without count and sum; valid until the next is added. */
struct explained_entries *explained_add(struct explained_lists *l, const char *kind,
					const char *address);

/* Gives them to e. */
void explained_give(const struct explained_lists *l, struct explanation *e);

/* "from=..&to=.." of the time from instant begin up to, not with, end: in farm days where it is
 * whole ones. */
const char *explained_span(struct book *b, int64_t begin, int64_t end, struct arena *arena);

/* "2,5,7" */
const char *explained_ids(const int64_t *ids, size_t n, struct arena *arena);

/* Text as it stands in an address (RFC 3986). */
const char *explained_text(const char *text, struct arena *arena);

/*
 * Entries chosen one by one, which no filter tells from others; each counts once.  Begins zeroed.
 */
struct chosen_entries {
	struct chosen_set {
		const struct kind *kind;
		const char *part; /* as in struct explained_entries */
		struct id_set ids;
	} sets[12];
	size_t n;
};

void chosen_add(struct chosen_entries *c, const struct kind *kind, const char *part, int64_t id,
		struct arena *arena);

/* A list of each kind and part, in the order in which they came; of very many entries more than
 * one. */
void chosen_list(const struct chosen_entries *c, struct explained_lists *out);

#endif

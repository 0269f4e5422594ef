/*
 * What harvests are totalled by: crops, varieties, species, beds, tanks and lots by id, with their
 * names.  Read once for a report, so that the scan of the harvests joins nothing.
 */
#ifndef WEIRBOOK_BOOK_HARVEST_NAMES_H
#define WEIRBOOK_BOOK_HARVEST_NAMES_H

#include "book/book.h"

struct harvest_name {
	int64_t id;
	const char *text; /* code or name */
	/* variety of a crop lot, crop of a variety, species of a fish lot; 1 for a place that is a
	 * tank; else 0 */
	int64_t belongs_to;
	double piece_g; /* planned weight of one head of a variety, g; NAN: not given */
};

struct harvest_name_list {
	struct harvest_name *names; /* by ascending id */
	size_t n;
};

struct harvest_names {
	struct harvest_name_list crop_lots, varieties, crops, fish_lots, species, places;
};

/* One list by a query of id, text, what it belongs to, grams of one piece.  Owned by the arena. */
enum err_code harvest_name_list_read(struct book *b, enum query query, struct arena *arena,
				     struct harvest_name_list *out, struct err *err);

/* All six.  Owned by the arena. */
enum err_code harvest_names_read(struct book *b, struct arena *arena, struct harvest_names *out,
				 struct err *err);

/* NULL when there is none of this id (0: not given). */
const struct harvest_name *harvest_name_of(const struct harvest_name_list *list, int64_t id);

/* By text, case ignored; NULL when there is none. */
const struct harvest_name *harvest_name_find(const struct harvest_name_list *list,
					     const char *text);

#endif

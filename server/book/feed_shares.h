/* Feed of a group of cells over a time, shared in tanks where several lots swim (rule 2 of
 * docs/rules.md). */
#ifndef WEIRBOOK_BOOK_FEED_SHARES_H
#define WEIRBOOK_BOOK_FEED_SHARES_H

#include "book/conversion.h"

/*
 * Adds the feed of group g between out->begin and out->end to out.  By tank and loop all of the
 * tank's feed counts.  By lot and species each farm day's feed of a tank is shared by the biomass
 * of the day's first state, by number where a biomass is not known; feed in a tank without fish
 * counts for no lot.  Any feed on a day on which the book has no fish in the tank sets
 * out->loose_feed.
 */
enum err_code feed_of_group(struct book *b, const struct fish_view *v,
			    const struct conversion_groups *groups, size_t g,
			    struct conversion *out, struct err *err);

/* A time in which all of a tank's feedings are in a group's feed, though its share of them may be
 * less. */
struct feed_span {
	int64_t tank_id;
	int64_t begin, end; /* from begin up to, not with, end */
	int64_t feedings;
	double feed_g; /* all that was given */
};

/*
 * Where the feed of group g between begin and end was given: what feed_of_group adds up, in spans
 * without a feeding that does not count.  Owned by the arena.
 */
enum err_code feed_spans_of_group(struct book *b, const struct fish_view *v,
				  const struct conversion_groups *groups, size_t g, int64_t begin,
				  int64_t end, struct arena *arena, struct feed_span **out,
				  size_t *n, struct err *err);

/* All feed of a tank between out->begin and out->end, whoever swims there, or nobody by the
 * book. */
enum err_code feed_of_tank(struct book *b, int64_t tank_id, struct conversion *out,
			   struct err *err);

#endif

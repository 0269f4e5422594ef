/* Feed and gain of a part of the farm over a stretch of time: what report feed-conversion is made
 * of. */
#ifndef WEIRBOOK_BOOK_CONVERSION_H
#define WEIRBOOK_BOOK_CONVERSION_H

#include "book/fish_view.h"

/* What a row of the report stands for. */
enum conversion_by { BY_TANK, BY_LOT, BY_SPECIES, BY_LOOP };

/* Cells of a view, each with the number of the group that it belongs to.  Cells of no group still
 * share the feed of their tank. */
struct conversion_groups {
	enum conversion_by by;
	const int64_t *ids; /* n: tank, lot, species or loop */
	size_t n;
	const int *of_cell;      /* one a cell of the view */
	const int64_t *loop_ids; /* one a tank of the view */
};

/* From instant begin up to, not with, instant end. */
struct conversion {
	int64_t begin, end;
	double feed_g, uneaten_g;
	int64_t feedings;
	double start_g, start_se_g, end_g, end_se_g;
	double flow_se_g;                  /* of what moved unweighed */
	double added_g, removed_g, dead_g; /* dead_g with the culled */
	int64_t dead_fish, unexplained_fish;
	int64_t start_fish, end_fish;
	enum fish_basis basis;                  /* the weaker of both ends */
	double gain_g;                          /* NAN: a weight is not known */
	double economic, biological, low, high; /* NAN: none */
	/* Why economic is null: no_weight, no_gain, no_feed, no_fish; why high alone is:
	 * gain_unsure, the gain is smaller than its error; or NULL. */
	const char *reason;
	bool loose_feed; /* some feed was given while the book had no fish there */
};

/*
 * The figures of group g.  docs/formulas/fish-ledger.md: gain = end + removed - start - added;
 * removed = harvested + moved out + sold live; added = arrived + moved in + found; dead, culled,
 * escaped and missing give nothing in economic; biological adds the dead and culled.  Moves within
 * the group do not count.
 */
enum err_code conversion_of(struct book *b, const struct fish_view *v,
			    const struct conversion_groups *groups, size_t g, int64_t begin,
			    int64_t end, struct conversion *out, struct err *err);

/* Whether an entry's row is in the figures of its cell's group: moves within the group are not. */
bool conversion_counts(const struct fish_view *v, const struct conversion_groups *groups,
		       const struct fish_row *row);

/* The figures of a tank in which the book never had fish in the time: feed alone, reason
 * no_fish. */
enum err_code conversion_of_empty_tank(struct book *b, int64_t tank_id, int64_t begin, int64_t end,
				       struct conversion *out, struct err *err);

#endif

/*
 * A raft bed as a queue.  Raft rows stand packed against the foot (the harvest end); free length
 * lies at the head (the planting end).  Numbers in, numbers out, on arrays that the caller owns;
 * who the lots are, and how many plants they hold, is the caller's.
 *
 * A queue is an array of stretches from foot to head: stretch 0 stands at the foot.  Neighbours of
 * one lot are one stretch.  A stretch has at least one raft.  Nothing is refused for its order or
 * for want of length: what stands beyond the head is shown with a from_m below 0.
 *
 * Source of the rules: docs/rules.md, rule 5: common practice, no published standard.
 */
#ifndef WEIRBOOK_DOMAIN_BED_QUEUE_H
#define WEIRBOOK_DOMAIN_BED_QUEUE_H

#include <stddef.h>
#include <stdint.h>

/* A bed's measures as its set-up gives them.  NAN or 0: not given. */
struct bed_size {
	double length_m, width_m;
	double raft_length_m; /* along the bed */
	double raft_width_m;  /* across it */
	int64_t sites_per_raft;
};

struct bed_stretch {
	int64_t lot;
	int64_t rafts;
};

/* Where a stretch lies, in metres from the planting end.  from_m < to_m; to_m of stretch 0 is the
 * bed's length. */
struct bed_span {
	double from_m, to_m;
};

/* Rafts side by side: max(1, floor(width / raft width + 0.01)); the hundredth forgives a raft a
 * hair wider than its share.  1 when either measure is not given or not above 0. */
int64_t bed_rafts_abreast(const struct bed_size *bed);

/* Metres of bed that so many rafts take: rafts / abreast x raft length; a part row counts in part.
 * NAN when the raft's length is not given or rafts is below 0. */
double bed_rafts_length_m(const struct bed_size *bed, int64_t rafts);

/* Rafts for so many plants: ceil(plants / sites of a raft).  0 when sites or plants is not above
 * 0. */
int64_t bed_rafts_needed(int64_t plants, int64_t sites);

/* Rafts that come free when taken of plants leave and nobody counted the rafts: floor(rafts x taken
 * / plants); all of them when taken reaches plants; 0 when nothing is taken. */
int64_t bed_rafts_freed(int64_t rafts, int64_t plants, int64_t taken);

/* All rafts of a lot. */
int64_t bed_rafts_of(const struct bed_stretch *queue, size_t n, int64_t lot);

/*
 * Plants rafts of a lot at the head (append) or at the foot (prepend).  queue has n stretches and
 * room for one more; returns the new n.  rafts below 1 change nothing.
 */
size_t bed_append(struct bed_stretch *queue, size_t n, int64_t lot, int64_t rafts);
size_t bed_prepend(struct bed_stretch *queue, size_t n, int64_t lot, int64_t rafts);

/*
 * Takes rafts of a lot out, from its stretches nearest the foot first, and closes up: what stood
 * above moves toward the foot, and neighbours of one lot become one stretch.  More than it has
 * takes all.  Returns the new n.  A loss of plants takes no raft: it leaves holes, not length.
 */
size_t bed_take(struct bed_stretch *queue, size_t n, int64_t lot, int64_t rafts);

/* Where each stretch lies.  spans has room for n; NAN in all when a length of bed or raft is not
 * given. */
void bed_spans(const struct bed_size *bed, const struct bed_stretch *queue, size_t n,
	       struct bed_span *spans);

/*
 * Shares a lot's plants over its stretches in proportion to their rafts: whole plants by largest
 * remainder, ties to the stretch nearer the foot.  shares has room for n and gets 0 for other lots'
 * stretches.  The shares add up to plants when the lot has a stretch.
 */
void bed_share_plants(const struct bed_stretch *queue, size_t n, int64_t lot, int64_t plants,
		      int64_t *shares);

/* Area of rafts with a living plant, m2: min(rafts, plants) x raft length x raft width (a raft
 * whose width is not given: bed width).  NAN when the raft's length or both widths are not
 * given. */
double bed_planted_area_m2(const struct bed_size *bed, int64_t rafts, int64_t plants);

#endif

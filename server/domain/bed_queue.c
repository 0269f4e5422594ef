/* A raft bed as a queue: see bed_queue.h for the rules.  Leaves lots and their plants to
 * book/crop_ledger. */
#include "domain/bed_queue.h"

#include <math.h>
#include <string.h>

enum { ROUNDING_PARTS = 100 }; /* a raft may be a hundredth wider than its share */

static int given(double measure)
{
	return measure > 0.0; /* so written that NAN fails too */
}

/* How many times part goes into whole, a hundredth forgiven.  Both given. */
static int64_t times(double whole, double part)
{
	return (int64_t)floor(whole / part + 1.0 / ROUNDING_PARTS);
}

int64_t bed_rafts_abreast(const struct bed_size *bed)
{
	if (!given(bed->width_m) || !given(bed->raft_width_m))
		return 1;

	int64_t abreast = times(bed->width_m, bed->raft_width_m);

	return abreast > 1 ? abreast : 1;
}

double bed_rafts_length_m(const struct bed_size *bed, int64_t rafts)
{
	if (!given(bed->raft_length_m) || rafts < 0)
		return NAN;
	return (double)rafts / (double)bed_rafts_abreast(bed) * bed->raft_length_m;
}

int64_t bed_rafts_needed(int64_t plants, int64_t sites)
{
	if (plants <= 0 || sites <= 0)
		return 0;
	return (plants - 1) / sites + 1;
}

int64_t bed_rafts_freed(int64_t rafts, int64_t plants, int64_t taken)
{
	if (rafts <= 0 || taken <= 0)
		return 0;
	if (taken >= plants)
		return rafts;
	/* rafts <= 1e6 and plants <= 1e8 by the dictionary: the product is exact */
	return rafts * taken / plants;
}

int64_t bed_rafts_of(const struct bed_stretch *queue, size_t n, int64_t lot)
{
	int64_t rafts = 0;

	for (size_t i = 0; i < n; i++)
		if (queue[i].lot == lot)
			rafts += queue[i].rafts;
	return rafts;
}

size_t bed_append(struct bed_stretch *queue, size_t n, int64_t lot, int64_t rafts)
{
	if (rafts < 1)
		return n;
	if (n > 0 && queue[n - 1].lot == lot) {
		queue[n - 1].rafts += rafts;
		return n;
	}
	queue[n] = (struct bed_stretch){ .lot = lot, .rafts = rafts };
	return n + 1;
}

size_t bed_prepend(struct bed_stretch *queue, size_t n, int64_t lot, int64_t rafts)
{
	if (rafts < 1)
		return n;
	if (n > 0 && queue[0].lot == lot) {
		queue[0].rafts += rafts;
		return n;
	}
	if (n > 0)
		memmove(queue + 1, queue, n * sizeof(*queue));
	queue[0] = (struct bed_stretch){ .lot = lot, .rafts = rafts };
	return n + 1;
}

size_t bed_take(struct bed_stretch *queue, size_t n, int64_t lot, int64_t rafts)
{
	size_t kept = 0;

	for (size_t i = 0; i < n; i++) {
		struct bed_stretch s = queue[i];

		if (s.lot == lot && rafts > 0) {
			int64_t out = s.rafts < rafts ? s.rafts : rafts;

			s.rafts -= out;
			rafts -= out;
		}
		kept = bed_append(queue, kept, s.lot, s.rafts); /* kept <= i: never ahead of i */
	}
	return kept;
}

void bed_spans(const struct bed_size *bed, const struct bed_stretch *queue, size_t n,
	       struct bed_span *spans)
{
	int64_t below = 0; /* rafts nearer the foot; summed whole, so that no rounding piles up */

	for (size_t i = 0; i < n; i++) {
		spans[i].to_m = bed->length_m - bed_rafts_length_m(bed, below);
		below += queue[i].rafts;
		spans[i].from_m = bed->length_m - bed_rafts_length_m(bed, below);
		if (!given(bed->length_m))
			spans[i] = (struct bed_span){ NAN, NAN };
	}
}

/* One more plant to the largest remainder that has not had one; the first wins a tie. */
static void give_one_more(const struct bed_stretch *queue, size_t n, int64_t lot, int64_t plants,
			  int64_t rafts, int64_t *shares)
{
	size_t best = n;
	int64_t best_rest = -1;

	for (size_t i = 0; i < n; i++) {
		if (queue[i].lot != lot)
			continue;

		/* below 0 once it has had its one */
		int64_t rest = queue[i].rafts * plants - shares[i] * rafts;

		if (rest > best_rest) {
			best_rest = rest;
			best = i;
		}
	}
	if (best < n)
		shares[best]++;
}

void bed_share_plants(const struct bed_stretch *queue, size_t n, int64_t lot, int64_t plants,
		      int64_t *shares)
{
	int64_t rafts = bed_rafts_of(queue, n, lot), left = plants;

	for (size_t i = 0; i < n; i++) {
		shares[i] = queue[i].lot == lot ? queue[i].rafts * plants / rafts : 0;
		left -= shares[i];
	}
	for (; left > 0 && rafts > 0; left--)
		give_one_more(queue, n, lot, plants, rafts, shares);
}

double bed_planted_area_m2(const struct bed_size *bed, int64_t rafts, int64_t plants)
{
	double width = given(bed->raft_width_m) ? bed->raft_width_m : bed->width_m;
	int64_t planted = rafts < plants ? rafts : plants;

	if (!given(bed->raft_length_m) || !given(width))
		return NAN;
	return planted > 0 ? (double)planted * bed->raft_length_m * width : 0.0;
}

/* See crop_planted.h. */
#include "book/crop_planted.h"

void crop_planted_each(const struct crop_state *s, const struct crop_bed *bed,
		       void (*each)(int64_t lot, int64_t bed, double m2, void *with), void *with)
{
	int64_t *shares;

	if (bed->stage != CROP_RAFTS)
		return;
	shares = arena_array(s->arena, bed->n + 1, sizeof(*shares));
	for (size_t i = 0; i < bed->n; i++) {
		const struct bed_stretch *stretch = &bed->queue[i];
		const struct crop_holding *h = crop_holding_of(s, stretch->lot, bed->bed);

		if (!h || h->plants <= 0)
			continue;
		bed_share_plants(bed->queue, bed->n, stretch->lot, h->plants, shares);
		each(stretch->lot, bed->bed,
		     bed_planted_area_m2(&bed->size, stretch->rafts, shares[i]), with);
	}
}

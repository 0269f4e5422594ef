/*
 * The balance of the two crops in one water: feed against planted area, nitrogen in and out, and
 * the bands that are published for them.  Numbers in, numbers out.
 */
#ifndef WEIRBOOK_DOMAIN_BALANCE_H
#define WEIRBOOK_DOMAIN_BALANCE_H

#include <stddef.h>

/* g of feed a day for each m2 of planted raft. */
struct feed_band {
	const char *name; /* "raft", "leafy", "fruiting" */
	double low, high; /* g/m2/day, both included */
	const char *source;
};
enum { FEED_BANDS = 3 };
extern const struct feed_band feed_bands[FEED_BANDS];

/* Which side of a band a ratio is: -1 below, 0 inside, 1 above.  A side that is NAN bounds nothing.
 * The ratio is a number. */
int feed_band_side(double ratio_g_m2_day, double low, double high);

/* g of nitrogen in feed: protein / 6.25 (Jones 1931, USDA circular 183, from memory: protein is 16
 * % nitrogen).  NAN unless feed_g >= 0 and protein_pct is 0 to 100. */
double nitrogen_of_feed_g(double feed_g, double protein_pct);

/*
 * g of nitrogen in so much live fish, which may be below 0 (fish that went): 2.4 %, that is 15 %
 * crude protein of the live mass.  From memory, for tilapia and catfish of market size; usual range
 * 2.2 to 2.8 %.
 */
double nitrogen_of_fish_g(double mass_g);

/* g of nitrogen in a fresh crop.  NAN when one is NAN, below 0, or a percentage is over 100. */
double nitrogen_of_crop_g(double fresh_g, double dry_matter_pct, double nitrogen_pct_dry);

/*
 * g of nitrogen in wet solids: a litre weighs a kilogram, and dry fish manure holds 2.83 % (Naylor,
 * Moccia and Durant 1999, North American Journal of Aquaculture 61, 21-26: twelve trout farms).
 * NAN when one is NAN, below 0, or over 100 %.
 */
double nitrogen_of_solids_g(double volume_l, double solids_pct);

#endif

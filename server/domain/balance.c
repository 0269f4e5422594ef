/* See balance.h. */
#include "domain/balance.h"

#include <math.h>

static const double protein_per_nitrogen = 6.25, fish_nitrogen = 0.024, manure_nitrogen = 0.0283;

const struct feed_band feed_bands[FEED_BANDS] = {
	{ .name = "raft",
	  .low = 60,
	  .high = 100,
	  .source = "Rakocy (2007), Ten guidelines for aquaponic systems, guideline 1" },
	{ .name = "leafy",
	  .low = 40,
	  .high = 50,
	  .source = "Somerville and others (2014), FAO technical paper 589, 32 % protein" },
	{ .name = "fruiting",
	  .low = 50,
	  .high = 80,
	  .source = "Somerville and others (2014), FAO technical paper 589, 32 % protein" },
};

int feed_band_side(double ratio_g_m2_day, double low, double high)
{
	if (ratio_g_m2_day < low)
		return -1;
	return ratio_g_m2_day > high ? 1 : 0;
}

static int is_percent(double x)
{
	return x >= 0.0 && x <= 100.0;
}

double nitrogen_of_feed_g(double feed_g, double protein_pct)
{
	if (!(feed_g >= 0.0 && is_percent(protein_pct)))
		return NAN;
	return feed_g * protein_pct / 100.0 / protein_per_nitrogen;
}

double nitrogen_of_fish_g(double mass_g)
{
	return mass_g * fish_nitrogen;
}

double nitrogen_of_crop_g(double fresh_g, double dry_matter_pct, double nitrogen_pct_dry)
{
	if (!(fresh_g >= 0.0 && is_percent(dry_matter_pct) && is_percent(nitrogen_pct_dry)))
		return NAN;
	return fresh_g * dry_matter_pct / 100.0 * nitrogen_pct_dry / 100.0;
}

double nitrogen_of_solids_g(double volume_l, double solids_pct)
{
	if (!(volume_l >= 0.0 && is_percent(solids_pct)))
		return NAN;
	return volume_l * 1000.0 * solids_pct / 100.0 * manure_nitrogen;
}

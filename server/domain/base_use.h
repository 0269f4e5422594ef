/* What base a water uses for its feed, from alkalinity tests and the doses between them.  Numbers
 * in, numbers out. */
#ifndef WEIRBOOK_DOMAIN_BASE_USE_H
#define WEIRBOOK_DOMAIN_BASE_USE_H

/* Nitrification stalls below it: Rakocy, Masser and Losordo (2006), SRAC 454 (from memory). */
extern const double nitrification_stalls_ph;

/*
 * g of CaCO3 that were used between two tests: dosed - (end - start) x volume.  May be below 0 by
 * error of the tests.  NAN when one is NAN or volume_l is not above 0.
 */
double base_used_g(double dosed_caco3_g, double start_mg_l, double end_mg_l, double volume_l);

/*
 * Variance of that use a kg of feed, for tests that are good to test_sd_mg_l.  NAN unless volume
 * and feed are above 0.
 */
double base_use_variance(double volume_l, double feed_kg, double test_sd_mg_l);

/* g of CaCO3 a kg of feed: protein x 0.092 x 7.05 (see loading.h).  NAN unless protein_pct is 0 to
 * 100. */
double base_use_handbook_g_kg(double protein_pct);

/* Whole days until the alkalinity stands at the floor, 0 when it does already; NAN when it will not
 * within ten years, which is never, or one is NAN. */
double base_days_left(double now_mg_l, double floor_mg_l, double volume_l, double use_g_day);

/*
 * g of CaCO3 that lift the water to its level and half an interval's use above it, so that its mean
 * over the interval is the level; 0 when it stands higher.  NAN when one is.
 */
double base_dose_g(double at_due_mg_l, double level_mg_l, double volume_l, double use_g_day,
		   double interval_days);

#endif

/* Simple measures of fish: how crowded, how plump, how many to weigh, what feed became. */
#ifndef WEIRBOOK_DOMAIN_FISH_MEASURES_H
#define WEIRBOOK_DOMAIN_FISH_MEASURES_H

/* kg/m3 of so many fish (0 or more) of a mean weight (g, 0 or more) in a volume (l, above 0); else
 * NAN. */
double fish_density_kg_m3(double fish, double weight_g, double volume_l);

/* Condition factor K = 100 W / L^3 (Fulton 1904, from memory); weight_g and length_cm above 0, else
 * NAN. */
double fish_condition_factor(double weight_g, double length_cm);

/*
 * Fish to weigh so that the mean is right within error_pct at z standard errors: n0 = (z cv /
 * error)^2; out of fish in all (NAN: very many) n = n0 / (1 + n0 / fish), rounded up.
 *
 *   cv_pct, error_pct, z  above 0
 *   fish                  at least 1, or NAN
 *   returns               whole fish, at least 1 and never more than there are; NAN when out of
 *                         range
 *
 * Source: Cochran (1977), Sampling Techniques, 3rd edition, section 4.6 (from memory).
 */
double sample_size(double cv_pct, double error_pct, double z, double fish);

/* The z of a two-sided confidence of 50 to 99.9 %: 1.96 at 95.  NAN outside.  From the normal
 * distribution. */
double confidence_z(double confidence_pct);

/* The gain of fish, g: end + removed - start - added; below 0 when they lost.  NAN when one is. */
double fish_gain_g(double start_g, double end_g, double added_g, double removed_g);

#endif

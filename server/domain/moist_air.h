/* Vapour in the air of a glasshouse. */
#ifndef WEIRBOOK_DOMAIN_MOIST_AIR_H
#define WEIRBOOK_DOMAIN_MOIST_AIR_H

/*
 * Saturation vapour pressure over water, kPa: 0.6108 exp(17.27 t / (t + 237.3)).
 *
 *   temperature_c  -20 to 60; NAN outside, or when NAN
 *
 * Source: Allen and others (1998), FAO Irrigation and Drainage Paper 56, equation 11 (Tetens).
 */
double vapour_saturation_kpa(double temperature_c);

/* Actual vapour pressure, kPa: saturation x humidity / 100; humidity_pct 0 to 100.  NAN outside. */
double vapour_actual_kpa(double temperature_c, double humidity_pct);

/*
 * Vapour pressure deficit, kPa: saturation at the leaf's temperature less what is in the air.  leaf_temperature_c
 * NAN: as warm as the air.  Below 0 water condenses on the leaf.
 */
double vapour_deficit_kpa(double temperature_c, double humidity_pct, double leaf_temperature_c);

/* Dew point of a vapour pressure above 0, degrees Celsius: the inverse of vapour_saturation_kpa.  NAN outside
 * of what that gives, 0.125 to 20 kPa. */
double dew_point_c(double vapour_kpa);

#endif

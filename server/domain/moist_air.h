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
 * Vapour pressure deficit, kPa: saturation at the leaf's temperature less what is in the air.
 * leaf_temperature_c NAN: as warm as the air.  Below 0 water condenses on the leaf.  NAN when
 * another is NAN or out of the ranges above.
 */
double vapour_deficit_kpa(double temperature_c, double humidity_pct, double leaf_temperature_c);

/* Dew point of a vapour pressure above 0, degrees Celsius: the inverse of vapour_saturation_kpa.
 * NAN outside of what that gives, 0.1246 to 20 kPa. */
double dew_point_c(double vapour_kpa);

/*
 * kg of vapour in a kg of dry air: 0.621945 e / (P - e).
 *
 *   vapour_kpa    0 or more
 *   pressure_kpa  of the station, 50 to 115
 *   returns       kg/kg, or NAN when one is NAN or out of range
 *
 * Source: ASHRAE Fundamentals (2017), chapter 1, equation 20.
 */
double humidity_ratio_kg_kg(double vapour_kpa, double pressure_kpa);

/*
 * What a thermometer in a wet sleeve shows, and the coolest that a wet pad can make the air.
 *
 *   temperature_c  0 to 60
 *   humidity_pct   0 to 100
 *   pressure_kpa   50 to 115
 *   returns        degrees Celsius; NAN when out of range, or when the sleeve would freeze
 *
 * Source: ASHRAE Fundamentals (2017), chapter 1, equation 33, solved by halving to 0.0001 degrees.
 */
double wet_bulb_c(double temperature_c, double humidity_pct, double pressure_kpa);

/*
 * The other way round: the humidity that a dry and a wet thermometer tell, %.
 *
 *   temperature_c  0 to 60, of the dry one
 *   wet_c          0 to temperature_c, of the wet one in moving air
 *   pressure_kpa   50 to 115
 *   returns        0 to 100; NAN when out of range, or when no air is so dry
 *
 * Source: the same.
 */
double humidity_of_wet_bulb_pct(double temperature_c, double wet_c, double pressure_kpa);

#endif

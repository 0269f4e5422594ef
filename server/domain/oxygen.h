/* How much oxygen water can hold, and the air that presses it in. */
#ifndef WEIRBOOK_DOMAIN_OXYGEN_H
#define WEIRBOOK_DOMAIN_OXYGEN_H

#define STANDARD_ATMOSPHERE_KPA 101.325

/*
 * Pressure of the air at a height above the sea, kPa, in the standard atmosphere: 101.325 (1 -
 * 2.25577e-5 Z)^5.2559.
 *
 *   altitude_m  -500 to 11000
 *   returns     kPa, or NAN when altitude_m is NAN or out of range
 *
 * Source: ICAO standard atmosphere, in the form of ASHRAE Fundamentals (2017), chapter 1.
 */
double air_pressure_kpa(double altitude_m);

/*
 * Dissolved oxygen in balance with air full of vapour, mg/L.
 *
 *   temperature_c  water temperature, degrees Celsius, 0 to 40
 *   salinity_g_kg  0 to 40; 0 is fresh water
 *   pressure_kpa   of the station, not corrected to sea level, 50.6625 to 111.4575 (0.5 to 1.1 atm)
 *   returns        mg/L, or NAN when one is NAN or out of range
 *
 * ln C0 = -139.34411 + 1.575701e5/T - 6.642308e7/T^2 + 1.243800e10/T^3 - 8.621949e11/T^4; times
 * exp(-S (0.017674 - 10.754/T + 2140.7/T^2)); times (P - u)(1 - theta P) / ((1 - u)(1 - theta)), P
 * and u in atm.  Source: Benson and Krause (1980, 1984), as adopted by USGS Office of Water Quality
 * memorandum 2011.03 and Standard Methods 4500-O.
 */
double oxygen_saturation_mg_l(double temperature_c, double salinity_g_kg, double pressure_kpa);

/*
 * Salinity of a water from its conductance at 25 degrees, g/kg: S = 5.572e-4 SC + 2.02e-9 SC^2, SC
 * in uS/cm.
 *
 *   conductance_ms_cm  0 to 50
 *   returns            g/kg, or NAN when it is NAN or out of range
 *
 * Of sea salt.  Of a nutrient solution it is only a guide, and enough for oxygen: 2 mS/cm moves
 * that by less than 1 %.  Source: USGS Quality of Water Branch memorandum 81.11, kept by 2011.03
 * (from memory).
 */
double salinity_of_conductance_g_kg(double conductance_ms_cm);

#endif

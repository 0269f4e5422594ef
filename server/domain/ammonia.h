/* Un-ionised ammonia in fresh water. */
#ifndef WEIRBOOK_DOMAIN_AMMONIA_H
#define WEIRBOOK_DOMAIN_AMMONIA_H

/*
 * The share of total ammonia nitrogen that is un-ionised (NH3), 0 to 1.
 *
 *   temperature_c  water temperature, degrees Celsius, 0 to 50
 *   ph             6 to 10
 *   returns        the fraction, or NAN when either is NAN or out of range
 *
 * pKa = 0.09018 + 2729.92 / T; fraction = 1 / (1 + 10^(pKa - pH)).
 * Source: Emerson, Russo, Lund and Thurston (1975), J. Fish. Res. Board Can. 32, 2379-2383.
 */
double unionized_ammonia_fraction(double temperature_c, double ph);

#endif

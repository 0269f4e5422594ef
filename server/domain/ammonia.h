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

/*
 * The same in water that holds salts: the ammonium ion is held back by the charges around it.
 *
 *   ionic_strength_mol_l  0 to 0.5; 0 gives unionized_ammonia_fraction
 *   returns               the fraction, or NAN when one is NAN or out of range
 *
 * pKa + 0.509 (sqrt(I) / (1 + sqrt(I)) - 0.3 I).  Source: Davies (1962), Ion Association, with the
 * constant of water at 25 degrees (from memory); about 3 % less at 0.001 mol/L, 12 % less at 0.015.
 * Without it the answer errs on the safe side.
 */
double unionized_ammonia_fraction_in_salts(double temperature_c, double ph,
					   double ionic_strength_mol_l);

#endif

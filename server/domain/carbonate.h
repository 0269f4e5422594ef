/* Carbon dioxide in the water from pH and alkalinity. */
#ifndef WEIRBOOK_DOMAIN_CARBONATE_H
#define WEIRBOOK_DOMAIN_CARBONATE_H

#include <stdbool.h>

/*
 * First and second dissociation constant of carbonic acid, as -log10, at zero ionic strength.
 *
 *   temperature_c  0 to 90; returns NAN outside, or when NAN
 *
 * Source: Plummer and Busenberg (1982), Geochim. Cosmochim. Acta 46, 1011-1040.
 */
double carbonic_acid_pk1(double temperature_c);
double carbonic_acid_pk2(double temperature_c);

/*
 * Carbon dioxide, mg/L.
 *
 *   ph               5 to 9
 *   alkalinity_mg_l  0 to 1000, as CaCO3
 *   temperature_c    0 to 50
 *   ionic_mol_l      ionic strength, 0 to 0.5; 0 is water without salts, and gives the most carbon
 *                    dioxide.  Each mS/cm is some 0.01 (table salt) to 0.016 (hard water; both from
 *                    memory)
 *   full             counts carbonate, hydroxide and the hydrogen ion; else all alkalinity is
 *                    bicarbonate, which only differs above pH 8
 *   returns          mg/L, or NAN when one is NAN or out of range
 *
 * simple: Alk/50.0435 x 10^(pK1 - pH) x 44.0095; full: [HCO3] = ([Alk] - [OH] + [H]) / (1 + 2
 * K2/[H]), [CO2] = [HCO3] [H] / K1.  Standard Methods 4500-CO2 D is the same idea.  pH 0.1 off is
 * 26 % off.  In salts the ions' activities by Davies (1962), log g = -0.509 z^2 (root I / (1 + root
 * I) - 0.3 I): 5 % less carbon dioxide at 0.002 mol/L, 14 % less at 0.02.  The water's own
 * constant: Harned and Owen (1958), pKw = 4470.99/T - 6.0875 + 0.01706 T (from memory).
 */
double carbon_dioxide_mg_l(double ph, double alkalinity_mg_l, double temperature_c,
			   double ionic_mol_l, bool full);

#endif

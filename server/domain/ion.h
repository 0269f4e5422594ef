/* What kits and labels name (ions, oxides, hardness), and the element that the record keeps. */
#ifndef WEIRBOOK_DOMAIN_ION_H
#define WEIRBOOK_DOMAIN_ION_H

enum ion {
	ION_AMMONIUM,
	ION_AMMONIA,
	ION_NITRITE,
	ION_NITRATE,
	ION_PHOSPHATE,
	ION_P2O5, /* not in water: what a label of fertilizer counts phosphorus as, */
	ION_K2O,  /* and potassium */
	ION__MAX
};

/*
 * The share of an ion's mass that is its element: of ammonium, ammonia, nitrite and nitrate the
 * nitrogen, 14.007 over 18.039, 17.031, 46.005 and 62.004; of phosphate 30.974/94.970 and of P2O5
 * 61.948/141.943 phosphorus; of K2O 78.196/94.195 potassium.  Source: IUPAC abridged standard
 * atomic weights (2021).
 */
double ion_element_share(enum ion ion);

/*
 * Total hardness, mg/L as CaCO3, of calcium and magnesium in mg/L (0 or more): 2.4973 Ca + 4.1179
 * Mg, by the same weights.  NAN when one is NAN or below 0.
 */
double hardness_mg_l(double calcium_mg_l, double magnesium_mg_l);

#endif

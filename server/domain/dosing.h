/* How much of a material raises alkalinity or chloride.  It computes; what may be dosed, its label
 * says. */
#ifndef WEIRBOOK_DOMAIN_DOSING_H
#define WEIRBOOK_DOMAIN_DOSING_H

enum base_material {
	BASE_KOH,
	BASE_NAOH,
	BASE_CA_OH_2,
	BASE_CAO,
	BASE_KHCO3,
	BASE_NAHCO3,
	BASE_K2CO3,
	BASE_NA2CO3,
	BASE_CACO3,
	BASE_MG_OH_2,
	BASE_MGCO3,
	BASE__MAX
};

/* g of alkalinity, as CaCO3, in a gram of the pure material: 50.043 / its equivalent weight.  IUPAC
 * (2021). */
double base_alkalinity_per_gram(enum base_material material);

/*
 * Grams of a material that raise the alkalinity of some water.
 *
 *   volume_l    above 0
 *   rise_mg_l   0 or more, as CaCO3
 *   purity_pct  above 0 to 100
 *   returns     g, or NAN when one is NAN or out of range
 *
 * volume x rise / 1000 / base_alkalinity_per_gram / purity.  No allowance for carbon dioxide,
 * precipitation or what never dissolves.
 */
double alkalinity_dose_g(double volume_l, double rise_mg_l, enum base_material material,
			 double purity_pct);

/*
 * Grams of a nutrient's element that raise some water by so many mg/L of it; the material is that
 * over its content. volume_l above 0, rise_mg_l 0 or more; NAN otherwise.
 */
double element_dose_g(double volume_l, double rise_mg_l);

enum chloride_material {
	CHLORIDE_NACL,
	CHLORIDE_CACL2,
	CHLORIDE_CACL2_2H2O,
	CHLORIDE_KCL,
	CHLORIDE_MGCL2_6H2O,
	CHLORIDE__MAX
};

/* g of chloride, and of sodium, in a gram of the pure material.  IUPAC (2021). */
double chloride_share(enum chloride_material material);
double sodium_share(enum chloride_material material);

/*
 * mg/L of chloride that are still missing against nitrite: max(0, ratio x N - chloride).
 *
 *   nitrite_n_mg_l  0 or more, as nitrogen
 *   chloride_mg_l   0 or more, what is there
 *   ratio           above 0, by mass
 *   of_ion          the ratio is to the nitrite ion, not to its nitrogen: N is multiplied by 3.2844
 *   returns         mg/L, or NAN
 *
 * Source of the practice: Durborow, Crosby and Brunson (1997), SRAC 462, 10 to 1 or more, which
 * prints "nitrite" without saying ion or nitrogen: so the basis stands beside the ratio.
 */
double chloride_missing_mg_l(double nitrite_n_mg_l, double chloride_mg_l, double ratio, int of_ion);

/*
 * Grams of a material that raise the chloride of some water.
 *
 *   volume_l    above 0
 *   rise_mg_l   0 or more, of chloride
 *   purity_pct  above 0 to 100
 *   returns     g, or NAN when one is NAN or out of range
 *
 * volume x rise / 1000 / chloride_share / purity.
 */
double chloride_dose_g(double volume_l, double rise_mg_l, enum chloride_material material,
		       double purity_pct);

#endif

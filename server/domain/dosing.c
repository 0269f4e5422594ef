/* See dosing.h. */
#include "domain/dosing.h"

#include <math.h>

#include "domain/ion.h"
#include "domain/molar.h"

#define HYDROXIDE   (MOLAR_O + MOLAR_H)
#define CARBONATE   (MOLAR_C + 3 * MOLAR_O)
#define BICARBONATE (MOLAR_H + CARBONATE)
#define WATER       (2 * MOLAR_H + MOLAR_O)

double base_alkalinity_per_gram(enum base_material material)
{
	/* g of the material that hold one equivalent */
	static const double equivalent[] = {
		[BASE_KOH] = MOLAR_K + HYDROXIDE,
		[BASE_NAOH] = MOLAR_NA + HYDROXIDE,
		[BASE_CA_OH_2] = (MOLAR_CA + 2 * HYDROXIDE) / 2,
		[BASE_CAO] = (MOLAR_CA + MOLAR_O) / 2,
		[BASE_KHCO3] = MOLAR_K + BICARBONATE,
		[BASE_NAHCO3] = MOLAR_NA + BICARBONATE,
		[BASE_K2CO3] = (2 * MOLAR_K + CARBONATE) / 2,
		[BASE_NA2CO3] = (2 * MOLAR_NA + CARBONATE) / 2,
		[BASE_CACO3] = CACO3_PER_EQUIVALENT,
		[BASE_MG_OH_2] = (MOLAR_MG + 2 * HYDROXIDE) / 2,
		[BASE_MGCO3] = (MOLAR_MG + CARBONATE) / 2,
	};

	return CACO3_PER_EQUIVALENT / equivalent[material];
}

double alkalinity_dose_g(double volume_l, double rise_mg_l, enum base_material material,
			 double purity_pct)
{
	if (!(volume_l > 0 && rise_mg_l >= 0 && purity_pct > 0 && purity_pct <= 100))
		return NAN;
	return volume_l * rise_mg_l / 1000 / base_alkalinity_per_gram(material) /
	       (purity_pct / 100);
}

double element_dose_g(double volume_l, double rise_mg_l)
{
	if (!(volume_l > 0 && rise_mg_l >= 0))
		return NAN;
	return volume_l * rise_mg_l / 1000;
}

static const struct {
	double chloride, sodium, whole; /* g/mol */
} salts[] = {
	[CHLORIDE_NACL] = { MOLAR_CL, MOLAR_NA, MOLAR_NA + MOLAR_CL },
	[CHLORIDE_CACL2] = { 2 * MOLAR_CL, 0, MOLAR_CA + 2 * MOLAR_CL },
	[CHLORIDE_CACL2_2H2O] = { 2 * MOLAR_CL, 0, MOLAR_CA + 2 * MOLAR_CL + 2 * WATER },
	[CHLORIDE_KCL] = { MOLAR_CL, 0, MOLAR_K + MOLAR_CL },
	[CHLORIDE_MGCL2_6H2O] = { 2 * MOLAR_CL, 0, MOLAR_MG + 2 * MOLAR_CL + 6 * WATER },
};

double chloride_share(enum chloride_material material)
{
	return salts[material].chloride / salts[material].whole;
}

double sodium_share(enum chloride_material material)
{
	return salts[material].sodium / salts[material].whole;
}

double chloride_missing_mg_l(double nitrite_n_mg_l, double chloride_mg_l, double ratio, int of_ion)
{
	if (!(nitrite_n_mg_l >= 0 && chloride_mg_l >= 0 && ratio > 0))
		return NAN;

	const double nitrite =
		of_ion ? nitrite_n_mg_l / ion_element_share(ION_NITRITE) : nitrite_n_mg_l;

	return fmax(0, ratio * nitrite - chloride_mg_l);
}

double chloride_dose_g(double volume_l, double rise_mg_l, enum chloride_material material,
		       double purity_pct)
{
	if (!(volume_l > 0 && rise_mg_l >= 0 && purity_pct > 0 && purity_pct <= 100))
		return NAN;
	return volume_l * rise_mg_l / 1000 / chloride_share(material) / (purity_pct / 100);
}

/* See ion.h. */
#include "domain/ion.h"

#include <math.h>

#include "domain/molar.h"

double ion_element_share(enum ion ion)
{
	static const double shares[] = {
		[ION_AMMONIUM] = MOLAR_N / (MOLAR_N + 4 * MOLAR_H),
		[ION_AMMONIA] = MOLAR_N / (MOLAR_N + 3 * MOLAR_H),
		[ION_NITRITE] = MOLAR_N / (MOLAR_N + 2 * MOLAR_O),
		[ION_NITRATE] = MOLAR_N / (MOLAR_N + 3 * MOLAR_O),
		[ION_PHOSPHATE] = MOLAR_P / (MOLAR_P + 4 * MOLAR_O),
		[ION_P2O5] = 2 * MOLAR_P / (2 * MOLAR_P + 5 * MOLAR_O),
		[ION_K2O] = 2 * MOLAR_K / (2 * MOLAR_K + MOLAR_O),
	};

	return shares[ion];
}

double hardness_mg_l(double calcium_mg_l, double magnesium_mg_l)
{
	if (!(calcium_mg_l >= 0 && magnesium_mg_l >= 0))
		return NAN;
	return 2 * CACO3_PER_EQUIVALENT * (calcium_mg_l / MOLAR_CA + magnesium_mg_l / MOLAR_MG);
}

/* See ion.h. */
#include "domain/ion.h"

#include "domain/molar.h"

double ion_element_share(enum ion ion)
{
	static const double shares[] = {
		[ION_AMMONIUM] = MOLAR_N / (MOLAR_N + 4 * MOLAR_H),
		[ION_AMMONIA] = MOLAR_N / (MOLAR_N + 3 * MOLAR_H),
		[ION_NITRITE] = MOLAR_N / (MOLAR_N + 2 * MOLAR_O),
		[ION_NITRATE] = MOLAR_N / (MOLAR_N + 3 * MOLAR_O),
		[ION_PHOSPHATE] = MOLAR_P / (MOLAR_P + 4 * MOLAR_O),
	};

	return shares[ion];
}

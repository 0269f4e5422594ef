/* See ion.h. */
#include "domain/ion.h"

double ion_element_share(enum ion ion)
{
	static const double h = 1.008, n = 14.007, o = 15.999, p = 30.974;

	switch (ion) {
	case ION_AMMONIUM:
		return n / (n + 4.0 * h);
	case ION_NITRITE:
		return n / (n + 2.0 * o);
	case ION_NITRATE:
		return n / (n + 3.0 * o);
	case ION_PHOSPHATE:
	default:
		return p / (p + 4.0 * o);
	}
}

/* See units.h. */
#include "domain/units.h"

#include <math.h>

#include "domain/molar.h"

#define FOOT               0.3048         /* m */
#define POUND              0.45359237     /* kg */
#define GALLON             3.785411784    /* L, of the United States */
#define MERCURY            0.133322387415 /* kPa a mm */

#define HYDROGEN_CARBONATE (MOLAR_H + MOLAR_C + 3 * MOLAR_O) /* g/mol */
#define CALCIUM_OXIDE      (MOLAR_CA + MOLAR_O)

/* A value times factor, and offset, is in the first unit with factor 1 of its quantity. */
static const struct {
	enum unit_quantity quantity;
	double factor, offset;
} units[] = {
	[UNIT_G] = { QUANTITY_MASS, 0.001, 0 },
	[UNIT_KG] = { QUANTITY_MASS, 1, 0 },
	[UNIT_T] = { QUANTITY_MASS, 1000, 0 },
	[UNIT_OZ] = { QUANTITY_MASS, POUND / 16, 0 },
	[UNIT_LB] = { QUANTITY_MASS, POUND, 0 },
	[UNIT_SHORT_TON] = { QUANTITY_MASS, 2000 * POUND, 0 },
	[UNIT_L] = { QUANTITY_VOLUME, 1, 0 },
	[UNIT_M3] = { QUANTITY_VOLUME, 1000, 0 },
	[UNIT_US_QT] = { QUANTITY_VOLUME, GALLON / 4, 0 },
	[UNIT_US_GAL] = { QUANTITY_VOLUME, GALLON, 0 },
	[UNIT_IMP_GAL] = { QUANTITY_VOLUME, 4.54609, 0 },
	[UNIT_FT3] = { QUANTITY_VOLUME, 1000 * FOOT *FOOT *FOOT, 0 },
	[UNIT_ACRE_FT] = { QUANTITY_VOLUME, 1000 * 43560 * FOOT *FOOT *FOOT, 0 },
	[UNIT_L_MIN] = { QUANTITY_FLOW, 1, 0 },
	[UNIT_M3_H] = { QUANTITY_FLOW, 1000.0 / 60, 0 },
	[UNIT_US_GAL_MIN] = { QUANTITY_FLOW, GALLON, 0 },
	[UNIT_CM] = { QUANTITY_LENGTH, 0.01, 0 },
	[UNIT_M] = { QUANTITY_LENGTH, 1, 0 },
	[UNIT_IN] = { QUANTITY_LENGTH, FOOT / 12, 0 },
	[UNIT_FT] = { QUANTITY_LENGTH, FOOT, 0 },
	[UNIT_M2] = { QUANTITY_AREA, 1, 0 },
	[UNIT_HA] = { QUANTITY_AREA, 10000, 0 },
	[UNIT_FT2] = { QUANTITY_AREA, FOOT *FOOT, 0 },
	[UNIT_ACRE] = { QUANTITY_AREA, 43560 * FOOT *FOOT, 0 },
	[UNIT_DEG_C] = { QUANTITY_TEMPERATURE, 1, 0 },
	[UNIT_DEG_F] = { QUANTITY_TEMPERATURE, 1 / 1.8, -32 / 1.8 },
	[UNIT_HPA] = { QUANTITY_PRESSURE, 0.1, 0 },
	[UNIT_KPA] = { QUANTITY_PRESSURE, 1, 0 },
	[UNIT_BAR] = { QUANTITY_PRESSURE, 100, 0 },
	[UNIT_ATM] = { QUANTITY_PRESSURE, 101.325, 0 },
	[UNIT_PSI] = { QUANTITY_PRESSURE, POUND * 9.80665 / (FOOT * FOOT / 144) / 1000, 0 },
	[UNIT_MMHG] = { QUANTITY_PRESSURE, MERCURY, 0 },
	[UNIT_INHG] = { QUANTITY_PRESSURE, MERCURY * 25.4, 0 },
	[UNIT_KG_M3] = { QUANTITY_DENSITY, 1, 0 },
	[UNIT_LB_US_GAL] = { QUANTITY_DENSITY, POUND / GALLON * 1000, 0 },
	[UNIT_LB_FT3] = { QUANTITY_DENSITY, POUND / (FOOT * FOOT * FOOT), 0 },
	[UNIT_G_M2] = { QUANTITY_MASS_ON_AREA, 1, 0 },
	[UNIT_KG_M2] = { QUANTITY_MASS_ON_AREA, 1000, 0 },
	[UNIT_G_FT2] = { QUANTITY_MASS_ON_AREA, 1 / (FOOT * FOOT), 0 },
	[UNIT_OZ_FT2] = { QUANTITY_MASS_ON_AREA, 1000 * POUND / 16 / (FOOT * FOOT), 0 },
	[UNIT_LB_FT2] = { QUANTITY_MASS_ON_AREA, 1000 * POUND / (FOOT * FOOT), 0 },
	[UNIT_CACO3_MG_L] = { QUANTITY_ALKALINITY, 1, 0 },
	[UNIT_MEQ_L] = { QUANTITY_ALKALINITY, CACO3_PER_EQUIVALENT, 0 },
	[UNIT_GERMAN_DEGREE] = { QUANTITY_ALKALINITY, 20 * CACO3_PER_EQUIVALENT / CALCIUM_OXIDE,
				 0 },
	[UNIT_HCO3_MG_L] = { QUANTITY_ALKALINITY, CACO3_PER_EQUIVALENT / HYDROGEN_CARBONATE, 0 },
	[UNIT_GRAIN_US_GAL] = { QUANTITY_ALKALINITY, POUND / 7000 * 1e6 / GALLON, 0 },
	[UNIT_LUX] = { QUANTITY_ILLUMINANCE, 1, 0 },
	[UNIT_FOOTCANDLE] = { QUANTITY_ILLUMINANCE, 1 / (FOOT * FOOT), 0 },
	[UNIT_W_M2] = { QUANTITY_RADIATION, 1, 0 },
	[UNIT_MJ_M2_DAY] = { QUANTITY_RADIATION, 1e6 / 86400, 0 },
	[UNIT_KJ] = { QUANTITY_ENERGY, 1, 0 },
	[UNIT_KWH] = { QUANTITY_ENERGY, 3600, 0 },
	[UNIT_BTU] = { QUANTITY_ENERGY, 1.05505585262, 0 },
};

enum unit_quantity unit_quantity(enum unit unit)
{
	return units[unit].quantity;
}

double unit_convert(double value, enum unit from, enum unit to)
{
	const double base = value * units[from].factor + units[from].offset;
	/* -459.67 degF is absolute zero too, though its sum in binary falls a little below */
	const double lowest = units[from].quantity == QUANTITY_TEMPERATURE ? -273.15 - 1e-9 : 0;

	if (units[from].quantity != units[to].quantity || !(base >= lowest))
		return NAN;
	return (base - units[to].offset) / units[to].factor;
}

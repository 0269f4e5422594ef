/*
 * Units that growers read on scales, kits and labels and in books of other countries.  Which words
 * stand for them is left to others.
 */
#ifndef WEIRBOOK_DOMAIN_UNITS_H
#define WEIRBOOK_DOMAIN_UNITS_H

/* Units of one quantity stand together; only they convert into each other. */
enum unit {
	UNIT_G,
	UNIT_KG,
	UNIT_T,
	UNIT_OZ,
	UNIT_LB,
	UNIT_SHORT_TON,
	UNIT_L,
	UNIT_M3,
	UNIT_US_QT,
	UNIT_US_GAL,
	UNIT_IMP_GAL,
	UNIT_FT3,
	UNIT_ACRE_FT,
	UNIT_L_MIN,
	UNIT_M3_H,
	UNIT_US_GAL_MIN,
	UNIT_CM,
	UNIT_M,
	UNIT_IN,
	UNIT_FT,
	UNIT_M2,
	UNIT_HA,
	UNIT_FT2,
	UNIT_ACRE, /* of the international foot */
	UNIT_DEG_C,
	UNIT_DEG_F,
	UNIT_HPA,
	UNIT_KPA,
	UNIT_BAR,
	UNIT_ATM,
	UNIT_PSI,
	UNIT_MMHG,
	UNIT_INHG,
	UNIT_KG_M3,
	UNIT_LB_US_GAL,
	UNIT_LB_FT3,
	UNIT_G_M2,
	UNIT_KG_M2,
	UNIT_G_FT2,
	UNIT_OZ_FT2,
	UNIT_LB_FT2,
	UNIT_CACO3_MG_L, /* alkalinity and hardness */
	UNIT_MEQ_L,
	UNIT_GERMAN_DEGREE,
	UNIT_HCO3_MG_L,
	UNIT_GRAIN_US_GAL,
	UNIT_LUX,
	UNIT_FOOTCANDLE,
	UNIT_W_M2,
	UNIT_MJ_M2_DAY,
	UNIT_KJ,
	UNIT_KWH,
	UNIT_BTU, /* of the International Table */
	UNIT__MAX
};

enum unit_quantity {
	QUANTITY_MASS,
	QUANTITY_VOLUME,
	QUANTITY_FLOW,
	QUANTITY_LENGTH,
	QUANTITY_AREA,
	QUANTITY_TEMPERATURE,
	QUANTITY_PRESSURE,
	QUANTITY_DENSITY,
	QUANTITY_MASS_ON_AREA,
	QUANTITY_ALKALINITY,
	QUANTITY_ILLUMINANCE,
	QUANTITY_RADIATION,
	QUANTITY_ENERGY,
	UNIT_QUANTITY__MAX
};

/* Of any unit but UNIT__MAX. */
enum unit_quantity unit_quantity(enum unit unit);

/*
 * A value in one unit, told in another.
 *
 *   value    0 or more; of a temperature absolute zero or more
 *   returns  the same in the unit `to`; NAN when value is NAN or below that, or when the two are of
 *            different quantities
 *
 * Factors: NIST Special Publication 811 (2008), appendix B; alkalinity as calcium carbonate, a
 * German degree as 10 mg/L of calcium oxide, by the molar masses of IUPAC (2021).
 */
double unit_convert(double value, enum unit from, enum unit to);

#endif

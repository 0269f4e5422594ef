/* The calculator that tells a value in another unit. */
#include <math.h>

#include "book/calculator.h"
#include "domain/units.h"

static const char *const unit_words[] = { [UNIT_G] = "g",
					  [UNIT_KG] = "kg",
					  [UNIT_T] = "t",
					  [UNIT_OZ] = "oz",
					  [UNIT_LB] = "lb",
					  [UNIT_SHORT_TON] = "short_ton",
					  [UNIT_L] = "l",
					  [UNIT_M3] = "m3",
					  [UNIT_US_QT] = "us_qt",
					  [UNIT_US_GAL] = "us_gal",
					  [UNIT_IMP_GAL] = "imp_gal",
					  [UNIT_FT3] = "ft3",
					  [UNIT_ACRE_FT] = "acre_ft",
					  [UNIT_L_MIN] = "l_min",
					  [UNIT_M3_H] = "m3_h",
					  [UNIT_US_GAL_MIN] = "us_gal_min",
					  [UNIT_CM] = "cm",
					  [UNIT_M] = "m",
					  [UNIT_IN] = "in",
					  [UNIT_FT] = "ft",
					  [UNIT_M2] = "m2",
					  [UNIT_HA] = "ha",
					  [UNIT_FT2] = "ft2",
					  [UNIT_ACRE] = "acre",
					  [UNIT_DEG_C] = "deg_c",
					  [UNIT_DEG_F] = "deg_f",
					  [UNIT_HPA] = "hpa",
					  [UNIT_KPA] = "kpa",
					  [UNIT_BAR] = "bar",
					  [UNIT_ATM] = "atm",
					  [UNIT_PSI] = "psi",
					  [UNIT_MMHG] = "mmhg",
					  [UNIT_INHG] = "inhg",
					  [UNIT_KG_M3] = "kg_m3",
					  [UNIT_LB_US_GAL] = "lb_us_gal",
					  [UNIT_LB_FT3] = "lb_ft3",
					  [UNIT_G_M2] = "g_m2",
					  [UNIT_KG_M2] = "kg_m2",
					  [UNIT_G_FT2] = "g_ft2",
					  [UNIT_OZ_FT2] = "oz_ft2",
					  [UNIT_LB_FT2] = "lb_ft2",
					  [UNIT_CACO3_MG_L] = "caco3_mg_l",
					  [UNIT_MEQ_L] = "meq_l",
					  [UNIT_GERMAN_DEGREE] = "german_degree",
					  [UNIT_HCO3_MG_L] = "hco3_mg_l",
					  [UNIT_GRAIN_US_GAL] = "grain_us_gal",
					  [UNIT_LUX] = "lux",
					  [UNIT_FOOTCANDLE] = "footcandle",
					  [UNIT_W_M2] = "w_m2",
					  [UNIT_MJ_M2_DAY] = "mj_m2_day",
					  [UNIT_KJ] = "kj",
					  [UNIT_KWH] = "kwh",
					  [UNIT_BTU] = "btu",
					  NULL };

static const char *group_of_unit(size_t unit)
{
	static const char *const names[] = { [QUANTITY_MASS] = "mass",
					     [QUANTITY_VOLUME] = "volume",
					     [QUANTITY_FLOW] = "flow",
					     [QUANTITY_LENGTH] = "length",
					     [QUANTITY_AREA] = "area",
					     [QUANTITY_TEMPERATURE] = "temperature",
					     [QUANTITY_PRESSURE] = "pressure",
					     [QUANTITY_DENSITY] = "density",
					     [QUANTITY_MASS_ON_AREA] = "mass_on_area",
					     [QUANTITY_ALKALINITY] = "alkalinity",
					     [QUANTITY_ILLUMINANCE] = "illuminance",
					     [QUANTITY_RADIATION] = "radiation",
					     [QUANTITY_ENERGY] = "energy" };

	return names[unit_quantity((enum unit)unit)];
}

enum { UNITS_VALUE, UNITS_FROM, UNITS_TO };
static const struct calc_field units_in[] = {
	[UNITS_VALUE] = { .name = "value",
			  .low = -459.67 /* absolute zero, degF */,
			  .high = 1e12,
			  .required = true },
	[UNITS_FROM] = { .name = "from_unit",
			 .kind = CALC_WORD,
			 .words = unit_words,
			 .group_of = group_of_unit,
			 .required = true },
	[UNITS_TO] = { .name = "to_unit",
		       .kind = CALC_WORD,
		       .words = unit_words,
		       .group_of = group_of_unit,
		       .required = true },
};
static const struct calc_field units_out[] = { { .name = "converted" } };

static enum err_code run_units(struct book *b, const struct calc_values *in,
			       struct calc_values *out, struct arena *arena, struct err *err)
{
	const enum unit from = (enum unit)in->word[UNITS_FROM], to = (enum unit)in->word[UNITS_TO];

	(void)b, (void)arena;
	if (unit_quantity(from) != unit_quantity(to))
		return err_set(err, ERR_INPUT, "to_unit", "other_quantity",
			       "%s does not measure what %s measures.", unit_words[to],
			       unit_words[from]);
	out->number[0] = unit_convert(in->number[UNITS_VALUE], from, to);
	if (isnan(out->number[0]))
		return err_set(err, ERR_INPUT, "value", "below_lowest",
			       "Only a temperature may be below 0, and none below absolute zero.");
	return ERR_NONE;
}

const struct calculator calc_units = {
	.name = "units",
	.topic = "units",
	.summary = "A value of a scale, a kit, a label or a book, in another unit",
	.formula = "value x factor of the one / factor of the other; degC = (degF - 32) / 1.8",
	.source = "NIST Special Publication 811 (2008), appendix B; alkalinity and hardness: molar "
		  "masses, IUPAC (2021)",
	.caution =
		"A gallon of the United States is 3.785 L, an imperial one 4.546 L: see which the "
		"label means before you dose.",
	CALC_TABLE(units),
	.run = run_units,
};

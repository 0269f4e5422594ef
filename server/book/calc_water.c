/* Calculators of what is in the water. */
#include <math.h>

#include "book/calculator.h"
#include "domain/ammonia.h"
#include "domain/carbonate.h"
#include "domain/ion.h"
#include "domain/oxygen.h"

/* --- unionized-ammonia ------------------------------------------------------------------------ */

enum { AMMONIA_T, AMMONIA_PH, AMMONIA_TAN, AMMONIA_IONIC };
static const struct calc_field ammonia_in[] = {
	[AMMONIA_T] = { .name = "temperature_c",
			.unit = "degC",
			.low = 0,
			.high = 50,
			.required = true },
	[AMMONIA_PH] = { .name = "ph", .low = 6, .high = 10, .required = true },
	[AMMONIA_TAN] = { .name = "tan_mg_l",
			  .unit = "mg/L",
			  .low = 0,
			  .high = 1000,
			  .required = true },
	[AMMONIA_IONIC] = { .name = "ionic_strength_mol_l",
			    .unit = "mol/L",
			    .low = 0,
			    .high = 0.5,
			    .has_usual = true },
};
enum { AMMONIA_OUT_FRACTION, AMMONIA_OUT_NH3 };
static const struct calc_field ammonia_out[] = {
	[AMMONIA_OUT_FRACTION] = { .name = "fraction" },
	[AMMONIA_OUT_NH3] = { .name = "nh3_n_mg_l", .unit = "mg/L" },
};

static enum err_code run_ammonia(struct book *b, const struct calc_values *in,
				 struct calc_values *out, struct arena *arena, struct err *err)
{
	(void)b, (void)arena, (void)err;
	out->number[AMMONIA_OUT_FRACTION] = unionized_ammonia_fraction_in_salts(
		in->number[AMMONIA_T], in->number[AMMONIA_PH], in->number[AMMONIA_IONIC]);
	out->number[AMMONIA_OUT_NH3] = out->number[AMMONIA_OUT_FRACTION] * in->number[AMMONIA_TAN];
	return ERR_NONE;
}

const struct calculator calc_unionized_ammonia = {
	.name = "unionized-ammonia",
	.topic = "water",
	.summary = "How much of the total ammonia is the poisonous un-ionized part",
	.formula = "pKa = 0.09018 + 2729.92 / (273.15 + T); fraction = 1 / (1 + 10^(pKa - pH))",
	.source = "Emerson and others (1975), J. Fish. Res. Board Can. 32, 2379; in salts: Davies "
		  "(1962)",
	.caution = "A pH that is 0.1 off moves the answer by a quarter. Limits differ by species; "
		   "ask a fish "
		   "health professional when fish show signs.",
	CALC_TABLE(ammonia),
	.run = run_ammonia,
};

/* --- oxygen-saturation ------------------------------------------------------------------------ */

enum { OXYGEN_T, OXYGEN_SALINITY, OXYGEN_EC, OXYGEN_PRESSURE, OXYGEN_ALTITUDE, OXYGEN_DO };
static const struct calc_field oxygen_in[] = {
	[OXYGEN_T] = { .name = "temperature_c",
		       .unit = "degC",
		       .low = 0,
		       .high = 40,
		       .required = true },
	[OXYGEN_SALINITY] = { .name = "salinity_g_kg", .unit = "g/kg", .low = 0, .high = 40 },
	[OXYGEN_EC] = { .name = "ec_ms_cm", .unit = "mS/cm", .low = 0, .high = 20 },
	[OXYGEN_PRESSURE] = { .name = "pressure_hpa", .unit = "hPa", .low = 507, .high = 1114 },
	[OXYGEN_ALTITUDE] = { .name = "altitude_m", .unit = "m", .low = -500, .high = 5400 },
	[OXYGEN_DO] = { .name = "do_mg_l", .unit = "mg/L", .low = 0, .high = 40 },
};
enum { OXYGEN_OUT_SATURATION, OXYGEN_OUT_PERCENT };
static const struct calc_field oxygen_out[] = {
	[OXYGEN_OUT_SATURATION] = { .name = "saturation_mg_l", .unit = "mg/L" },
	[OXYGEN_OUT_PERCENT] = { .name = "percent", .unit = "%" },
};

/* As typed, or guessed from the conductivity; fresh water when neither is known. */
static double salinity_of(const struct calc_values *in)
{
	const double typed = in->number[OXYGEN_SALINITY], ec = in->number[OXYGEN_EC];

	if (!isnan(typed))
		return typed;
	return isnan(ec) ? 0 : salinity_of_conductance_g_kg(ec);
}

static enum err_code run_oxygen(struct book *b, const struct calc_values *in,
				struct calc_values *out, struct arena *arena, struct err *err)
{
	const double pressure = in->number[OXYGEN_PRESSURE], altitude = in->number[OXYGEN_ALTITUDE];

	(void)b, (void)arena;
	if (!isnan(pressure) && !isnan(altitude))
		return err_set(err, ERR_INPUT, "altitude_m", "not_with",
			       "Give the station's pressure or the altitude, not both.");
	if (!isnan(in->number[OXYGEN_SALINITY]) && !isnan(in->number[OXYGEN_EC]))
		return err_set(err, ERR_INPUT, "ec_ms_cm", "not_with",
			       "Give the salinity or the conductivity, not both.");
	out->number[OXYGEN_OUT_SATURATION] = oxygen_saturation_mg_l(
		in->number[OXYGEN_T], salinity_of(in),
		isnan(pressure) ? air_pressure_kpa(isnan(altitude) ? 0 : altitude) : pressure / 10);
	out->number[OXYGEN_OUT_PERCENT] =
		100 * in->number[OXYGEN_DO] / out->number[OXYGEN_OUT_SATURATION];
	return ERR_NONE;
}

const struct calculator calc_oxygen_saturation = {
	.name = "oxygen-saturation",
	.topic = "water",
	.summary = "How much oxygen the water can hold, and how full it is",
	.formula = "Benson and Krause, times a factor for salinity and one for pressure; percent = "
		   "100 x measured / "
		   "saturation",
	.source = "Benson and Krause (1984), as in USGS memorandum 2011.03; altitude: ICAO "
		  "standard atmosphere; conductivity: USGS memorandum 81.11 (from memory)",
	.caution = "Use the pressure at the station, not a weather report's, which is brought to "
		   "sea level. Above 110 % fish can take harm from gas.",
	CALC_TABLE(oxygen),
	.run = run_oxygen,
};

/* --- carbon-dioxide --------------------------------------------------------------------------- */

enum { CO2_PH, CO2_ALKALINITY, CO2_T, CO2_FORM, CO2_IONIC };
enum { CO2_FULL, CO2_SIMPLE };
static const char *const co2_forms[] = { [CO2_FULL] = "full", [CO2_SIMPLE] = "simple", NULL };
static const struct calc_field co2_in[] = {
	[CO2_PH] = { .name = "ph", .low = 5, .high = 9, .required = true },
	[CO2_ALKALINITY] = { .name = "alkalinity_mg_l",
			     .unit = "mg/L",
			     .low = 0,
			     .high = 1000,
			     .required = true },
	[CO2_T] = { .name = "temperature_c",
		    .unit = "degC",
		    .low = 0,
		    .high = 50,
		    .required = true },
	[CO2_FORM] = { .name = "form", .kind = CALC_WORD, .words = co2_forms },
	[CO2_IONIC] = { .name = "ionic_strength_mol_l",
			.unit = "mol/L",
			.low = 0,
			.high = 0.5,
			.has_usual = true },
};
static const struct calc_field co2_out[] = { { .name = "co2_mg_l", .unit = "mg/L" } };

static enum err_code run_co2(struct book *b, const struct calc_values *in, struct calc_values *out,
			     struct arena *arena, struct err *err)
{
	(void)b, (void)arena, (void)err;
	out->number[0] = carbon_dioxide_mg_l(in->number[CO2_PH], in->number[CO2_ALKALINITY],
					     in->number[CO2_T], in->number[CO2_IONIC],
					     in->word[CO2_FORM] == CO2_FULL);
	return ERR_NONE;
}

const struct calculator calc_carbon_dioxide = {
	.name = "carbon-dioxide",
	.topic = "water",
	.summary = "Carbon dioxide in the water, from pH and alkalinity",
	.formula = "[HCO3] = ([Alk] - [OH] + [H]) / (1 + 2 K2/[H]); CO2 = [HCO3] [H] / K1; simple: "
		   "all alkalinity is bicarbonate",
	.source = "Plummer and Busenberg (1982), Geochim. Cosmochim. Acta 46, 1011; in salts: "
		  "Davies (1962)",
	.caution = "A pH that is 0.1 off moves the answer by a quarter: read two digits at most. "
		   "Degassing fills a "
		   "closed room with carbon dioxide: air it first.",
	CALC_TABLE(co2),
	.run = run_co2,
};

/* --- ion-to-nitrogen -------------------------------------------------------------------------- */

enum { ION_VALUE, ION_WHICH };
/* In one order. */
static const char *const ion_words[] = { "ammonium", "nitrite", "nitrate", "phosphate", NULL };
static const enum ion ions[] = { ION_AMMONIUM, ION_NITRITE, ION_NITRATE, ION_PHOSPHATE };
static const struct calc_field ion_in[] = {
	[ION_VALUE] = { .name = "value_mg_l",
			.unit = "mg/L",
			.low = 0,
			.high = 1e6,
			.required = true },
	[ION_WHICH] = { .name = "ion", .kind = CALC_WORD, .words = ion_words, .required = true },
};
static const struct calc_field ion_out[] = { { .name = "as_element_mg_l", .unit = "mg/L" } };

static enum err_code run_ion(struct book *b, const struct calc_values *in, struct calc_values *out,
			     struct arena *arena, struct err *err)
{
	(void)b, (void)arena, (void)err;
	out->number[0] = in->number[ION_VALUE] * ion_element_share(ions[in->word[ION_WHICH]]);
	return ERR_NONE;
}

const struct calculator calc_ion_to_nitrogen = {
	.name = "ion-to-nitrogen",
	.topic = "water",
	.summary = "What a kit that reads the ion means as nitrogen, or phosphate as phosphorus",
	.formula = "value x molar mass of the element / molar mass of the ion",
	.caution = "Read on the kit which of the two it shows: nitrate as the ion is 4.4 times "
		   "nitrate as "
		   "nitrogen.",
	.source = "Molar masses: IUPAC (2021)",
	CALC_TABLE(ion),
	.run = run_ion,
};

/* --- hardness --------------------------------------------------------------------------------- */

enum { HARD_CALCIUM, HARD_MAGNESIUM };
static const struct calc_field hard_in[] = {
	[HARD_CALCIUM] = { .name = "calcium_mg_l",
			   .unit = "mg/L",
			   .low = 0,
			   .high = 5000,
			   .required = true },
	[HARD_MAGNESIUM] = { .name = "magnesium_mg_l",
			     .unit = "mg/L",
			     .low = 0,
			     .high = 5000,
			     .required = true },
};
static const struct calc_field hard_out[] = { { .name = "hardness_mg_l", .unit = "mg/L" } };

static enum err_code run_hard(struct book *b, const struct calc_values *in, struct calc_values *out,
			      struct arena *arena, struct err *err)
{
	(void)b, (void)arena, (void)err;
	out->number[0] = hardness_mg_l(in->number[HARD_CALCIUM], in->number[HARD_MAGNESIUM]);
	return ERR_NONE;
}

const struct calculator calc_hardness = {
	.name = "hardness",
	.topic = "water",
	.summary = "Total hardness, as calcium carbonate, from calcium and magnesium",
	.formula = "hardness = 2.4973 Ca + 4.1179 Mg",
	.source = "Molar masses: IUPAC (2021)",
	.caution = "Hardness is not alkalinity: hard water can have little to hold its pH.",
	CALC_TABLE(hard),
	.run = run_hard,
};

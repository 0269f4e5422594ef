/* Calculators of water: what is in it, what goes into it, and what feed asks of it. */
#include <math.h>

#include "book/calculator.h"
#include "domain/ammonia.h"
#include "domain/carbonate.h"
#include "domain/dosing.h"
#include "domain/ion.h"
#include "domain/loading.h"
#include "domain/oxygen.h"

/* --- unionized-ammonia ---------------------------------------------------------------------------- */

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
static const struct calc_field ammonia_out[] = { { .name = "fraction" },
						 { .name = "nh3_n_mg_l", .unit = "mg/L" } };

static enum err_code run_ammonia(struct book *b, const struct calc_values *in,
				 struct calc_values *out, struct arena *arena, struct err *err)
{
	(void)b, (void)arena, (void)err;
	out->number[0] = unionized_ammonia_fraction_in_salts(
		in->number[AMMONIA_T], in->number[AMMONIA_PH], in->number[AMMONIA_IONIC]);
	out->number[1] = out->number[0] * in->number[AMMONIA_TAN];
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

/* --- oxygen-saturation ---------------------------------------------------------------------------- */

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
static const struct calc_field oxygen_out[] = { { .name = "saturation_mg_l", .unit = "mg/L" },
						{ .name = "percent", .unit = "%" } };

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
	out->number[0] = oxygen_saturation_mg_l(
		in->number[OXYGEN_T], salinity_of(in),
		isnan(pressure) ? air_pressure_kpa(isnan(altitude) ? 0 : altitude) : pressure / 10);
	out->number[1] = 100 * in->number[OXYGEN_DO] / out->number[0];
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

/* --- carbon-dioxide ------------------------------------------------------------------------------- */

enum { CO2_PH, CO2_ALKALINITY, CO2_T, CO2_FORM, CO2_IONIC };
static const char *const co2_forms[] = { "full", "simple", NULL };
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
					     in->word[CO2_FORM] == 0);
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

/* --- alkalinity-dose ------------------------------------------------------------------------------ */

enum { BASE_VOLUME, BASE_RISE, BASE_MATERIAL, BASE_PURITY };
static const char *const base_words[] = {
	[BASE_KOH] = "koh",         [BASE_NAOH] = "naoh",     [BASE_CA_OH_2] = "ca_oh_2",
	[BASE_CAO] = "cao",         [BASE_KHCO3] = "khco3",   [BASE_NAHCO3] = "nahco3",
	[BASE_K2CO3] = "k2co3",     [BASE_NA2CO3] = "na2co3", [BASE_CACO3] = "caco3",
	[BASE_MG_OH_2] = "mg_oh_2", [BASE_MGCO3] = "mgco3",   NULL
};
static const struct calc_field base_in[] = {
	[BASE_VOLUME] = { .name = "volume_l",
			  .unit = "L",
			  .low = 0.001,
			  .high = 1e9,
			  .required = true },
	[BASE_RISE] = { .name = "rise_mg_l",
			.unit = "mg/L",
			.low = 0,
			.high = 500,
			.required = true },
	[BASE_MATERIAL] = { .name = "material",
			    .kind = CALC_WORD,
			    .words = base_words,
			    .required = true },
	[BASE_PURITY] = { .name = "purity_pct",
			  .unit = "%",
			  .low = 0.1,
			  .high = 100,
			  .has_usual = true,
			  .usual = 100 },
};
static const struct calc_field base_out[] = { { .name = "amount_g", .unit = "g" } };

static enum err_code run_base(struct book *b, const struct calc_values *in, struct calc_values *out,
			      struct arena *arena, struct err *err)
{
	(void)b, (void)arena, (void)err;
	out->number[0] = alkalinity_dose_g(in->number[BASE_VOLUME], in->number[BASE_RISE],
					   (enum base_material)in->word[BASE_MATERIAL],
					   in->number[BASE_PURITY]);
	return ERR_NONE;
}

const struct calculator calc_alkalinity_dose = {
	.name = "alkalinity-dose",
	.topic = "doses",
	.summary = "How much of a base raises the alkalinity of a water",
	.formula = "amount = volume / 1000 x rise x (equivalent weight / 50.043) / purity",
	.source = "Molar masses: IUPAC (2021)",
	.caution = CALC_LABEL_FIRST
	" Hydroxides burn skin and eyes, and raise pH at once: when ammonia is "
	"high that can kill fish.",
	CALC_TABLE(base),
	.run = run_base,
};

/* --- chloride-dose -------------------------------------------------------------------------------- */

enum {
	SALT_VOLUME,
	SALT_NITRITE,
	SALT_CHLORIDE,
	SALT_RATIO,
	SALT_BASIS,
	SALT_MATERIAL,
	SALT_PURITY
};
static const char *const salt_bases[] = { "nitrite_n", "nitrite_ion", NULL };
static const char *const salt_words[] = { [CHLORIDE_NACL] = "nacl",
					  [CHLORIDE_CACL2] = "cacl2",
					  [CHLORIDE_CACL2_2H2O] = "cacl2_2h2o",
					  [CHLORIDE_KCL] = "kcl",
					  [CHLORIDE_MGCL2_6H2O] = "mgcl2_6h2o",
					  NULL };
static const struct calc_field salt_in[] = {
	[SALT_VOLUME] = { .name = "volume_l",
			  .unit = "L",
			  .low = 0.001,
			  .high = 1e9,
			  .required = true },
	[SALT_NITRITE] = { .name = "nitrite_n_mg_l",
			   .unit = "mg/L",
			   .low = 0,
			   .high = 100,
			   .required = true },
	[SALT_CHLORIDE] = { .name = "chloride_mg_l",
			    .unit = "mg/L",
			    .low = 0,
			    .high = 20000,
			    .required = true },
	[SALT_RATIO] = { .name = "ratio", .low = 0.001, .high = 1000, .required = true },
	[SALT_BASIS] = { .name = "ratio_basis",
			 .kind = CALC_WORD,
			 .words = salt_bases,
			 .required = true },
	[SALT_MATERIAL] = { .name = "material",
			    .kind = CALC_WORD,
			    .words = salt_words,
			    .required = true },
	[SALT_PURITY] = { .name = "purity_pct",
			  .unit = "%",
			  .low = 0.1,
			  .high = 100,
			  .has_usual = true,
			  .usual = 100 },
};
static const struct calc_field salt_out[] = { { .name = "amount_g", .unit = "g" },
					      { .name = "sodium_mg_l", .unit = "mg/L" } };

static enum err_code run_salt(struct book *b, const struct calc_values *in, struct calc_values *out,
			      struct arena *arena, struct err *err)
{
	const enum chloride_material material = (enum chloride_material)in->word[SALT_MATERIAL];
	const double missing =
		chloride_missing_mg_l(in->number[SALT_NITRITE], in->number[SALT_CHLORIDE],
				      in->number[SALT_RATIO], in->word[SALT_BASIS] == 1);
	const double pure_mg_l = missing / chloride_share(material);

	(void)b, (void)arena, (void)err;
	out->number[0] =
		in->number[SALT_VOLUME] / 1000 * pure_mg_l / (in->number[SALT_PURITY] / 100);
	out->number[1] = pure_mg_l * sodium_share(material);
	return ERR_NONE;
}

const struct calculator calc_chloride_dose = {
	.name = "chloride-dose",
	.topic = "doses",
	.summary = "How much salt keeps nitrite out of the blood of fish",
	.formula = "rise = max(0, ratio x nitrite - chloride); amount = volume / 1000 x rise / "
		   "share of chloride / purity",
	.source = "Durborow, Crosby and Brunson (1997), SRAC 462: 10 to 1 or more, printed without "
		  "saying ion or nitrogen",
	.caution = CALC_LABEL_FIRST " Sodium stays in the water, and lettuce bears little of it.",
	CALC_TABLE(salt),
	.run = run_salt,
};

/* --- feed-load ------------------------------------------------------------------------------------ */

enum { LOAD_FEED, LOAD_PROTEIN, LOAD_TAN, LOAD_OXYGEN, LOAD_SOLIDS, LOAD_ALKALINITY };
static const struct calc_field load_in[] = {
	[LOAD_FEED] = { .name = "feed_g", .unit = "g", .low = 0, .high = 1e9, .required = true },
	[LOAD_PROTEIN] = { .name = "protein_pct",
			   .unit = "%",
			   .low = 0,
			   .high = 100,
			   .required = true },
	[LOAD_TAN] = { .name = "tan_per_protein",
		       .low = 0.05,
		       .high = 0.16,
		       .has_usual = true,
		       .usual = 0.092 },
	[LOAD_OXYGEN] = { .name = "oxygen_per_feed",
			  .low = 0.1,
			  .high = 1,
			  .has_usual = true,
			  .usual = 0.40 },
	[LOAD_SOLIDS] = { .name = "solids_per_feed",
			  .low = 0.05,
			  .high = 0.6,
			  .has_usual = true,
			  .usual = 0.25 },
	[LOAD_ALKALINITY] = { .name = "alkalinity_per_tan",
			      .low = 3,
			      .high = 8,
			      .has_usual = true,
			      .usual = 7.05 },
};
static const struct calc_field load_out[] = { { .name = "tan_g", .unit = "g" },
					      { .name = "oxygen_g", .unit = "g" },
					      { .name = "co2_g", .unit = "g" },
					      { .name = "solids_g", .unit = "g" },
					      { .name = "alkalinity_g", .unit = "g" } };

static enum err_code run_load(struct book *b, const struct calc_values *in, struct calc_values *out,
			      struct arena *arena, struct err *err)
{
	const struct feed_loads shares = { .tan_per_protein = in->number[LOAD_TAN],
					   .oxygen_per_feed = in->number[LOAD_OXYGEN],
					   .co2_per_oxygen = feed_loads_usual.co2_per_oxygen,
					   .solids_per_feed = in->number[LOAD_SOLIDS],
					   .alkalinity_per_tan = in->number[LOAD_ALKALINITY] };
	const struct feed_load load =
		feed_load_of(in->number[LOAD_FEED], in->number[LOAD_PROTEIN], &shares);

	(void)b, (void)arena, (void)err;
	out->number[0] = load.tan_g;
	out->number[1] = load.oxygen_g;
	out->number[2] = load.co2_g;
	out->number[3] = load.solids_g;
	out->number[4] = load.alkalinity_g;
	return ERR_NONE;
}

const struct calculator calc_feed_load = {
	.name = "feed-load",
	.topic = "fish",
	.summary =
		"What feed asks of the water: ammonia, oxygen, carbon dioxide, solids, alkalinity",
	.formula = "TAN = feed x protein x 0.092; oxygen = 0.40 x feed (0.25 to 0.50); CO2 = 1.375 "
		   "x oxygen; solids = "
		   "0.25 x feed; alkalinity = 7.05 x TAN",
	.caution = "A day's mean, of the fish alone: after a meal it is up to twice as much, and "
		   "bacteria take "
		   "oxygen too.",
	.source = "Timmons and Ebeling (2013), Recirculating Aquaculture (from memory); "
		  "alkalinity: Ebeling and others "
		  "(2006), Aquaculture 257, 346 (from memory)",
	CALC_TABLE(load),
	.run = run_load,
};

/* --- filter-capacity ------------------------------------------------------------------------------ */

enum { FILTER_AREA, FILTER_RATE, FILTER_TAN };
static const struct calc_field filter_in[] = {
	[FILTER_AREA] = { .name = "media_area_m2",
			  .unit = "m2",
			  .low = 0.001,
			  .high = 1e8,
			  .required = true },
	[FILTER_RATE] = { .name = "rate_g_m2_day",
			  .unit = "g/m2/day",
			  .low = 0.001,
			  .high = 5,
			  .required = true },
	[FILTER_TAN] = { .name = "tan_g_day", .unit = "g/day", .low = 0, .high = 1e8 },
};
static const struct calc_field filter_out[] = { { .name = "capacity_g_day", .unit = "g/day" },
						{ .name = "load_pct", .unit = "%" } };

static enum err_code run_filter(struct book *b, const struct calc_values *in,
				struct calc_values *out, struct arena *arena, struct err *err)
{
	const double capacity =
		filter_capacity_g_day(in->number[FILTER_AREA], in->number[FILTER_RATE]);

	(void)b, (void)arena, (void)err;
	out->number[0] = capacity;
	if (capacity > 0)
		out->number[1] = 100 * in->number[FILTER_TAN] / capacity;
	return ERR_NONE;
}

const struct calculator calc_filter_capacity = {
	.name = "filter-capacity",
	.topic = "water",
	.summary = "How much ammonia a filter's media can nitrify, and how full it is",
	.formula = "capacity = media area x rate; load = 100 x TAN / capacity",
	.caution = "The rate is the guess: it falls in cold water, below pH 7 and with little "
		   "oxygen, and a "
		   "young filter has little. Below pH 6 it stalls.",
	.source = "The rate is the maker's or your own: 0.2 to 0.6 g/m2/day is common practice, no "
		  "source",
	CALC_TABLE(filter),
	.run = run_filter,
};

/* --- ion-to-nitrogen ------------------------------------------------------------------------------ */

enum { ION_VALUE, ION_WHICH };
static const char *const ion_words[] = { "ammonium", "nitrite", "nitrate", "phosphate", NULL };
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
	static const enum ion ions[] = { ION_AMMONIUM, ION_NITRITE, ION_NITRATE, ION_PHOSPHATE };

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

/* --- air-left ------------------------------------------------------------------------------------- */

enum { AIR_VOLUME, AIR_DO, AIR_STOP, AIR_BIOMASS, AIR_UPTAKE };
static const struct calc_field air_in[] = {
	[AIR_VOLUME] = { .name = "volume_l",
			 .unit = "L",
			 .low = 0.001,
			 .high = 1e9,
			 .required = true },
	[AIR_DO] = { .name = "do_mg_l", .unit = "mg/L", .low = 0, .high = 40, .required = true },
	[AIR_STOP] = { .name = "stop_mg_l",
		       .unit = "mg/L",
		       .low = 0,
		       .high = 40,
		       .required = true },
	[AIR_BIOMASS] = { .name = "biomass_kg",
			  .unit = "kg",
			  .low = 0.001,
			  .high = 1e7,
			  .required = true },
	[AIR_UPTAKE] = { .name = "uptake_mg_kg_h",
			 .unit = "mg/kg/h",
			 .low = 10,
			 .high = 2000,
			 .has_usual = true,
			 .usual = 300 },
};
static const struct calc_field air_out[] = { { .name = "minutes", .unit = "min" } };

static enum err_code run_air(struct book *b, const struct calc_values *in, struct calc_values *out,
			     struct arena *arena, struct err *err)
{
	(void)b, (void)arena, (void)err;
	out->number[0] =
		air_left_minutes(in->number[AIR_VOLUME], in->number[AIR_DO], in->number[AIR_STOP],
				 in->number[AIR_BIOMASS], in->number[AIR_UPTAKE]);
	return ERR_NONE;
}

const struct calculator calc_air_left = {
	.name = "air-left",
	.topic = "water",
	.summary = "Minutes until a tank's oxygen falls to its stop with no supply",
	.formula = "minutes = 60 x volume x (oxygen - stop) / (biomass x uptake)",
	.source =
		"A balance of mass; uptake of 300 mg/kg/h after a meal: common practice, no source",
	.caution = "Bacteria and feed in the water take oxygen too: there is less time than this. "
		   "Electricity "
		   "beside water: switch off before you reach in.",
	CALC_TABLE(air),
	.run = run_air,
};

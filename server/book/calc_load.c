/* Calculators of what feed and fish ask of the water, and how far filter and oxygen go with it. */
#include "book/calculator.h"
#include "domain/loading.h"

/* --- feed-load -------------------------------------------------------------------------------- */

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
enum { LOAD_OUT_TAN, LOAD_OUT_OXYGEN, LOAD_OUT_CO2, LOAD_OUT_SOLIDS, LOAD_OUT_ALKALINITY };
static const struct calc_field load_out[] = {
	[LOAD_OUT_TAN] = { .name = "tan_g", .unit = "g" },
	[LOAD_OUT_OXYGEN] = { .name = "oxygen_g", .unit = "g" },
	[LOAD_OUT_CO2] = { .name = "co2_g", .unit = "g" },
	[LOAD_OUT_SOLIDS] = { .name = "solids_g", .unit = "g" },
	[LOAD_OUT_ALKALINITY] = { .name = "alkalinity_g", .unit = "g" },
};

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
	out->number[LOAD_OUT_TAN] = load.tan_g;
	out->number[LOAD_OUT_OXYGEN] = load.oxygen_g;
	out->number[LOAD_OUT_CO2] = load.co2_g;
	out->number[LOAD_OUT_SOLIDS] = load.solids_g;
	out->number[LOAD_OUT_ALKALINITY] = load.alkalinity_g;
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

/* --- filter-capacity -------------------------------------------------------------------------- */

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
enum { FILTER_OUT_CAPACITY, FILTER_OUT_LOAD };
static const struct calc_field filter_out[] = {
	[FILTER_OUT_CAPACITY] = { .name = "capacity_g_day", .unit = "g/day" },
	[FILTER_OUT_LOAD] = { .name = "load_pct", .unit = "%" },
};

static enum err_code run_filter(struct book *b, const struct calc_values *in,
				struct calc_values *out, struct arena *arena, struct err *err)
{
	const double capacity =
		filter_capacity_g_day(in->number[FILTER_AREA], in->number[FILTER_RATE]);

	(void)b, (void)arena, (void)err;
	out->number[FILTER_OUT_CAPACITY] = capacity;
	if (capacity > 0)
		out->number[FILTER_OUT_LOAD] = 100 * in->number[FILTER_TAN] / capacity;
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

/* --- air-left --------------------------------------------------------------------------------- */

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

/* Calculators of air and light in the glasshouse. */
#include <math.h>

#include "book/calculator.h"
#include "domain/daylight.h"
#include "domain/moist_air.h"

enum { MOIST_T, MOIST_HUMIDITY, MOIST_LEAF };
static const struct calc_field moist_in[] = {
	[MOIST_T] = { .name = "temperature_c",
		      .unit = "degC",
		      .low = -20,
		      .high = 60,
		      .required = true },
	[MOIST_HUMIDITY] = { .name = "humidity_pct",
			     .unit = "%",
			     .low = 0,
			     .high = 100,
			     .required = true },
	[MOIST_LEAF] = { .name = "leaf_temperature_c", .unit = "degC", .low = -20, .high = 60 },
};
static const struct calc_field moist_out[] = { { .name = "saturation_kpa", .unit = "kPa" },
					       { .name = "actual_kpa", .unit = "kPa" },
					       { .name = "deficit_kpa", .unit = "kPa" },
					       { .name = "dew_point_c", .unit = "degC" } };

static enum err_code run_moist(struct book *b, const struct calc_values *in,
			       struct calc_values *out, struct arena *arena, struct err *err)
{
	const double t = in->number[MOIST_T], humidity = in->number[MOIST_HUMIDITY];

	(void)b, (void)arena, (void)err;
	out->number[0] = vapour_saturation_kpa(t);
	out->number[1] = vapour_actual_kpa(t, humidity);
	out->number[2] = vapour_deficit_kpa(t, humidity, in->number[MOIST_LEAF]);
	out->number[3] = dew_point_c(out->number[1]);
	return ERR_NONE;
}

const struct calculator calc_moist_air = {
	.name = "moist-air",
	.summary = "Vapour pressure, its deficit, and the dew point of the air",
	.formula = "saturation = 0.6108 exp(17.27 t / (t + 237.3)); deficit = saturation at the "
		   "leaf - actual; dew point: "
		   "the inverse",
	.source = "Allen and others (1998), FAO Irrigation and Drainage Paper 56, equation 11",
	CALC_TABLE(moist),
	.run = run_moist,
};

enum { SUN_LATITUDE, SUN_DAY };
static const struct calc_field sun_in[] = {
	[SUN_LATITUDE] = { .name = "latitude_deg",
			   .unit = "deg",
			   .low = -90,
			   .high = 90,
			   .required = true },
	[SUN_DAY] = { .name = "day_of_year", .low = 1, .high = 366, .required = true },
};
static const struct calc_field sun_out[] = { { .name = "ra_mj_m2_day", .unit = "MJ/m2/day" },
					     { .name = "day_length_h", .unit = "h" } };

static enum err_code run_sun(struct book *b, const struct calc_values *in, struct calc_values *out,
			     struct arena *arena, struct err *err)
{
	(void)b, (void)arena, (void)err;
	out->number[0] =
		sun_extraterrestrial_mj_m2_day(in->number[SUN_LATITUDE], in->number[SUN_DAY]);
	out->number[1] = sun_day_length_h(in->number[SUN_LATITUDE], in->number[SUN_DAY]);
	return ERR_NONE;
}

const struct calculator calc_daylight = {
	.name = "daylight",
	.summary = "The sun's radiation above the air, and the length of the day",
	.formula = "Ra = 1440/pi 0.0820 dr (w sin f sin d + cos f cos d sin w); N = 24 w / pi",
	.source = "Allen and others (1998), FAO Irrigation and Drainage Paper 56, equations 21 to "
		  "25 and 34",
	CALC_TABLE(sun),
	.run = run_sun,
};

enum { LIGHT_PPFD, LIGHT_HOURS, LIGHT_SUN, LIGHT_TARGET };
static const struct calc_field light_in[] = {
	[LIGHT_PPFD] = { .name = "ppfd",
			 .unit = "umol/m2/s",
			 .low = 0,
			 .high = 3000,
			 .required = true },
	[LIGHT_HOURS] = { .name = "hours", .unit = "h", .low = 0, .high = 24, .required = true },
	[LIGHT_SUN] = { .name = "sun_mol_m2_day",
			.unit = "mol/m2/day",
			.low = 0,
			.high = 100,
			.has_usual = true },
	[LIGHT_TARGET] = { .name = "target_mol_m2_day",
			   .unit = "mol/m2/day",
			   .low = 0,
			   .high = 100 },
};
static const struct calc_field light_out[] = { { .name = "dli_mol_m2_day", .unit = "mol/m2/day" },
					       { .name = "lamp_hours", .unit = "h" } };

static enum err_code run_light(struct book *b, const struct calc_values *in,
			       struct calc_values *out, struct arena *arena, struct err *err)
{
	const double sun = in->number[LIGHT_SUN], target = in->number[LIGHT_TARGET];

	(void)b, (void)arena;
	out->number[0] =
		sun + light_integral_mol_m2(in->number[LIGHT_PPFD], in->number[LIGHT_HOURS]);
	if (isnan(target))
		return ERR_NONE;
	out->number[1] = lamp_hours(target, sun, in->number[LIGHT_PPFD]);
	if (isnan(out->number[1]) && in->number[LIGHT_PPFD] > 0)
		return err_set(err, ERR_INPUT, "target_mol_m2_day", "not_reached",
			       "These lamps do not reach the target in 24 hours.");
	return ERR_NONE;
}

const struct calculator calc_light_integral = {
	.name = "light-integral",
	.summary = "The light of a day from sun and lamps, and the lamp hours that reach a target",
	.formula = "light = sun + ppfd x hours x 3600 / 1e6; lamp hours = (target - sun) / (ppfd x "
		   "3600 / 1e6)",
	.source = "The definition of the daily light integral; target for lettuce 17: Both and "
		  "others, Cornell CEA",
	.caution = "Lamps are hot and on high voltage: licensed practice for what is mounted over "
		   "water.",
	CALC_TABLE(light),
	.run = run_light,
};

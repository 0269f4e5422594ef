/* Calculators of air and light in the glasshouse. */
#include <math.h>

#include "book/calculator.h"
#include "domain/daylight.h"
#include "domain/moist_air.h"
#include "domain/units.h"

enum { MOIST_T, MOIST_HUMIDITY, MOIST_WET, MOIST_LEAF, MOIST_PRESSURE };
static const struct calc_field moist_in[] = {
	[MOIST_T] = { .name = "temperature_c",
		      .unit = "degC",
		      .low = -20,
		      .high = 60,
		      .required = true },
	[MOIST_HUMIDITY] = { .name = "humidity_pct", .unit = "%", .low = 0, .high = 100 },
	[MOIST_WET] = { .name = "wet_bulb_c", .unit = "degC", .low = 0, .high = 60 },
	[MOIST_LEAF] = { .name = "leaf_temperature_c", .unit = "degC", .low = -20, .high = 60 },
	[MOIST_PRESSURE] = { .name = "pressure_hpa",
			     .unit = "hPa",
			     .low = 507,
			     .high = 1114,
			     .has_usual = true,
			     .usual = 1013.25 },
};
enum {
	MOIST_OUT_SATURATION,
	MOIST_OUT_ACTUAL,
	MOIST_OUT_DEFICIT,
	MOIST_OUT_DEW_POINT,
	MOIST_OUT_RATIO,
	MOIST_OUT_WET_BULB,
	MOIST_OUT_HUMIDITY
};
static const struct calc_field moist_out[] = {
	[MOIST_OUT_SATURATION] = { .name = "saturation_kpa", .unit = "kPa" },
	[MOIST_OUT_ACTUAL] = { .name = "actual_kpa", .unit = "kPa" },
	[MOIST_OUT_DEFICIT] = { .name = "deficit_kpa", .unit = "kPa" },
	[MOIST_OUT_DEW_POINT] = { .name = "dew_point_c", .unit = "degC" },
	[MOIST_OUT_RATIO] = { .name = "humidity_ratio_kg_kg", .unit = "kg/kg" },
	[MOIST_OUT_WET_BULB] = { .name = "wet_bulb_c", .unit = "degC" },
	[MOIST_OUT_HUMIDITY] = { .name = "humidity_pct", .unit = "%" },
};

/* As typed, or told by a wet thermometer. */
static enum err_code humidity_of(const struct calc_values *in, double *humidity_pct,
				 struct err *err)
{
	const double typed = in->number[MOIST_HUMIDITY], wet = in->number[MOIST_WET];

	if (isnan(typed) == isnan(wet))
		return err_set(err, ERR_INPUT, "humidity_pct", "one_of",
			       "Give either the humidity or the wet bulb.");
	*humidity_pct = isnan(wet) ? typed
				   : humidity_of_wet_bulb_pct(in->number[MOIST_T], wet,
							      in->number[MOIST_PRESSURE] / 10);
	if (isnan(*humidity_pct))
		return err_set(err, ERR_INPUT, "wet_bulb_c", "no_such_wet_bulb",
			       "No air has these two: the wet bulb is above the air, or below "
			       "what bone-dry air gives.");
	return ERR_NONE;
}

static enum err_code run_moist(struct book *b, const struct calc_values *in,
			       struct calc_values *out, struct arena *arena, struct err *err)
{
	const double t = in->number[MOIST_T], pressure = in->number[MOIST_PRESSURE] / 10;
	double humidity = NAN;
	enum err_code rc = humidity_of(in, &humidity, err);

	(void)b, (void)arena;
	if (rc)
		return rc;
	out->number[MOIST_OUT_SATURATION] = vapour_saturation_kpa(t);
	out->number[MOIST_OUT_ACTUAL] = vapour_actual_kpa(t, humidity);
	out->number[MOIST_OUT_DEFICIT] = vapour_deficit_kpa(t, humidity, in->number[MOIST_LEAF]);
	out->number[MOIST_OUT_DEW_POINT] = dew_point_c(out->number[MOIST_OUT_ACTUAL]);
	out->number[MOIST_OUT_RATIO] =
		humidity_ratio_kg_kg(out->number[MOIST_OUT_ACTUAL], pressure);
	out->number[MOIST_OUT_WET_BULB] = wet_bulb_c(t, humidity, pressure);
	out->number[MOIST_OUT_HUMIDITY] = humidity;
	return ERR_NONE;
}

const struct calculator calc_moist_air = {
	.name = "moist-air",
	.topic = "crops",
	.summary =
		"Vapour pressure, its deficit, dew point, humidity ratio and wet bulb of the air",
	.formula = "saturation = 0.6108 exp(17.27 t / (t + 237.3)); deficit = saturation at the "
		   "leaf - actual; dew point: "
		   "the inverse; ratio = 0.621945 e / (P - e); wet bulb: solved",
	.source = "Allen and others (1998), FAO Irrigation and Drainage Paper 56, equation 11; "
		  "ratio and "
		  "wet bulb: ASHRAE Fundamentals (2017), chapter 1, equations 20 and 33",
	.caution = "A sensor in the sun, or dry after a week, reads the humidity wrong. A deficit "
		   "below 0 at "
		   "the leaf is dew on the leaf.",
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
enum { SUN_OUT_RADIATION, SUN_OUT_DAY_LENGTH };
static const struct calc_field sun_out[] = {
	[SUN_OUT_RADIATION] = { .name = "ra_mj_m2_day", .unit = "MJ/m2/day" },
	[SUN_OUT_DAY_LENGTH] = { .name = "day_length_h", .unit = "h" },
};

static enum err_code run_sun(struct book *b, const struct calc_values *in, struct calc_values *out,
			     struct arena *arena, struct err *err)
{
	(void)b, (void)arena, (void)err;
	out->number[SUN_OUT_RADIATION] =
		sun_extraterrestrial_mj_m2_day(in->number[SUN_LATITUDE], in->number[SUN_DAY]);
	out->number[SUN_OUT_DAY_LENGTH] =
		sun_day_length_h(in->number[SUN_LATITUDE], in->number[SUN_DAY]);
	return ERR_NONE;
}

const struct calculator calc_daylight = {
	.name = "daylight",
	.topic = "crops",
	.summary = "The sun's radiation above the air, and the length of the day",
	.formula = "Ra = 1440/pi 0.0820 dr (w sin f sin d + cos f cos d sin w); N = 24 w / pi",
	.source = "Allen and others (1998), FAO Irrigation and Drainage Paper 56, equations 21 to "
		  "25 and 34",
	.caution = "Above the air: under glass a crop gets some 40 to 50 % of it on a clear day. "
		   "The day is "
		   "geometry, some 0.2 h shorter than an almanac's.",
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
enum { LIGHT_OUT_INTEGRAL, LIGHT_OUT_LAMP_HOURS };
static const struct calc_field light_out[] = {
	[LIGHT_OUT_INTEGRAL] = { .name = "dli_mol_m2_day", .unit = "mol/m2/day" },
	[LIGHT_OUT_LAMP_HOURS] = { .name = "lamp_hours", .unit = "h" },
};

static enum err_code run_light(struct book *b, const struct calc_values *in,
			       struct calc_values *out, struct arena *arena, struct err *err)
{
	const double sun = in->number[LIGHT_SUN], target = in->number[LIGHT_TARGET];

	(void)b, (void)arena;
	out->number[LIGHT_OUT_INTEGRAL] =
		sun + light_integral_mol_m2(in->number[LIGHT_PPFD], in->number[LIGHT_HOURS]);
	if (isnan(target))
		return ERR_NONE;
	out->number[LIGHT_OUT_LAMP_HOURS] = lamp_hours(target, sun, in->number[LIGHT_PPFD]);
	if (isnan(out->number[LIGHT_OUT_LAMP_HOURS]) && in->number[LIGHT_PPFD] > 0)
		return err_set(err, ERR_INPUT, "target_mol_m2_day", "not_reached",
			       "These lamps do not reach the target in 24 hours.");
	return ERR_NONE;
}

const struct calculator calc_light_integral = {
	.name = "light-integral",
	.topic = "crops",
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

enum { METER_READING, METER_UNIT, METER_SOURCE };
enum { METER_LUX, METER_FOOTCANDLE, METER_W_M2 };
static const char *const meter_words[] = {
	[METER_LUX] = "lux", [METER_FOOTCANDLE] = "footcandle", [METER_W_M2] = "w_m2", NULL
};
static const char *const source_words[] = { [LIGHT_SUN_AND_SKY] = "sun_and_sky",
					    [LIGHT_BLUE_SKY] = "blue_sky",
					    [LIGHT_SODIUM] = "high_pressure_sodium",
					    [LIGHT_METAL_HALIDE] = "metal_halide",
					    [LIGHT_FLUORESCENT] = "white_fluorescent",
					    [LIGHT_INCANDESCENT] = "incandescent",
					    NULL };
static const struct calc_field meter_in[] = {
	[METER_READING] = { .name = "reading", .low = 0, .high = 200000, .required = true },
	[METER_UNIT] = { .name = "meter_unit", .kind = CALC_WORD, .words = meter_words },
	[METER_SOURCE] = { .name = "light_source",
			   .kind = CALC_WORD,
			   .words = source_words,
			   .required = true },
};
static const struct calc_field meter_out[] = { { .name = "ppfd", .unit = "umol/m2/s" } };

static enum err_code run_meter(struct book *b, const struct calc_values *in,
			       struct calc_values *out, struct arena *arena, struct err *err)
{
	const enum light_source source = (enum light_source)in->word[METER_SOURCE];
	const double reading = in->number[METER_READING];

	(void)b, (void)arena, (void)err;
	if (in->word[METER_UNIT] == METER_W_M2)
		out->number[0] = reading * light_umol_per_j(source);
	else if (in->word[METER_UNIT] == METER_FOOTCANDLE)
		out->number[0] = unit_convert(reading, UNIT_FOOTCANDLE, UNIT_LUX) /
				 light_lux_per_umol(source);
	else
		out->number[0] = reading / light_lux_per_umol(source);
	return ERR_NONE;
}

const struct calculator calc_light_meter = {
	.name = "light-meter",
	.topic = "crops",
	.summary = "What a meter of lux, foot-candles or watts means in light that plants use",
	.formula = "light = lux / f: sun and sky 54, blue sky 52, sodium 82, metal halide 71, "
		   "fluorescent 74, incandescent 50; = W/m2 x k: 4.57, 4.24, 4.98, 4.59, 4.59, "
		   "5.00; foot-candle = 10.764 lux",
	.source = "Thimijan and Heins (1983), HortScience 18, 818",
	.caution = "Only of these sources: of LED lamps the maker alone knows the factor. Watts "
		   "are those of 400 to 700 nm, not of the whole sun.",
	CALC_TABLE(meter),
	.run = run_meter,
};

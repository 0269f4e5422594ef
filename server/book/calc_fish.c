/* Calculators of fish: growth, feed, how crowded, how many to weigh. */
#include <math.h>

#include "book/calculator.h"
#include "book/ration.h"
#include "domain/fish_measures.h"
#include "domain/growth.h"
#include "domain/loading.h"
#include "model/kinds.h"
#include "store/record.h"

/* --- growth-rate ------------------------------------------------------------------------------ */

enum { RATE_W1, RATE_W2, RATE_DAYS, RATE_DEGREE_DAYS, RATE_T };
static const struct calc_field rate_in[] = {
	[RATE_W1] = { .name = "weight1_g",
		      .unit = "g",
		      .low = 0.001,
		      .high = 1e6,
		      .required = true },
	[RATE_W2] = { .name = "weight2_g",
		      .unit = "g",
		      .low = 0.001,
		      .high = 1e6,
		      .required = true },
	[RATE_DAYS] = { .name = "days",
			.unit = "days",
			.low = 0.001,
			.high = 5000,
			.required = true },
	[RATE_DEGREE_DAYS] = { .name = "degree_days",
			       .unit = "degC day",
			       .low = 0.001,
			       .high = 2e5 },
	[RATE_T] = { .name = "temperature_c", .unit = "degC", .low = 0.1, .high = 45 },
};
enum { RATE_OUT_SGR, RATE_OUT_GAIN, RATE_OUT_TGC };
static const struct calc_field rate_out[] = {
	[RATE_OUT_SGR] = { .name = "sgr_pct_day", .unit = "%/day" },
	[RATE_OUT_GAIN] = { .name = "gain_g_day", .unit = "g/day" },
	[RATE_OUT_TGC] = { .name = "tgc" },
};

static enum err_code not_both(struct err *err, const char *field)
{
	return err_set(err, ERR_INPUT, field, "not_with",
		       "Give degree-days or the temperature, not both.");
}

static enum err_code run_rate(struct book *b, const struct calc_values *in, struct calc_values *out,
			      struct arena *arena, struct err *err)
{
	const double w1 = in->number[RATE_W1], w2 = in->number[RATE_W2],
		     days = in->number[RATE_DAYS];
	double degree_days = in->number[RATE_DEGREE_DAYS];

	(void)b, (void)arena;
	if (!isnan(degree_days) && !isnan(in->number[RATE_T]))
		return not_both(err, "temperature_c");
	if (isnan(degree_days))
		degree_days = in->number[RATE_T] * days;
	out->number[RATE_OUT_SGR] = growth_sgr_pct_day(w1, w2, days);
	out->number[RATE_OUT_GAIN] = (w2 - w1) / days;
	out->number[RATE_OUT_TGC] = growth_tgc(w1, w2, degree_days);
	return ERR_NONE;
}

const struct calculator calc_growth_rate = {
	.name = "growth-rate",
	.topic = "fish",
	.summary = "How fast fish grew between two weights",
	.formula = "SGR = 100 ln(W2/W1) / d; gain = (W2 - W1) / d; TGC = 1000 (W2^(1/3) - "
		   "W1^(1/3)) / sum of T d",
	.caution = "Compare fish of one size only: small fish gain more percent a day.",
	.source = "Ricker (1979); Iwama and Tautz (1981), Can. J. Fish. Aquat. Sci. 38, 649",
	CALC_TABLE(rate),
	.run = run_rate,
};

/* --- projection ------------------------------------------------------------------------------- */

enum { PROJECT_W, PROJECT_TGC, PROJECT_DEGREE_DAYS, PROJECT_T, PROJECT_DAYS, PROJECT_TO };
static const struct calc_field project_in[] = {
	[PROJECT_W] = { .name = "weight_g",
			.unit = "g",
			.low = 0.001,
			.high = 1e6,
			.required = true },
	[PROJECT_TGC] = { .name = "tgc", .low = 0.001, .high = 10, .required = true },
	[PROJECT_DEGREE_DAYS] = { .name = "degree_days",
				  .unit = "degC day",
				  .low = 0.001,
				  .high = 2e5 },
	[PROJECT_T] = { .name = "temperature_c", .unit = "degC", .low = 0.1, .high = 45 },
	[PROJECT_DAYS] = { .name = "days", .unit = "days", .low = 0, .high = 5000 },
	[PROJECT_TO] = { .name = "to_weight_g", .unit = "g", .low = 0.001, .high = 1e6 },
};
enum { PROJECT_OUT_WEIGHT, PROJECT_OUT_DEGREE_DAYS, PROJECT_OUT_DAYS };
static const struct calc_field project_out[] = {
	[PROJECT_OUT_WEIGHT] = { .name = "weight_g", .unit = "g" },
	[PROJECT_OUT_DEGREE_DAYS] = { .name = "degree_days", .unit = "degC day" },
	[PROJECT_OUT_DAYS] = { .name = "days", .unit = "days" },
};

/* When the weight is reached. */
static enum err_code project_to(const struct calc_values *in, struct calc_values *out,
				struct err *err)
{
	const double w = in->number[PROJECT_W], to = in->number[PROJECT_TO];

	if (!(to >= w))
		return err_set(err, ERR_INPUT, "to_weight_g", "below_start",
			       "The weight to reach is below that of today.");
	out->number[PROJECT_OUT_WEIGHT] = to;
	out->number[PROJECT_OUT_DEGREE_DAYS] = growth_degree_days(in->number[PROJECT_TGC], w, to);
	out->number[PROJECT_OUT_DAYS] =
		out->number[PROJECT_OUT_DEGREE_DAYS] / in->number[PROJECT_T];
	return ERR_NONE;
}

static enum err_code run_project(struct book *b, const struct calc_values *in,
				 struct calc_values *out, struct arena *arena, struct err *err)
{
	double degree_days = in->number[PROJECT_DEGREE_DAYS];

	(void)b, (void)arena;
	if (!isnan(in->number[PROJECT_TO])) {
		if (!isnan(degree_days) || !isnan(in->number[PROJECT_DAYS]))
			return err_set(err, ERR_INPUT, "to_weight_g", "not_with",
				       "Give the weight to reach, or the time, not both.");
		return project_to(in, out, err);
	}
	if (!isnan(degree_days) && !isnan(in->number[PROJECT_T]))
		return not_both(err, "temperature_c");
	if (isnan(degree_days))
		degree_days = in->number[PROJECT_T] * in->number[PROJECT_DAYS];
	if (isnan(degree_days))
		return err_set(
			err, ERR_INPUT, "degree_days", "required",
			"Give degree-days, or the temperature and days, or the weight to reach.");
	const struct growth_span span = { .degree_days = degree_days,
					  .days = NAN,
					  .known_days = NAN };
	out->number[PROJECT_OUT_WEIGHT] = growth_weight_g(GROWTH_THERMAL, in->number[PROJECT_TGC],
							  in->number[PROJECT_W], &span);
	out->number[PROJECT_OUT_DEGREE_DAYS] = degree_days;
	out->number[PROJECT_OUT_DAYS] = in->number[PROJECT_DAYS];
	return ERR_NONE;
}

const struct calculator calc_projection = {
	.name = "projection",
	.topic = "fish",
	.summary = "What fish will weigh after some warmth, or when they reach a weight",
	.formula = "W2 = (W1^(1/3) + TGC / 1000 x sum of T d)^3, and its inverse",
	.source = "Iwama and Tautz (1981), Can. J. Fish. Aquat. Sci. 38, 649",
	.caution = "Fish that are fed less, sick or too warm fall behind it: weigh them.",
	CALC_TABLE(project),
	.run = run_project,
};

/* --- feed-conversion -------------------------------------------------------------------------- */

enum { FCR_FEED, FCR_START, FCR_END, FCR_ADDED, FCR_REMOVED, FCR_DEAD, FCR_UNEATEN };
static const struct calc_field fcr_in[] = {
	[FCR_FEED] = { .name = "feed_g", .unit = "g", .low = 0, .high = 1e12, .required = true },
	[FCR_START] = { .name = "start_g", .unit = "g", .low = 0, .high = 1e12, .required = true },
	[FCR_END] = { .name = "end_g", .unit = "g", .low = 0, .high = 1e12, .required = true },
	[FCR_ADDED] = { .name = "added_g", .unit = "g", .low = 0, .high = 1e12, .has_usual = true },
	[FCR_REMOVED] = { .name = "removed_g",
			  .unit = "g",
			  .low = 0,
			  .high = 1e12,
			  .has_usual = true },
	[FCR_DEAD] = { .name = "dead_g", .unit = "g", .low = 0, .high = 1e12, .has_usual = true },
	[FCR_UNEATEN] = { .name = "uneaten_g",
			  .unit = "g",
			  .low = 0,
			  .high = 1e12,
			  .has_usual = true },
};
enum { FCR_OUT_GAIN, FCR_OUT_ECONOMIC, FCR_OUT_BIOLOGICAL };
static const struct calc_field fcr_out[] = {
	[FCR_OUT_GAIN] = { .name = "gain_g", .unit = "g" },
	[FCR_OUT_ECONOMIC] = { .name = "fcr_economic" },
	[FCR_OUT_BIOLOGICAL] = { .name = "fcr_biological" },
};

/* What rounding leaves where there is no gain, g. */
static const double no_gain_g = 1e-6;

static enum err_code run_fcr(struct book *b, const struct calc_values *in, struct calc_values *out,
			     struct arena *arena, struct err *err)
{
	const double eaten = in->number[FCR_FEED] - in->number[FCR_UNEATEN];
	const double gain = fish_gain_g(in->number[FCR_START], in->number[FCR_END],
					in->number[FCR_ADDED], in->number[FCR_REMOVED]);

	(void)b, (void)arena;
	if (eaten < 0)
		return err_set(err, ERR_INPUT, "uneaten_g", "more_than_fed",
			       "More is left than was fed.");
	out->number[FCR_OUT_GAIN] = gain;
	if (gain > no_gain_g && eaten > 0)
		out->number[FCR_OUT_ECONOMIC] = eaten / gain;
	if (gain + in->number[FCR_DEAD] > no_gain_g && eaten > 0)
		out->number[FCR_OUT_BIOLOGICAL] = eaten / (gain + in->number[FCR_DEAD]);
	return ERR_NONE;
}

const struct calculator calc_feed_conversion = {
	.name = "feed-conversion",
	.topic = "fish",
	.summary = "Feed over gain, with and without the dead",
	.formula = "gain = end + removed - start - added; economic = (feed - uneaten) / gain; "
		   "biological = (feed - uneaten) "
		   "/ (gain + dead)",
	.source = "The trade's definition; see docs/formulas, fish ledger",
	.caution = "Between two weighings it rests on counted and weighed fish; without gain there "
		   "is none.",
	CALC_TABLE(fcr),
	.run = run_fcr,
};

/* --- ration ----------------------------------------------------------------------------------- */

enum {
	RATION_SPECIES,
	RATION_WEIGHT,
	RATION_FISH,
	RATION_T,
	RATION_DO,
	RATION_NH3,
	RATION_NITRITE
};
static const struct calc_field ration_in[] = {
	[RATION_SPECIES] = { .name = "species", .kind = CALC_TEXT, .required = true },
	[RATION_WEIGHT] = { .name = "weight_g",
			    .unit = "g",
			    .low = 0.001,
			    .high = 1e6,
			    .required = true },
	[RATION_FISH] = { .name = "fish", .low = 0, .high = 1e9, .required = true },
	[RATION_T] = { .name = "temperature_c",
		       .unit = "degC",
		       .low = -5,
		       .high = 50,
		       .required = true },
	[RATION_DO] = { .name = "do_mg_l", .unit = "mg/L", .low = 0, .high = 40 },
	[RATION_NH3] = { .name = "nh3_n_mg_l", .unit = "mg/L", .low = 0, .high = 100 },
	[RATION_NITRITE] = { .name = "nitrite_n_mg_l", .unit = "mg/L", .low = 0, .high = 1000 },
};
enum { RATION_OUT_PCT, RATION_OUT_FACTOR, RATION_OUT_REASON, RATION_OUT_AMOUNT };
static const struct calc_field ration_out[] = {
	[RATION_OUT_PCT] = { .name = "pct", .unit = "%/day" },
	[RATION_OUT_FACTOR] = { .name = "factor" },
	[RATION_OUT_REASON] = { .name = "reason", .kind = CALC_TEXT },
	[RATION_OUT_AMOUNT] = { .name = "amount_g", .unit = "g" },
};

static enum err_code run_ration(struct book *b, const struct calc_values *in,
				struct calc_values *out, struct arena *arena, struct err *err)
{
	const struct ration_of_species asked = { .weight_g = in->number[RATION_WEIGHT],
						 .temperature_c = in->number[RATION_T],
						 .do_mg_l = in->number[RATION_DO],
						 .nh3_n_mg_l = in->number[RATION_NH3],
						 .nitrite_n_mg_l = in->number[RATION_NITRITE] };
	int64_t species;
	enum err_code rc = store_find_name(book_store(b), &species_kind, in->text[RATION_SPECIES],
					   &species, err);

	if (rc == ERR_NOT_FOUND)
		return err_set(err, ERR_INPUT, "species", "unknown_reference",
			       "The record has no species of this name.");
	if (!rc)
		rc = ration_for_species(b, species, &asked, arena, &out->number[RATION_OUT_PCT],
					&out->number[RATION_OUT_FACTOR],
					&out->text[RATION_OUT_REASON], err);
	if (!rc)
		out->number[RATION_OUT_AMOUNT] =
			out->number[RATION_OUT_PCT] / 100 * out->number[RATION_OUT_FACTOR] *
			in->number[RATION_FISH] * in->number[RATION_WEIGHT];
	return rc;
}

const struct calculator calc_ration = {
	.name = "ration",
	.topic = "fish",
	.summary = "What fish of a species are to be fed in a day, from its steps and limits in "
		   "the record",
	.formula = "percent by the species' steps, interpolated; times clamp((x - stop) / (limit - "
		   "stop), 0, 1) for oxygen, "
		   "NH3-N, nitrite, temperature",
	.source = "The species' steps and limits, each with its own source",
	.caution = "What is not measured does not cut the ration: look at the fish.",
	CALC_TABLE(ration),
	.reads_record = true,
	.run = run_ration,
};

/* --- density ---------------------------------------------------------------------------------- */

enum { DENSITY_FISH, DENSITY_WEIGHT, DENSITY_VOLUME };
static const struct calc_field density_in[] = {
	[DENSITY_FISH] = { .name = "fish", .low = 0, .high = 1e9, .required = true },
	[DENSITY_WEIGHT] = { .name = "weight_g",
			     .unit = "g",
			     .low = 0,
			     .high = 1e6,
			     .required = true },
	[DENSITY_VOLUME] = { .name = "volume_l",
			     .unit = "L",
			     .low = 0.001,
			     .high = 1e9,
			     .required = true },
};
static const struct calc_field density_out[] = { { .name = "kg_m3", .unit = "kg/m3" } };

static enum err_code run_density(struct book *b, const struct calc_values *in,
				 struct calc_values *out, struct arena *arena, struct err *err)
{
	(void)b, (void)arena, (void)err;
	out->number[0] = fish_density_kg_m3(in->number[DENSITY_FISH], in->number[DENSITY_WEIGHT],
					    in->number[DENSITY_VOLUME]);
	return ERR_NONE;
}

const struct calculator calc_density = {
	.name = "density",
	.topic = "fish",
	.summary = "How crowded a tank is",
	.formula = "density = fish x mean weight / volume",
	.source = "By definition",
	.caution = "What a tank can bear hangs on oxygen and flow, not on this figure alone.",
	CALC_TABLE(density),
	.run = run_density,
};

/* --- condition-factor ------------------------------------------------------------------------- */

enum { CONDITION_WEIGHT, CONDITION_LENGTH };
static const struct calc_field condition_in[] = {
	[CONDITION_WEIGHT] = { .name = "weight_g",
			       .unit = "g",
			       .low = 0.001,
			       .high = 1e6,
			       .required = true },
	[CONDITION_LENGTH] = { .name = "length_cm",
			       .unit = "cm",
			       .low = 0.1,
			       .high = 500,
			       .required = true },
};
static const struct calc_field condition_out[] = { { .name = "k" } };

static enum err_code run_condition(struct book *b, const struct calc_values *in,
				   struct calc_values *out, struct arena *arena, struct err *err)
{
	(void)b, (void)arena, (void)err;
	out->number[0] =
		fish_condition_factor(in->number[CONDITION_WEIGHT], in->number[CONDITION_LENGTH]);
	return ERR_NONE;
}

const struct calculator calc_condition_factor = {
	.name = "condition-factor",
	.topic = "fish",
	.summary = "How plump a fish is for its length",
	.formula = "K = 100 W / L^3, g and cm",
	.source = "Fulton (1904) (from memory)",
	.caution = "Compare within one species and one way of measuring length.",
	CALC_TABLE(condition),
	.run = run_condition,
};

/* --- sample-size ------------------------------------------------------------------------------ */

enum { SAMPLE_CV, SAMPLE_ERROR, SAMPLE_CONFIDENCE, SAMPLE_Z, SAMPLE_FISH };
static const struct calc_field sample_in[] = {
	[SAMPLE_CV] = { .name = "cv_pct", .unit = "%", .low = 0.1, .high = 300, .required = true },
	[SAMPLE_ERROR] = { .name = "error_pct",
			   .unit = "%",
			   .low = 0.1,
			   .high = 100,
			   .required = true },
	[SAMPLE_CONFIDENCE] = { .name = "confidence_pct", .unit = "%", .low = 50, .high = 99.9 },
	[SAMPLE_Z] = { .name = "z", .low = 0.1, .high = 5 },
	[SAMPLE_FISH] = { .name = "fish", .low = 1, .high = 1e9 },
};
static const struct calc_field sample_out[] = { { .name = "sample_fish" } };

static enum err_code run_sample(struct book *b, const struct calc_values *in,
				struct calc_values *out, struct arena *arena, struct err *err)
{
	const double confidence = in->number[SAMPLE_CONFIDENCE];
	double z = in->number[SAMPLE_Z];

	(void)b, (void)arena;
	if (!isnan(confidence) && !isnan(z))
		return err_set(err, ERR_INPUT, "z", "not_with",
			       "Give the confidence or z, not both.");
	if (isnan(z))
		z = confidence_z(isnan(confidence) ? 95 : confidence);
	out->number[0] = sample_size(in->number[SAMPLE_CV], in->number[SAMPLE_ERROR], z,
				     in->number[SAMPLE_FISH]);
	return ERR_NONE;
}

const struct calculator calc_sample_size = {
	.name = "sample-size",
	.topic = "fish",
	.summary = "How many fish to weigh for a mean that is near enough",
	.formula = "n = (z cv / error)^2; of few fish n / (1 + n / fish), rounded up",
	.source = "Cochran (1977), Sampling Techniques, section 4.6 (from memory)",
	.caution = "Only of fish taken as they come: a net takes the slow ones first.",
	CALC_TABLE(sample),
	.run = run_sample,
};

/* --- feed-area -------------------------------------------------------------------------------- */

enum { AREA_FEED, AREA_AREA, AREA_RATIO };
static const struct calc_field area_in[] = {
	[AREA_FEED] = { .name = "feed_g_day", .unit = "g/day", .low = 0, .high = 1e9 },
	[AREA_AREA] = { .name = "area_m2", .unit = "m2", .low = 0.001, .high = 1e7 },
	[AREA_RATIO] = { .name = "ratio_g_m2_day", .unit = "g/m2/day", .low = 0.001, .high = 1000 },
};
enum { AREA_OUT_FEED, AREA_OUT_AREA, AREA_OUT_RATIO };
static const struct calc_field area_out[] = {
	[AREA_OUT_FEED] = { .name = "feed_g_day", .unit = "g/day" },
	[AREA_OUT_AREA] = { .name = "area_m2", .unit = "m2" },
	[AREA_OUT_RATIO] = { .name = "ratio_g_m2_day", .unit = "g/m2/day" },
};

static enum err_code run_area(struct book *b, const struct calc_values *in, struct calc_values *out,
			      struct arena *arena, struct err *err)
{
	const double feed = in->number[AREA_FEED], area = in->number[AREA_AREA],
		     ratio = in->number[AREA_RATIO];

	(void)b, (void)arena;
	if (isnan(feed) + isnan(area) + isnan(ratio) != 1)
		return err_set(err, ERR_INPUT, isnan(feed) ? "feed_g_day" : "ratio_g_m2_day",
			       "two_of_three",
			       "Give two of feed, area and ratio: the third is worked out.");
	out->number[AREA_OUT_FEED] = isnan(feed) ? feed_of_area_g_day(area, ratio) : feed;
	out->number[AREA_OUT_AREA] = isnan(area) ? feed / ratio : area;
	out->number[AREA_OUT_RATIO] = isnan(ratio) ? feed / area : ratio;
	return ERR_NONE;
}

const struct calculator calc_feed_area = {
	.name = "feed-area",
	.topic = "crops",
	.summary = "Feed, planted area and the ratio between them: the third from two",
	.formula = "feed = area x ratio",
	.caution =
		"The ratio is for planted rafts and a steady week, not for empty ones or one day.",
	.source = "Published ratios: 60 to 100 g/m2/day on rafts, Rakocy (2007), Ten guidelines; "
		  "40 to 50 for leafy crops and 50 "
		  "to 80 for fruiting, FAO Technical Paper 589 (2014)",
	CALC_TABLE(area),
	.run = run_area,
};

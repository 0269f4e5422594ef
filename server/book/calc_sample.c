/* The calculator of a weighing while it goes on: how well the mean is known after each net. */
#include <math.h>
#include <string.h>

#include "book/calculator.h"
#include "book/fish_sample.h"
#include "domain/fish_measures.h"
#include "domain/normal.h"

enum { ENOUGH_NETS, ENOUGH_WEIGHTS, ENOUGH_FISH, ENOUGH_ERROR };
static const struct calc_field enough_in[] = {
	[ENOUGH_NETS] = { .name = "nets", .kind = CALC_TEXT },
	[ENOUGH_WEIGHTS] = { .name = "weights_g", .kind = CALC_TEXT },
	[ENOUGH_FISH] = { .name = "fish", .low = 1, .high = 1e9 },
	[ENOUGH_ERROR] = { .name = "error_pct",
			   .unit = "%",
			   .low = 0.1,
			   .high = 100,
			   .usual = 5,
			   .has_usual = true },
};
enum { ENOUGH_OUT_FISH, ENOUGH_OUT_MEAN, ENOUGH_OUT_CV, ENOUGH_OUT_ERROR, ENOUGH_OUT_MORE };
static const struct calc_field enough_out[] = {
	[ENOUGH_OUT_FISH] = { .name = "sample_fish" },
	[ENOUGH_OUT_MEAN] = { .name = "mean_weight_g", .unit = "g" },
	[ENOUGH_OUT_CV] = { .name = "cv_pct", .unit = "%" },
	[ENOUGH_OUT_ERROR] = { .name = "error_pct", .unit = "%" },
	[ENOUGH_OUT_MORE] = { .name = "more_fish" },
};

/* Whether the list is pairs of whole nets, or single weights, all in what a scale shows. */
static bool is_list(const char *list, bool pairs, struct sizes *s)
{
	const char *rest = fish_sample_list(list, pairs, s);

	return !*rest && s->nets > 0 && s->fish >= 1.0 && s->fish <= 1e8 && s->mass_g > 0.0 &&
	       s->mass_g <= 1e10 && isfinite(s->squares);
}

static enum err_code run_enough(struct book *b, const struct calc_values *in,
				struct calc_values *out, struct arena *arena, struct err *err)
{
	const char *nets = in->text[ENOUGH_NETS], *weights = in->text[ENOUGH_WEIGHTS];
	const double all = in->number[ENOUGH_FISH];
	struct sizes s = { 0 };

	(void)b, (void)arena;
	if (!nets == !weights)
		return err_set(err, ERR_INPUT, "nets", "one_of",
			       "Give either nets or single weights.");
	if (!is_list(nets ? nets : weights, nets != NULL, &s))
		return err_set(err, ERR_INPUT, nets ? "nets" : "weights_g", "not_a_number",
			       "Write nets as fish and grams, again and again; single weights as "
			       "grams: all "
			       "above 0.");
	const struct fish_sample sample = fish_sample_read(nets, weights, NAN, NAN);
	const double need = sample_size(100.0 * sample.cv, in->number[ENOUGH_ERROR], Z95, all);
	out->number[ENOUGH_OUT_FISH] = sample.fish;
	out->number[ENOUGH_OUT_MEAN] = sample.mean_g;
	out->number[ENOUGH_OUT_CV] = 100.0 * sample.cv;
	out->number[ENOUGH_OUT_ERROR] = 100.0 * sizes_error(sample.cv, sample.fish, all, Z95);
	out->number[ENOUGH_OUT_MORE] = need > sample.fish ? ceil(need - sample.fish) : 0.0;
	return ERR_NONE;
}

const struct calculator calc_weigh_enough = {
	.name = "weigh-enough",
	.topic = "fish",
	.summary = "While fish are weighed: their mean, its error, and how many more to take",
	.formula =
		"error = 1.96 cv / sqrt(n) x sqrt(1 - n / fish); cv from the nets, in which 20 % "
		"counts as ten",
	.source = "Cochran (1977), Sampling Techniques (from memory); 20 %: common practice, no "
		  "source",
	.caution = "Only of fish taken as they come: a net takes the slow ones first.",
	CALC_TABLE(enough),
	.run = run_enough,
};

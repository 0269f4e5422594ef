/* The calculator of a weighing while it goes on: how well the mean is known after each net. */
#include <math.h>
#include <string.h>

#include "book/calculator.h"
#include "book/fish_sample.h"
#include "domain/fish_measures.h"

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
static const struct calc_field enough_out[] = { { .name = "sample_fish" },
						{ .name = "mean_weight_g", .unit = "g" },
						{ .name = "cv_pct", .unit = "%" },
						{ .name = "error_pct", .unit = "%" },
						{ .name = "more_fish" } };

static const double z95 = 1.96;

/* Whether the list is pairs of whole nets, or single weights, all in what a scale shows. */
static bool is_list(const char *list, int pairs, struct sizes *s)
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
	const double need = sample_size(100.0 * sample.cv, in->number[ENOUGH_ERROR], z95, all);
	out->number[0] = sample.fish;
	out->number[1] = sample.mean_g;
	out->number[2] = 100.0 * sample.cv;
	out->number[3] = 100.0 * sizes_error(sample.cv, sample.fish, all, z95);
	out->number[4] = need > sample.fish ? ceil(need - sample.fish) : 0.0;
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

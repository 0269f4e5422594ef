/* Calculators of what plants take from the water: doses of nutrients, and hardness. */
#include "book/calculator.h"
#include "domain/dosing.h"
#include "domain/ion.h"

/* --- nutrient-dose -------------------------------------------------------------------------------- */

enum { DOSE_VOLUME, DOSE_RISE, DOSE_CONTENT, DOSE_COUNTED };
enum { COUNTED_ELEMENT, COUNTED_P2O5, COUNTED_K2O };
static const char *const counted_words[] = {
	[COUNTED_ELEMENT] = "element", [COUNTED_P2O5] = "p2o5", [COUNTED_K2O] = "k2o", NULL
};
static const struct calc_field dose_in[] = {
	[DOSE_VOLUME] = { .name = "volume_l",
			  .unit = "L",
			  .low = 0.001,
			  .high = 1e9,
			  .required = true },
	[DOSE_RISE] = { .name = "element_rise_mg_l",
			.unit = "mg/L",
			.low = 0,
			.high = 500,
			.required = true },
	[DOSE_CONTENT] = { .name = "content_pct",
			   .unit = "%",
			   .low = 0.01,
			   .high = 100,
			   .required = true },
	[DOSE_COUNTED] = { .name = "counted_as", .kind = CALC_WORD, .words = counted_words },
};
static const struct calc_field dose_out[] = { { .name = "amount_g", .unit = "g" },
					      { .name = "element_g", .unit = "g" } };

static double element_share_of_label(int counted)
{
	if (counted == COUNTED_P2O5)
		return ion_element_share(ION_P2O5);
	return counted == COUNTED_K2O ? ion_element_share(ION_K2O) : 1;
}

static enum err_code run_dose(struct book *b, const struct calc_values *in, struct calc_values *out,
			      struct arena *arena, struct err *err)
{
	const double share =
		in->number[DOSE_CONTENT] / 100 * element_share_of_label(in->word[DOSE_COUNTED]);

	(void)b, (void)arena, (void)err;
	out->number[1] = element_dose_g(in->number[DOSE_VOLUME], in->number[DOSE_RISE]);
	out->number[0] = out->number[1] / share;
	return ERR_NONE;
}

const struct calculator calc_nutrient_dose = {
	.name = "nutrient-dose",
	.topic = "doses",
	.summary = "How much of a fertilizer or chelate raises a nutrient, by the content on its "
		   "label",
	.formula = "element = volume / 1000 x rise; amount = element / content; of P2O5 0.4364 is "
		   "phosphorus, of K2O 0.8302 potassium",
	.source = "Molar masses: IUPAC (2021)",
	.caution = CALC_LABEL_FIRST " Copper and zinc kill fish at fractions of a mg/L; what "
				    "brings ammonium or urea is ammonia to them.",
	CALC_TABLE(dose),
	.run = run_dose,
};

/* --- hardness ------------------------------------------------------------------------------------- */

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

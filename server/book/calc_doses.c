/* Calculators of what goes into the water: how much of a material.  They compute and prescribe
 * nothing. */
#include "book/calculator.h"
#include "domain/dosing.h"
#include "domain/ion.h"

/* --- alkalinity-dose -------------------------------------------------------------------------- */

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

/* --- chloride-dose ---------------------------------------------------------------------------- */

enum {
	SALT_VOLUME,
	SALT_NITRITE,
	SALT_CHLORIDE,
	SALT_RATIO,
	SALT_BASIS,
	SALT_MATERIAL,
	SALT_PURITY
};
enum { SALT_OF_NITROGEN, SALT_OF_ION };
static const char *const salt_bases[] = {
	[SALT_OF_NITROGEN] = "nitrite_n", [SALT_OF_ION] = "nitrite_ion", NULL
};
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
enum { SALT_OUT_AMOUNT, SALT_OUT_SODIUM };
static const struct calc_field salt_out[] = {
	[SALT_OUT_AMOUNT] = { .name = "amount_g", .unit = "g" },
	[SALT_OUT_SODIUM] = { .name = "sodium_mg_l", .unit = "mg/L" },
};

static enum err_code run_salt(struct book *b, const struct calc_values *in, struct calc_values *out,
			      struct arena *arena, struct err *err)
{
	const enum chloride_material material = (enum chloride_material)in->word[SALT_MATERIAL];
	const double missing =
		chloride_missing_mg_l(in->number[SALT_NITRITE], in->number[SALT_CHLORIDE],
				      in->number[SALT_RATIO], in->word[SALT_BASIS] == SALT_OF_ION);

	(void)b, (void)arena, (void)err;
	out->number[SALT_OUT_AMOUNT] = chloride_dose_g(in->number[SALT_VOLUME], missing, material,
						       in->number[SALT_PURITY]);
	out->number[SALT_OUT_SODIUM] = missing / chloride_share(material) * sodium_share(material);
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

/* --- nutrient-dose ---------------------------------------------------------------------------- */

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
enum { DOSE_OUT_AMOUNT, DOSE_OUT_ELEMENT };
static const struct calc_field dose_out[] = {
	[DOSE_OUT_AMOUNT] = { .name = "amount_g", .unit = "g" },
	[DOSE_OUT_ELEMENT] = { .name = "element_g", .unit = "g" },
};

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
	out->number[DOSE_OUT_ELEMENT] =
		element_dose_g(in->number[DOSE_VOLUME], in->number[DOSE_RISE]);
	out->number[DOSE_OUT_AMOUNT] = out->number[DOSE_OUT_ELEMENT] / share;
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

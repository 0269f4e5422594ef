/* The one list of calculators, and running one: see calculator.h. */
#include "book/calculator.h"

#include <math.h>
#include <string.h>

#include "base/number.h"

const struct calculator *const calculators[] = { &calc_unionized_ammonia,
						 &calc_oxygen_saturation,
						 &calc_carbon_dioxide,
						 &calc_ion_to_nitrogen,
						 &calc_hardness,
						 &calc_filter_capacity,
						 &calc_air_left,
						 &calc_alkalinity_dose,
						 &calc_chloride_dose,
						 &calc_nutrient_dose,
						 &calc_feed_load,
						 &calc_ration,
						 &calc_growth_rate,
						 &calc_projection,
						 &calc_feed_conversion,
						 &calc_density,
						 &calc_condition_factor,
						 &calc_sample_size,
						 &calc_weigh_enough,
						 &calc_feed_area,
						 &calc_moist_air,
						 &calc_daylight,
						 &calc_light_integral,
						 &calc_light_meter,
						 &calc_units,
						 NULL };

const struct calculator *calculator_find(const char *name)
{
	for (size_t i = 0; calculators[i]; i++)
		if (strcmp(calculators[i]->name, name) == 0)
			return calculators[i];
	return NULL;
}

static void refuse_range(const struct calc_field *f, struct err *err)
{
	char low[NUMBER_TEXT_MAX], high[NUMBER_TEXT_MAX];

	number_write_real(low, f->low);
	number_write_real(high, f->high);
	err_set(err, ERR_INPUT, f->name, "out_of_range", "%s must be between %s and %s.", f->name,
		low, high);
	err_arg(err, "low", "%s", low);
	err_arg(err, "high", "%s", high);
}

static void read_number(const struct calc_field *f, const char *text, double *out, struct err *err)
{
	if (!text || !*text) {
		*out = f->has_usual ? f->usual : NAN;
		if (f->required)
			err_set(err, ERR_INPUT, f->name, "required", "%s is missing.", f->name);
		return;
	}
	if (!number_read_real(text, '.', out))
		err_set(err, ERR_INPUT, f->name, "not_a_number",
			"%s must be a number with a decimal point, such as 7.2.", f->name);
	else if (!(*out >= f->low && *out <= f->high))
		refuse_range(f, err);
}

static void read_word(const struct calc_field *f, const char *text, int *out, struct err *err)
{
	*out = -1;
	if (!text || !*text) {
		if (f->required)
			err_set(err, ERR_INPUT, f->name, "required", "%s is missing.", f->name);
		else
			*out = 0;
		return;
	}
	for (int i = 0; f->words[i]; i++)
		if (strcmp(f->words[i], text) == 0)
			*out = i;
	if (*out < 0)
		err_set(err, ERR_INPUT, f->name, "not_a_choice", "%s has no choice \"%.40s\".",
			f->name, text);
}

static void read_text(const struct calc_field *f, const char *text, const char **out,
		      struct err *err)
{
	*out = text && *text ? text : NULL;
	if (!*out && f->required)
		err_set(err, ERR_INPUT, f->name, "required", "%s is missing.", f->name);
}

static enum err_code read_inputs(const struct calculator *c, const struct calc_inputs *given,
				 struct calc_values *in, struct err *err)
{
	struct err found;

	err_clear(&found);
	for (size_t i = 0; i < c->n_inputs; i++) {
		const struct calc_field *f = &c->inputs[i];
		const char *text = given->get(f->name, given->with);

		if (f->kind == CALC_NUMBER)
			read_number(f, text, &in->number[i], &found);
		else if (f->kind == CALC_WORD)
			read_word(f, text, &in->word[i], &found);
		else
			read_text(f, text, &in->text[i], &found);
	}
	if (!found.code)
		return ERR_NONE;
	err_append(err, &found);
	return ERR_INPUT;
}

static void clear(struct calc_values *v)
{
	for (size_t i = 0; i < CALC_FIELDS_MAX; i++) {
		v->number[i] = NAN;
		v->word[i] = -1;
		v->text[i] = NULL;
	}
}

enum err_code calculator_run(const struct calculator *c, struct book *b,
			     const struct calc_inputs *given, struct calc_values *in,
			     struct calc_values *out, struct arena *arena, struct err *err)
{
	enum err_code rc;

	clear(in);
	clear(out);
	rc = read_inputs(c, given, in, err);
	if (!rc)
		rc = c->run(b, in, out, arena, err);
	for (size_t i = 0; !rc && i < c->n_outputs; i++)
		if (isinf(out->number[i]))
			rc = err_set(err, ERR_INTERNAL, c->outputs[i].name, "not_finite",
				     "%s came out infinite.", c->outputs[i].name);
	return rc;
}

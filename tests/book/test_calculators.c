/* All calculators from their one list: what they refuse, and that nothing makes them give no number. */
#include "book_tests.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "book/calculator.h"
#include "support/mini_farm.h"
#include "support/support.h"

static struct mini_farm f;

static void open_farm(void)
{
	mini_farm_open(&f);
	mini_keep(&f, mini_row(&f, "ration-steps", "species_id", "Tilapia", "weight_from_g", "5",
			       "pct_body_weight_day", "6", "source", "made for this test", NULL));
	mini_keep(&f, mini_row(&f, "ration-steps", "species_id", "Tilapia", "weight_from_g", "105",
			       "pct_body_weight_day", "2", "source", "made for this test", NULL));
	mini_keep(&f, mini_row(&f, "species-limits", "species_id", "Tilapia", "quantity", "do_mg_l",
			       "low_stop", "3", "low", "5", "source", "made for this test", NULL));
}

static void close_farm(void)
{
	mini_farm_close(&f);
}

/* Inputs by place; NULL: not given. */
struct typed {
	const struct calculator *c;
	const char *text[CALC_FIELDS_MAX];
};

static const char *get(const char *name, void *with)
{
	const struct typed *t = with;

	for (size_t i = 0; i < t->c->n_inputs; i++)
		if (strcmp(t->c->inputs[i].name, name) == 0)
			return t->text[i];
	return NULL;
}

static enum err_code run(struct typed *t, struct calc_values *out)
{
	const struct calc_inputs from = { .get = get, .with = t };
	struct calc_values in;

	err_clear(&f.err);
	return calculator_run(t->c, f.book, &from, &in, out, &f.arena, &f.err);
}

static const char *number_text(double v)
{
	return arena_printf(&f.arena, "%.15g", v);
}

/* Something in the middle of each required input. */
static struct typed likely(const struct calculator *c)
{
	struct typed t = { .c = c };

	for (size_t i = 0; i < c->n_inputs; i++) {
		const struct calc_field *field = &c->inputs[i];

		if (!field->required)
			continue;
		if (field->kind == CALC_NUMBER)
			t.text[i] = number_text(field->low + (field->high - field->low) / 3);
		else
			t.text[i] = field->kind == CALC_WORD ? field->words[0] : "Tilapia";
	}
	return t;
}

static size_t n_calculators(void)
{
	size_t n = 0;

	while (calculators[n])
		n++;
	return n;
}

START_TEST(each_says_what_it_is_and_where_it_is_from)
{
	for (size_t i = 0; i < n_calculators(); i++) {
		const struct calculator *c = calculators[i];

		ck_assert_ptr_eq(calculator_find(c->name), c);
		ck_assert_uint_gt(strlen(c->topic), 3);
		ck_assert_uint_gt(strlen(c->summary), 10);
		/* what can hurt says so: a dose, gas, current, and every other with what it leaves out */
		ck_assert_uint_gt(strlen(c->caution), 40);
		ck_assert(strcmp(c->topic, "doses") != 0 || strstr(c->caution, "safety sheet"));
		ck_assert_uint_gt(strlen(c->formula), 5);
		ck_assert_uint_gt(strlen(c->source), 5);
		ck_assert_uint_le(c->n_inputs, CALC_FIELDS_MAX);
		ck_assert_uint_ge(c->n_outputs, 1);
		for (size_t k = 0; k < c->n_inputs; k++)
			ck_assert(c->inputs[k].kind != CALC_NUMBER ||
				  c->inputs[k].low < c->inputs[k].high);
	}
	ck_assert_ptr_null(calculator_find("unknown"));
}
END_TEST

START_TEST(each_names_every_required_input_that_is_missing)
{
	for (size_t i = 0; i < n_calculators(); i++) {
		const struct calculator *c = calculators[i];
		struct typed nothing = { .c = c };
		struct calc_values out;
		size_t required = 0;

		for (size_t k = 0; k < c->n_inputs; k++)
			required += c->inputs[k].required;
		if (!required)
			continue;
		ck_assert_int_eq(run(&nothing, &out), ERR_INPUT);
		ck_assert_uint_eq(f.err.n_items, required);
		ck_assert(err_has(&f.err, "required"));
	}
}
END_TEST

START_TEST(each_refuses_what_is_outside_its_range_by_field)
{
	for (size_t i = 0; i < n_calculators(); i++)
		for (size_t k = 0; k < calculators[i]->n_inputs; k++) {
			const struct calc_field *field = &calculators[i]->inputs[k];
			struct typed t = likely(calculators[i]);
			const double step = (field->high - field->low) / 1000;
			struct calc_values out;

			if (field->kind != CALC_NUMBER)
				continue;
			for (int above = 0; above < 2; above++) {
				t.text[k] =
					number_text(above ? field->high + step : field->low - step);
				ck_assert_int_eq(run(&t, &out), ERR_INPUT);
				ck_assert_str_eq(f.err.items[0].field, field->name);
				ck_assert_str_eq(f.err.items[0].code, "out_of_range");
			}
			t.text[k] = "seven";
			ck_assert_int_eq(run(&t, &out), ERR_INPUT);
			ck_assert_str_eq(f.err.items[0].code, "not_a_number");
		}
}
END_TEST

static bool is_refused_as(const char *field, const char *code)
{
	for (size_t i = 0; i < f.err.n_items; i++)
		if (strcmp(f.err.items[i].field, field) == 0 &&
		    strcmp(f.err.items[i].code, code) == 0)
			return true;
	return false;
}

/* The nearest number beyond an end that a text can say: numbers are read to 15 digits. */
static double next_beyond(double end, bool above)
{
	const double step = end == 0.0 ? 1e-300 : fabs(end) * 1e-14;

	return above ? end + step : end - step;
}

static size_t n_words(const struct calc_field *field)
{
	size_t n = 0;

	while (field->kind == CALC_WORD && field->words[n])
		n++;
	return n;
}

/* The inputs but one, numbers at this share of their ranges, words the one of this index; of those that are not
 * required, the ones of bits. */
static struct typed given(const struct calculator *c, size_t but, double share, size_t word,
			  unsigned bits)
{
	struct typed t = likely(c);

	for (size_t i = 0; i < c->n_inputs; i++) {
		const struct calc_field *field = &c->inputs[i];

		if (i == but || !(field->required || (bits >> i & 1)))
			continue;
		if (field->kind == CALC_WORD && word < n_words(field))
			t.text[i] = field->words[word];
		if (field->kind == CALC_TEXT && !field->required)
			t.text[i] = "12 1500"; /* a net, or two weights */
		if (field->kind == CALC_NUMBER)
			t.text[i] = number_text(field->low + (field->high - field->low) * share);
	}
	return t;
}

/* Whether input k takes this text with some likely choice of the others: not all go with all. */
static bool is_taken(const struct calculator *c, size_t k, const char *text)
{
	static const double shares[] = { 1.0 / 3.0, 0.001, 0.9, 0.0, 1.0 };
	enum { N_SHARES = sizeof(shares) / sizeof(shares[0]) };
	struct calc_values out;
	size_t words = 1;

	for (size_t i = 0; i < c->n_inputs; i++)
		words = n_words(&c->inputs[i]) > words ? n_words(&c->inputs[i]) : words;
	for (unsigned bits = 0; bits < 1u << c->n_inputs; bits++)
		for (size_t n = 0; n < words * N_SHARES; n++) {
			struct typed t = given(c, k, shares[n % N_SHARES], n / N_SHARES, bits);

			t.text[k] = text;
			if (!run(&t, &out))
				return true;
		}
	return false;
}

/* Both ends are within; the very next number outside is not, and is told with the ends. */
START_TEST(each_takes_both_ends_of_its_ranges_and_nothing_beyond)
{
	int ends = 0;

	for (size_t i = 0; i < n_calculators(); i++)
		for (size_t k = 0; k < calculators[i]->n_inputs; k++) {
			const struct calc_field *field = &calculators[i]->inputs[k];
			const double at[] = { field->low, field->high };
			const double beyond[] = { next_beyond(field->low, false),
						  next_beyond(field->high, true) };
			struct typed t = likely(calculators[i]);
			struct calc_values out;

			if (field->kind != CALC_NUMBER)
				continue;
			for (int end = 0; end < 2; end++) {
				t.text[k] = arena_printf(&f.arena, "%.15g", at[end]);
				ck_assert_msg(is_taken(calculators[i], k, t.text[k]),
					      "%s never takes %s=%s: %s", calculators[i]->name,
					      field->name, t.text[k], f.err.items[0].message);
				t.text[k] = arena_printf(&f.arena, "%.15g", beyond[end]);
				ck_assert_msg(run(&t, &out) == ERR_INPUT, "%s takes %s=%s",
					      calculators[i]->name, field->name, t.text[k]);
				ck_assert(is_refused_as(field->name, "out_of_range"));
				ck_assert_str_ne(err_arg_of(err_item_of(&f.err, "out_of_range"),
							    end ? "high" : "low"),
						 "");
				ends++;
			}
		}
	ck_assert_int_gt(ends, 150);
}
END_TEST

/* Random, extreme and missing inputs: an answer is a finite number or not known, a refusal names an input. */
START_TEST(nothing_makes_one_give_infinity_or_crash)
{
	static const char *const odd[] = { "",      "nan",    "inf",    "-0",
					   "1e308", "-1e308", "1e-308", "0",
					   "abc",   "12,5",   "0x10",   "9223372036854775808",
					   "1 2" };
	unsigned seed = 20261125;

	for (int n = 0; n < 20000; n++) {
		struct typed t = likely(calculators[(size_t)n % n_calculators()]);
		struct calc_values out;

		for (size_t k = 0; k < t.c->n_inputs; k++) {
			const struct calc_field *field = &t.c->inputs[k];
			const double share = rand_r(&seed) / (double)RAND_MAX;

			switch (rand_r(&seed) % 8) {
			case 0:
				t.text[k] =
					odd[(size_t)rand_r(&seed) % (sizeof(odd) / sizeof(odd[0]))];
				break;
			case 1:
				t.text[k] = NULL;
				break;
			case 2:
			case 3: /* the very ends */
				if (field->kind == CALC_NUMBER)
					t.text[k] =
						number_text(share < 0.5 ? field->low : field->high);
				break;
			default:
				if (field->kind == CALC_NUMBER)
					t.text[k] = number_text(field->low +
								share * share * share *
									(field->high - field->low));
			}
		}

		const enum err_code rc = run(&t, &out);

		ck_assert_msg(rc == ERR_NONE || rc == ERR_INPUT, "%s: %s", t.c->name,
			      f.err.items[0].message);
		for (size_t k = 0; !rc && k < t.c->n_outputs; k++)
			ck_assert_msg(!isinf(out.number[k]), "%s", t.c->name);
		if (rc)
			ck_assert_uint_gt(strlen(f.err.items[0].field), 0);
		arena_reset(&f.arena);
	}
}
END_TEST

static double number_of(const char *name, const char *const *texts, size_t output)
{
	struct typed t = { .c = calculator_find(name) };
	struct calc_values out;

	for (size_t i = 0; i < t.c->n_inputs; i++)
		t.text[i] = texts[i];
	ck_assert_msg(!run(&t, &out), "%s: %s", name, f.err.items[0].message);
	return out.number[output];
}

#define ASK(name, output, ...)                                                                     \
	number_of(name, (const char *const[CALC_FIELDS_MAX]){ __VA_ARGS__ }, output)

/* 55 g lies half way between the steps: 4 %; oxygen at 4 half way from stop to limit: half of it. */
START_TEST(a_ration_is_interpolated_and_cut)
{
	ck_assert_double_eq_tol(ASK("ration", 0, "Tilapia", "55", "100", "25", "6"), 4, 1e-9);
	ck_assert_double_eq_tol(ASK("ration", 1, "Tilapia", "55", "100", "25", "4"), 0.5, 1e-9);
	ck_assert_double_eq_tol(ASK("ration", 3, "Tilapia", "55", "100", "25", "4"), 110, 1e-9);
	ck_assert_double_eq_tol(ASK("ration", 3, "Tilapia", "55", "100", "25", "2.9"), 0, 1e-9);
}
END_TEST

/* A species that is fed one share of its weight at every size. */
static void flat_ration(const char *species, const char *pct)
{
	mini_keep(&f, mini_row(&f, "species", "name", species, NULL));
	mini_keep(&f, mini_row(&f, "ration-steps", "species_id", species, "weight_from_g", "1",
			       "pct_body_weight_day", pct, "source", "the row", NULL));
}

/*
 * FB087: 105 kg at 2 % are 2.1 kg; FB123: 11 kg, 220 g; FB149: 35 kg, 0.7 kg; FB190 and FB191: 10 kg at 2 % and 20 kg at
 * 1 % eat the 200 g that 4 m2 want; FB278: 100 fish of 450 g at 1 %, 0.45 kg.  Sources: fixtures/published/fish-and-beds.csv.
 */
START_TEST(rations_are_as_published)
{
	flat_ration("At two", "2");
	flat_ration("At one", "1");
	ck_assert_double_eq_tol(ASK("ration", 3, "At two", "500", "210", "25", "6"), 2100, 1e-9);
	ck_assert_double_eq_tol(ASK("ration", 3, "At two", "100", "110", "25", "6"), 220, 1e-9);
	ck_assert_double_eq_tol(ASK("ration", 3, "At two", "350", "100", "25", "6"), 700, 1e-9);
	ck_assert_double_eq_tol(ASK("ration", 3, "At two", "100", "100", "25", "6"), 200, 1e-9);
	ck_assert_double_eq_tol(ASK("ration", 3, "At one", "200", "100", "25", "6"), 200, 1e-9);
	ck_assert_double_eq_tol(ASK("ration", 3, "At one", "450", "100", "25", "6"), 450, 1e-9);
}
END_TEST

START_TEST(inverse_calculators_return)
{
	for (double days = 10; days < 300; days += 29) {
		const double w = ASK("projection", 0, "50", "0.9", NULL, "28", number_text(days));

		ck_assert_double_eq_tol(
			ASK("projection", 2, "50", "0.9", NULL, "28", NULL, number_text(w)), days,
			1e-6);
		ck_assert_double_eq_tol(
			ASK("growth-rate", 2, "50", number_text(w), number_text(days), NULL, "28"),
			0.9, 1e-9);
	}
	for (double t = -20; t <= 60; t += 5) {
		const double dew = ASK("moist-air", 3, number_text(t), "100");

		ck_assert_double_eq_tol(dew, t, 1e-9);
	}
	for (double area = 1; area < 500; area *= 2) {
		const double feed = ASK("feed-area", 0, NULL, number_text(area), "80");

		ck_assert_double_eq_tol(ASK("feed-area", 1, number_text(feed), NULL, "80"), area,
					1e-9);
	}
}
END_TEST

/* A dry and a wet thermometer tell the humidity that they were computed from; wet is never above dry. */
START_TEST(wet_bulb_and_humidity_return)
{
	for (double t = 5; t <= 45; t += 5)
		for (double humidity = 20; humidity <= 100; humidity += 10) {
			const double wet =
				ASK("moist-air", 5, number_text(t), number_text(humidity));

			if (isnan(wet)) /* the sleeve would freeze */
				continue;
			ck_assert_double_le(wet, t + 1e-4);
			ck_assert_double_eq_tol(ASK("moist-air", 6, number_text(t), NULL,
						    number_text(fmin(wet, t))),
						humidity, 0.01);
		}
}
END_TEST

/* Every unit to every other of its quantity and back; to one of another quantity never. */
START_TEST(units_convert_there_and_back)
{
	const struct calculator *c = calculator_find("units");
	const struct calc_field *from = &c->inputs[1], *to = &c->inputs[2];
	size_t pairs = 0;

	for (size_t i = 0; from->words[i]; i++)
		for (size_t k = 0; to->words[k]; k++) {
			struct typed t = { .c = c,
					   .text = { "12.34", from->words[i], to->words[k] } };
			struct calc_values out;

			if (strcmp(from->group_of(i), to->group_of(k)) != 0) {
				ck_assert_int_eq(run(&t, &out), ERR_INPUT);
				ck_assert_str_eq(f.err.items[0].field, "to_unit");
				continue;
			}
			ck_assert_int_eq(run(&t, &out), ERR_NONE);

			const double there = out.number[0];

			t.text[0] = number_text(there);
			t.text[1] = to->words[k];
			t.text[2] = from->words[i];
			ck_assert_int_eq(run(&t, &out), ERR_NONE);
			ck_assert_double_eq_tol(out.number[0], 12.34, 1e-9);
			pairs++;
		}
	ck_assert_uint_gt(pairs, 200);
}
END_TEST

START_TEST(only_a_temperature_goes_below_zero)
{
	struct typed t = { .c = calculator_find("units"), .text = { "-1", "kg", "lb" } };
	struct calc_values out;

	ck_assert_int_eq(run(&t, &out), ERR_INPUT);
	ck_assert_str_eq(f.err.items[0].code, "below_lowest");
	t.text[1] = "deg_c";
	t.text[2] = "deg_f";
	t.text[0] = "-40";
	ck_assert_int_eq(run(&t, &out), ERR_NONE);
	ck_assert_double_eq_tol(out.number[0], -40, 1e-9);
	t.text[0] = "-273.2";
	ck_assert_int_eq(run(&t, &out), ERR_INPUT);
}
END_TEST

/* What rises rises all the way, and what falls falls. */
START_TEST(answers_are_monotone_where_they_must_be)
{
	double ammonia = -1, oxygen = 100, co2 = 1e9, weight = 0, sample = 1e9;

	for (int i = 0; i <= 40; i++) {
		const char *step = number_text(i);
		const double nh3 = ASK("unionized-ammonia", 0, step, "7.5", "1");
		const double full = ASK("oxygen-saturation", 0, step);
		const double gas =
			ASK("carbon-dioxide", 0, number_text(5 + i / 10.0), "80", "25", "simple");
		const double grown = ASK("projection", 0, "50", "0.9", number_text(1 + i * 100));
		const double fish = ASK("sample-size", 0, "20", number_text(1 + i));

		ck_assert_double_gt(nh3, ammonia);
		ck_assert_double_lt(full, oxygen);
		ck_assert_double_lt(gas, co2);
		ck_assert_double_gt(grown, weight);
		ck_assert_double_le(fish, sample);
		ammonia = nh3;
		oxygen = full;
		co2 = gas;
		weight = grown;
		sample = fish;
	}
}
END_TEST

Suite *calculators_suite(void)
{
	Suite *s = suite_create("calculators");
	TCase *t = tcase_create("all of them");

	tcase_add_checked_fixture(t, open_farm, close_farm);
	tcase_add_test(t, each_says_what_it_is_and_where_it_is_from);
	tcase_add_test(t, each_names_every_required_input_that_is_missing);
	tcase_add_test(t, each_refuses_what_is_outside_its_range_by_field);
	tcase_add_test(t, each_takes_both_ends_of_its_ranges_and_nothing_beyond);
	tcase_add_test(t, nothing_makes_one_give_infinity_or_crash);
	tcase_add_test(t, a_ration_is_interpolated_and_cut);
	tcase_add_test(t, rations_are_as_published);
	tcase_add_test(t, inverse_calculators_return);
	tcase_add_test(t, wet_bulb_and_humidity_return);
	tcase_add_test(t, units_convert_there_and_back);
	tcase_add_test(t, only_a_temperature_goes_below_zero);
	tcase_add_test(t, answers_are_monotone_where_they_must_be);
	suite_add_tcase(s, t);
	return s;
}

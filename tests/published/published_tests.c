/*
 * Every row of the published values that a calculator or a pure function can answer, held against it.  The rows are
 * in fixtures/published, each with its source and how it is known; answered.csv says who answers a row, with which
 * inputs and on which scale; not-answered.csv says why the others are not.  A row in neither, or in both, fails.
 */
#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/csv.h"
#include "base/number.h"
#include "base/strbuf.h"
#include "book/calculator.h"
#include "domain/ammonia.h"
#include "domain/balance.h"
#include "domain/carbonate.h"
#include "domain/daylight.h"
#include "domain/ion.h"
#include "domain/moist_air.h"
#include "domain/oxygen.h"
#include "support/csv_farm.h"
#include "support/run_suites.h"
#include "support/support.h"

static struct arena arena;

static const char *read_file(const char *name, size_t *n)
{
	const char *path = fixture_path(&arena, name);
	FILE *f = fopen(path, "rb");
	char *text;

	ck_assert_msg(f, "cannot open %s", path);
	fseek(f, 0, SEEK_END);
	*n = (size_t)ftell(f);
	rewind(f);
	text = arena_alloc(&arena, *n + 1);
	ck_assert_uint_eq(fread(text, 1, *n, f), *n);
	fclose(f);
	return text;
}

struct table {
	struct csv_row head, *rows;
	size_t n, room;
};

static struct table read_table(const char *name)
{
	struct table t = { .n = 0 };
	struct csv_reader r;
	struct csv_row row;
	struct err err;
	size_t n;
	const char *text = read_file(name, &n);
	enum err_code rc;

	csv_reader_init(&r, text, n, ',');
	err_clear(&err);
	ck_assert_int_eq(csv_read(&r, &arena, &t.head, &err), ERR_NONE);
	while ((rc = csv_read(&r, &arena, &row, &err)) == ERR_NONE) {
		t.rows = arena_grow(&arena, t.rows, t.n, &t.room, sizeof(*t.rows));
		t.rows[t.n++] = row;
	}
	ck_assert_int_eq(rc, ERR_NOT_FOUND);
	return t;
}

static const char *cell(const struct table *t, size_t row, const char *column)
{
	for (size_t i = 0; i < t->head.n; i++)
		if (strcmp(t->head.cells[i], column) == 0)
			return t->rows[row].cells[i];
	ck_abort_msg("no column %s", column);
}

static size_t row_of(const struct table *t, const char *id)
{
	for (size_t i = 0; i < t->n; i++)
		if (strcmp(t->rows[i].cells[0], id) == 0)
			return i;
	return SIZE_MAX;
}

/* The value of name in "a=1 b=2", NULL when it is not there. */
static const char *get(const char *name, void *with)
{
	const char *text = with;
	const size_t n = strlen(name);

	for (const char *at = text; at; at = strchr(at, ' ')) {
		at += *at == ' ';
		if (strncmp(at, name, n) == 0 && at[n] == '=')
			return arena_strndup(&arena, at + n + 1, strcspn(at + n + 1, " "));
	}
	return NULL;
}

static double given(const char *inputs, const char *name, double usual)
{
	const char *text = get(name, (void *)inputs);

	return text ? strtod(text, NULL) : usual;
}

static double pka_ammonium(const char *in)
{
	return 7 + log10(1 / unionized_ammonia_fraction(given(in, "temperature_c", NAN), 7) - 1);
}

static double pressure_kpa(const char *in)
{
	return air_pressure_kpa(given(in, "altitude_m", NAN));
}

static double oxygen_pressure_factor(const char *in)
{
	const double t = given(in, "temperature_c", NAN);

	return oxygen_saturation_mg_l(t, 0, given(in, "pressure_kpa", NAN)) /
	       oxygen_saturation_mg_l(t, 0, STANDARD_ATMOSPHERE_KPA);
}

static double oxygen_salinity_factor(const char *in)
{
	const double t = given(in, "temperature_c", NAN);

	return oxygen_saturation_mg_l(t, given(in, "salinity_g_kg", NAN), STANDARD_ATMOSPHERE_KPA) /
	       oxygen_saturation_mg_l(t, 0, STANDARD_ATMOSPHERE_KPA);
}

static double pk1(const char *in)
{
	return carbonic_acid_pk1(given(in, "temperature_c", NAN));
}

static double pk2(const char *in)
{
	return carbonic_acid_pk2(given(in, "temperature_c", NAN));
}

static double dew_point(const char *in)
{
	return dew_point_c(given(in, "vapour_pressure_kpa", NAN));
}

static double sun_on_ground(const char *in)
{
	const double latitude_deg = given(in, "latitude_deg", NAN);
	const double day_of_year = given(in, "day_of_year", NAN);
	const double hours = sun_day_length_h(latitude_deg, day_of_year);

	return sun_on_ground_mj_m2_day(latitude_deg, day_of_year,
				       given(in, "sunshine_hours", hours) / hours);
}

static double light_of_radiation(const char *in)
{
	return light_of_radiation_mol_m2(given(in, "radiation_mj_m2", NAN),
					 given(in, "umol_per_j", SUN_UMOL_PER_J));
}

static double salinity_of_conductance(const char *in)
{
	return salinity_of_conductance_g_kg(given(in, "ec_ms_cm", NAN));
}

/* Of a day's two extremes, as FAO-56 takes it: equation 12. */
static double mean_vapour_saturation(const char *in)
{
	return (vapour_saturation_kpa(given(in, "low_c", NAN)) +
		vapour_saturation_kpa(given(in, "high_c", NAN))) /
	       2;
}

/* Equation 17: each extreme with the humidity of its hour. */
static double mean_vapour_actual(const char *in)
{
	return (vapour_actual_kpa(given(in, "low_c", NAN), given(in, "humidity_at_low", NAN)) +
		vapour_actual_kpa(given(in, "high_c", NAN), given(in, "humidity_at_high", NAN))) /
	       2;
}

static double mean_vapour_deficit(const char *in)
{
	return mean_vapour_saturation(in) - mean_vapour_actual(in);
}

/* Equation 13 is the slope of equation 11: here by its rise over a thousandth of a degree. */
static double vapour_slope(const char *in)
{
	const double t = given(in, "temperature_c", NAN);

	return (vapour_saturation_kpa(t + 0.0005) - vapour_saturation_kpa(t - 0.0005)) / 0.001;
}

static double nitrogen_of_feed(const char *in)
{
	return nitrogen_of_feed_g(given(in, "feed_g", NAN), given(in, "protein_pct", NAN));
}

static double nitrogen_of_crop(const char *in)
{
	return nitrogen_of_crop_g(given(in, "fresh_g", NAN), given(in, "dry_matter_pct", NAN),
				  given(in, "nitrogen_pct_dry", NAN));
}

static double nitrogen_of_solids(const char *in)
{
	return nitrogen_of_solids_g(given(in, "volume_l", NAN), given(in, "solids_pct", NAN));
}

/* The bands that Balance shows: "band=leafy side=low". */
static double feed_band(const char *in)
{
	const char *name = get("band", (void *)in), *side = get("side", (void *)in);

	for (size_t i = 0; i < FEED_BANDS; i++)
		if (strcmp(feed_bands[i].name, name) == 0)
			return strcmp(side, "low") == 0 ? feed_bands[i].low : feed_bands[i].high;
	ck_abort_msg("no band %s", name);
}

static double ammonia_from_nitrogen(const char *in)
{
	(void)in;
	return 1 / ion_element_share(ION_AMMONIA);
}

/* Pure functions that no calculator gives by themselves. */
static const struct {
	const char *name;
	double (*fn)(const char *inputs);
} functions[] = {
	{ "=pka_ammonium", pka_ammonium },
	{ "=air_pressure_kpa", pressure_kpa },
	{ "=oxygen_pressure_factor", oxygen_pressure_factor },
	{ "=oxygen_salinity_factor", oxygen_salinity_factor },
	{ "=pk1_carbonic_acid", pk1 },
	{ "=pk2_carbonic_acid", pk2 },
	{ "=dew_point_c", dew_point },
	{ "=sun_on_ground", sun_on_ground },
	{ "=light_of_radiation", light_of_radiation },
	{ "=ammonia_from_nitrogen", ammonia_from_nitrogen },
	{ "=salinity_of_conductance", salinity_of_conductance },
	{ "=mean_vapour_saturation", mean_vapour_saturation },
	{ "=mean_vapour_actual", mean_vapour_actual },
	{ "=mean_vapour_deficit", mean_vapour_deficit },
	{ "=vapour_slope", vapour_slope },
	{ "=nitrogen_of_feed", nitrogen_of_feed },
	{ "=nitrogen_of_crop", nitrogen_of_crop },
	{ "=nitrogen_of_solids", nitrogen_of_solids },
	{ "=feed_band", feed_band },
};

static double ask_calculator(const char *name, const char *inputs, const char *output)
{
	const struct calculator *c = calculator_find(name);
	const struct calc_inputs from = { .get = get, .with = (void *)inputs };
	struct calc_values in, out;
	struct err err;

	ck_assert_msg(c, "no calculator %s", name);
	err_clear(&err);
	ck_assert_msg(!calculator_run(c, NULL, &from, &in, &out, &arena, &err), "%s %s: %s", name,
		      inputs, err.items[0].message);
	for (size_t i = 0; i < c->n_outputs; i++)
		if (strcmp(c->outputs[i].name, output) == 0)
			return out.number[i];
	ck_abort_msg("%s gives no %s", name, output);
}

static double ask(const struct table *t, size_t row)
{
	const char *who = cell(t, row, "calculator"), *inputs = cell(t, row, "inputs");

	for (size_t i = 0; i < sizeof(functions) / sizeof(functions[0]); i++)
		if (strcmp(functions[i].name, who) == 0)
			return functions[i].fn(inputs);
	return ask_calculator(who, inputs, cell(t, row, "output"));
}

/* "x", "2.2*x" or "1/x": ours on the scale of the row. */
static double on_scale(const char *shape, double x)
{
	char *end;
	const double factor = strtod(shape, &end);

	if (strcmp(shape, "x") == 0)
		return x;
	if (strcmp(end, "*x") == 0)
		return factor * x;
	ck_assert_msg(strcmp(end, "/x") == 0, "shape %s", shape);
	return factor / x;
}

/* "exact", "0.05", "+-0.05 (published 61.5)" or "+-0.5%": the largest difference. */
static double tolerance(const char *text, double value)
{
	const char *at = text + strcspn(text, "0123456789");
	char *end;

	if (strncmp(text, "exact", 5) == 0)
		return 1e-9 * fmax(1, fabs(value));

	const double number = strtod(at, &end);

	return *end == '%' ? number / 100 * fabs(value) : number * (1 + 1e-9);
}

static void check_file(const char *name)
{
	const struct table rows = read_table(name);
	const struct table answered = read_table("published/answered.csv");
	const struct table unanswered = read_table("published/not-answered.csv");
	size_t missed = 0;

	ck_assert_uint_gt(rows.n, 400);
	for (size_t i = 0; i < rows.n; i++) {
		const char *id = cell(&rows, i, "id");
		const size_t a = row_of(&answered, id), u = row_of(&unanswered, id);

		ck_assert_msg((a == SIZE_MAX) != (u == SIZE_MAX),
			      "%s must stand in one of answered.csv and not-answered.csv", id);
		if (a == SIZE_MAX)
			continue;

		const double want = strtod(cell(&rows, i, "value"), NULL);
		const double allowed = tolerance(cell(&rows, i, "tolerance"), want);
		const double got = on_scale(cell(&answered, a, "shape"), ask(&answered, a));

		if (fabs(got - want) <= allowed)
			continue;
		printf("%s: %s gives %.7g for %.7g +- %g (%s)\n", id,
		       cell(&answered, a, "calculator"), got, want, allowed,
		       cell(&rows, i, "source_title"));
		fflush(stdout);
		missed++;
	}
	ck_assert_msg(missed == 0, "%zu rows of %s are missed", missed, name);
}

START_TEST(water_and_climate_rows_are_met)
{
	check_file("published/water-and-climate.csv");
}
END_TEST

START_TEST(fish_and_bed_rows_are_met)
{
	check_file("published/fish-and-beds.csv");
}
END_TEST

START_TEST(no_answer_is_to_a_row_that_is_not_there)
{
	const struct table lists[] = { read_table("published/answered.csv"),
				       read_table("published/not-answered.csv") };
	const struct table water = read_table("published/water-and-climate.csv");
	const struct table fish = read_table("published/fish-and-beds.csv");

	for (size_t l = 0; l < 2; l++)
		for (size_t i = 0; i < lists[l].n; i++) {
			const char *id = lists[l].rows[i].cells[0];

			ck_assert_msg(row_of(&water, id) != SIZE_MAX ||
					      row_of(&fish, id) != SIZE_MAX,
				      "%s is no row", id);
			ck_assert_uint_eq(row_of(&lists[l], id), i);
		}
}
END_TEST

/* A reason that begins so names the file that holds the row: its id must stand there. */
static const char tested_in[] = "tested in ";

START_TEST(what_is_said_to_be_tested_elsewhere_is_named_there)
{
	const struct table unanswered = read_table("published/not-answered.csv");
	size_t found = 0;

	for (size_t i = 0; i < unanswered.n; i++) {
		const char *reason = cell(&unanswered, i, "reason");
		const char *id = unanswered.rows[i].cells[0];
		size_t n;

		ck_assert_uint_gt(strlen(reason), 10);
		if (strncmp(reason, tested_in, strlen(tested_in)) != 0)
			continue;

		const char *name = arena_printf(&arena, "../%s", reason + strlen(tested_in));
		const char *at = read_file(name, &n);

		ck_assert_msg(strstr(arena_strndup(&arena, at, n), id), "%s is not in %s", id,
			      name);
		found++;
	}
	ck_assert_uint_ge(found, 30);
}
END_TEST

/* One example of the page: "$ weirbook calc NAME inputs", and below it what it prints, up to the fence. */
static void check_example(const char *command, const char *printed)
{
	const char *name = arena_strndup(&arena, command, strcspn(command, " "));
	const char *inputs = command + strlen(name) + 1;
	const struct calculator *c = calculator_find(name);
	const struct calc_inputs from = { .get = get, .with = (void *)inputs };
	struct calc_values in, out;
	struct strbuf text;
	struct err err;

	ck_assert_msg(c, "the page works %s, which is no calculator", name);
	err_clear(&err);
	ck_assert_msg(!calculator_run(c, NULL, &from, &in, &out, &arena, &err), "%s: %s", command,
		      err.items[0].message);
	strbuf_init(&text);
	for (size_t i = 0; i < c->n_outputs; i++) {
		const struct calc_field *field = &c->outputs[i];

		strbuf_addf(&text, "%s ", field->name);
		if (isnan(out.number[i]))
			strbuf_adds(&text, "-");
		else
			strbuf_addf(&text, "%.6g%s%s", out.number[i], field->unit ? " " : "",
				    field->unit ? field->unit : "");
		strbuf_addc(&text, '\n');
	}
	ck_assert_msg(strncmp(text.text, printed, text.length) == 0 && printed[text.length] == '`',
		      "%s gives\n%sand not what the page says", command, text.text);
	strbuf_release(&text);
}

START_TEST(worked_examples_of_the_page_are_what_the_program_prints)
{
	static const char mark[] = "\n$ weirbook calc ";
	size_t n, examples = 0;
	const char *page = read_file("../docs/formulas/calculators.md", &n);
	char *text = arena_strndup(&arena, page, n);

	for (char *at = text; (at = strstr(at, mark)); examples++) {
		char *end;

		at += strlen(mark);
		end = strchr(at, '\n');
		ck_assert_ptr_nonnull(end);
		*end = '\0';
		check_example(at, end + 1);
		at = end + 1;
	}
	ck_assert_uint_ge(examples, 26);
}
END_TEST

/* One row of a calculator's table of inputs, as the page writes it. */
static void add_input(struct strbuf *text, const struct calc_field *f)
{
	strbuf_addf(text, "| `%s` | %s | ", f->name, f->unit ? f->unit : "");
	if (f->kind == CALC_NUMBER)
		strbuf_addf(text, "%g to %g", f->low, f->high);
	else if (f->kind == CALC_TEXT)
		strbuf_adds(text, "text");
	for (size_t i = 0; f->words && f->words[i]; i++)
		strbuf_addf(text, "%s%s", i ? ", " : "", f->words[i]);
	strbuf_adds(text, " | ");
	if (f->required)
		strbuf_adds(text, "needed");
	else if (f->has_usual)
		strbuf_addf(text, "usually %g", f->usual);
	strbuf_adds(text, " |\n");
}

START_TEST(the_page_says_of_each_calculator_what_the_list_says)
{
	size_t n;
	const char *at = read_file("../docs/formulas/calculators.md", &n);
	const char *page = arena_strndup(&arena, at, n);

	for (size_t c = 0; calculators[c]; c++) {
		const struct calculator *calc = calculators[c];
		struct strbuf text;

		strbuf_init(&text);
		strbuf_addf(&text, "## %s\n\n%s. Formula: %s. Source: %s.\n\n", calc->name,
			    calc->summary, calc->formula, calc->source);
		strbuf_adds(&text, "| in | unit | range | |\n|---|---|---|---|\n");
		for (size_t i = 0; i < calc->n_inputs; i++)
			add_input(&text, &calc->inputs[i]);
		strbuf_adds(&text, "\nOut: ");
		for (size_t i = 0; i < calc->n_outputs; i++)
			strbuf_addf(&text, "%s`%s`%s%s", i ? ", " : "", calc->outputs[i].name,
				    calc->outputs[i].unit ? " " : "",
				    calc->outputs[i].unit ? calc->outputs[i].unit : "");
		strbuf_adds(&text, ".\n\n");
		ck_assert_msg(strstr(page, text.text), "the page does not say:\n%s", text.text);
		strbuf_release(&text);
	}
}
END_TEST

static void open_arena(void)
{
	arena_init(&arena);
}

static void close_arena(void)
{
	arena_release(&arena);
}

static Suite *published_values_suite(void)
{
	Suite *s = suite_create("published values");
	TCase *t = tcase_create("rows");

	tcase_add_checked_fixture(t, open_arena, close_arena);
	tcase_add_test(t, water_and_climate_rows_are_met);
	tcase_add_test(t, fish_and_bed_rows_are_met);
	tcase_add_test(t, worked_examples_of_the_page_are_what_the_program_prints);
	tcase_add_test(t, what_is_said_to_be_tested_elsewhere_is_named_there);
	tcase_add_test(t, the_page_says_of_each_calculator_what_the_list_says);
	tcase_add_test(t, no_answer_is_to_a_row_that_is_not_there);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	static Suite *(*const suites[])(void) = {
		published_values_suite,
		NULL,
	};

	return run_suites(suites);
}

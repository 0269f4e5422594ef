/*
 * Calculators: each a row that says what goes in, with unit and range, what comes out, where it is
 * from, and what to beware of.  The API, the command, the description and the screen are drawn from
 * the one list.  A new one is a function in domain/, a row in a calc_*.c, and its published values
 * in a test.
 */
#ifndef WEIRBOOK_BOOK_CALCULATOR_H
#define WEIRBOOK_BOOK_CALCULATOR_H

#include <stdbool.h>
#include <stddef.h>

#include "book/book.h"

enum { CALC_FIELDS_MAX = 12 };

enum calc_kind { CALC_NUMBER, CALC_WORD, CALC_TEXT };

struct calc_field {
	const char *name;
	enum calc_kind kind;
	const char *unit; /* NULL: a count or a ratio */
	double low, high; /* of a number, both included */
	bool required;
	double usual; /* of a number that is not given, where has_usual */
	bool has_usual;
	const char *const *
		words; /* of a word: NULL-ended; the first is the usual one unless it is required */
	/* The group of word i, neighbours together; NULL: no groups.  A second field with groups
	 * takes words of the group that was chosen in the first. */
	const char *(*group_of)(size_t i);
};

/* Values by the place of their field in its table.  Number: NAN not given, or not known.  Word:
 * index, -1 not given.  Text: NULL. */
struct calc_values {
	double number[CALC_FIELDS_MAX];
	int word[CALC_FIELDS_MAX];
	const char *text[CALC_FIELDS_MAX];
};

struct calculator {
	const char *name; /* "unionized-ammonia": GET /api/calc/unionized-ammonia */
	const char
		*topic; /* "water", "doses", "fish", "crops", "units": what a list puts it under */
	const char *summary;
	const char *formula, *source;
	const char *caution; /* NULL: none */
	const struct calc_field *inputs, *outputs;
	size_t n_inputs, n_outputs;
	bool reads_record; /* needs a book; else b may be NULL */
	/*
	 * in is checked: numbers in their ranges, words known, what is usual filled in.  Fills out,
	 * which comes with nothing known.  ERR_INPUT with an item for each input that does not go
	 * with the others.
	 */
	enum err_code (*run)(struct book *b, const struct calc_values *in, struct calc_values *out,
			     struct arena *arena, struct err *err);
};

extern const struct calculator *const calculators[]; /* NULL-ended; the one list (calculators.c) */
const struct calculator *calculator_find(const char *name); /* NULL when unknown */

/* Where texts of inputs come from: get gives that of a name, NULL when it was not given. */
struct calc_inputs {
	const char *(*get)(const char *name, void *with);
	void *with;
};

/*
 * Reads the inputs (texts, with a decimal point), checks them, and runs the calculator.  ERR_INPUT
 * names each field: required, not_a_number, out_of_range (args low, high), not_a_choice.  A figure
 * out that is neither finite nor unknown is our own mistake: ERR_INTERNAL.
 */
enum err_code calculator_run(const struct calculator *c, struct book *b,
			     const struct calc_inputs *given, struct calc_values *in,
			     struct calc_values *out, struct arena *arena, struct err *err);

/* For the tables. */
#define CALC_LABEL_FIRST                                                                           \
	"Follow the label and the safety sheet, and local rules. Dissolve and add in small "       \
	"parts, far from the fish, and measure between them."
#define CALC_TABLE(t)                                                                              \
	.inputs = t##_in, .n_inputs = sizeof(t##_in) / sizeof(t##_in[0]), .outputs = t##_out,      \
	.n_outputs = sizeof(t##_out) / sizeof(t##_out[0])

/* The parts of the list: calc_water.c, calc_doses.c, calc_load.c, calc_fish.c and calc_sample.c,
 * calc_air.c, calc_units.c. */
extern const struct calculator calc_unionized_ammonia, calc_oxygen_saturation, calc_carbon_dioxide,
	calc_ion_to_nitrogen, calc_hardness;
extern const struct calculator calc_alkalinity_dose, calc_chloride_dose, calc_nutrient_dose;
extern const struct calculator calc_feed_load, calc_filter_capacity, calc_air_left;
extern const struct calculator calc_growth_rate, calc_projection, calc_feed_conversion, calc_ration,
	calc_density, calc_condition_factor, calc_sample_size, calc_feed_area, calc_weigh_enough;
extern const struct calculator calc_moist_air, calc_daylight, calc_light_integral, calc_light_meter;
extern const struct calculator calc_units;

#endif

/* See water.h. */
#include "book/water.h"

#include <math.h>
#include <string.h>

#include "domain/ammonia.h"

static const struct {
	const char *name, *unit;
} quantities[QUANTITY__MAX] = {
	[QUANTITY_TEMPERATURE] = { "temperature_c", "degC" },
	[QUANTITY_PH] = { "ph", NULL },
	[QUANTITY_DO] = { "do_mg_l", "mg/L" },
	[QUANTITY_TAN] = { "tan_mg_l", "mg/L" },
	[QUANTITY_NITRITE] = { "nitrite_n_mg_l", "mg/L" },
	[QUANTITY_NITRATE] = { "nitrate_n_mg_l", "mg/L" },
	[QUANTITY_ALKALINITY] = { "alkalinity_mg_l", "mg/L" },
	[QUANTITY_HARDNESS] = { "hardness_mg_l", "mg/L" },
	[QUANTITY_CHLORIDE] = { "chloride_mg_l", "mg/L" },
	[QUANTITY_EC] = { "ec_ms_cm", "mS/cm" },
	[QUANTITY_IRON] = { "iron_mg_l", "mg/L" },
	[QUANTITY_CALCIUM] = { "calcium_mg_l", "mg/L" },
	[QUANTITY_POTASSIUM] = { "potassium_mg_l", "mg/L" },
	[QUANTITY_PHOSPHATE] = { "phosphate_p_mg_l", "mg/L" },
	[QUANTITY_MAGNESIUM] = { "magnesium_mg_l", "mg/L" },
	[QUANTITY_CO2] = { "co2_mg_l", "mg/L" },
	[QUANTITY_SALINITY] = { "salinity_g_kg", "g/kg" },
	[QUANTITY_TURBIDITY] = { "turbidity_ntu", "NTU" },
	[QUANTITY_NH3] = { "nh3_n_mg_l", "mg/L" },
};

enum { FIRST_COLUMN = 3, MOST_TESTS = 400 }; /* of newest_water_tests; tests looked back at */

const char *quantity_name(enum quantity q)
{
	return quantities[q].name;
}

const char *quantity_unit(enum quantity q)
{
	return quantities[q].unit;
}

/* Whether a list of words, separated by single spaces, holds this one. */
static bool has_word(const char *list, const char *word)
{
	const size_t n = strlen(word);

	for (const char *at = list; at && (at = strstr(at, word)); at += n) {
		const bool begins = at == list || at[-1] == ' ';
		if (begins && (at[n] == ' ' || at[n] == '\0'))
			return true;
	}
	return false;
}

/* Un-ionised ammonia of one test; a kit's limit makes it a limit too. */
static void add_ammonia(struct stmt *q, struct reading *out)
{
	const double tan = stmt_real(q, FIRST_COLUMN + QUANTITY_TAN);
	const double share =
		unionized_ammonia_fraction(stmt_real(q, FIRST_COLUMN + QUANTITY_TEMPERATURE),
					   stmt_real(q, FIRST_COLUMN + QUANTITY_PH));

	if (!isnan(out->value) || isnan(tan) || isnan(share))
		return;
	*out = (struct reading){
		.value = tan * share,
		.at = stmt_int(q, 0),
		.bound = has_word(stmt_text(q, 1), "tan_mg_l")   ? BOUND_BELOW
			 : has_word(stmt_text(q, 2), "tan_mg_l") ? BOUND_ABOVE
								 : BOUND_NONE,
	};
}

static void add_test(struct stmt *q, struct reading out[QUANTITY__MAX])
{
	for (int i = 0; i < QUANTITY_MEASURED_MAX; i++) {
		if (!isnan(out[i].value) || stmt_is_null(q, FIRST_COLUMN + i))
			continue;
		out[i] = (struct reading){
			.value = stmt_real(q, FIRST_COLUMN + i),
			.at = stmt_int(q, 0),
			.bound = has_word(stmt_text(q, 1), quantities[i].name)   ? BOUND_BELOW
				 : has_word(stmt_text(q, 2), quantities[i].name) ? BOUND_ABOVE
										 : BOUND_NONE,
		};
	}
	add_ammonia(q, &out[QUANTITY_NH3]);
}

enum err_code water_newest(struct book *b, int64_t place_id, int64_t since, int64_t at,
			   struct reading out[QUANTITY__MAX], struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_NEWEST_WATER_TESTS, &q, err);

	for (int i = 0; i < QUANTITY__MAX; i++)
		out[i] = (struct reading){ .value = NAN };
	if (rc)
		goto out;
	stmt_bind_int(q, ":place_id", place_id);
	stmt_bind_int(q, ":at", at);
	stmt_bind_int(q, ":most", MOST_TESTS);
	while (!(rc = stmt_row(q, err))) {
		if (stmt_int(q, 0) < since && !isnan(out[QUANTITY_TEMPERATURE].value))
			break;
		add_test(q, out);
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

static double higher(double a, double b)
{
	return isnan(a) || b > a ? b : a;
}

static double lower(double a, double b)
{
	return isnan(a) || b < a ? b : a;
}

static void add_limits(struct stmt *q, struct limits out[QUANTITY__MAX])
{
	for (int i = 0; i < QUANTITY__MAX; i++) {
		if (strcmp(stmt_text(q, 0), quantities[i].name) != 0)
			continue;
		out[i].low_stop = higher(out[i].low_stop, stmt_real(q, 1));
		out[i].low = higher(out[i].low, stmt_real(q, 2));
		out[i].high = lower(out[i].high, stmt_real(q, 3));
		out[i].high_stop = lower(out[i].high_stop, stmt_real(q, 4));
	}
}

static enum err_code limits_of_one(struct book *b, int64_t species_id, int64_t day,
				   struct limits out[QUANTITY__MAX], struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_LIMITS_OF_SPECIES, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":species_id", species_id);
	stmt_bind_int(q, ":day", day);
	while (!(rc = stmt_row(q, err)))
		add_limits(q, out);
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

enum err_code water_limits(struct book *b, const struct id_set *species, int64_t day,
			   struct limits out[QUANTITY__MAX], struct err *err)
{
	enum err_code rc = ERR_NONE;

	for (int i = 0; i < QUANTITY__MAX; i++)
		out[i] = (struct limits){ NAN, NAN, NAN, NAN };
	for (size_t i = 0; !rc && i < species->n; i++)
		rc = limits_of_one(b, species->ids[i], day, out, err);
	return rc;
}

const char *water_state(const struct reading *r, const struct limits *l)
{
	if (isnan(r->value))
		return "unknown";
	if (r->value <= l->low_stop)
		return "stop_low";
	if (r->value >= l->high_stop)
		return "stop_high";
	if (r->value < l->low)
		return "low";
	if (r->value > l->high)
		return "high";
	return "ok";
}

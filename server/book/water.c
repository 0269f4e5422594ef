/* See water.h. */
#include "book/water.h"

#include <math.h>
#include <string.h>

#include "base/word_list.h"
#include "book/probe_readings.h"
#include "book/water_row.h"
#include "book/water_samples.h"
#include "domain/ion.h"

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
	[QUANTITY_SATURATION] = { "saturation_pct", "%" },
};

const struct reading no_reading = { .value = NAN,
				    .as_read = NAN,
				    .basis = { .tan_mg_l = NAN,
					       .ph = NAN,
					       .do_mg_l = NAN,
					       .temperature_c = NAN,
					       .salinity_g_kg = NAN,
					       .pressure_kpa = NAN } };

/* Common practice, no source: oxygen and temperature each morning, the rest once a week or two. */
static const int64_t day_s = 86400, morning_late_s = 2 * 3600;

enum {
	FIRST_COLUMN = 5, /* of newest_water_tests that holds a quantity */
	MOST_TESTS = 400  /* that are looked back at */
};

const char *quantity_name(enum quantity q)
{
	return quantities[q].name;
}

const char *quantity_unit(enum quantity q)
{
	return quantities[q].unit;
}

enum quantity quantity_find(const char *name)
{
	int i = 0;

	while (i < QUANTITY__MAX && strcmp(quantities[i].name, name) != 0)
		i++;
	return (enum quantity)i;
}

int64_t quantity_old_after_s(enum quantity q)
{
	switch ((int)q) {
	case QUANTITY_TEMPERATURE:
	case QUANTITY_DO:
		return day_s + morning_late_s;
	case QUANTITY_PH:
	case QUANTITY_TAN:
	case QUANTITY_NITRITE:
		return 8 * day_s;
	case QUANTITY_NITRATE:
	case QUANTITY_ALKALINITY:
		return 15 * day_s;
	default:
		return 0;
	}
}

const char *bound_word(enum bound b)
{
	static const char *const words[] = { NULL, "below", "above" };

	return words[b];
}

/* One value as it is stored, in the quantity's own basis: as nitrogen or phosphorus where the kit
 * reads the ion. */
static double as_element(enum quantity q, double as_read)
{
	switch ((int)q) {
	case QUANTITY_TAN:
		return as_read * ion_element_share(ION_AMMONIUM);
	case QUANTITY_NITRITE:
		return as_read * ion_element_share(ION_NITRITE);
	case QUANTITY_NITRATE:
		return as_read * ion_element_share(ION_NITRATE);
	case QUANTITY_PHOSPHATE:
		return as_read * ion_element_share(ION_PHOSPHATE);
	default:
		return as_read;
	}
}

struct reading water_row_reading(struct stmt *q, enum quantity quantity)
{
	const char *name = quantities[quantity].name;
	const double as_read = stmt_real(q, FIRST_COLUMN + (int)quantity);

	struct reading r = no_reading;

	if (isnan(as_read))
		return r;
	r.value = as_read;
	r.at = stmt_int(q, 0);
	r.test_id = stmt_int(q, 4);
	if (word_list_has(stmt_text(q, 1), name))
		r.bound = BOUND_BELOW;
	else if (word_list_has(stmt_text(q, 2), name))
		r.bound = BOUND_ABOVE;
	if (word_list_has(stmt_text(q, 3), name)) {
		r.value = as_element(quantity, as_read);
		r.as_read = as_read;
	}
	return r;
}

static void add_test(struct stmt *q, struct reading out[QUANTITY__MAX])
{
	for (int i = 0; i < QUANTITY_MEASURED_MAX; i++)
		if (isnan(out[i].value))
			out[i] = water_row_reading(q, (enum quantity)i);
}

/* A probe that read later than the last test. */
static enum err_code add_probes(struct book *b, int64_t place_id, int64_t at,
				struct reading out[QUANTITY__MAX], struct err *err)
{
	struct arena arena;
	struct place_probe *probes;
	size_t n;
	enum err_code rc;

	arena_init(&arena);
	rc = place_probes(b, place_id, book_day(b, at), &arena, &probes, &n, err);
	for (size_t i = 0; !rc && i < n; i++) {
		const enum quantity q = quantity_find(probes[i].quantity);
		struct reading r = no_reading;

		if (q >= QUANTITY_MEASURED_MAX)
			continue;
		r.probe_id = probes[i].id;
		rc = probe_newest(b, r.probe_id, at, &r.at, &r.value, err);
		if (!rc && (isnan(out[q].value) || r.at > out[q].at))
			out[q] = r;
		if (rc == ERR_NOT_FOUND)
			rc = ERR_NONE;
	}
	arena_release(&arena);
	return rc;
}

enum err_code water_newest(struct book *b, int64_t place_id, int64_t since, int64_t at,
			   struct reading out[QUANTITY__MAX], struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_NEWEST_WATER_TESTS, &q, err);

	for (int i = 0; i < QUANTITY__MAX; i++)
		out[i] = no_reading;
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
	if (!rc)
		rc = add_probes(b, place_id, at, out, err);
	return rc ? rc : water_compute_newest(b, place_id, out, at, err);
}

enum err_code water_places(struct book *b, int64_t day, struct arena *arena,
			   struct water_place **out, size_t *n, struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(book_store(b), Q_PLACES_WITH_WATER, &q, err);

	*out = NULL;
	*n = 0;
	if (rc)
		goto out;
	stmt_bind_int(q, ":day", day);
	while (!(rc = stmt_row(q, err))) {
		*out = arena_grow(arena, *out, *n, &room, sizeof(**out));
		(*out)[(*n)++] = (struct water_place){ .id = stmt_int(q, 0),
						       .code = arena_strdup(arena, stmt_text(q, 1)),
						       .loop_id = stmt_int(q, 2) };
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

/* One species' row; its source is named once for all its sides. */
static void add_limits(struct stmt *q, struct arena *arena, struct limits out[QUANTITY__MAX])
{
	const enum quantity i = quantity_find(stmt_text(q, 0));
	const char *said = stmt_text(q, 5);

	if (i == QUANTITY__MAX)
		return;
	struct limits *l = &out[i];
	l->low_stop = higher(l->low_stop, stmt_real(q, 1));
	l->low = higher(l->low, stmt_real(q, 2));
	l->high = lower(l->high, stmt_real(q, 3));
	l->high_stop = lower(l->high_stop, stmt_real(q, 4));
	if (said)
		l->source = arena_printf(arena, "%s%s%s: %s", l->source ? l->source : "",
					 l->source ? "; " : "", stmt_text(q, 6), said);
}

static enum err_code limits_of_one(struct book *b, int64_t species_id, int64_t day,
				   struct arena *arena, struct limits out[QUANTITY__MAX],
				   struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_LIMITS_OF_SPECIES, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":species_id", species_id);
	stmt_bind_int(q, ":day", day);
	while (!(rc = stmt_row(q, err)))
		add_limits(q, arena, out);
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

enum err_code water_limits(struct book *b, const struct id_set *species, int64_t day,
			   struct arena *arena, struct limits out[QUANTITY__MAX], struct err *err)
{
	enum err_code rc = ERR_NONE;

	for (int i = 0; i < QUANTITY__MAX; i++)
		out[i] = (struct limits){
			.low_stop = NAN, .low = NAN, .high = NAN, .high_stop = NAN
		};
	for (size_t i = 0; !rc && i < species->n; i++)
		rc = limits_of_one(b, species->ids[i], day, arena, out, err);
	return rc;
}

struct alarm_limits water_alarm_limits(const struct limits *l)
{
	return (struct alarm_limits){
		.low_stop = l->low_stop, .low = l->low, .high = l->high, .high_stop = l->high_stop
	};
}

const char *water_state(const struct reading *r, const struct limits *l)
{
	static const char *const words[] = {
		[ALARM_NONE] = "ok",
		[ALARM_LOW] = "low",
		[ALARM_STOP_LOW] = "stop_low",
		[ALARM_HIGH] = "high",
		[ALARM_STOP_HIGH] = "stop_high",
	};
	static const enum alarm_bound bounds[] = {
		[BOUND_NONE] = ALARM_EXACT, [BOUND_BELOW] = ALARM_BELOW, [BOUND_ABOVE] = ALARM_ABOVE
	};
	const struct alarm_limits limits = water_alarm_limits(l);
	bool unsure;

	if (isnan(r->value))
		return "unknown";
	const enum alarm_level level = alarm_judge(r->value, bounds[r->bound], &limits, &unsure);
	return unsure ? "unknown" : words[level];
}

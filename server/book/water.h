/* The newest readings of a place, and the limits of the fish in it. */
#ifndef WEIRBOOK_BOOK_WATER_H
#define WEIRBOOK_BOOK_WATER_H

#include "base/id_set.h"
#include "book/book.h"
#include "domain/alarm.h"

/* What is looked at.  The first ones are columns of a water test, in the order of its table. */
enum quantity {
	QUANTITY_TEMPERATURE,
	QUANTITY_PH,
	QUANTITY_DO,
	QUANTITY_TAN,
	QUANTITY_NITRITE,
	QUANTITY_NITRATE,
	QUANTITY_ALKALINITY,
	QUANTITY_HARDNESS,
	QUANTITY_CHLORIDE,
	QUANTITY_EC,
	QUANTITY_IRON,
	QUANTITY_CALCIUM,
	QUANTITY_POTASSIUM,
	QUANTITY_PHOSPHATE,
	QUANTITY_MAGNESIUM,
	QUANTITY_CO2,
	QUANTITY_SALINITY,
	QUANTITY_TURBIDITY,
	QUANTITY_MEASURED_MAX,
	/* Computed, though nobody typed them. */
	QUANTITY_NH3 = QUANTITY_MEASURED_MAX, /* un-ionised ammonia, from TAN, pH and temperature */
	QUANTITY_SATURATION, /* oxygen in percent of what the water could hold in that air */
	QUANTITY__MAX
};

const char *quantity_name(enum quantity q); /* "do_mg_l"; nh3_n_mg_l and saturation_pct computed */
const char *quantity_unit(enum quantity q); /* "mg/L", NULL for pH */
enum quantity quantity_find(const char *name); /* QUANTITY__MAX when there is none */

/* How old a reading may be before an alarm says so, seconds; 0: it is never too old.  A stand of
 * ours. */
int64_t quantity_old_after_s(enum quantity q);

enum bound { BOUND_NONE, BOUND_BELOW, BOUND_ABOVE }; /* the value is a kit's limit */
const char *bound_word(enum bound b);                /* "below", "above"; NULL of none */

/* What a computed value rests on; NAN where it does not. */
struct reading_basis {
	double tan_mg_l, ph, do_mg_l, temperature_c, salinity_g_kg, pressure_kpa;
	int64_t temperature_at;
	bool temperature_of_loop; /* the mean of the loop's tests: the place had none */
};

struct reading {
	/* NAN: never read; nitrogen and phosphorus as the element, also if the kit read the ion */
	double value;
	int64_t at;
	enum bound bound;
	double as_read;  /* what the kit showed, where it reads the ion; else NAN */
	int64_t test_id; /* 0: a probe's, or computed from several */
	int64_t probe_id;
	struct reading_basis basis; /* of a computed one */
};

extern const struct reading no_reading; /* value NAN, and nothing that it rests on */

struct water_place {
	int64_t id, loop_id; /* loop_id 0: of no loop */
	const char *code;
};

/* Places in use on a farm day that were ever tested or have a probe, on the walk.  Owned by the
 * arena. */
enum err_code water_places(struct book *b, int64_t day, struct arena *arena,
			   struct water_place **out, size_t *n, struct err *err);

/* The strictest of several species, each side by itself. */
struct limits {
	double low_stop, low, high, high_stop; /* NAN: none */
	const char
		*source; /* with the species' name, "; " between; NULL: no limit, or none named */
};

/*
 * The newest reading of each quantity at or before `at` (Unix seconds), from tests and probes;
 * no_reading where there is none.  Tests before `since` are only read until a temperature is found
 * (what else they hold counts too, so a reading may be older), and no more than the last 400.
 * Computed ones as water_samples has them.
 */
enum err_code water_newest(struct book *b, int64_t place_id, int64_t since, int64_t at,
			   struct reading out[QUANTITY__MAX], struct err *err);

/* The strictest limits of these species on a farm day.  Texts belong to the arena. */
enum err_code water_limits(struct book *b, const struct id_set *species, int64_t day,
			   struct arena *arena, struct limits out[QUANTITY__MAX], struct err *err);

/* The same four for domain/alarm. */
struct alarm_limits water_alarm_limits(const struct limits *l);

/* "ok", "low", "high", "stop_low", "stop_high"; "unknown" without a reading, and where a kit's
 * bound leaves open on which side of the limit the water is. */
const char *water_state(const struct reading *r, const struct limits *l);

#endif

/* The newest readings of a place, and the limits of the fish in it. */
#ifndef WEIRBOOK_BOOK_WATER_H
#define WEIRBOOK_BOOK_WATER_H

#include "base/id_set.h"
#include "book/book.h"

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
	QUANTITY_NH3 = QUANTITY_MEASURED_MAX, /* computed from one test's TAN, pH and temperature */
	QUANTITY__MAX
};

const char *quantity_name(enum quantity q); /* "do_mg_l"; nh3_n_mg_l for the computed one */
const char *quantity_unit(enum quantity q); /* "mg/L", NULL for pH */

enum bound { BOUND_NONE, BOUND_BELOW, BOUND_ABOVE }; /* the value is a kit's limit */

struct reading {
	double value; /* NAN: never read */
	int64_t at;
	enum bound bound;
};

struct limits {
	double low_stop, low, high, high_stop; /* NAN: none */
};

/* The newest reading of each quantity at or before `at`.  Tests before `since` are read for a temperature only
 * (INT64_MIN: for all), and no more than the last 400. */
enum err_code water_newest(struct book *b, int64_t place_id, int64_t since, int64_t at,
			   struct reading out[QUANTITY__MAX], struct err *err);

/* The strictest limits of these species. */
enum err_code water_limits(struct book *b, const struct id_set *species, int64_t day,
			   struct limits out[QUANTITY__MAX], struct err *err);

/* "ok", "low", "high", "stop_low", "stop_high"; "unknown" without a reading. */
const char *water_state(const struct reading *r, const struct limits *l);

#endif

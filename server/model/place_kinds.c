/* The farm and its places: loops, tanks, units, zones, beds, and all other places. */
#include "model/kinds.h"

static const char *const units_words[] = { "si", "us", NULL };
static const char *const languages[] = { "en", "es", NULL };

static const struct field farm_fields[] = {
	PLAIN("name", KIND_TEXT, .required = true),
	PLAIN("time_zone", KIND_TEXT, .required = true), /* IANA name */
	PLAIN("day_begins_hour", KIND_INTEGER, RANGE(0, 12), .unit = "h"),
	PLAIN("latitude_deg", KIND_REAL, RANGE(-90, 90), .unit = "deg"),
	PLAIN("longitude_deg", KIND_REAL, RANGE(-180, 180), .unit = "deg"),
	PLAIN("altitude_m", KIND_REAL, RANGE(-450, 6000), .unit = "m"),
	PLAIN("units", KIND_CHOICE, .words = units_words),
	PLAIN("currency", KIND_TEXT), /* ISO 4217 */
	PLAIN("language", KIND_CHOICE, .words = languages),
	PLAIN("label_base_url", KIND_TEXT),
};
const struct kind farm_kind = {
	.name = "farm",
	.table = "farm",
	.class = CLASS_SYSTEM,
	FIELDS(farm_fields),
};

/* The columns of table places, which every kind of place has. */
#define PLACE_FIELDS                                                                               \
	PLAIN("code", KIND_CODE, .required = true, .in_place = true),                              \
		PLAIN("name", KIND_TEXT, .in_place = true),                                        \
		PLAIN("parent_id", KIND_REFERENCE, .refers_to = "places", .in_place = true),       \
		PLAIN("walk_order", KIND_INTEGER, RANGE(0, 100000), .in_place = true)

static const struct field place_fields[] = {
	PLACE_FIELDS,
	PLAIN("sort", KIND_TEXT, .in_place = true,
	      .server_set = true), /* the kind it is: places, tanks, beds ... */
};
const struct kind places_kind = {
	.name = "places",
	.table = "places",
	.class = CLASS_SET_UP,
	.is_place = true,
	FIELDS(place_fields),
};

static const struct field loop_fields[] = {
	PLACE_FIELDS,
	PLAIN("water_volume_l", KIND_REAL, .required = true, .dated = true, RANGE(1, 1e9),
	      .unit = "L"),
	PLAIN("makeup_l_day", KIND_REAL, RANGE(0, 1e8), .unit = "L/day"),
	PLAIN("feed_ratio_min_g_m2_day", KIND_REAL, RANGE(0, 1000), .unit = "g/m2/day"),
	PLAIN("feed_ratio_max_g_m2_day", KIND_REAL, RANGE(0, 1000), .unit = "g/m2/day"),
};
const struct kind loops_kind = {
	.name = "loops",
	.table = "loops",
	.class = CLASS_SET_UP,
	.is_place = true,
	FIELDS(loop_fields),
};

static const char *const tank_roles[] = {
	"fry", "nursery", "growout", "purge", "quarantine", NULL
};
static const struct field tank_fields[] = {
	PLACE_FIELDS,
	PLAIN("loop_id", KIND_REFERENCE, .refers_to = "loops", .required = true, .dated = true),
	PLAIN("role", KIND_CHOICE, .words = tank_roles),
	PLAIN("volume_l", KIND_REAL, .required = true, .dated = true, RANGE(1, 1e8), .unit = "L"),
	PLAIN("density_limit_kg_m3", KIND_REAL, .dated = true, RANGE(0, 500), .unit = "kg/m3"),
	PLAIN("flow_l_min", KIND_REAL, RANGE(0, 1e6), .unit = "L/min"),
};
const struct kind tanks_kind = {
	.name = "tanks",
	.table = "tanks",
	.class = CLASS_SET_UP,
	.is_place = true,
	FIELDS(tank_fields),
};

static const char *const unit_roles[] = { "swirl_separator", "settling",  "upflow_filter",
					  "moving_bed",      "degassing", "sump",
					  "mineralizer",     "uv",        "heater",
					  "blower",          "pump",      NULL };
static const struct field unit_fields[] = {
	PLACE_FIELDS,
	PLAIN("loop_id", KIND_REFERENCE, .refers_to = "loops", .required = true),
	PLAIN("role", KIND_CHOICE, .words = unit_roles, .required = true),
	PLAIN("volume_l", KIND_REAL, RANGE(0, 1e8), .unit = "L"),
	PLAIN("media_area_m2", KIND_REAL, RANGE(0, 1e7), .unit = "m2"),
	PLAIN("nitrification_g_m2_day", KIND_REAL, RANGE(0, 10), .unit = "g/m2/day"),
};
const struct kind units_kind = {
	.name = "units",
	.table = "units",
	.class = CLASS_SET_UP,
	.is_place = true,
	FIELDS(unit_fields),
};

static const struct field zone_fields[] = {
	PLACE_FIELDS,
	PLAIN("area_m2", KIND_REAL, RANGE(0, 1e7), .unit = "m2"),
	PLAIN("glazing_transmission", KIND_REAL, RANGE(0, 1)),
	PLAIN("lamp_ppfd", KIND_REAL, RANGE(0, 5000), .unit = "umol/m2/s"),
	PLAIN("lamp_on", KIND_CLOCK),
	PLAIN("lamp_off", KIND_CLOCK),
	PLAIN("temperature_low_c", KIND_REAL, RANGE(-40, 60), .unit = "degC"),
	PLAIN("temperature_high_c", KIND_REAL, RANGE(-40, 60), .unit = "degC"),
	PLAIN("humidity_low_pct", KIND_REAL, RANGE(0, 100), .unit = "%"),
	PLAIN("humidity_high_pct", KIND_REAL, RANGE(0, 100), .unit = "%"),
};
const struct kind zones_kind = {
	.name = "zones",
	.table = "zones",
	.class = CLASS_SET_UP,
	.is_place = true,
	FIELDS(zone_fields),
};

static const char *const bed_roles[] = { "germination", "nursery", "raft", NULL };
static const struct field bed_fields[] = {
	PLACE_FIELDS,
	PLAIN("loop_id", KIND_REFERENCE, .refers_to = "loops", .required = true),
	PLAIN("zone_id", KIND_REFERENCE, .refers_to = "zones"),
	PLAIN("role", KIND_CHOICE, .words = bed_roles, .required = true),
	PLAIN("length_m", KIND_REAL, .required = true, RANGE(0.01, 10000), .unit = "m"),
	PLAIN("width_m", KIND_REAL, .required = true, RANGE(0.01, 1000), .unit = "m"),
	PLAIN("raft_length_m", KIND_REAL, RANGE(0.01, 100), .unit = "m"),
	PLAIN("raft_width_m", KIND_REAL, RANGE(0.01, 100), .unit = "m"),
	PLAIN("sites_per_raft", KIND_INTEGER, RANGE(1, 10000)),
};
const struct kind beds_kind = {
	.name = "beds",
	.table = "beds",
	.class = CLASS_SET_UP,
	.is_place = true,
	FIELDS(bed_fields),
};

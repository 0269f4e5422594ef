/* Entries about water, climate and care: tests, doses, water moves, solids, treatments, scouting, readings. */
#include "model/fish_kinds.h"
#include "model/kinds.h"

#define MG_L(n) PLAIN(n, KIND_REAL, RANGE(0, 100000), .unit = "mg/L")

static const char *const measured[] = { "temperature_c",
					"ph",
					"do_mg_l",
					"tan_mg_l",
					"nitrite_n_mg_l",
					"nitrate_n_mg_l",
					"alkalinity_mg_l",
					"hardness_mg_l",
					"chloride_mg_l",
					"ec_ms_cm",
					"iron_mg_l",
					"calcium_mg_l",
					"potassium_mg_l",
					"phosphate_p_mg_l",
					"magnesium_mg_l",
					"co2_mg_l",
					"salinity_g_kg",
					"turbidity_ntu",
					NULL };
static const struct field water_test_fields[] = {
	PLAIN_REF("place_id", "places", .required = true),
	PLAIN("temperature_c", KIND_REAL, RANGE(-5, 50), .unit = "degC"),
	PLAIN("ph", KIND_REAL, RANGE(0, 14)),
	PLAIN("do_mg_l", KIND_REAL, RANGE(0, 40), .unit = "mg/L"),
	MG_L("tan_mg_l"),
	MG_L("nitrite_n_mg_l"),
	MG_L("nitrate_n_mg_l"),
	MG_L("alkalinity_mg_l"),
	MG_L("hardness_mg_l"),
	MG_L("chloride_mg_l"),
	PLAIN("ec_ms_cm", KIND_REAL, RANGE(0, 200), .unit = "mS/cm"),
	MG_L("iron_mg_l"),
	MG_L("calcium_mg_l"),
	MG_L("potassium_mg_l"),
	MG_L("phosphate_p_mg_l"),
	MG_L("magnesium_mg_l"),
	MG_L("co2_mg_l"),
	PLAIN("salinity_g_kg", KIND_REAL, RANGE(0, 300), .unit = "g/kg"),
	PLAIN("turbidity_ntu", KIND_REAL, RANGE(0, 10000), .unit = "NTU"),
	PLAIN("below", KIND_WORDS,
	      .words = measured), /* fields whose value is a kit's lower limit */
	PLAIN("above", KIND_WORDS, .words = measured), /* and upper limit */
	PLAIN("method", KIND_TEXT),
	PLAIN("as_ion", KIND_WORDS, .words = measured), /* fields that the kit read as the ion */
};
const struct kind water_tests_kind = {
	.name = "water-tests",
	.table = "water_tests",
	.class = CLASS_ENTRY,
	FIELDS(water_test_fields),
};

static const struct field dose_fields[] = {
	FIELD(dose, loop_id, KIND_REFERENCE, .refers_to = "loops", .required = true),
	FIELD(dose, material_id, KIND_REFERENCE, .refers_to = "materials", .required = true),
	FIELD(dose, material_lot_id, KIND_REFERENCE, .refers_to = "material-lots"),
	FIELD(dose, amount_g, KIND_REAL, .required = true, RANGE(0, 1e8), .unit = "g"),
	FIELD(dose, ph_before, KIND_REAL, RANGE(0, 14)),
	FIELD(dose, ph_after, KIND_REAL, RANGE(0, 14)),
	FIELD(dose, why, KIND_TEXT),
};
const struct kind doses_kind = {
	.name = "doses",
	.table = "doses",
	.class = CLASS_ENTRY,
	FIELDS(dose_fields),
	STRUCT(dose),
};

static const struct field water_move_fields[] = {
	PLAIN_REF("loop_id", "loops", .required = true),
	PLAIN("makeup_l", KIND_REAL, RANGE(0, 1e9), .unit = "L"),
	PLAIN("discharge_l", KIND_REAL, RANGE(0, 1e9), .unit = "L"),
	PLAIN("meter_reading", KIND_REAL, RANGE(0, 1e12)),
	PLAIN("went_to", KIND_TEXT),
};
static const struct choice_of water_move_choices[] = {
	{ { "makeup_l", "discharge_l", "meter_reading" }, 1, 3 }, { { NULL }, 0, 0 }
};
const struct kind water_moves_kind = {
	.name = "water-moves",
	.table = "water_moves",
	.class = CLASS_ENTRY,
	FIELDS(water_move_fields),
	.choices = water_move_choices,
};

static const char *const solids_to[] = {
	"field", "compost", "mineralizer", "sewer", "other", NULL
};
static const struct field solids_fields[] = {
	PLAIN_REF("unit_id", "units", .required = true),
	PLAIN("volume_l", KIND_REAL, .required = true, RANGE(0, 1e7), .unit = "L"),
	PLAIN("solids_pct", KIND_REAL, RANGE(0, 100), .unit = "%"),
	PLAIN("went_to", KIND_CHOICE, .words = solids_to),
	PLAIN("place_note", KIND_TEXT),
};
const struct kind solids_kind = {
	.name = "solids",
	.table = "solids",
	.class = CLASS_ENTRY,
	FIELDS(solids_fields),
};

static const struct field treatment_fields[] = {
	PLAIN_REF("fish_lot_id", "fish-lots"),
	PLAIN_REF("tank_id", "tanks"),
	PLAIN_REF("bed_id", "beds"),
	PLAIN_REF("loop_id", "loops"),
	PLAIN("medicine", KIND_TEXT, .required = true),
	PLAIN("dose", KIND_TEXT),
	PLAIN("first_day", KIND_DAY, .required = true),
	PLAIN("last_day", KIND_DAY, .required = true),
	PLAIN("withdrawal_days", KIND_INTEGER, RANGE(0, 3650), .unit = "days"),
	PLAIN("withdrawal_degree_days", KIND_REAL, RANGE(0, 100000), .unit = "degC day"),
	PLAIN("prescriber", KIND_TEXT),
};
static const struct choice_of treatment_choices[] = {
	{ { "fish_lot_id", "tank_id", "bed_id", "loop_id" }, 1, 1 },
	{ { "withdrawal_days", "withdrawal_degree_days" }, 1, 2 },
	{ { NULL }, 0, 0 }
};
const struct kind treatments_kind = {
	.name = "treatments",
	.table = "treatments",
	.class = CLASS_ENTRY,
	FIELDS(treatment_fields),
	.choices = treatment_choices,
};

static const char *const scouted[] = {
	"pest", "disease", "deficiency", "injury", "beneficial_release", NULL
};
static const struct field scouting_fields[] = {
	PLAIN_REF("bed_id", "beds"),
	PLAIN_REF("tank_id", "tanks"),
	PLAIN("what", KIND_CHOICE, .words = scouted, .required = true),
	PLAIN("name", KIND_TEXT),
	PLAIN("severity", KIND_INTEGER, RANGE(0, 4)),
	PLAIN("action", KIND_TEXT),
};
static const struct choice_of scouting_choices[] = { { { "bed_id", "tank_id" }, 1, 1 },
						     { { NULL }, 0, 0 } };
const struct kind scoutings_kind = {
	.name = "scoutings",
	.table = "scoutings",
	.class = CLASS_ENTRY,
	FIELDS(scouting_fields),
	.choices = scouting_choices,
};

static const struct field climate_note_fields[] = {
	PLAIN_REF("zone_id", "zones", .required = true),
	PLAIN("temperature_c", KIND_REAL, RANGE(-60, 80), .unit = "degC"),
	PLAIN("humidity_pct", KIND_REAL, RANGE(0, 100), .unit = "%"),
	PLAIN("ppfd", KIND_REAL, RANGE(0, 5000), .unit = "umol/m2/s"),
};
const struct kind climate_notes_kind = {
	.name = "climate-notes",
	.table = "climate_notes",
	.class = CLASS_ENTRY,
	FIELDS(climate_note_fields),
};

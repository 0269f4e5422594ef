/* Set-up that is not a place: species, feeds, crops, partners, products, chores, staff, probes. */
#include "model/kinds.h"

static const struct field species_fields[] = {
	PLAIN("name", KIND_NAME, .required = true),
	PLAIN("scientific_name", KIND_TEXT),
	PLAIN("market_weight_g", KIND_REAL, RANGE(0.01, 1e6), .unit = "g"),
	PLAIN("temperature_optimum_c", KIND_REAL, RANGE(-5, 50), .unit = "degC"),
	PLAIN("tgc_prior", KIND_REAL, RANGE(0, 20)), /* g^(1/3) per 1000 degree-days */
	PLAIN("tgc_prior_sd", KIND_REAL, RANGE(0, 20)),
	PLAIN("conversion_floor", KIND_REAL, RANGE(0.1, 10)),
	PLAIN("purge_days", KIND_INTEGER, RANGE(0, 365), .unit = "days"),
	/* what 1 kg of fish takes in an hour: for the minutes of air left */
	PLAIN("oxygen_uptake_mg_kg_h", KIND_REAL, RANGE(10, 3000), .unit = "mg/kg/h"),
};
const struct kind species_kind = {
	.name = "species",
	.table = "species",
	.class = CLASS_SET_UP,
	FIELDS(species_fields),
};

static const char *const limit_quantities[] = { "temperature_c",   "ph",
						"do_mg_l",         "saturation_pct",
						"tan_mg_l",        "nh3_n_mg_l",
						"nitrite_n_mg_l",  "nitrate_n_mg_l",
						"alkalinity_mg_l", "hardness_mg_l",
						"chloride_mg_l",   "ec_ms_cm",
						"iron_mg_l",       "co2_mg_l",
						"salinity_g_kg",   NULL };
static const struct field species_limit_fields[] = {
	PLAIN_REF("species_id", "species", .required = true),
	PLAIN("quantity", KIND_CHOICE, .words = limit_quantities, .required = true),
	PLAIN("low_stop", KIND_REAL),
	PLAIN("low", KIND_REAL),
	PLAIN("high", KIND_REAL),
	PLAIN("high_stop", KIND_REAL),
	PLAIN("source", KIND_TEXT),
};
const struct kind species_limits_kind = {
	.name = "species-limits",
	.table = "species_limits",
	.class = CLASS_SET_UP,
	FIELDS(species_limit_fields),
};

static const struct field ration_step_fields[] = {
	PLAIN_REF("species_id", "species", .required = true),
	PLAIN("weight_from_g", KIND_REAL, .required = true, RANGE(0, 1e6), .unit = "g"),
	PLAIN("temperature_c", KIND_REAL, RANGE(-5, 50), .unit = "degC"),
	PLAIN("pct_body_weight_day", KIND_REAL, .required = true, RANGE(0, 100), .unit = "%/day"),
	PLAIN("source", KIND_TEXT, .required = true),
	PLAIN("from_day", KIND_DAY),
};
const struct kind ration_steps_kind = {
	.name = "ration-steps",
	.table = "ration_steps",
	.class = CLASS_SET_UP,
	FIELDS(ration_step_fields),
};

static const struct field feed_fields[] = {
	PLAIN("name", KIND_NAME, .required = true),
	PLAIN("protein_pct", KIND_REAL, .required = true, .dated = true, RANGE(0, 100),
	      .unit = "%"),
	PLAIN("fat_pct", KIND_REAL, RANGE(0, 100), .unit = "%"),
	PLAIN("dry_matter_pct", KIND_REAL, RANGE(0, 100), .unit = "%"),
	PLAIN("pellet_mm", KIND_REAL, RANGE(0, 100), .unit = "mm"),
	PLAIN("bag_g", KIND_REAL, RANGE(0, 1e7), .unit = "g"),
	PLAIN("scoop_g", KIND_REAL, RANGE(0, 1e5), .unit = "g"),
	PLAIN("price_minor", KIND_INTEGER, .dated = true, RANGE(0, 1e12)), /* for one bag */
	PLAIN("reorder_g", KIND_REAL, RANGE(0, 1e9), .unit = "g"),
};
const struct kind feeds_kind = {
	.name = "feeds",
	.table = "feeds",
	.class = CLASS_SET_UP,
	FIELDS(feed_fields),
};

static const struct field feeding_plan_fields[] = {
	PLAIN_REF("tank_id", "tanks", .required = true),
	PLAIN("from_day", KIND_DAY, .required = true),
	PLAIN_REF("feed_id", "feeds", .required = true),
	PLAIN("times", KIND_CLOCKS, .required = true),
	PLAIN("shares", KIND_NUMBERS), /* of each time; equal when empty */
	PLAIN("fixed_pct", KIND_REAL, RANGE(0, 100), .unit = "%/day"),
	PLAIN("fixed_g", KIND_REAL, RANGE(0, 1e7), .unit = "g/day"),
	PLAIN("held_because", KIND_TEXT), /* given: nothing is fed, and why */
};
static const struct choice_of feeding_plan_choices[] = { { { "fixed_pct", "fixed_g" }, 0, 1 },
							 { { NULL }, 0, 0 } };
const struct kind feeding_plans_kind = {
	.name = "feeding-plans",
	.table = "feeding_plans",
	.class = CLASS_SET_UP,
	FIELDS(feeding_plan_fields),
	.choices = feeding_plan_choices,
};

static const char *const cuts[] = { "once", "again", NULL };
static const struct field crop_fields[] = {
	PLAIN("name", KIND_NAME, .required = true),
	PLAIN("cut", KIND_CHOICE, .words = cuts),
	PLAIN("dry_matter_pct", KIND_REAL, RANGE(0, 100), .unit = "%"),
	PLAIN("nitrogen_pct_dry", KIND_REAL, RANGE(0, 100), .unit = "%"),
};
const struct kind crops_kind = {
	.name = "crops",
	.table = "crops",
	.class = CLASS_SET_UP,
	FIELDS(crop_fields),
};

static const struct field variety_fields[] = {
	PLAIN("name", KIND_NAME, .required = true),
	PLAIN_REF("crop_id", "crops", .required = true),
	PLAIN("colour", KIND_TEXT),
	PLAIN("habit", KIND_TEXT),
	PLAIN("days_germination", KIND_INTEGER, RANGE(0, 365), .unit = "days"),
	PLAIN("days_nursery", KIND_INTEGER, RANGE(0, 365), .unit = "days"),
	PLAIN("days_raft", KIND_INTEGER, RANGE(0, 1000), .unit = "days"),
	PLAIN("days_hold", KIND_INTEGER, RANGE(0, 365), .unit = "days"),
	PLAIN("sites_per_m2", KIND_REAL, RANGE(0, 10000), .unit = "1/m2"),
	PLAIN("head_weight_g", KIND_REAL, RANGE(0, 1e5), .unit = "g"),
	PLAIN("dli_mol_m2_day", KIND_REAL, RANGE(0, 100), .unit = "mol/m2/day"),
	PLAIN("expected_loss_pct", KIND_REAL, RANGE(0, 100), .unit = "%"),
};
const struct kind varieties_kind = {
	.name = "varieties",
	.table = "varieties",
	.class = CLASS_SET_UP,
	FIELDS(variety_fields),
};

static const struct field tray_fields[] = {
	PLAIN("name", KIND_NAME, .required = true),
	PLAIN("cells", KIND_INTEGER, .required = true, RANGE(1, 10000)),
	PLAIN("medium", KIND_TEXT),
};
const struct kind trays_kind = {
	.name = "trays",
	.table = "trays",
	.class = CLASS_SET_UP,
	FIELDS(tray_fields),
};

static const char *const partner_roles[] = { "supplier", "customer", "hauler", NULL };
static const struct field partner_fields[] = {
	PLAIN("name", KIND_NAME, .required = true),
	PLAIN("role", KIND_CHOICE, .words = partner_roles),
	PLAIN("address", KIND_TEXT),
	PLAIN("contact", KIND_TEXT),
	PLAIN("location_id", KIND_TEXT), /* a registration or location number */
};
const struct kind partners_kind = {
	.name = "partners",
	.table = "partners",
	.class = CLASS_SET_UP,
	FIELDS(partner_fields),
};

static const char *const product_units[] = { "head", "kg", "g", "tray", "fish", NULL };
static const struct field product_fields[] = {
	PLAIN("code", KIND_CODE, .required = true),
	PLAIN("name", KIND_NAME, .required = true),
	PLAIN_REF("variety_id", "varieties"),
	PLAIN_REF("crop_id", "crops"),
	PLAIN_REF("species_id", "species"),
	PLAIN("unit", KIND_CHOICE, .words = product_units),
	PLAIN("pack_size", KIND_REAL, RANGE(0, 1e6)),
	PLAIN("crate_pieces", KIND_INTEGER, RANGE(1, 100000)),
};
static const struct choice_of product_choices[] = {
	{ { "variety_id", "crop_id", "species_id" }, 1, 1 }, { { NULL }, 0, 0 }
};
const struct kind products_kind = {
	.name = "products",
	.table = "products",
	.class = CLASS_SET_UP,
	FIELDS(product_fields),
	.choices = product_choices,
};

static const struct field price_fields[] = {
	PLAIN_REF("product_id", "products", .required = true),
	PLAIN_REF("partner_id", "partners"),
	PLAIN("price_minor", KIND_INTEGER, .required = true, RANGE(0, 1e12)),
	PLAIN("from_day", KIND_DAY, .required = true),
};
const struct kind prices_kind = {
	.name = "prices",
	.table = "prices",
	.class = CLASS_SET_UP,
	FIELDS(price_fields),
};

static const char *const purposes[] = { "alkalinity", "calcium", "potassium", "iron",
					"chloride",   "other",   NULL };
static const struct field material_fields[] = {
	PLAIN("name", KIND_NAME, .required = true),
	PLAIN("formula", KIND_TEXT),
	PLAIN("purpose", KIND_CHOICE, .words = purposes, .required = true),
	PLAIN("purity_pct", KIND_REAL, RANGE(0, 100), .unit = "%"),
};
const struct kind materials_kind = {
	.name = "materials",
	.table = "materials",
	.class = CLASS_SET_UP,
	FIELDS(material_fields),
};

static const char *const weekdays[] = { "mon", "tue", "wed", "thu", "fri", "sat", "sun", NULL };
static const char *const answers[] = { "done", "number", "choice", "text", NULL };
static const struct field chore_fields[] = {
	PLAIN("title", KIND_NAME, .required = true),
	PLAIN_REF("place_id", "places"),
	PLAIN("every_days", KIND_INTEGER, RANGE(1, 3650), .unit = "days"),
	PLAIN("weekdays", KIND_WORDS, .words = weekdays),
	PLAIN("after_uses", KIND_INTEGER, RANGE(1, 100000)),
	PLAIN("due_hour", KIND_INTEGER, RANGE(0, 23), .unit = "h"),
	PLAIN("answer", KIND_CHOICE, .words = answers, .required = true),
	PLAIN("answer_unit", KIND_TEXT),
	PLAIN("low", KIND_REAL),
	PLAIN("high", KIND_REAL),
	PLAIN("choices", KIND_TEXT), /* separated by ; */
	PLAIN("caution", KIND_TEXT),
};
static const struct choice_of chore_choices[] = {
	{ { "every_days", "weekdays", "after_uses" }, 1, 1 }, { { NULL }, 0, 0 }
};
const struct kind chores_kind = {
	.name = "chores",
	.table = "chores",
	.class = CLASS_SET_UP,
	FIELDS(chore_fields),
	.choices = chore_choices,
};

static const char *const staff_roles[] = { "crew", "sales", "manager", NULL };
static const char *const staff_languages[] = { "en", "es", NULL };
static const struct field staff_fields[] = {
	PLAIN("name", KIND_NAME, .required = true),
	PLAIN("role", KIND_CHOICE, .words = staff_roles, .required = true),
	PLAIN("language", KIND_CHOICE, .words = staff_languages),
}; /* the secret is a hash in a table of its own and no field: it never leaves the service */
const struct kind staff_kind = {
	.name = "staff",
	.table = "staff",
	.class = CLASS_SET_UP,
	FIELDS(staff_fields),
};

static const struct field probe_fields[] = {
	PLAIN("code", KIND_CODE, .required = true),
	PLAIN_REF("place_id", "places", .required = true),
	PLAIN("quantity", KIND_TEXT, .required = true),
	PLAIN("unit", KIND_TEXT, .required = true),
	PLAIN("low", KIND_REAL),
	PLAIN("high", KIND_REAL),
	PLAIN("silent_after_min", KIND_INTEGER, RANGE(1, 100000), .unit = "min"),
};
const struct kind probes_kind = {
	.name = "probes",
	.table = "probes",
	.class = CLASS_SET_UP,
	FIELDS(probe_fields),
};

static const struct field set_up_change_fields[] = {
	PLAIN("of_kind", KIND_TEXT, .required = true), /* name of a kind */
	PLAIN("of_key", KIND_UUID, .required = true),
	PLAIN("field", KIND_TEXT, .required = true), /* a field that is dated */
	PLAIN("from_day", KIND_DAY, .required = true),
	PLAIN("value", KIND_TEXT), /* as CSV writes it; a reference by its key */
};
const struct kind set_up_changes_kind = {
	.name = "set-up-changes",
	.table = "set_up_changes",
	.class = CLASS_SET_UP,
	FIELDS(set_up_change_fields),
};

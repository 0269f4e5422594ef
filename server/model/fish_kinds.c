/* Entries about fish: moves, counts, deaths, weighings, feedings, and harvests (of fish or plants). */
#include "model/fish_kinds.h"
#include "model/kinds.h"

static const char *const move_reasons[] = { "stocking", "grading",   "splitting", "transfer",
					    "merge",    "sold_live", "escape",    NULL };
static const struct field fish_move_fields[] = {
	FIELD_REF(fish_move, fish_lot_id, "fish-lots", .required = true),
	FIELD_REF(fish_move, from_tank_id, "tanks"),
	FIELD_REF(fish_move, to_tank_id, "tanks"),
	FIELD(fish_move, fish, KIND_INTEGER, .required = true, RANGE(0, 1e8)),
	FIELD(fish_move, weight_g, KIND_REAL, RANGE(0, 1e10), .unit = "g"),
	FIELD(fish_move, reason, KIND_CHOICE, .words = move_reasons, .required = true),
	FIELD_REF(fish_move, into_lot_id, "fish-lots"),
	FIELD(fish_move, empties, KIND_BOOL),
};
static const struct choice_of fish_move_choices[] = { { { "from_tank_id", "to_tank_id" }, 1, 2 },
						      { { NULL }, 0, 0 } };
const struct kind fish_moves_kind = {
	.name = "fish-moves",
	.table = "fish_moves",
	.class = CLASS_ENTRY,
	FIELDS(fish_move_fields),
	STRUCT(fish_move),
	.choices = fish_move_choices,
	.rank = RANK_MOVE,
};

static const struct field fish_count_fields[] = {
	FIELD_REF(fish_count, tank_id, "tanks", .required = true),
	FIELD_REF(fish_count, fish_lot_id, "fish-lots", .required = true),
	FIELD(fish_count, counted, KIND_INTEGER, .required = true, RANGE(0, 1e8)),
	FIELD(fish_count, method, KIND_TEXT),
};
const struct kind fish_counts_kind = {
	.name = "fish-counts",
	.table = "fish_counts",
	.class = CLASS_ENTRY,
	FIELDS(fish_count_fields),
	STRUCT(fish_count),
	.rank = RANK_COUNT,
};

static const char *const causes[] = { "unknown",     "handling", "low_oxygen", "ammonia",
				      "temperature", "disease",  "injury",     "deformed",
				      "predator",    "jumped",   "other",      NULL };
static const char *const disposals[] = { "compost",  "rendering",  "burial", "incineration",
					 "landfill", "laboratory", "other",  NULL };
static const struct field fish_death_fields[] = {
	FIELD_REF(fish_death, tank_id, "tanks", .required = true),
	FIELD_REF(fish_death, fish_lot_id, "fish-lots"),
	FIELD(fish_death, fish, KIND_INTEGER, RANGE(0, 1e8)),
	FIELD(fish_death, weight_g, KIND_REAL, RANGE(0, 1e10), .unit = "g"),
	FIELD(fish_death, cause, KIND_CHOICE, .words = causes),
	FIELD(fish_death, disposal, KIND_CHOICE, .words = disposals),
};
static const struct choice_of fish_death_choices[] = { { { "fish", "weight_g" }, 1, 2 },
						       { { NULL }, 0, 0 } };
const struct kind fish_deaths_kind = {
	.name = "fish-deaths",
	.table = "fish_deaths",
	.class = CLASS_ENTRY,
	FIELDS(fish_death_fields),
	STRUCT(fish_death),
	.choices = fish_death_choices,
	.rank = RANK_DEATH,
	.stands = STANDS_END,
};

static const struct field weighing_fields[] = {
	FIELD_REF(weighing, tank_id, "tanks", .required = true),
	FIELD_REF(weighing, fish_lot_id, "fish-lots", .required = true),
	FIELD(weighing, fish, KIND_INTEGER, RANGE(1, 1e7)),
	FIELD(weighing, weight_g, KIND_REAL, RANGE(0.0001, 1e10), .unit = "g"),
	FIELD(weighing, nets, KIND_NUMBERS),
	FIELD(weighing, weights_g, KIND_NUMBERS, RANGE(0.0001, 1e6)),
	FIELD(weighing, lengths_mm, KIND_NUMBERS, RANGE(0.1, 5000)),
};
static const struct choice_of weighing_choices[] = { { { "weight_g", "nets", "weights_g" }, 1, 1 },
						     { { NULL }, 0, 0 } };
const struct kind weighings_kind = {
	.name = "weighings",
	.table = "weighings",
	.class = CLASS_ENTRY,
	FIELDS(weighing_fields),
	STRUCT(weighing),
	.choices = weighing_choices,
	.rank = RANK_WEIGHING,
};

static const char *const appetites[] = { "keen", "steady", "slow", "none", NULL };
static const struct field feeding_fields[] = {
	FIELD_REF(feeding, tank_id, "tanks", .required = true),
	FIELD_REF(feeding, feed_id, "feeds", .required = true),
	FIELD_REF(feeding, feed_lot_id, "feed-lots"),
	FIELD(feeding, amount_g, KIND_REAL, .required = true, RANGE(0, 1e7), .unit = "g"),
	FIELD(feeding, slot, KIND_INTEGER, RANGE(1, 48)),
	FIELD(feeding, appetite, KIND_CHOICE, .words = appetites),
	FIELD(feeding, uneaten_g, KIND_REAL, RANGE(0, 1e7), .unit = "g"),
	FIELD(feeding, planned_g, KIND_REAL, RANGE(0, 1e7), .unit = "g"),
	FIELD(feeding, hours, KIND_REAL, RANGE(0, 240), .unit = "h"),
};
const struct kind feedings_kind = {
	.name = "feedings",
	.table = "feedings",
	.class = CLASS_ENTRY,
	FIELDS(feeding_fields),
	STRUCT(feeding),
	.rank = RANK_FEEDING,
};

static const char *const weight_bases[] = { "live", "bled", "gutted", NULL };
static const struct field harvest_fields[] = {
	FIELD(harvest, code, KIND_CODE),
	FIELD_REF(harvest, fish_lot_id, "fish-lots"),
	FIELD_REF(harvest, tank_id, "tanks"),
	FIELD_REF(harvest, crop_lot_id, "crop-lots"),
	FIELD_REF(harvest, bed_id, "beds"),
	FIELD(harvest, pieces, KIND_INTEGER, RANGE(0, 1e8)),
	FIELD(harvest, weight_g, KIND_REAL, RANGE(0, 1e10), .unit = "g"),
	FIELD(harvest, culled_pieces, KIND_INTEGER, RANGE(0, 1e8)),
	FIELD(harvest, culled_g, KIND_REAL, RANGE(0, 1e10), .unit = "g"),
	FIELD(harvest, plants, KIND_INTEGER, RANGE(0, 1e8)),
	FIELD(harvest, rafts, KIND_INTEGER, RANGE(0, 1e6)),
	FIELD(harvest, weight_basis, KIND_CHOICE, .words = weight_bases),
	FIELD(harvest, grade, KIND_TEXT),
	FIELD(harvest, cooled_at, KIND_TIME),
	FIELD_REF(harvest, cooled_place_id, "places"),
	FIELD(harvest, empties, KIND_BOOL),
};
static const struct choice_of harvest_choices[] = { { { "fish_lot_id", "crop_lot_id" }, 1, 1 },
						    { { "tank_id", "bed_id" }, 1, 1 },
						    { { "pieces", "weight_g" }, 1, 2 },
						    { { NULL }, 0, 0 } };
const struct kind harvests_kind = {
	.name = "harvests",
	.table = "harvests",
	.class = CLASS_ENTRY,
	FIELDS(harvest_fields),
	STRUCT(harvest),
	.choices = harvest_choices,
	.rank = RANK_HARVEST,
	.stands = STANDS_END,
};

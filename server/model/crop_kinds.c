/* Entries about plants: sowings, moves, counts, losses. */
#include "model/crop_kinds.h"
#include "model/kinds.h"

static const struct field crop_lot_fields[] = {
	FIELD(crop_lot, code, KIND_CODE, .required = true),
	FIELD_REF(crop_lot, variety_id, "varieties", .required = true),
	FIELD_REF(crop_lot, seed_lot_id, "seed-lots"),
	FIELD_REF(crop_lot, bed_id, "beds", .required = true),
	FIELD(crop_lot, trays, KIND_INTEGER, RANGE(0, 1e6)),
	FIELD_REF(crop_lot, tray_id, "trays"),
	FIELD(crop_lot, cubes, KIND_INTEGER, .required = true, RANGE(1, 1e7)),
	FIELD(crop_lot, seeds_per_cube, KIND_INTEGER, RANGE(1, 1000)),
	FIELD(crop_lot, medium, KIND_TEXT),
};
const struct kind crop_lots_kind = {
	.name = "crop-lots",
	.table = "crop_lots",
	.class = CLASS_ENTRY,
	FIELDS(crop_lot_fields),
	STRUCT(crop_lot),
	.rank = RANK_ARRIVAL,
	.stands = STANDS_START,
};

static const char *const ends[] = { "head", "foot", NULL };
static const struct field crop_move_fields[] = {
	FIELD_REF(crop_move, crop_lot_id, "crop-lots", .required = true),
	FIELD_REF(crop_move, from_bed_id, "beds", .required = true),
	FIELD_REF(crop_move, to_bed_id, "beds", .required = true),
	FIELD(crop_move, plants, KIND_INTEGER, .required = true, RANGE(0, 1e8)),
	FIELD(crop_move, rafts, KIND_INTEGER, RANGE(0, 1e6)),
	FIELD(crop_move, raft_sites, KIND_INTEGER, RANGE(1, 10000)),
	FIELD(crop_move, end, KIND_CHOICE, .words = ends),
	FIELD(crop_move, empties, KIND_BOOL),
};
const struct kind crop_moves_kind = {
	.name = "crop-moves",
	.table = "crop_moves",
	.class = CLASS_ENTRY,
	FIELDS(crop_move_fields),
	STRUCT(crop_move),
	.rank = RANK_MOVE,
};

static const char *const methods[] = { "counted", "germination", "estimated", NULL };
static const struct field crop_count_fields[] = {
	FIELD_REF(crop_count, bed_id, "beds", .required = true),
	FIELD_REF(crop_count, crop_lot_id, "crop-lots", .required = true),
	FIELD(crop_count, counted, KIND_INTEGER, .required = true, RANGE(0, 1e8)),
	FIELD(crop_count, method, KIND_CHOICE, .words = methods),
};
const struct kind crop_counts_kind = {
	.name = "crop-counts",
	.table = "crop_counts",
	.class = CLASS_ENTRY,
	FIELDS(crop_count_fields),
	STRUCT(crop_count),
	.rank = RANK_COUNT,
};

static const char *const loss_causes[] = { "unknown", "damping_off", "root_rot", "pest",  "disease",
					   "bolted",  "tip_burn",    "heat",     "frost", "damage",
					   "thinned", "unsold",      "other",    NULL };
static const struct field crop_loss_fields[] = {
	FIELD_REF(crop_loss, crop_lot_id, "crop-lots", .required = true),
	FIELD_REF(crop_loss, bed_id, "beds", .required = true),
	FIELD(crop_loss, plants, KIND_INTEGER, .required = true, RANGE(0, 1e8)),
	FIELD(crop_loss, cause, KIND_CHOICE, .words = loss_causes),
};
const struct kind crop_losses_kind = {
	.name = "crop-losses",
	.table = "crop_losses",
	.class = CLASS_ENTRY,
	FIELDS(crop_loss_fields),
	STRUCT(crop_loss),
	.rank = RANK_DEATH,
	.stands = STANDS_END,
};

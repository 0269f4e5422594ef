/* Lots: fish, seed, feed and material as they came.  A crop lot is the sowing itself, in crop_kinds.c. */
#include "model/kinds.h"

static const struct field fish_lot_fields[] = {
	/* arrived_on and parents are computed from its moves */
	PLAIN("code", KIND_CODE, .required = true),
	PLAIN_REF("species_id", "species", .required = true),
	PLAIN_REF("supplier_id", "partners"),
	PLAIN("source_lot_code", KIND_TEXT),
	PLAIN("mean_weight_g", KIND_REAL, RANGE(0.0001, 1e6),
	      .unit = "g"), /* as the supplier says */
};
const struct kind fish_lots_kind = {
	.name = "fish-lots",
	.table = "fish_lots",
	.class = CLASS_LOT,
	FIELDS(fish_lot_fields),
};

static const struct field seed_lot_fields[] = {
	PLAIN("code", KIND_CODE, .required = true),
	PLAIN_REF("variety_id", "varieties", .required = true),
	PLAIN_REF("supplier_id", "partners"),
	PLAIN("source_lot_code", KIND_TEXT),
	PLAIN("received_on", KIND_DAY),
	PLAIN("seeds", KIND_INTEGER, RANGE(0, 1e10)),
	PLAIN("germination_pct", KIND_REAL, RANGE(0, 100), .unit = "%"),
};
const struct kind seed_lots_kind = {
	.name = "seed-lots",
	.table = "seed_lots",
	.class = CLASS_LOT,
	FIELDS(seed_lot_fields),
};

static const struct field feed_lot_fields[] = {
	PLAIN("code", KIND_CODE, .required = true),
	PLAIN_REF("feed_id", "feeds", .required = true),
	PLAIN_REF("supplier_id", "partners"),
	PLAIN("received_on", KIND_DAY, .required = true),
	PLAIN("amount_g", KIND_REAL, .required = true, RANGE(0, 1e10), .unit = "g"),
	PLAIN("expires_on", KIND_DAY),
	PLAIN("cost_minor", KIND_INTEGER, RANGE(0, 1e12)),
};
const struct kind feed_lots_kind = {
	.name = "feed-lots",
	.table = "feed_lots",
	.class = CLASS_LOT,
	FIELDS(feed_lot_fields),
};

static const struct field material_lot_fields[] = {
	PLAIN("code", KIND_CODE, .required = true),
	PLAIN_REF("material_id", "materials", .required = true),
	PLAIN_REF("supplier_id", "partners"),
	PLAIN("received_on", KIND_DAY, .required = true),
	PLAIN("amount_g", KIND_REAL, .required = true, RANGE(0, 1e10), .unit = "g"),
	PLAIN("expires_on", KIND_DAY),
	PLAIN("cost_minor", KIND_INTEGER, RANGE(0, 1e12)),
};
const struct kind material_lots_kind = {
	.name = "material-lots",
	.table = "material_lots",
	.class = CLASS_LOT,
	FIELDS(material_lot_fields),
};

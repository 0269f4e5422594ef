/* From the cold room to the customer: packings, discards, orders, shipments, complaints, holds. */
#include "model/kinds.h"

static const struct field packing_fields[] = {
	PLAIN("code", KIND_CODE, .required = true), /* the traceability lot code */
	PLAIN_REF("product_id", "products", .required = true),
	PLAIN("packs", KIND_INTEGER, .required = true, RANGE(0, 1e7)),
	PLAIN_REF("place_id", "places"),
};
const struct kind packings_kind = {
	.name = "packings",
	.table = "packings",
	.class = CLASS_ENTRY,
	FIELDS(packing_fields),
	.stands = STANDS_END,
};

static const struct field packing_line_fields[] = {
	PLAIN_REF("packing_id", "packings", .required = true),
	PLAIN_REF("harvest_id", "harvests", .required = true),
	PLAIN("pieces", KIND_INTEGER, RANGE(0, 1e8)),
	PLAIN("weight_g", KIND_REAL, RANGE(0, 1e10), .unit = "g"),
};
static const struct choice_of packing_line_choices[] = { { { "pieces", "weight_g" }, 1, 2 },
							 { { NULL }, 0, 0 } };
const struct kind packing_lines_kind = {
	.name = "packing-lines",
	.table = "packing_lines",
	.class = CLASS_ENTRY,
	FIELDS(packing_line_fields),
	.choices = packing_line_choices,
	.is_line = true,
	.line_of = "packing_id",
};

static const struct field discard_fields[] = {
	PLAIN_REF("packing_id", "packings"),
	PLAIN_REF("harvest_id", "harvests"),
	PLAIN("quantity", KIND_REAL, .required = true, RANGE(0, 1e10)),
	PLAIN("why", KIND_TEXT),
};
static const struct choice_of discard_choices[] = { { { "packing_id", "harvest_id" }, 1, 1 },
						    { { NULL }, 0, 0 } };
const struct kind discards_kind = {
	.name = "discards",
	.table = "discards",
	.class = CLASS_ENTRY,
	FIELDS(discard_fields),
	.choices = discard_choices,
};

static const char *const repeats[] = { "none", "weekly", NULL };
static const struct field order_fields[] = {
	PLAIN("code", KIND_CODE, .required = true),
	PLAIN_REF("partner_id", "partners", .required = true),
	PLAIN("wanted_on", KIND_DAY, .required = true),
	PLAIN("repeats", KIND_CHOICE, .words = repeats),
	PLAIN("ends_on", KIND_DAY),
};
const struct kind orders_kind = {
	.name = "orders",
	.table = "orders",
	.class = CLASS_ENTRY,
	FIELDS(order_fields),
};

static const struct field order_line_fields[] = {
	PLAIN_REF("order_id", "orders", .required = true),
	PLAIN_REF("product_id", "products", .required = true),
	PLAIN("packs", KIND_INTEGER, .required = true, RANGE(0, 1e7)),
	PLAIN("price_minor", KIND_INTEGER, RANGE(0, 1e12)),
};
const struct kind order_lines_kind = {
	.name = "order-lines",
	.table = "order_lines",
	.class = CLASS_ENTRY,
	FIELDS(order_line_fields),
	.is_line = true,
	.line_of = "order_id",
};

static const struct field order_change_fields[] = {
	PLAIN_REF("order_id", "orders", .required = true), PLAIN_REF("product_id", "products"),
	PLAIN("changed_day", KIND_DAY, .required = true), /* the week's delivery that is changed */
	PLAIN("packs", KIND_INTEGER, RANGE(0, 1e7)),       PLAIN("cancelled", KIND_BOOL),
};
static const struct choice_of order_change_choices[] = { { { "packs", "cancelled" }, 1, 1 },
							 { { NULL }, 0, 0 } };
const struct kind order_changes_kind = {
	.name = "order-changes",
	.table = "order_changes",
	.class = CLASS_ENTRY,
	FIELDS(order_change_fields),
	.choices = order_change_choices,
};

static const char *const reference_types[] = { "bill_of_lading", "invoice", "order",
					       "delivery_note",  "other",   NULL };
static const struct field shipment_fields[] = {
	PLAIN("code", KIND_CODE, .required = true),
	PLAIN_REF("partner_id", "partners", .required = true),
	PLAIN_REF("order_id", "orders"),
	PLAIN("shipped_at", KIND_TIME, .required = true),
	PLAIN_REF("hauler_id", "partners"),
	PLAIN("reference_type", KIND_CHOICE, .words = reference_types),
	PLAIN("reference_no", KIND_TEXT),
};
const struct kind shipments_kind = {
	.name = "shipments",
	.table = "shipments",
	.class = CLASS_ENTRY,
	FIELDS(shipment_fields),
	.stands = STANDS_END,
};

static const struct field shipment_line_fields[] = {
	PLAIN_REF("shipment_id", "shipments", .required = true),
	PLAIN_REF("packing_id", "packings", .required = true),
	PLAIN("packs", KIND_INTEGER, .required = true, RANGE(0, 1e7)),
	PLAIN("price_minor", KIND_INTEGER, RANGE(0, 1e12)),
};
const struct kind shipment_lines_kind = {
	.name = "shipment-lines",
	.table = "shipment_lines",
	.class = CLASS_ENTRY,
	FIELDS(shipment_line_fields),
	.is_line = true,
	.line_of = "shipment_id",
};

static const struct field complaint_fields[] = {
	PLAIN_REF("partner_id", "partners"),
	PLAIN_REF("packing_id", "packings"),
	PLAIN("what", KIND_TEXT, .required = true),
};
const struct kind complaints_kind = {
	.name = "complaints",
	.table = "complaints",
	.class = CLASS_ENTRY,
	FIELDS(complaint_fields),
};

static const struct field hold_fields[] = {
	PLAIN("of_code", KIND_TEXT, .required = true), /* code of any lot, harvest or packing */
	PLAIN("why", KIND_TEXT, .required = true),
	PLAIN("released_at", KIND_TIME),
};
const struct kind holds_kind = {
	.name = "holds",
	.table = "holds",
	.class = CLASS_ENTRY,
	FIELDS(hold_fields),
};

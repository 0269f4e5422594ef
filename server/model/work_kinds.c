/* The day's work around the crops: stocktakes, chores, incidents, alarms, labour, reviews,
 * closings, photos, readings and what is wrong with them. */
#include "model/kinds.h"

static const struct field stocktake_fields[] = {
	PLAIN_REF("feed_lot_id", "feed-lots"),
	PLAIN_REF("seed_lot_id", "seed-lots"),
	PLAIN_REF("material_lot_id", "material-lots"),
	PLAIN("amount_g", KIND_REAL, RANGE(0, 1e10), .unit = "g"),
	PLAIN("seeds", KIND_INTEGER, RANGE(0, 1e10)),
};
static const struct choice_of stocktake_choices[] = {
	{ { "feed_lot_id", "seed_lot_id", "material_lot_id" }, 1, 1 },
	{ { "amount_g", "seeds" }, 1, 1 },
	{ { NULL }, 0, 0 }
};
const struct kind stocktakes_kind = {
	.name = "stocktakes",
	.table = "stocktakes",
	.class = CLASS_ENTRY,
	FIELDS(stocktake_fields),
	.choices = stocktake_choices,
	.rank = RANK_COUNT,
};

static const struct field chore_done_fields[] = {
	PLAIN_REF("chore_id", "chores", .required = true),
	PLAIN("answer", KIND_TEXT),
};
const struct kind chores_done_kind = {
	.name = "chores-done",
	.table = "chores_done",
	.class = CLASS_ENTRY,
	FIELDS(chore_done_fields),
};

static const struct field incident_fields[] = {
	PLAIN("what", KIND_TEXT, .required = true),
	PLAIN("began_at", KIND_TIME, .required = true),
	PLAIN("ended_at", KIND_TIME),
};
const struct kind incidents_kind = {
	.name = "incidents",
	.table = "incidents",
	.class = CLASS_ENTRY,
	FIELDS(incident_fields),
};

/* Beyond a limit; a probe that went quiet; a test that is too old. */
static const char *const alarm_levels[] = { "low",    "stop_low", "high", "stop_high",
					    "silent", "old",      NULL };
static const struct field alarm_fields[] = {
	PLAIN_REF("place_id", "places"),
	PLAIN("quantity", KIND_TEXT, .required = true),
	PLAIN("value", KIND_REAL),
	PLAIN("raised_at", KIND_TIME, .required = true),
	PLAIN_REF("seen_by_id", "staff"),
	PLAIN("action", KIND_TEXT),
	PLAIN("cleared_at", KIND_TIME),
	/* Set when the service raised it; empty: a person noted it. */
	PLAIN("level", KIND_CHOICE, .words = alarm_levels, .server_set = true),
	PLAIN_REF("probe_id", "probes", .server_set = true),
};
const struct kind alarms_kind = {
	.name = "alarms",
	.table = "alarms",
	.class = CLASS_ENTRY,
	FIELDS(alarm_fields),
};

static const struct field labour_fields[] = {
	PLAIN("work", KIND_TEXT, .required = true),
	PLAIN("minutes", KIND_INTEGER, .required = true, RANGE(0, 100000), .unit = "min"),
	PLAIN_REF("place_id", "places"),
};
const struct kind labour_kind = {
	.name = "labour",
	.table = "labour",
	.class = CLASS_ENTRY,
	FIELDS(labour_fields),
};

static const struct field review_fields[] = {
	PLAIN("reviewed_day", KIND_DAY, .required = true),
	PLAIN("remark", KIND_TEXT),
};
const struct kind reviews_kind = {
	.name = "reviews",
	.table = "reviews",
	.class = CLASS_ENTRY,
	FIELDS(review_fields),
};

/* A month that is done: its lines keep what the book said then, so that a later change shows. */
static const struct field closing_fields[] = {
	PLAIN("month", KIND_DAY, .required = true), /* its first day */
};
const struct kind closings_kind = {
	.name = "closings",
	.table = "closings",
	.class = CLASS_ENTRY,
	FIELDS(closing_fields),
};

static const struct field closing_line_fields[] = {
	PLAIN_REF("closing_id", "closings", .required = true),
	PLAIN_REF("tank_id", "tanks", .required = true),
	PLAIN("feed_g", KIND_REAL, RANGE(0, 1e12), .unit = "g"),
	PLAIN("gain_g", KIND_REAL, RANGE(-1e12, 1e12), .unit = "g"),
	PLAIN("fcr_economic", KIND_REAL),
	PLAIN("fcr_biological", KIND_REAL),
};
const struct kind closing_lines_kind = {
	.name = "closing-lines",
	.table = "closing_lines",
	.class = CLASS_ENTRY,
	FIELDS(closing_line_fields),
	.is_line = true,
	.line_of = "closing_id",
};

static const struct field handover_fields[] = {
	PLAIN("what", KIND_TEXT, .required = true),
	PLAIN_REF("place_id", "places"),
	PLAIN_REF("read_by_id", "staff"),
	PLAIN("read_at", KIND_TIME),
};
const struct kind handovers_kind = {
	.name = "handovers",
	.table = "handovers",
	.class = CLASS_ENTRY,
	FIELDS(handover_fields),
};

static const struct field photo_fields[] = {
	PLAIN("of_kind", KIND_TEXT, .required = true),
	PLAIN("of_key", KIND_UUID, .required = true),
	PLAIN("media_type", KIND_TEXT),
};
const struct kind photos_kind = {
	.name = "photos",
	.table = "photos",
	.class = CLASS_ENTRY,
	FIELDS(photo_fields),
};

/* A stretch in which a probe told wrong: its readings there stay, and count for nothing. */
static const struct field probe_fault_fields[] = {
	PLAIN_REF("probe_id", "probes", .required = true),
	PLAIN("began_at", KIND_TIME, .required = true),
	PLAIN("ended_at", KIND_TIME), /* included; not given: it lasts */
	PLAIN("cause", KIND_TEXT),
};
const struct kind probe_faults_kind = {
	.name = "probe-faults",
	.table = "probe_faults",
	.class = CLASS_ENTRY,
	FIELDS(probe_fault_fields),
};

/* Readings have no changes and no generic entry: their key is (probe, at), they come in batches. */
static const struct field reading_fields[] = {
	PLAIN_REF("probe_id", "probes", .required = true),
	PLAIN("at", KIND_TIME, .required = true),
	PLAIN("value", KIND_REAL, .required = true),
};
const struct kind readings_kind = {
	.name = "readings",
	.table = "readings",
	.class = CLASS_SYSTEM,
	FIELDS(reading_fields),
};

/* Corrections, completions, strikes, restores and set-up edits, as they happened. */
static const char *const acts[] = { "correct", "complete", "strike", "restore", "set_up", NULL };
static const struct field change_fields[] = {
	PLAIN("of_kind", KIND_TEXT, .required = true),
	PLAIN("of_key", KIND_UUID, .required = true),
	PLAIN("changed_at", KIND_TIME, .required = true),
	PLAIN("what", KIND_CHOICE, .words = acts, .required = true),
	PLAIN("act", KIND_UUID), /* shared by what was struck or restored together */
	PLAIN("why", KIND_TEXT),
	PLAIN_REF("staff_id", "staff"),
	PLAIN("tablet", KIND_TEXT),
	PLAIN("version_before", KIND_INTEGER, .required = true),
	PLAIN("before", KIND_TEXT), /* JSON object of the fields that changed */
};
const struct kind changes_kind = {
	.name = "changes",
	.table = "changes",
	.class = CLASS_SYSTEM,
	FIELDS(change_fields),
};

/* The entries about plants that domain and book code reads: one struct a kind; see fish_kinds.h. */
#ifndef WEIRBOOK_MODEL_CROP_KINDS_H
#define WEIRBOOK_MODEL_CROP_KINDS_H

#include <stdint.h>

#include "model/record.h"

/* The sowing itself.  A plant in the ledger is one occupied site or plug. */
struct crop_lot {
	uint64_t has;
	const char *code;
	int64_t variety_id;
	int64_t seed_lot_id;
	int64_t bed_id;
	int64_t trays;
	int64_t tray_id;
	int64_t cubes;
	int64_t seeds_per_cube;
	const char *medium;
};

struct crop_move {
	uint64_t has;
	int64_t crop_lot_id;
	int64_t from_bed_id;
	int64_t to_bed_id;
	int64_t plants;
	int64_t rafts;
	int64_t raft_sites; /* respacing: sites of each raft in the new place */
	const char *end;    /* head (default) or foot */
	int64_t empties;
};

struct crop_count {
	uint64_t has;
	int64_t bed_id;
	int64_t crop_lot_id;
	int64_t counted;
	const char *method;
};

struct crop_loss {
	uint64_t has;
	int64_t crop_lot_id;
	int64_t bed_id;
	int64_t plants;
	const char *cause;
};

#endif

/* The entries about fish that domain and book code reads: one struct a kind.  NAN, 0 or NULL where a member
 * was not given; bit i of has says whether own field i was. */
#ifndef WEIRBOOK_MODEL_FISH_KINDS_H
#define WEIRBOOK_MODEL_FISH_KINDS_H

#include <stdint.h>

#include "model/record.h"

struct fish_move {
	uint64_t has;
	int64_t fish_lot_id;
	int64_t from_tank_id; /* 0: arrives */
	int64_t to_tank_id;   /* 0: leaves */
	int64_t fish;
	double weight_g; /* total of the fish moved, if weighed */
	const char *reason;
	int64_t into_lot_id; /* reason merge: the lot that the fish enter */
	int64_t empties;     /* 1: that was all of them */
};

struct fish_count {
	uint64_t has;
	int64_t tank_id;
	int64_t fish_lot_id;
	int64_t counted;
	const char *method;
};

struct fish_death {
	uint64_t has;
	int64_t tank_id;
	int64_t fish_lot_id; /* 0: split by number over the lots in the tank */
	int64_t fish;        /* one of fish and weight_g may be missing */
	double weight_g;
	const char *cause;
	const char *disposal;
};

struct weighing {
	uint64_t has;
	int64_t tank_id;
	int64_t fish_lot_id;
	int64_t fish;
	double weight_g;       /* total of these fish */
	const char *nets;      /* "20 4310 18 3902": fish and grams of each net */
	const char *weights_g; /* one by one */
	const char *lengths_mm;
};

struct feeding {
	uint64_t has;
	int64_t tank_id;
	int64_t feed_id;
	int64_t feed_lot_id;
	double amount_g;
	int64_t slot; /* which of the day's planned feedings, from 1 */
	const char *appetite;
	double uneaten_g;
	double planned_g;
	double hours;
};

struct harvest {
	uint64_t has;
	const char *code;
	int64_t fish_lot_id, tank_id;
	int64_t crop_lot_id, bed_id;
	int64_t pieces;
	double weight_g;
	int64_t culled_pieces;
	double culled_g;
	int64_t plants;
	int64_t rafts;
	const char *weight_basis;
	const char *grade;
	int64_t cooled_at;
	int64_t cooled_place_id;
	int64_t empties;
};

struct dose {
	uint64_t has;
	int64_t loop_id;
	int64_t material_id;
	int64_t material_lot_id;
	double amount_g;
	double ph_before;
	double ph_after;
	const char *why;
};

#endif

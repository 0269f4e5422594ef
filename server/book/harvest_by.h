/*
 * What harvests can be told apart by: crop, variety, species, bed, tank, grade, lot.  Each is a whole number of a
 * harvest (a part of harvest_sums.h's key), has a name, and is a filter of the list of harvests.
 */
#ifndef WEIRBOOK_BOOK_HARVEST_BY_H
#define WEIRBOOK_BOOK_HARVEST_BY_H

#include "book/harvest_names.h"

enum harvest_by { BY_CROP, BY_VARIETY, BY_SPECIES, BY_BED, BY_TANK, BY_GRADE, BY_LOT, BY__MAX };

/* A harvest as a scan reads it.  Ids are 0 where not given, whole numbers NO_INT, weights NAN. */
struct harvest_seen {
	int64_t day, instant;
	int64_t crop_lot, fish_lot, bed, tank;
	int64_t variety, crop, species; /* looked up: harvest_look_up */
	const char *grade;              /* until the next step */
	int64_t pieces, culled_pieces;
	double weight_g, culled_g;
};

/* Variety, crop and species of its lot. */
void harvest_look_up(const struct harvest_names *names, struct harvest_seen *h);

/* Grades are text: they are numbered as they come.  Begins with all but arena zero. */
struct harvest_grades {
	struct arena *arena;
	const char **texts; /* part - 1 is the index */
	size_t n, room;
};

/* 0: it has none.  Crop lots and fish lots share BY_LOT: fish lots are below 0. */
int64_t harvest_part(struct harvest_grades *grades, enum harvest_by by,
		     const struct harvest_seen *h);

/* Name of a part; NULL for 0. */
const char *harvest_part_text(const struct harvest_names *names,
			      const struct harvest_grades *grades, enum harvest_by by,
			      int64_t part);

/* What only= names; the first of place, lot, crop, variety and species that is so called. */
struct harvest_only {
	bool asked;
	enum harvest_by by;
	int64_t part; /* 0: nothing is so called */
};
struct harvest_only harvest_only_read(const struct harvest_names *names, const char *only);
bool harvest_only_has(const struct harvest_only *only, const struct harvest_seen *h);

/* The address of a list of harvests as it grows. */
struct harvest_address {
	struct arena *arena;
	const char *filters; /* "&bed_id=4..." */
	const char *without; /* "grade,bed_id"; "" */
};
void harvest_address_add(struct harvest_address *a, const struct harvest_grades *grades,
			 enum harvest_by by, int64_t part);
/* "/api/harvests?" with the time and all that was added. */
const char *harvest_address_text(const struct harvest_address *a, const char *span);

#endif

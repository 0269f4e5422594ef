/* See crop_farm.h. */
#include "support/crop_farm.h"

#include <check.h>
#include <string.h>

struct report_result seen;

struct record *keep_row(const struct record *r)
{
	return mini_keep(&own_farm, r);
}

/* Raft bed B2 of 10 m by 2.5 m: rafts of 1 m by 1.25 m, 30 sites each, two abreast. */
void crop_farm_open(void)
{
	mini_farm_open(&own_farm);
	own_farm.hand.arrival = ARRIVES_IMPORTED;
	keep_row(mini_row(&own_farm, "beds", "code", "B2", "loop_id", "L1", "role", "raft",
			  "length_m", "10", "width_m", "2.5", "raft_length_m", "1", "raft_width_m",
			  "1.25", "sites_per_raft", "30", NULL));
	keep_row(mini_row(&own_farm, "varieties", "name", "Red oak", "crop_id", "Lettuce",
			  "days_germination", "4", "days_nursery", "10", "days_raft", "28",
			  "days_hold", "5", "head_weight_g", "150", NULL));
	keep_row(mini_row(&own_farm, "seed-lots", "code", "S1", "variety_id", "Red oak",
			  "germination_pct", "90", NULL));
}

void crop_farm_close(void)
{
	mini_farm_close(&own_farm);
}

struct record *sow(const char *code, const char *cubes, const char *day)
{
	return keep_row(mini_row(&own_farm, "crop-lots", "code", code, "variety_id", "Red oak",
				 "seed_lot_id", "S1", "bed_id", "N1", "cubes", cubes, "day", day,
				 NULL));
}

struct record *move_to_bed(const char *lot, const char *plants, const char *day)
{
	return keep_row(mini_row(&own_farm, "crop-moves", "crop_lot_id", lot, "from_bed_id", "N1",
				 "to_bed_id", "B2", "plants", plants, "day", day, NULL));
}

struct record *cut(const char *lot, const char *pieces, const char *weight_g, const char *day)
{
	return keep_row(mini_row(&own_farm, "harvests", "crop_lot_id", lot, "bed_id", "B2",
				 "pieces", pieces, "weight_g", weight_g, "day", day, NULL));
}

void beds_on(const char *day)
{
	struct report_query q = report_query_at(own_farm.hand.now);

	q.day = day_of(day);
	report_run(own_farm.book, "beds", &q, &own_farm.arena, &seen);
}

void harvests(const char *by, const char *only)
{
	struct report_query q = report_query_at(own_farm.hand.now);

	q.by = by;
	q.only = only;
	report_run(own_farm.book, "harvest", &q, &own_farm.arena, &seen);
}

size_t lot_row(const char *lot)
{
	return report_row(&seen, "crop_lot", lot);
}

int64_t lot_whole(const char *lot, const char *column)
{
	return report_int(&seen, lot_row(lot), column);
}

double lot_real(const char *lot, const char *column)
{
	return report_real(&seen, lot_row(lot), column);
}
